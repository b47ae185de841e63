//! SAF-05: the same message on three steps in a row belongs to the stage.

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink};
use crate::model::{Message, Place, Step};
use crate::phrase::phrase;

/// The rule SAF-05.
pub(super) struct Saf05;

static PAGE: Page = Page {
    code: Code("SAF-05"),
    severity: Severity::Advice,
    rule: "the same message on three steps in a row belongs to the stage",
    why: "What is said at every step is heard at none.",
    source: "ANSI Z535.6, section messages (from memory)",
    fails: "### Remove the screws      # messages: [sharp-edge]\n### Take off the cover     # messages: [sharp-edge]\n### Unplug the lamp        # messages: [sharp-edge]",
    passes: "### Remove the screws      # messages: [sharp-edge]\n### Take off the cover\n### Unplug the lamp",
};

impl Rule for Saf05 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for read in &reading.procedures {
            for stage in &read.procedure.stages {
                for three in stage.steps.windows(3) {
                    let [first, second, third] = three else { continue };
                    for (id, place) in hazards(third) {
                        let before = |step: &Step| hazards(step).any(|(known, _)| known == id);
                        if before(first) && before(second) {
                            let headline = phrase!("`{id}` is said at three steps in a row", id = id);
                            let finding = read.at(
                                PAGE.finding(headline),
                                place,
                                phrase!("the third time"),
                                Some(third),
                            );
                            sink.push(finding.help(phrase!("say it at `{id}` alone, and in the text of the stage that it holds throughout", id = first.id)));
                        }
                    }
                }
            }
        }
    }
}

fn hazards(step: &Step) -> impl Iterator<Item = (&str, Place)> {
    step.messages.iter().filter_map(|message| match message {
        Message::Hazard(id, place) => Some((id.as_str(), *place)),
        Message::Full { .. } => None,
    })
}
