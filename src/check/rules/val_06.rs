//! VAL-06: a working refuses inputs outside its limits.

use crate::check::reading::{Read, Reading};
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink};
use crate::model::{Acceptance, Amount, Check, Place, Reference, Scheme, Step};
use crate::phrase::phrase;
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
                let uses = step.consumables.iter().chain(&step.parts);
                for (run, place) in uses.filter_map(|line| line.quantity.as_ref()) {
                    amount(worked, read, step, run, *place, sink);
                }
                if let Some(Check::Measured { accept, .. }) = &step.check {
                    limits(worked, read, step, accept, sink);
                }
            }
        }
    }
}

/// A quantity that a value gives leads to a number.
fn amount(worked: &Worked, read: &Read<'_>, step: &Step, run: &Amount, place: Place, sink: &mut Sink) {
    let Amount::Value(reference) = run else { return };
    used(worked, read, Some(step), reference, place, sink);
    let finding = match worked.resolve(Scope::Procedure(&read.procedure.id), reference) {
        // What could not be read may be what is meant.
        Err(_) if worked.parsed().lost().shared => return,
        Err(lost) => PAGE.finding(lost.message).help_if(lost.help),
        Ok(Resolved::Refused(..) | Resolved::Cell(.., Err(_))) => return,
        Ok(_) if worked.amount(Scope::Procedure(&read.procedure.id), run).is_some() => return,
        Ok(_) => PAGE.finding(phrase!(
            "`{reference}` is no number, and a quantity is wanted",
            reference = reference.to_string()
        )),
    };
    sink.push(read.at(finding, place, phrase!("used here"), Some(step)));
}

/// The limits of a check are numbers of one kind, the least not above the greatest.
fn limits(worked: &Worked, read: &Read<'_>, step: &Step, accept: &Acceptance, sink: &mut Sink) {
    for run in accept.limits() {
        amount(worked, read, step, run, accept.place, sink);
    }
    let scope = Scope::Procedure(&read.procedure.id);
    let known = |run: &Option<Amount>| run.as_ref().and_then(|run| worked.amount(scope, run));
    let (Some(least), Some(greatest)) = (known(&accept.least), known(&accept.greatest)) else { return };
    let headline = match greatest.in_unit(least.unit) {
        Err(_) => {
            phrase!("the limits {least} and {greatest} do not compare", least = least, greatest = greatest)
        }
        Ok(value) if value < least.value => phrase!(
            "the least, {least}, is above the greatest, {greatest}",
            least = least,
            greatest = greatest
        ),
        Ok(_) => return,
    };
    sink.push(read.at(
        PAGE.finding(headline),
        accept.place,
        phrase!("no reading lies between them"),
        Some(step),
    ));
}

fn used(
    worked: &Worked,
    read: &Read<'_>,
    step: Option<&Step>,
    reference: &Reference,
    place: Place,
    sink: &mut Sink,
) {
    // Only these two lead to figures; what else leads nowhere is told by another rule, and looking for it costs.
    if !matches!(reference.scheme, Scheme::Value | Scheme::Table) {
        return;
    }
    let reason = match worked.resolve(Scope::Procedure(&read.procedure.id), reference) {
        // A written value's refusal is reported where it is written.
        Ok(Resolved::Refused(_, value, reason)) if !value.written => reason,
        Ok(Resolved::Cell(.., Err(reason))) => reason.clone(),
        _ => return,
    };
    let finding = PAGE.finding(phrase!(
        "`{reference}` has no figure: {reason}",
        reference = reference.to_string(),
        reason = reason
    ));
    sink.push(read.at(finding, place, phrase!("used here"), step));
}
