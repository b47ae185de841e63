//! VAL-02: every quantity has a unit, of the right dimension, in prose too; counts have `pieces`, `turns`….

use crate::check::numbers::Number;
use crate::check::passage::{Passage, Sentence, Word};
use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::words::Words;
use crate::finding::{Code, Finding, Severity, Sink};
use crate::phrase::{Phrase, phrase};
use crate::quantity::{Dimension, unit};

/// The rule VAL-02.
pub(super) struct Val02;

static PAGE: Page = Page {
    code: Code("VAL-02"),
    severity: Severity::Error,
    rule: "every quantity has a unit, of the right dimension, in prose too; counts have `pieces`, `turns`…",
    why: "\"Tighten to 25\" is 25 of what stands on the scale in front of the reader, and wrenches have two scales.",
    source: "ISO 80000-1, 7 (from memory); common practice. Keys that hold quantities are read with the same rule",
    fails: "Tighten the nut to 9.\nThe stripped length is 12.",
    passes: "Tighten the nut to <value:earth-nut.set-to>.\nThe stripped length is 12 mm.",
};

impl Rule for Val02 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for read in &reading.procedures {
            for passage in &read.passages {
                for sentence in passage.sentences.iter().filter(|sentence| !sentence.in_table) {
                    let numbers = passage.numbers_of(sentence);
                    let tighten = |word: &Word| reading.words.tighten.contains(passage.lower(word));
                    let tightens = !numbers.is_empty() && passage.of_sentence(sentence).iter().any(tighten);
                    for number in numbers {
                        let found = looked_at(reading.words, passage, sentence, number, tightens);
                        let at = passage.words_of(number).map(|(first, last)| passage.place(first, last));
                        if let (Some((finding, note)), Some(at)) = (found, at) {
                            sink.push(read.at(finding, at, note, passage.step));
                        }
                    }
                }
            }
        }
    }
}

/// Words that mean `of`, after which a figure wants a unit only where its own noun stands before.
const OF: [&str; 4] = ["of", "van", "von", "de"];
/// Words that lead to a figure to be reached; `at 40 mm from the plug` is a place and no torque.
const TO: [&str; 5] = ["to", "tot", "auf", "à", "a"];

fn looked_at(
    words: &Words,
    passage: &Passage<'_>,
    sentence: &Sentence,
    number: &Number,
    tightens: bool,
) -> Option<(Finding, Phrase)> {
    let (first, last) = passage.words_of(number)?;
    let at = |index: usize| {
        let word = passage.words.get(index).filter(|_| (sentence.from..sentence.to).contains(&index))?;
        Some(passage.lower(word))
    };
    let back = |steps: usize| number.first.checked_sub(steps).and_then(at);
    let before = back(1)?;
    match &number.quantity {
        None => {
            let noun = words.figure_of.contains(before);
            let lead = words.before_figures.contains(before)
                && (!OF.contains(&before) || back(2).is_some_and(|word| words.figure_of.contains(word)));
            let open = last.after != ' '
                || at(number.last + 1).is_none_or(|next| words.after_figures.contains(next));
            let text = passage.text(first);
            if !(noun || lead) || !open || first.after == '%' || is_name(text) {
                return None;
            }
            let finding = PAGE.finding(phrase!("`{text}` has no unit", text = text)).help(phrase!(
                "write the unit, as in `{text} mm`, or `{text} pieces` for a count",
                text = text
            ));
            Some((finding, phrase!("a unit is wanted after this")))
        }
        Some(quantity) => {
            let torque = unit("N·m")?.dimension;
            let fits = [torque, Dimension::ANGLE, Dimension::COUNT].contains(&quantity.dimension());
            if !tightens || fits || !TO.contains(&before) || quantity.dimension().is_plain() {
                return None;
            }
            let what = quantity.dimension().with_article();
            let headline = phrase!(
                "{words} is {what}, and a torque is wanted",
                words = passage.quote(first, last),
                what = what
            );
            Some((
                PAGE.finding(headline).help(phrase!("write it in N·m, or as turns")),
                phrase!("of another dimension"),
            ))
        }
    }
}

/// Whether digits are a year, a nought, or no number at all.
fn is_name(text: &str) -> bool {
    match text.replace(',', ".").parse::<f64>() {
        Ok(number) => number == 0.0 || (text.len() == 4 && (1900.0..2100.0).contains(&number)),
        Err(_) => true,
    }
}
