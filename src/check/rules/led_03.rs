//! LED-03: every energy isolated is proved off before what needs it off, and restored

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::say::{faults, left_open};
use crate::finding::{Code, Severity, Sink};
use crate::ledger::Fault;
use crate::model::{Kind, State};
use crate::phrase::phrase;
use crate::work::Worked;

/// The rule LED-03.
pub(super) struct Led03;

static PAGE: Page = Page {
    code: Code("LED-03"),
    severity: Severity::Error,
    rule: "every energy isolated is proved off before what needs it off, and restored",
    why: "A supply that was switched off and not proved off may still be on: a second battery, a charger, the wrong terminal.",
    source: "common practice; Electricity at Work guidance, prove dead before touch (from memory)",
    fails: "- isolate: supply\n- unplug: lamp-plug",
    passes: "- isolate: supply\n- secure: supply\n- prove-off: supply\n- unplug: lamp-plug",
};

impl Rule for Led03 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        left_open(reading.worked, &PAGE, |kind| kind == Kind::Energy, sink);
        check_off(reading.worked, sink);
    }
}

/// What needs an energy off comes after it is proved off.
fn check_off(worked: &Worked, sink: &mut Sink) {
    for said in faults(worked) {
        let Fault::NotOff { energy, state, verb, place, leg, trail } = said.fault else { continue };
        // What is not even isolated is SAF-07's.
        if *state == State::On {
            continue;
        }
        let headline = phrase!(
            "{energy} is `{state}` and not proved off when {step} does `{verb}`",
            energy = said.name(energy),
            state = state.word(),
            step = said.step(*leg),
            verb = verb.word()
        );
        let finding = said.needs_off(PAGE.finding(headline), *place, *leg, trail);
        sink.push(finding.help(phrase!(
            "add `- prove-off: {energy}` before it, or say `needs-off: []` where it needs none",
            energy = energy
        )));
    }
}
