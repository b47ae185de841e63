//! VAL-06: a working refuses inputs outside its limits.

use super::doc_03::pieces;
use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink};
use crate::model::{Place, Procedure, Reference, Run};
use crate::parse::{Seen, span};
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
        for procedure in reading.worked.parsed.procedures.values() {
            for (step, piece) in pieces(procedure) {
                for seen in Seen::all(piece) {
                    used(reading.worked, procedure, step, &seen.reference, seen.place, sink);
                }
            }
            for step in procedure.steps() {
                for used_line in step.consumables.iter().chain(&step.parts) {
                    let Some((Run::Value(reference), place)) = &used_line.quantity else { continue };
                    used(reading.worked, procedure, Some(&step.id), reference, *place, sink);
                    if let Err(lost) = reading.worked.resolve(Scope::Procedure(&procedure.id), reference) {
                        sink.push(
                            PAGE.finding(lost.message)
                                .at(span(*place), "leads nowhere")
                                .help_if(lost.help)
                                .in_procedure(&procedure.id)
                                .in_step(&step.id),
                        );
                    }
                }
            }
        }
    }
}

fn used(
    worked: &Worked,
    procedure: &Procedure,
    step: Option<&str>,
    reference: &Reference,
    place: Place,
    sink: &mut Sink,
) {
    let reason = match worked.resolve(Scope::Procedure(&procedure.id), reference) {
        // A written value's refusal is reported where it is written.
        Ok(Resolved::Refused(_, value, reason)) if !value.written => reason,
        Ok(Resolved::Cell(.., Err(reason))) => reason.clone(),
        _ => return,
    };
    let mut finding = PAGE
        .finding(format!("`{reference}` has no figure: {reason}"))
        .at(span(place), "used here")
        .in_procedure(&procedure.id);
    if let Some(step) = step {
        finding = finding.in_step(step);
    }
    sink.push(finding);
}
