//! SAF-07: isolation comes before the first contact that needs it.

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::say::faults;
use crate::finding::{Code, Severity, Sink};
use crate::ledger::Fault;
use crate::model::State;
use crate::phrase::phrase;

/// The rule SAF-07.
pub(super) struct Saf07;

static PAGE: Page = Page {
    code: Code("SAF-07"),
    severity: Severity::Error,
    rule: "isolation comes before the first contact that needs it",
    why: "A plug pulled under power draws an arc; a cutter across a live wire makes a short.",
    source: "HSE guidance on isolation (from memory)",
    fails: "- unplug: lamp-plug\n…\n- isolate: supply",
    passes: "- isolate: supply\n- secure: supply\n- prove-off: supply\n…\n- unplug: lamp-plug",
};

impl Rule for Saf07 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for said in faults(reading.worked) {
            let Fault::NotOff { energy, state: State::On, verb, place, leg, trail } = said.fault else {
                continue;
            };
            let headline = phrase!(
                "{energy} is on when {step} does `{verb}`",
                energy = said.name(energy),
                step = said.step(*leg),
                verb = verb.word()
            );
            let finding = said.needs_off(PAGE.finding(headline), *place, *leg, trail);
            sink.push(finding.help(phrase!(
                "isolate `{energy}` before it, and prove it off; or say `needs-off: []` where it needs none",
                energy = energy
            )));
        }
    }
}
