//! VAL-06: a working refuses inputs outside its limits.

use crate::check::reading::{Read, Reading};
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink};
use crate::model::{Place, Reference, Run, Step};
use crate::work::{Resolved, Scope, Worked};

/// The rule VAL-06. What a working refuses is reported where it is worked; this looks at what uses a value
/// or a cell that has no figure.
pub(super) struct Val06;

static PAGE: Page = Page {
    code: Code("VAL-06"),
    severity: Severity::Error,
    rule: "a working refuses inputs outside its limits, and nothing uses a value that was refused",
    why: "A figure that does not hold is worse than none: no data means no number.",
    source: "common practice",
    fails: "Cut it to <table:sleeve-chart/loom-250.cut-length>.   # where none fits",
    passes: "Cut it to <table:sleeve-chart/loom-075.cut-length>.",
};

impl Rule for Val06 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        let worked = reading.worked;
        for read in &reading.procedures {
            for passage in &read.passages {
                for seen in &passage.seen {
                    used(worked, read, passage.step, &seen.reference, seen.place, sink);
                }
            }
            for step in read.procedure.steps() {
                for line in step.consumables.iter().chain(&step.parts) {
                    let Some((Run::Value(reference), place)) = &line.quantity else { continue };
                    used(worked, read, Some(step), reference, *place, sink);
                    if let Err(lost) = worked.resolve(Scope::Procedure(&read.procedure.id), reference) {
                        let finding = PAGE.finding(lost.message).help_if(lost.help);
                        sink.push(read.at(finding, *place, "leads nowhere", Some(step)));
                    }
                }
            }
        }
    }
}

fn used(
    worked: &Worked,
    read: &Read<'_>,
    step: Option<&Step>,
    reference: &Reference,
    place: Place,
    sink: &mut Sink,
) {
    let reason = match worked.resolve(Scope::Procedure(&read.procedure.id), reference) {
        // A written value's refusal is reported where it is written.
        Ok(Resolved::Refused(_, value, reason)) if !value.written => reason.to_string(),
        Ok(Resolved::Cell(.., Err(reason))) => reason.to_string(),
        _ => return,
    };
    let finding = PAGE.finding(format!("`{reference}` has no figure: {reason}"));
    sink.push(read.at(finding, place, "used here", step));
}
