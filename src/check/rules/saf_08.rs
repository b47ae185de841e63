//! SAF-08: a wait has a value and a source; the tool has no default.

use crate::check::passage::{Passage, Sentence, Word};
use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::words::{Marks, Words};
use crate::finding::{Code, Severity, Sink};
use crate::phrase::{Phrase, phrase};

/// The rule SAF-08.
pub(super) struct Saf08;

static PAGE: Page = Page {
    code: Code("SAF-08"),
    severity: Severity::Error,
    rule: "a wait has a value and a source; the tool has no default",
    why: "How long a unit holds its charge is known to its maker alone. A round figure from memory is a guess with somebody's hands in it.",
    source: "HSE guidance on air bags (from memory): the maker says how long",
    fails: "wait: {time: 10 min}",
    passes: "wait: {time: 10 min, source: maker}",
};

impl Rule for Saf08 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for read in &reading.procedures {
            for step in read.procedure.steps() {
                if let Some((time, source, place)) = &step.wait {
                    let named =
                        source.as_ref().is_some_and(|source| source.chars().any(char::is_alphanumeric));
                    if !named {
                        let headline =
                            phrase!("a wait of {time} does not say where it comes from", time = time);
                        let finding =
                            read.at(PAGE.finding(headline), *place, phrase!("no source"), Some(step));
                        sink.push(finding.help(phrase!("add `source: maker`, or the document that says so")));
                    }
                    continue;
                }
                for passage in read
                    .of_step(step)
                    .filter(|passage| passage.role.instructs() && passage.marks.any_of(Marks::WAITING))
                {
                    for sentence in &passage.sentences {
                        if let Some((first, last, headline)) = in_words(reading.words, passage, sentence) {
                            let place = passage.place(&first, &last);
                            let finding = read.at(
                                PAGE.finding(headline),
                                place,
                                phrase!("a wait in words"),
                                Some(step),
                            );
                            sink.push(finding.help(phrase!(
                                "write `{line}` in the step's block",
                                line = "wait: {time: … min, source: …}"
                            )));
                        }
                    }
                }
            }
        }
    }
}

/// A sentence that tells to wait for a time, or for nothing that is said.
fn in_words(words: &Words, passage: &Passage<'_>, sentence: &Sentence) -> Option<(Word, Word, Phrase)> {
    let all = passage.of_sentence(sentence);
    let lowers = passage.lowers(sentence);
    let (first, last) = (*all.first()?, *all.last()?);
    let begins = words.waiting.contains(lowers.first()?);
    let ends = words.verb_last && words.waiting.contains(lowers.last()?);
    if !begins && !ends {
        return None;
    }
    let timed = all.iter().enumerate().find(|(at, word)| {
        let figure = passage.text(word).starts_with(|letter: char| letter.is_ascii_digit());
        let unit = lowers.get(at + 1).copied().unwrap_or_default();
        figure && (words.is_time(unit) || matches!(unit, "s" | "min" | "h"))
    });
    if let Some((at, figure)) = timed {
        let unit = *all.get(at + 1)?;
        let (from, to) = if begins { (first, unit) } else { (*figure, last) };
        return Some((from, to, phrase!("\"{words}\" has no source", words = passage.quote(&from, &to))));
    }
    // `Allow`, `let` and the like tell of more than waiting.
    let waits = lowers.first().is_some_and(|word| WAIT.iter().any(|stem| word.starts_with(stem)));
    let until =
        |word: &&str| words.until.contains(word) || words.saying.contains(word) || word.starts_with("jusqu");
    let span = first.start..=last.end;
    let referred = passage.seen.iter().any(|seen| span.contains(&seen.place.start));
    if waits && !lowers.iter().any(until) && !referred && all.len() < 4 {
        return Some((first, last, phrase!("a wait without a time")));
    }
    None
}

/// What begins the words for waiting, in the languages of a manual.
const WAIT: [&str; 5] = ["wait", "wacht", "wart", "attend", "esper"];
