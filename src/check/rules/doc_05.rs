//! DOC-05: a waiver names a rule that exists and that would speak.
//!
//! Whether a waiver is needed is known only when every other rule has spoken, so the inspection itself asks this
//! rule, after all others, with what they found.

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::waived::Waived;
use crate::finding::{Code, Finding, Severity, Sink, nearest, write};
use crate::parse::span;
use crate::phrase::phrase;

/// The rule DOC-05.
pub(super) struct Doc05;

static PAGE: Page = Page {
    code: Code("DOC-05"),
    severity: Severity::Warning,
    rule: "a waiver names a rule that exists and that would speak",
    why: "A waiver that nothing needs hides the next fault at its place, and looks as if somebody had judged it.",
    source: "common practice",
    fails: "waive: {rule: STR-99, reason: Shop habit, by: Workshop lead}",
    passes: "waive: {rule: STR-05, reason: The next step says it, by: Workshop lead}",
};

impl Rule for Doc05 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, _: &Reading<'_>, _: &mut Sink) {}

    fn after_all(&self, waivers: &[Waived], codes: &[&'static Page], findings: &[Finding], sink: &mut Sink) {
        for waived in waivers {
            let rule = &waived.waiver.rule;
            let finding = match codes.iter().find(|page| page.code.0 == rule) {
                None => PAGE.finding(phrase!("there is no rule `{rule}` to waive", rule = rule)).help(
                    nearest(rule, codes.iter().map(|page| page.code.0))
                        .map_or_else(|| phrase!("docs/rules.md lists the rules"), write),
                ),
                Some(page) if page.severity == Severity::Error => PAGE
                    .finding(phrase!("`{rule}` is an error, and errors are not waived", rule = rule))
                    .help(phrase!("mend what it finds, and take this waiver out")),
                Some(_) if !findings.iter().any(|finding| waived.covers(finding)) => PAGE
                    .finding(phrase!("`{rule}` finds nothing here to waive", rule = rule))
                    .help(phrase!("take this waiver out")),
                Some(_) => continue,
            };
            let finding =
                finding.at(span(waived.waiver.place), phrase!("waived here")).in_procedure(&waived.procedure);
            sink.push(match &waived.step {
                Some(step) => finding.in_step(step),
                None => finding,
            });
        }
    }
}
