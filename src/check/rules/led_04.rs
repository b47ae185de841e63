//! LED-04: every cut conductor ends joined, insulated and tested, new and tested, or capped

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::say::left_open;
use crate::finding::{Code, Severity, Sink};
use crate::model::Kind;

/// The rule LED-04.
pub(super) struct Led04;

static PAGE: Page = Page {
    code: Code("LED-04"),
    severity: Severity::Error,
    rule: "every cut conductor ends joined, insulated and tested, new and tested, or capped",
    why: "An end left bare can touch metal years later. One wire left uncut and uncovered was behind the Clapham Junction collision of 1988.",
    source: "Clapham Junction inquiry (1989), as reported in Rail UK, 2018-12-05",
    fails: "- cut: tail-feed\n- sleeve-on: tail-feed\n- join: tail-feed",
    passes: "- cut: tail-feed\n- sleeve-on: tail-feed\n- join: tail-feed\n- look-over: tail-feed\n- shrink: tail-feed\n- test: tail-feed",
};

impl Rule for Led04 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        left_open(reading.worked, &PAGE, |kind| kind == Kind::Conductor, sink);
    }
}
