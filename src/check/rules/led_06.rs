//! LED-06: every aid placed is taken away

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::say::faults;
use crate::finding::{Code, Severity, Sink};
use crate::ledger::Fault;
use crate::model::Kind;

/// The rule LED-06.
pub(super) struct Led06;

static PAGE: Page = Page {
    code: Code("LED-06"),
    severity: Severity::Error,
    rule: "every aid placed is taken away",
    why: "Chocks, covers and test leads left behind hurt the next person, or drain the battery.",
    source: "common practice",
    fails: "- place: wing-cover",
    passes: "- place: wing-cover\n…\n- take-away: wing-cover",
};

impl Rule for Led06 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for said in faults(reading.worked) {
            let open = matches!(said.fault, Fault::Open { .. } | Fault::NotLeft { .. });
            let kind = said.item().map(|item| item.kind);
            if open && kind.is_some_and(|kind| kind == Kind::Aid) {
                said.open(|headline| PAGE.finding(headline))
                    .into_iter()
                    .for_each(|finding| sink.push(finding));
            }
        }
    }
}
