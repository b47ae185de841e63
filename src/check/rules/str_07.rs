//! STR-07: at most ten steps a stage.

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink};
use crate::parse::span;
use crate::phrase::phrase;

/// The rule STR-07.
pub(super) struct Str07;

static PAGE: Page = Page {
    code: Code("STR-07"),
    severity: Severity::Advice,
    rule: "at most ten steps a stage",
    why: "A stage is what fits into one stretch of attention, and where a job can be left for the night.",
    source: "common practice",
    fails: "## Strip out      # with eleven steps",
    passes: "## Open up\n…\n## Strip out",
};

impl Rule for Str07 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for read in &reading.procedures {
            for stage in &read.procedure.stages {
                if let Some(step) = stage.steps.get(MOST) {
                    let headline = phrase!(
                        "the stage \"{stage}\" has {steps} steps",
                        stage = stage.title,
                        steps = stage.steps.len()
                    );
                    let finding =
                        read.at(PAGE.finding(headline), step.place, phrase!("the eleventh"), Some(step));
                    sink.push(
                        finding
                            .label(span(stage.place), phrase!("the stage"))
                            .help(reading.words.help("long-stage", &[])),
                    );
                }
            }
        }
    }
}

const MOST: usize = 10;
