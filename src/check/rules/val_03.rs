//! VAL-03: no value typed twice in two units: the tool converts.

use crate::check::numbers::Number;
use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink};
use crate::parse::span;
use crate::phrase::phrase;

/// The rule VAL-03.
pub(super) struct Val03;

static PAGE: Page = Page {
    code: Code("VAL-03"),
    severity: Severity::Warning,
    rule: "no value typed twice in two units: the tool converts",
    why: "Of two figures that say the same, one is changed and the other is forgotten.",
    source: "ISO 80000-1 (from memory); common practice",
    fails: "The nut takes 9 N·m (6.6 lbf·ft).",
    passes: "The nut takes 9 N·m.     # `second-units` of shop.yaml shows the other",
};

impl Rule for Val03 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for read in &reading.procedures {
            for passage in &read.passages {
                for sentence in &passage.sentences {
                    for pair in passage.numbers_of(sentence).windows(2) {
                        let [one, other] = pair else { continue };
                        if !twice(one, other) {
                            continue;
                        }
                        let (Some(first), Some(second)) = (passage.words_of(one), passage.words_of(other))
                        else {
                            continue;
                        };
                        let headline = phrase!(
                            "{first} stands here a second time as {second}",
                            first = passage.quote(first.0, first.1),
                            second = passage.quote(second.0, second.1)
                        );
                        let place = passage.place(second.0, second.1);
                        let finding = read.at(
                            PAGE.finding(headline),
                            place,
                            phrase!("the same in another unit"),
                            passage.step,
                        );
                        sink.push(
                            finding
                                .label(span(passage.place(first.0, first.1)), phrase!("written here"))
                                .help(phrase!("leave the second out: `second-units` in shop.yaml shows it")),
                        );
                    }
                }
            }
        }
    }
}

/// Whether two numbers are one value in two units: within a twentieth of one another.
fn twice(one: &Number, other: &Number) -> bool {
    let (Some(one), Some(other)) = (&one.quantity, &other.quantity) else { return false };
    if one.unit.symbol == other.unit.symbol || one.dimension().is_plain() {
        return false;
    }
    other.in_unit(one.unit).is_ok_and(|same| (same - one.value).abs() <= 0.05 * one.value.abs())
}
