//! LED-05: what a panel hides is touched only while that panel is off.

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::say::faults;
use crate::finding::{Code, Severity, Sink};
use crate::ledger::Fault;
use crate::phrase::phrase;

/// The rule LED-05.
pub(super) struct Led05;

static PAGE: Page = Page {
    code: Code("LED-05"),
    severity: Severity::Error,
    rule: "what a panel hides is touched only while that panel is off",
    why: "A step that cannot be reached is done late, or left out; a panel that goes back too early comes off a second time.",
    source: "common practice",
    fails: "- put-back: door-lining\n- plug-in: lamp-plug",
    passes: "- plug-in: lamp-plug\n- put-back: door-lining",
};

impl Rule for Led05 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for said in faults(reading.worked) {
            let Fault::Hidden { item, panel, place, leg, trail } = said.fault else { continue };
            let headline = phrase!(
                "{item} is touched behind {panel}, which is on",
                item = said.name(item),
                panel = said.name(panel)
            );
            let finding = said.at(PAGE.finding(headline), *place, *leg, phrase!("touched here"));
            sink.push(said.history(finding, trail, None).help(phrase!(
                "move this step to where `{panel}` is off, or take `{item}` out of its `hides`",
                panel = panel,
                item = item
            )));
        }
    }
}
