//! STR-06: one word for one thing, from the shop's `words.yaml`.

use crate::check::passage::{Passage, Word};
use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::words::Words;
use crate::finding::{Code, Severity, Sink};
use crate::model::{Line, Store};
use crate::parse::span;
use crate::phrase::phrase;
use std::collections::BTreeMap;

/// The rule STR-06.
pub(super) struct Str06;

static PAGE: Page = Page {
    code: Code("STR-06"),
    severity: Severity::Warning,
    rule: "one word for one thing, from the shop's `words.yaml`",
    why: "Two names for one part send people to look for two parts.",
    source: "ASD-STE100 as reported by third parties: one word, one meaning; the list is the shop's own",
    fails: "Disconnect the lamp.     # words.yaml: unplug: {avoid: [disconnect]}",
    passes: "Unplug the lamp.",
};

impl Rule for Str06 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        let avoided = avoided(reading);
        if avoided.is_empty() {
            return;
        }
        for read in &reading.procedures {
            for passage in &read.passages {
                for sentence in &passage.sentences {
                    let all = passage.of_sentence(sentence);
                    for (at, word) in all.iter().enumerate() {
                        let lower = passage.lower(word);
                        let Some(known) = lower.chars().next().and_then(|letter| avoided.get(&letter)) else {
                            continue;
                        };
                        let found = known.iter().find(|one| one.stands(reading.words, passage, all, at));
                        let Some(one) = found else { continue };
                        let Some(last) = all.get(at + one.words.len() - 1) else { continue };
                        let headline = phrase!(
                            "the shop's word for \"{words}\" is `{line}`",
                            words = passage.quote(word, last),
                            line = one.line.id
                        );
                        let finding = read.at(
                            PAGE.finding(headline),
                            passage.place(word, last),
                            phrase!("another word"),
                            passage.step,
                        );
                        sink.push(finding.label(span(one.line.place), phrase!("the shop's word")).help(
                            reading.words.help("shop-word", &[("word", &one.line.id.replace('-', " "))]),
                        ));
                    }
                }
            }
        }
    }
}

/// A wording that the shop avoids, and the line that says what it writes instead.
struct Avoided<'s> {
    words: Vec<String>,
    line: &'s Line,
}

impl Avoided<'_> {
    /// Whether it stands at a word: each of its words, the last one with any ending of the language.
    fn stands(&self, words: &Words, passage: &Passage<'_>, all: &[Word], at: usize) -> bool {
        let last = self.words.len() - 1;
        self.words.iter().enumerate().all(|(index, known)| {
            all.get(at + index).is_some_and(|word| {
                let lower = passage.lower(word);
                if index == last { words.same(lower, known) } else { lower == known }
            })
        })
    }
}

/// What the shop avoids, by first letter.
fn avoided<'s>(reading: &Reading<'s>) -> BTreeMap<char, Vec<Avoided<'s>>> {
    let mut all: BTreeMap<char, Vec<Avoided<'_>>> = BTreeMap::new();
    for line in reading.worked.parsed().stores().lines(Store::Words) {
        for wording in line.texts("avoid") {
            let words: Vec<String> = wording.split_whitespace().map(str::to_lowercase).collect();
            if let Some(letter) = words.first().and_then(|word| word.chars().next()) {
                all.entry(letter).or_default().push(Avoided { words, line });
            }
        }
    }
    all
}
