//! STR-08: choices stand inside one step and exclude one another.

use crate::check::passage::Role;
use crate::check::reading::Read;
use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::words::Words;
use crate::finding::{Code, Severity, Sink};
use crate::model::{Place, Step, Turn};
use crate::parse::span;
use crate::phrase::phrase;
use std::collections::BTreeMap;

/// The rule STR-08.
pub(super) struct Str08;

static PAGE: Page = Page {
    code: Code("STR-08"),
    severity: Severity::Warning,
    rule: "choices stand inside one step and exclude one another",
    why: "Of two ways that stand in two steps, both are gone: the condition of the second is read after the first is done.",
    source: "DOE-STD-1029-92: alternatives inside one step, with a box each",
    fails: "choose:\n  - {when: The lead is yellow, then: step:stop}\n  - {when: The lead is yellow, then: step:go-on}",
    passes: "choose:\n  - {when: The lead is yellow, then: step:stop}\n  - {when: The lead is of another colour, then: step:go-on}",
};

impl Rule for Str08 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for read in &reading.procedures {
            for step in read.procedure.steps() {
                if let [only] = step.choose.as_slice() {
                    let finding = PAGE.finding(phrase!("a choice of one is none"));
                    let finding = read.at(finding, only.place, phrase!("the only way"), Some(step));
                    sink.push(finding.help(reading.words.help("only-way", &[])));
                }
                alike(reading.words, read, step, sink);
            }
            spread(reading, read, sink);
        }
    }
}

/// Two ways with one condition, or with one target.
fn alike(words: &Words, read: &Read<'_>, step: &Step, sink: &mut Sink) {
    let mut conditions: BTreeMap<String, Place> = BTreeMap::new();
    let mut targets: BTreeMap<&Turn, Place> = BTreeMap::new();
    for choice in &step.choose {
        let (headline, help, first) = match conditions.get(&plain(&choice.when)) {
            Some(first) => {
                (phrase!("two ways begin with \"{words}\"", words = choice.when), "same-condition", *first)
            }
            None => match targets.get(&choice.then) {
                Some(first) => {
                    let headline = match &choice.then {
                        Turn::Step(id) => phrase!("two ways lead to `{id}`", id = id),
                        Turn::Stop => phrase!("two ways end the job"),
                    };
                    (headline, "same-target", *first)
                }
                None => {
                    conditions.insert(plain(&choice.when), choice.place);
                    targets.insert(&choice.then, choice.place);
                    continue;
                }
            },
        };
        let finding = read.at(PAGE.finding(headline), choice.place, phrase!("the second"), Some(step));
        sink.push(finding.label(span(first), phrase!("the first")).help(words.help(help, &[])));
    }
}

/// A step whose title begins with the other way of the step before.
fn spread(reading: &Reading<'_>, read: &Read<'_>, sink: &mut Sink) {
    for passage in read.passages.iter().filter(|passage| passage.role == Role::Title) {
        let Some(sentence) = passage.sentences.first() else { continue };
        let Some(length) = reading.words.others.starts(&passage.lowers(sentence)) else { continue };
        let all = passage.of_sentence(sentence);
        let (Some(first), Some(last)) = (all.first(), all.get(length - 1)) else { continue };
        let headline = phrase!(
            "this step is the other way of the one before: \"{words}\"",
            words = passage.quote(first, last)
        );
        let finding = read.at(
            PAGE.finding(headline),
            passage.place(first, last),
            phrase!("a choice over two steps"),
            passage.step,
        );
        sink.push(finding.help(reading.words.help("both-ways", &[])));
    }
}

fn plain(text: &str) -> String {
    text.to_lowercase().split_whitespace().collect::<Vec<_>>().join(" ").trim_end_matches('.').to_owned()
}
