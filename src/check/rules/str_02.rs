//! STR-02: a step starts with a verb, or with a condition and then a verb.

use crate::check::passage::{Passage, Role, Sentence};
use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::words::Words;
use crate::finding::{Code, Severity, Sink};

/// The rule STR-02.
pub(super) struct Str02;

static PAGE: Page = Page {
    code: Code("STR-02"),
    severity: Severity::Warning,
    rule: "a step starts with a verb, or with a condition and then a verb",
    why: "Steps that begin with what to do are understood faster and carried out more often as meant.",
    source: "Bovair & Kieras 1984, as cited by guides for procedure writers; DOE-STD-1029-92",
    fails: "### The nine lining screws",
    passes: "### Remove the lining screws\n### If the lead is yellow, stop the job",
};

impl Rule for Str02 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for read in &reading.procedures {
            for passage in read.passages.iter().filter(|passage| passage.role == Role::Title) {
                let Some(sentence) = passage.sentences.first() else { continue };
                if begins(reading.words, passage, sentence) {
                    continue;
                }
                let Some(first) = passage.of_sentence(sentence).first() else { continue };
                let headline = format!("this step does not start with a verb: \"{}\"", passage.text(first));
                let finding = read.at(
                    PAGE.finding(headline),
                    passage.place(first, first),
                    "what is to be done?",
                    passage.step,
                );
                sink.push(
                    finding.help("begin with what to do: `Remove …`, `Measure …`, or `If …, remove …`"),
                );
            }
        }
    }
}

fn begins(words: &Words, passage: &Passage<'_>, sentence: &Sentence) -> bool {
    let all = passage.of_sentence(sentence);
    let lowers = passage.lowers(sentence);
    let (Some(first), Some(last)) = (lowers.first(), lowers.last()) else { return true };
    // A noun in capitals is no infinitive: `Schrauben` are screws, `schrauben` is work.
    let small = all.last().is_some_and(|word| passage.text(word).starts_with(char::is_lowercase));
    if words.verbs.contains(first) || words.verb_last && small && words.verbs.contains(last) {
        return true;
    }
    let after = all.iter().position(|word| matches!(word.after, ',' | ':'));
    let then = after.and_then(|at| lowers.get(at + 1));
    words.conditions.contains(first) && then.is_some_and(|verb| words.verbs.contains(verb))
}
