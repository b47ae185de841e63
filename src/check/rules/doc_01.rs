//! DOC-01: id, revision, effective date, approver and applicability are present and legal.

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink};
use crate::model::Place;
use crate::phrase::{Phrase, phrase};

/// The rule DOC-01.
pub(super) struct Doc01;

static PAGE: Page = Page {
    code: Code("DOC-01"),
    severity: Severity::Error,
    rule: "id, revision, effective date, approver and applicability are present and legal",
    why: "Whoever finds a page on the floor must be able to tell whether it still holds, for which vehicle, and who said so.",
    source: "ISO 9001:2015, 7.5, and IEC/IEEE 82079-1 (both from memory)",
    fails: "id: lid\ntitle: Work on the lid\n# no revision, no applies-to",
    passes: "id: lid\ntitle: Work on the lid\napplies-to: [{vehicle: van}]\nrevision: {letter: A, effective: 2026-01-05, approved-by: Workshop lead, reason: First issue}",
};

impl Rule for Doc01 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for read in &reading.procedures {
            let procedure = read.procedure;
            let mut lacks = |headline: Phrase, place: Place, note: Phrase, help: Phrase| {
                sink.push(read.at(PAGE.finding(headline), place, note, None).help(help));
            };
            match &procedure.revision {
                None => lacks(
                    phrase!("`{procedure}` has no revision", procedure = procedure.id),
                    procedure.place,
                    phrase!("which issue is this?"),
                    phrase!(
                        "add `{line}`",
                        line = "revision: {letter: A, effective: 2026-01-05, approved-by: …, reason: First issue}"
                    ),
                ),
                Some(revision) => {
                    for (key, text) in [("approved-by", &revision.approved_by), ("reason", &revision.reason)]
                    {
                        if !text.chars().any(char::is_alphanumeric) {
                            let headline = phrase!(
                                "the revision of `{procedure}` has an empty `{key}`",
                                procedure = procedure.id,
                                key = key
                            );
                            lacks(
                                headline,
                                revision.place,
                                phrase!("nobody stands for it"),
                                phrase!("write who, and what changed"),
                            );
                        }
                    }
                }
            }
            if procedure.applies_to.is_empty() {
                let place = procedure.keys.get("applies-to").copied().unwrap_or(procedure.place);
                lacks(
                    phrase!("`{procedure}` does not say for which vehicle it is", procedure = procedure.id),
                    place,
                    phrase!("for which vehicle?"),
                    phrase!("add `{line}`", line = "applies-to: [{vehicle: …}]"),
                );
            }
        }
    }
}
