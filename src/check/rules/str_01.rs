//! STR-01: one action a step.

use crate::check::passage::{Passage, Role, Sentence, Word};
use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::words::{Marks, Words};
use crate::finding::{Code, Severity, Sink};
use crate::parse::span;
use crate::phrase::phrase;

/// The rule STR-01.
pub(super) struct Str01;

static PAGE: Page = Page {
    code: Code("STR-01"),
    severity: Severity::Warning,
    rule: "one action a step",
    why: "Of two actions under one box the second is the one that is forgotten after a telephone call.",
    source: "DOE-STD-1029-92; Dismukes on omitted steps",
    fails: "### Remove the screws and take off the cover",
    passes: "### Remove the screws\n…\n### Take off the cover",
};

impl Rule for Str01 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for read in &reading.procedures {
            for passage in read
                .passages
                .iter()
                .filter(|passage| passage.role == Role::Title && passage.marks.any_of(Marks::JOINING))
            {
                for sentence in &passage.sentences {
                    if let Some((joint, verb)) = second(reading.words, passage, sentence) {
                        let headline =
                            phrase!("this step does a second thing: \"{verb}\"", verb = passage.text(&verb));
                        let finding = read.at(
                            PAGE.finding(headline),
                            passage.place(&joint, &verb),
                            phrase!("and another"),
                            passage.step,
                        );
                        sink.push(finding.help(reading.words.help("one-action", &[])));
                    }
                }
            }
            for step in read.procedure.steps() {
                let mut acts = step.does.iter();
                let Some(first) = acts.next() else { continue };
                let Some(other) = acts.find(|act| act.verb != first.verb) else { continue };
                let headline = phrase!(
                    "this step does `{verb}` and `{other}`",
                    verb = first.verb.word(),
                    other = other.verb.word()
                );
                let finding =
                    read.at(PAGE.finding(headline), other.place, phrase!("another action"), Some(step));
                sink.push(
                    finding
                        .label(span(first.place), phrase!("the first"))
                        .help(reading.words.help("one-action", &[])),
                );
            }
        }
    }
}

/// A verb after `and` with something of its own to act on: `… and take off the cover`.
fn second(words: &Words, passage: &Passage<'_>, sentence: &Sentence) -> Option<(Word, Word)> {
    let all = passage.of_sentence(sentence);
    let lowers = passage.lowers(sentence);
    let first = lowers.first()?;
    let begins = words.verbs.contains(first) || words.conditions.contains(first);
    let mut pairs = lowers.windows(2).enumerate().skip(1);
    let (at, _) = pairs.find(|(at, pair)| {
        let [joint, verb] = pair else { return false };
        // What stands after it is what the verb acts on; a particle may come between (`take off the …`).
        let object = |word: &&&str| {
            words.determiners.contains(**word) || word.starts_with("l'") || word.starts_with('\u{fffc}')
        };
        let rest: Vec<&&str> = lowers.iter().skip(at + 2).take(2).collect();
        let bare = *at == 1 && lowers.len() > 3;
        words.joining.contains(joint) && words.verbs.contains(verb) && (bare || rest.iter().any(object))
    })?;
    begins.then_some(())?;
    Some((*all.get(at)?, *all.get(at + 1)?))
}
