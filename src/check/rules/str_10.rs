//! STR-10: every branch target exists, and every path reaches the close-out.

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink, nearest};
use crate::model::{Check, Place, Procedure, Turn};
use crate::parse::span;
use crate::phrase::phrase;

/// The rule STR-10.
pub(super) struct Str10;

static PAGE: Page = Page {
    code: Code("STR-10"),
    severity: Severity::Error,
    rule: "every branch target exists, and every path reaches the close-out",
    why: "A branch to nowhere leaves a technician standing at an open vehicle.",
    source: "common practice",
    fails: "choose:\n  - {when: The wire is whole, then: step:no-such-step}",
    passes: "choose:\n  - {when: The wire is whole, then: step:close-the-pillar}",
};

impl Rule for Str10 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn of_the_whole(&self) -> bool {
        true
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for procedure in reading.worked.parsed().procedures().values() {
            for step in procedure.steps() {
                for choice in &step.choose {
                    target(procedure, &step.id, Some(&choice.then), choice.place, sink);
                }
                if let Some(Check::Measured { otherwise: Some((otherwise, place)), .. }) = &step.check {
                    target(procedure, &step.id, otherwise.turn(), *place, sink);
                }
                if let Some((_, Some(otherwise), place)) = &step.within {
                    target(procedure, &step.id, otherwise.turn(), *place, sink);
                }
            }
        }
    }
}

fn target(procedure: &Procedure, step: &str, turn: Option<&Turn>, place: Place, sink: &mut Sink) {
    let Some(id) = turn.and_then(Turn::step).filter(|id| procedure.step(id).is_none()) else { return };
    let near = nearest(id, procedure.steps().map(|step| step.id.as_str()));
    sink.push(
        PAGE.finding(phrase!(
            "`{procedure}` has no step `{id}` to branch to",
            procedure = procedure.id,
            id = id
        ))
        .at(span(place), phrase!("no such step"))
        .help_if(near.map(|near| phrase!("write `step:{near}`", near = near)))
        .in_procedure(&procedure.id)
        .in_step(step),
    );
}
