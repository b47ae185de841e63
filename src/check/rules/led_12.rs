//! LED-12: what holds a panel comes out before it and goes in after it.

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::say::faults;
use crate::finding::{Code, Severity, Sink};
use crate::ledger::Fault;

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
                    let headline =
                        format!("{} is taken off while {} still hold it", said.name(panel), said.name(by));
                    said.at(PAGE.finding(headline), *place, *leg, "taken off here")
                        .help(format!("add `- remove: {by}` before it"))
                }
                Fault::TooEarly { panel, by, place, leg, trail } => {
                    let headline = format!("{} go in before {} is back", said.name(by), said.name(panel));
                    let finding = said.at(PAGE.finding(headline), *place, *leg, "too early here");
                    said.history(finding, trail, None).help(format!("add `- put-back: {panel}` before it"))
                }
                _ => continue,
            };
            sink.push(finding);
        }
    }
}
