//! LED-12: what holds a panel comes out before it and goes in after it.

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::say::faults;
use crate::finding::{Code, Severity, Sink};
use crate::ledger::Fault;
use crate::phrase::phrase;

/// The rule LED-12.
pub(super) struct Led12;

static PAGE: Page = Page {
    code: Code("LED-12"),
    severity: Severity::Error,
    rule: "what holds a panel comes out before it and goes in after it",
    why: "A panel pulled against a forgotten screw breaks; a screw driven before its panel holds nothing.",
    source: "common practice",
    fails: "- take-off: door-lining\n- remove: lining-screws",
    passes: "- remove: lining-screws\n- take-off: door-lining",
};

impl Rule for Led12 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for said in faults(reading.worked) {
            let finding = match said.fault {
                Fault::Held { panel, by, place, leg } => {
                    let headline = phrase!(
                        "{panel} is taken off while {by} still hold it",
                        panel = said.name(panel),
                        by = said.name(by)
                    );
                    said.at(PAGE.finding(headline), *place, *leg, phrase!("taken off here"))
                        .help(phrase!("add `- remove: {by}` before it", by = by))
                }
                Fault::TooEarly { panel, by, place, leg, trail } => {
                    let headline = phrase!(
                        "{by} go in before {panel} is back",
                        by = said.name(by),
                        panel = said.name(panel)
                    );
                    let finding = said.at(PAGE.finding(headline), *place, *leg, phrase!("too early here"));
                    said.history(finding, trail, None)
                        .help(phrase!("add `- put-back: {panel}` before it", panel = panel))
                }
                _ => continue,
            };
            sink.push(finding);
        }
    }
}
