//! SAF-09: pyrotechnic and high-voltage work carries the gate: the maker's instruction and licensed people.

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink};
use crate::model::Skill;
use crate::parse::span;
use crate::phrase::phrase;

/// The rule SAF-09.
pub(super) struct Saf09;

static PAGE: Page = Page {
    code: Code("SAF-09"),
    severity: Severity::Error,
    rule: "pyrotechnic and high-voltage work carries the gate: the maker's instruction and licensed people",
    why: "Such parts kill when they are touched in the wrong order. This manual prints no isolation, no wait and no splice for them: it stops the reader and names who may go on.",
    source: "HSE guidance on air bags; UNECE R100 (both from memory)",
    fails: "skill: electrical\n…\n- run-new: buckle-lead      # of a pyrotechnic cable",
    passes: "skill: pyrotechnic\n…\nrecord: {ask: Maker's instruction and page}\n…\n- run-new: buckle-lead",
};

impl Rule for Saf09 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for read in &reading.procedures {
            let procedure = read.procedure;
            for (step, act, item) in read.acts() {
                let Some(item) = item else { continue };
                let wanted = match read.cable_kind(reading.worked, item) {
                    Some("pyrotechnic") => Skill::Pyrotechnic,
                    Some("high-voltage") => Skill::HighVoltage,
                    _ => continue,
                };
                if procedure.skill != wanted {
                    let headline = phrase!(
                        "`{item}` is {wanted} and `{procedure}` is no work for licensed people",
                        item = item.id,
                        wanted = wanted.word(),
                        procedure = procedure.id
                    );
                    let finding =
                        read.at(PAGE.finding(headline), act.place, phrase!("touched here"), Some(step));
                    sink.push(finding.help(phrase!(
                        "write `skill: {wanted}`, which gates the page",
                        wanted = wanted.word()
                    )));
                }
            }
            if !procedure.skill.is_gated() {
                continue;
            }
            let skill = procedure.keys.get("skill").copied().unwrap_or(procedure.place);
            if !read.holds(&reading.words.maker) {
                let headline =
                    phrase!("`{procedure}` does not name the maker's instruction", procedure = procedure.id);
                let finding = read.at(PAGE.finding(headline), skill, phrase!("gated work"), None);
                sink.push(finding.help(phrase!(
                    "add a step with `{line}`",
                    line = "record: {ask: Maker's instruction and page}"
                )));
            }
            for step in procedure.steps() {
                let Some((time, Some(source), place)) = &step.wait else { continue };
                if source != "maker" {
                    let headline = phrase!(
                        "a wait of {time} in gated work comes from `{source}`",
                        time = time,
                        source = source
                    );
                    let finding =
                        read.at(PAGE.finding(headline), *place, phrase!("not the maker's"), Some(step));
                    sink.push(
                        finding
                            .label(span(skill), phrase!("gated here"))
                            .help(phrase!("the maker's time alone holds: `source: maker`")),
                    );
                }
            }
        }
    }
}
