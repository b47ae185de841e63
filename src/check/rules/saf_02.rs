//! SAF-02: a message stands before the action.

use crate::check::passage::Role;
use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::signal::message;
use crate::check::words::Marks;
use crate::finding::{Code, Severity, Sink};
use crate::phrase::phrase;

/// The rule SAF-02.
pub(super) struct Saf02;

static PAGE: Page = Page {
    code: Code("SAF-02"),
    severity: Severity::Error,
    rule: "a message stands before the action",
    why: "Who reads that the nozzle stays hot has touched it already. A message under `messages` is printed before the step; one in the step's text comes after its first words.",
    source: "ANSI Z535.6 (from memory); DOE-STD-1029-92: cautions before steps",
    fails: "Shrink the sleeve from its middle.\nWarning: the nozzle stays hot.",
    passes: "messages: [hot-air]\n\nShrink the sleeve from its middle.",
};

impl Rule for Saf02 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for read in &reading.procedures {
            for passage in read
                .passages
                .iter()
                .filter(|passage| passage.role == Role::Step && passage.marks.any_of(Marks::SIGNAL))
            {
                for sentence in &passage.sentences {
                    let Some((first, last)) = message(reading.words, passage, sentence) else { continue };
                    let headline = phrase!(
                        "a message begins in the step's text: \"{words}\"",
                        words = passage.quote(&first, &last)
                    );
                    let finding = read.at(
                        PAGE.finding(headline),
                        passage.place(&first, &last),
                        phrase!("it comes too late here"),
                        passage.step,
                    );
                    sink.push(finding.help(phrase!(
                        "write it under `messages`, as a hazard of the stores or `{form}`",
                        form = "{word, hazard, consequence, avoid}"
                    )));
                }
            }
        }
    }
}
