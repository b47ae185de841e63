//! CLO-01: the last stage is the close-out, with at least one check that measures and accepts.

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink};
use crate::model::Check;
use crate::parse::span;
use crate::phrase::phrase;
use crate::work::Leg;

/// The rule CLO-01.
pub(super) struct Clo01;

static PAGE: Page = Page {
    code: Code("CLO-01"),
    severity: Severity::Error,
    rule: "the last stage is the close-out, with at least one check that measures and accepts",
    why: "A job that ends with \"works\" ends with an opinion; the count of parts and tools is added to what is measured here.",
    source: "DOE-STD-1029-92 (from memory)",
    fails: "## Close-out {#close-out}\n\n### Look at the lamp\n…\ncheck: The lamp shines",
    passes: "## Close-out {#close-out}\n\n### Measure the supply at the lamp\n…\ncheck: {measure: Drop under load, accept: 0 V to 0.5 V, otherwise: step:join}",
};

impl Rule for Clo01 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn of_the_whole(&self) -> bool {
        true
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for read in &reading.procedures {
            let Some(last) = read.procedure.stages.last() else { continue };
            let early = read.procedure.stages.iter().rev().skip(1).find(|stage| stage.id == "close-out");
            if let Some(stage) = early {
                let headline = phrase!("the close-out is not the last stage");
                let finding = read.at(PAGE.finding(headline), stage.place, phrase!("it stands here"), None);
                sink.push(
                    finding
                        .label(span(last.place), phrase!("and this comes after it"))
                        .help(phrase!("move it to the end")),
                );
            }
            let procedures = reading.worked.parsed().procedures();
            let measures = |leg: &Leg| {
                let step = procedures.get(&leg.procedure).and_then(|known| known.step(&leg.step));
                step.is_some_and(|step| matches!(step.check, Some(Check::Measured { .. })))
            };
            let mut legs = read.known.route.legs.iter();
            let inside = |leg: &&Leg| last.steps.iter().any(|step| step.id == leg.top);
            if !legs.by_ref().filter(inside).any(measures) {
                let headline = phrase!(
                    "the last stage of `{procedure}` measures nothing",
                    procedure = read.procedure.id
                );
                let finding = read.at(PAGE.finding(headline), last.place, phrase!("the close-out"), None);
                sink.push(finding.help(phrase!(
                    "add a step with `{line}`",
                    line = "check: {measure: …, accept: … to …, otherwise: step:…}"
                )));
            }
        }
    }
}
