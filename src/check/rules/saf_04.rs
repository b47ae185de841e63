//! SAF-04: at most one danger or warning and two messages in all a step, those that come by themselves not counted.

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink};
use crate::model::{Message, Place, Store};
use crate::phrase::phrase;

/// The rule SAF-04.
pub(super) struct Saf04;

static PAGE: Page = Page {
    code: Code("SAF-04"),
    severity: Severity::Warning,
    rule: "at most one danger or warning and two messages in all a step, those that come by themselves not counted",
    why: "Three frames before one action are read as none.",
    source: "common practice: many messages hide the one that matters",
    fails: "messages: [battery-short, battery-gas, sharp-edge]",
    passes: "messages: [battery-short]        # and the gas is said at the step that takes off the cover",
};

impl Rule for Saf04 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for read in &reading.procedures {
            for step in read.procedure.steps() {
                let grave = |message: &&Message| matches!(word(reading, message), "danger" | "warning");
                let second = step.messages.iter().filter(grave).nth(1);
                let (message, headline) = match (step.messages.get(2), second) {
                    (Some(third), _) => (
                        third,
                        phrase!("{messages} messages stand before this step", messages = step.messages.len()),
                    ),
                    (None, Some(second)) => {
                        (second, phrase!("two messages of danger or warning stand before this step"))
                    }
                    (None, None) => continue,
                };
                let finding =
                    read.at(PAGE.finding(headline), place(message), phrase!("one too many"), Some(step));
                sink.push(
                    finding.help(phrase!("split the step, and give each part the message that is its own")),
                );
            }
        }
    }
}

fn word<'m>(reading: &'m Reading<'_>, message: &'m Message) -> &'m str {
    match message {
        Message::Full { word, .. } => word,
        Message::Hazard(id, _) => {
            let line = reading.worked.parsed().stores().get(Store::Hazards, id);
            line.and_then(|line| line.text("word")).unwrap_or_default()
        }
    }
}

fn place(message: &Message) -> Place {
    match message {
        Message::Full { place, .. } | Message::Hazard(_, place) => *place,
    }
}
