//! SAF-01: a message names hazard, consequence and avoidance.

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::words::Words;
use crate::finding::{Code, Finding, Severity, Sink};
use crate::model::{Message, Store};
use crate::parse::span;
use crate::phrase::{Phrase, phrase};

/// The rule SAF-01.
pub(super) struct Saf01;

static PAGE: Page = Page {
    code: Code("SAF-01"),
    severity: Severity::Error,
    rule: "a message names hazard, consequence and avoidance",
    why: "\"Be careful\" warns of nothing. People heed what says what hurts, how, and what to do about it.",
    source: "ANSI Z535.6 (from memory)",
    fails: "messages: [{word: warning, hazard: Hot air, consequence: \"-\", avoid: Be careful}]",
    passes: "messages: [{word: warning, hazard: Hot air, consequence: Burns skin, avoid: Keep the nozzle off trim}]",
};

impl Rule for Saf01 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for line in reading.worked.parsed().stores().lines(Store::Hazards) {
            let text = |key: &str| line.text(key).unwrap_or_default();
            let lacking = lacking(reading.words, text("hazard"), text("consequence"), text("avoid"));
            if let Some((key, said)) = lacking {
                let place = line.figures.get(key).map_or(line.place, |(_, _, place)| *place);
                let finding = told(&phrase!("the hazard `{line}`", line = line.id), key, &said);
                sink.push(finding.at(span(place), phrase!("says nothing")));
            }
        }
        for read in &reading.procedures {
            for step in read.procedure.steps() {
                for message in &step.messages {
                    let Message::Full { hazard, consequence, avoid, place, .. } = message else { continue };
                    if let Some((key, said)) = lacking(reading.words, hazard, consequence, avoid) {
                        sink.push(read.at(
                            told(&phrase!("this message"), key, &said),
                            *place,
                            "this message",
                            Some(step),
                        ));
                    }
                }
            }
        }
    }
}

fn told(what: &Phrase, key: &str, said: &str) -> Finding {
    let headline = phrase!("{what} names no `{key}`: \"{said}\"", what = what, key = key, said = said);
    PAGE.finding(headline).help(match key {
        "hazard" => phrase!("write under `hazard` what can hurt"),
        "consequence" => phrase!("write under `consequence` what it does to people or things"),
        _ => phrase!("write under `avoid` what keeps it from happening"),
    })
}

/// The first part that names nothing, and what it says instead.
fn lacking(words: &Words, hazard: &str, consequence: &str, avoid: &str) -> Option<(&'static str, String)> {
    let parts = [("hazard", hazard), ("consequence", consequence), ("avoid", avoid)];
    for (key, said) in parts {
        let twin = parts.iter().any(|(other, text)| *other < key && *text == said);
        let lower = said.to_lowercase();
        let spoken: Vec<&str> =
            lower.split_whitespace().map(|word| word.trim_matches(['.', '!', ','])).collect();
        let vague = words.vague.starts(&spoken) == Some(spoken.len());
        if twin || vague || !said.chars().any(char::is_alphabetic) {
            return Some((key, said.trim().to_owned()));
        }
    }
    None
}
