//! LED-06: every aid placed is taken away

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::say::left_open;
use crate::finding::{Code, Severity, Sink};
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
        left_open(reading.worked, &PAGE, |kind| kind == Kind::Aid, sink);
    }
}
