//! STR-09: a timed step has a limit, a place to write it and what to do if it is missed.

use crate::check::reading::Read;
use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::words::{Marks, Words};
use crate::finding::{Code, Severity, Sink};
use crate::model::Step;
use crate::phrase::phrase;

/// The rule STR-09.
pub(super) struct Str09;

static PAGE: Page = Page {
    code: Code("STR-09"),
    severity: Severity::Warning,
    rule: "a timed step has a limit, a place to write it and what to do if it is missed",
    why: "A limit that nobody writes down is noticed when it has passed, and then nobody knows what still holds.",
    source: "DOE-STD-1029-92: time-dependent steps",
    fails: "within: {time: 10 min}",
    passes: "within: {time: 10 min, otherwise: step:mix-again}\nrecord: {ask: Time when the mixing began}",
};

impl Rule for Str09 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for read in &reading.procedures {
            for step in read.procedure.steps() {
                let Some((time, otherwise, place)) = &step.within else {
                    in_words(reading.words, read, step, sink);
                    continue;
                };
                if otherwise.is_none() {
                    let headline = phrase!(
                        "a step within {time} does not say what to do when that has passed",
                        time = time
                    );
                    let finding = read.at(PAGE.finding(headline), *place, phrase!("and if not?"), Some(step));
                    sink.push(finding.help(reading.words.help("limit-missed", &[])));
                }
                if step.record.is_empty() {
                    let headline =
                        phrase!("a step within {time} has no place to write the time", time = time);
                    let finding = read.at(PAGE.finding(headline), *place, phrase!("since when?"), Some(step));
                    sink.push(finding.help(reading.words.help("limit-record", &[])));
                }
            }
        }
    }
}

/// A limit that stands in the text alone.
fn in_words(words: &Words, read: &Read<'_>, step: &Step, sink: &mut Sink) {
    for passage in
        read.of_step(step).filter(|passage| passage.role.instructs() && passage.marks.any_of(Marks::WITHIN))
    {
        for sentence in &passage.sentences {
            let lowers = passage.lowers(sentence);
            let all = passage.of_sentence(sentence);
            for (at, length) in words.within.find(&lowers) {
                let figure = lowers
                    .get(at + length)
                    .is_some_and(|word| word.starts_with(|letter: char| letter.is_ascii_digit()));
                let unit = lowers.get(at + length + 1).copied().unwrap_or_default();
                let timed = figure && (words.is_time(unit) || matches!(unit, "s" | "min" | "h"));
                let (true, Some(first), Some(last)) = (timed, all.get(at), all.get(at + length + 1)) else {
                    continue;
                };
                let headline = phrase!(
                    "a limit stands in the text alone: \"{words}\"",
                    words = passage.quote(first, last)
                );
                let finding = read.at(
                    PAGE.finding(headline),
                    passage.place(first, last),
                    phrase!("a timed step"),
                    Some(step),
                );
                sink.push(finding.help(words.help("limit-in-words", &[])));
            }
        }
    }
}
