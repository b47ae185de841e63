//! SAF-03: a message holds no work step.

use crate::check::passage::{Passage, Role, Sentence, Word};
use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::words::Words;
use crate::finding::{Code, Finding, Severity, Sink};
use crate::model::{Figure, Message, Place, Store};
use crate::parse::span;
use crate::phrase::phrase;

/// The rule SAF-03.
pub(super) struct Saf03;

static PAGE: Page = Page {
    code: Code("SAF-03"),
    severity: Severity::Warning,
    rule: "a message holds no work step",
    why: "Half of the readers skip the frame, and with it the action that somebody hid in it.",
    source: "DOE-STD-1029-92: an action is never hidden inside a warning",
    fails: "avoid: Remove the fuse before the work",
    passes: "avoid: Keep tools clear of the other post       # and a step of its own takes the fuse out",
};

impl Rule for Saf03 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for line in reading.worked.parsed().stores().lines(Store::Hazards) {
            let Some((Figure::Text(avoid), _, place)) = line.figures.get("avoid") else { continue };
            let passage = Passage::line(reading.words, Role::Front, None, avoid, *place);
            for (finding, place, note) in hidden(reading, &passage) {
                sink.push(finding.at(span(place), note));
            }
        }
        for read in &reading.procedures {
            for step in read.procedure.steps() {
                for message in &step.messages {
                    let Message::Full { avoid, place, .. } = message else { continue };
                    let passage = Passage::line(reading.words, Role::Front, None, avoid, *place);
                    for (finding, _, note) in hidden(reading, &passage) {
                        sink.push(read.at(finding, *place, note, Some(step)));
                    }
                }
            }
        }
    }
}

/// The verb with which a sentence asks for work: its first word, or its last where a language's verbs end a demand
/// (`Sicherung vorher entfernen`). What tells to keep or to leave something is none, nor is what is told not to be done.
fn asked(words: &Words, passage: &Passage<'_>, sentence: &Sentence) -> Option<Word> {
    let all = passage.of_sentence(sentence);
    let first = all.first()?;
    let is_work = |word: &str| {
        let constrains = words.constraints.iter().any(|constraint| word.ends_with(*constraint));
        words.verbs.contains(word) && !constrains
    };
    if words.verbs.contains(passage.lower(first)) {
        return (!words.constraints.contains(passage.lower(first))).then_some(*first);
    }
    let last = all.last().filter(|_| words.verb_last)?;
    let one_clause = all.iter().all(|word| word.after != ',');
    let denies = !words.negative.find(&passage.lowers(sentence)).is_empty();
    // A noun in capitals is no verb.
    let small = passage.text(last).starts_with(char::is_lowercase);
    (one_clause && !denies && small && is_work(passage.lower(last))).then_some(*last)
}

/// What of a message is work: a verb that begins a sentence, or a figure to be kept.
fn hidden(reading: &Reading<'_>, passage: &Passage<'_>) -> Vec<(Finding, Place, &'static str)> {
    let mut found = Vec::new();
    for sentence in &passage.sentences {
        if let Some(word) = asked(reading.words, passage, sentence) {
            let headline = phrase!("a message asks for work: \"{words}\"", words = passage.text(&word));
            let finding = PAGE.finding(headline).help(reading.words.help("hidden-work", &[]));
            found.push((finding, passage.place(&word, &word), "a step of its own"));
        }
    }
    for number in &passage.numbers {
        if let (Some(quantity), Some((first, last))) = (&number.quantity, passage.words_of(number)) {
            let finding = PAGE.finding(phrase!("a message holds a figure, {quantity}", quantity = quantity));
            let finding = finding.help(reading.words.help("hidden-figure", &[]));
            found.push((finding, passage.place(first, last), "a figure"));
        }
    }
    found
}
