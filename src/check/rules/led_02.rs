//! LED-02: every connector unplugged is plugged in again, with a check that its lock has engaged

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::say::left_open;
use crate::finding::{Code, Severity, Sink};
use crate::model::{Act, Kind};
use crate::parse::span;
use crate::phrase::phrase;
use crate::work::Worked;

/// The rule LED-02.
pub(super) struct Led02;

static PAGE: Page = Page {
    code: Code("LED-02"),
    severity: Severity::Error,
    rule: "every connector unplugged is plugged in again, with a check that its lock has engaged",
    why: "A connector that is pushed home but not locked makes contact today and loses it on the road.",
    source: "common practice",
    fails: "- unplug: lamp-plug",
    passes: "- unplug: lamp-plug\n…\n- plug-in: lamp-plug   # in a step with a check",
};

impl Rule for Led02 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        left_open(reading.worked, &PAGE, |kind| kind == Kind::Connector, sink);
        check_locks(reading.worked, sink);
    }
}

/// A step that plugs in says how to see that the lock has engaged.
fn check_locks(worked: &Worked, sink: &mut Sink) {
    for (id, procedure) in worked.parsed().procedures() {
        let Some(known) = worked.procedures().get(id) else { continue };
        for step in procedure.steps().filter(|step| step.check.is_none()) {
            let plugs_in = |act: &&Act| {
                let item = known.items.get(&act.item).filter(|item| item.kind() == Kind::Connector);
                item.is_some_and(|item| item.life().closes(act.verb))
            };
            let Some(act) = known.route.acts(&step.id).iter().find(plugs_in) else { continue };
            let headline =
                phrase!("`{item}` is plugged in without a check that its lock has engaged", item = act.item);
            sink.push(
                PAGE.finding(headline)
                    .at(span(act.place), phrase!("plugged in here"))
                    .help(phrase!("add a line such as `check: The lock has engaged`"))
                    .in_procedure(id)
                    .in_step(&step.id),
            );
        }
    }
}
