//! STR-03: at most 20 words a sentence in steps, 25 elsewhere.

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink};
use crate::phrase::phrase;

/// The rule STR-03.
pub(super) struct Str03;

static PAGE: Page = Page {
    code: Code("STR-03"),
    severity: Severity::Advice,
    rule: "at most 20 words a sentence in steps, 25 elsewhere",
    why: "A long sentence is read twice, or half.",
    source: "ASD-STE100 as reported by third parties",
    fails: "Slide the glass down first, then undo the screws from the hinge side while the helper holds the lining so that it does not fall.",
    passes: "Slide the glass down.\nUndo the screws from the hinge side.\nA helper holds the lining.",
};

impl Rule for Str03 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for read in &reading.procedures {
            for passage in &read.passages {
                let most = if passage.step.is_some() { IN_STEPS } else { ELSEWHERE };
                for sentence in passage.sentences.iter().filter(|sentence| !sentence.in_table) {
                    let count = sentence.to - sentence.from;
                    if count > most {
                        let headline = phrase!("a sentence of {count} words", count = count);
                        let place = passage.place_of(sentence);
                        let finding =
                            read.at(PAGE.finding(headline), place, phrase!("this sentence"), passage.step);
                        sink.push(finding.help(reading.words.help("short", &[("most", &most.to_string())])));
                    }
                }
            }
        }
    }
}

const IN_STEPS: usize = 20;
const ELSEWHERE: usize = 25;
