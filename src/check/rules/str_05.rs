//! STR-05: no vague words (properly, as required, if necessary, check without what).

use crate::check::passage::{Passage, Role, Sentence, Word};
use crate::check::reading::{Read, Reading};
use crate::check::rule::{Page, Rule};
use crate::check::words::{Marks, Words};
use crate::finding::{Code, Severity, Sink};
use crate::model::{Act, Check};
use crate::phrase::phrase;

/// The rule STR-05.
pub(super) struct Str05;

static PAGE: Page = Page {
    code: Code("STR-05"),
    severity: Severity::Warning,
    rule: "no vague words (properly, as required, if necessary, check without what)",
    why: "A word that every reader fills in for himself makes as many procedures as there are readers.",
    source: "common practice of procedure audits: quantities and limits as shown on the gauge, pass and fail criteria",
    fails: "Tighten the nut properly.\n\n### Check the wiring",
    passes: "Tighten the nut to its mark.\n\n### Check the wiring      # check: Every strand is whole",
};

impl Rule for Str05 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for read in &reading.procedures {
            count_of_nothing(reading.words, read, sink);
            for passage in read
                .passages
                .iter()
                .filter(|passage| !matches!(passage.role, Role::Record | Role::Choice))
                .filter(|passage| passage.marks.any_of(Marks::VAGUE.and(Marks::CHECKING)))
            {
                for sentence in &passage.sentences {
                    let lowers = passage.lowers(sentence);
                    for (at, length) in reading.words.vague.find(&lowers) {
                        let all = passage.of_sentence(sentence);
                        let (Some(first), Some(last)) = (all.get(at), all.get(at + length - 1)) else {
                            continue;
                        };
                        let headline = phrase!(
                            "\"{words}\" says nothing that can be seen",
                            words = passage.quote(first, last)
                        );
                        let finding = read.at(
                            PAGE.finding(headline),
                            passage.place(first, last),
                            phrase!("vague"),
                            passage.step,
                        );
                        sink.push(finding.help(reading.words.help("vague", &[])));
                    }
                    if let Some((first, last)) = blind(reading.words, passage, sentence) {
                        let headline = phrase!(
                            "\"{words}\" does not say what is right",
                            words = passage.quote(&first, &last)
                        );
                        let finding = read.at(
                            PAGE.finding(headline),
                            passage.place(&first, &last),
                            phrase!("check what?"),
                            passage.step,
                        );
                        sink.push(finding.help(reading.words.help("check-what", &[])));
                    }
                }
            }
        }
    }
}

/// A step that is checked by a count and moves nothing that is counted.
fn count_of_nothing(words: &Words, read: &Read<'_>, sink: &mut Sink) {
    for (_, leg, step) in read.own_legs() {
        let Some(Check::Counted(place)) = &step.check else { continue };
        // What is not known may be a fastening.
        let counts =
            |act: &Act| read.known.items.get(&act.item).is_none_or(|item| item.kind().is_fastening());
        if !leg.stop.acts.iter().any(counts) {
            let headline = phrase!("`counted` counts nothing: this step moves no screw, clip or tie");
            let finding = read.at(PAGE.finding(headline), *place, phrase!("check what?"), Some(step));
            sink.push(finding.help(words.help("count-what", &[])));
        }
    }
}

/// A sentence that tells to check something and not what for, in a step that does not say it either.
fn blind(words: &Words, passage: &Passage<'_>, sentence: &Sentence) -> Option<(Word, Word)> {
    let step = passage.step.filter(|_| passage.role.instructs())?;
    if step.check.is_some() || !step.record.is_empty() || !step.choose.is_empty() {
        return None;
    }
    let lowers = passage.lowers(sentence);
    let all = passage.of_sentence(sentence);
    let (first, last) = (all.first()?, all.last()?);
    let blind = words.checking.contains(*lowers.first()?)
        && !lowers.iter().skip(1).any(|word| words.saying.contains(word))
        && all.iter().all(|word| word.after != ':')
        && passage.numbers_of(sentence).is_empty();
    blind.then_some((*first, *last))
}
