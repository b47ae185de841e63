//! LED-09: no "reverse of removal": refitting has steps of its own.

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::words::Marks;
use crate::finding::{Code, Severity, Sink};
use crate::phrase::phrase;

/// The rule LED-09.
pub(super) struct Led09;

static PAGE: Page = Page {
    code: Code("LED-09"),
    severity: Severity::Error,
    rule: "no \"reverse of removal\": refitting has steps of its own",
    why: "There is one way to take a part off and there are many to put it back wrongly, so the half where most goes wrong needs the words most.",
    source: "Reason & Hobbs on errors in reassembly (from memory); common practice",
    fails: "The rest is the reverse of removal.",
    passes: "### Put back the lining {#put-back-lining}\n…\n### Fasten the lining screws {#fasten-screws}",
};

impl Rule for Led09 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        let words = reading.words;
        for read in &reading.procedures {
            for passage in read.passages.iter().filter(|passage| passage.marks.any_of(Marks::REVERSE)) {
                for sentence in &passage.sentences {
                    let lowers = passage.lowers(sentence);
                    let Some(first) = lowers.iter().position(|word| words.reverse.contains(word)) else {
                        continue;
                    };
                    let Some(second) = lowers.iter().position(|word| words.reverse_of.contains(word)) else {
                        continue;
                    };
                    let all = passage.of_sentence(sentence);
                    let (Some(from), Some(to)) = (all.get(first.min(second)), all.get(first.max(second)))
                    else {
                        continue;
                    };
                    let headline =
                        phrase!("\"{words}\" stands in place of the steps", words = passage.quote(from, to));
                    let place = passage.place(from, to);
                    let finding =
                        read.at(PAGE.finding(headline), place, phrase!("these words"), passage.step);
                    sink.push(
                        finding
                            .help(phrase!("write each step of the refitting, with its torque and its check")),
                    );
                }
            }
        }
    }
}
