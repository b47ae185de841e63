//! LED-01: every fastener removed is refitted or renewed, and tightened; every panel taken off is put back or renewed; counts agree

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::say::left_open;
use crate::finding::{Code, Severity, Sink};
use crate::model::Kind;

/// The rule LED-01.
pub(super) struct Led01;

static PAGE: Page = Page {
    code: Code("LED-01"),
    severity: Severity::Error,
    rule: "every fastener removed is refitted or renewed, and tightened; every panel taken off is put back or renewed; counts agree",
    why: "A screw that is refitted but not tightened looks finished. Omission is about half of what goes wrong in maintenance, and most of it in reassembly.",
    source: "common practice; Reason, omissions in maintenance (from memory)",
    fails: "- remove: lining-screws\n- refit: lining-screws",
    passes: "- remove: lining-screws\n- refit: lining-screws\n- tighten: lining-screws",
};

impl Rule for Led01 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        left_open(reading.worked, &PAGE, |kind| kind.is_fastening() || kind == Kind::Panel, sink);
    }
}
