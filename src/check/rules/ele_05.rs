//! ELE-05: the sleeve fits.

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink};
use crate::model::{Figure, Store};
use crate::parse::span;
use crate::phrase::phrase;
use crate::quantity::print::{Rounding, number};
use crate::quantity::unit;
use crate::workings::Value;

/// The rule ELE-05.
pub(super) struct Ele05;

static PAGE: Page = Page {
    code: Code("ELE-05"),
    severity: Severity::Error,
    rule: "the sleeve fits",
    why: "A sleeve that does not grip lets water in, and one that does not go over is found when the joint is made. Where a written range holds no size that fits, the working says so; this rule looks at what the working takes for granted: that a piece can be cut from a stick, and that a sleeve shrinks.",
    source: "IEC 60684 (from memory); practitioners' accounts of sleeves that did not fit",
    fails: "polyolefin-3to1: {…, stock: 20 mm, …}     # and a joint takes 38 mm of it",
    passes: "polyolefin-3to1: {…, stock: 1.2 m, …}",
};

impl Rule for Ele05 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn of_the_stores(&self) -> bool {
        true
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        let Some(millimetre) = unit("mm") else { return };
        let stores = reading.worked.parsed().stores();
        for line in stores.lines(Store::Sleeves) {
            let Some((Figure::Sizes(sizes), _, place)) = line.figures.get("sizes") else { continue };
            for (id, size) in sizes {
                let of = |key: &str| size.get(key).and_then(|known| known.in_unit(millimetre).ok());
                let (Some(supplied), Some(recovered)) = (of("supplied"), of("recovered")) else { continue };
                if recovered >= supplied {
                    let headline = phrase!(
                        "the size `{id}` of `{line}` does not shrink: {supplied} mm to {recovered} mm",
                        id = id,
                        line = line.id,
                        supplied = number(supplied, Rounding::Figures),
                        recovered = number(recovered, Rounding::Figures)
                    );
                    sink.push(
                        PAGE.finding(headline)
                            .at(span(*place), phrase!("its sizes"))
                            .help(phrase!("`supplied` is the bore before, `recovered` after")),
                    );
                }
            }
        }
        for read in &reading.procedures {
            for value in read.known.values.iter().filter(|value| value.working == "sleeve") {
                let Ok(work) = &value.result else { continue };
                let (Some(Value::Text(size)), Some(length)) =
                    (work.outcome.get("sleeve"), work.outcome.number("cut-length"))
                else {
                    continue;
                };
                let known = work.given.sleeves("from").iter().find(|sleeve| sleeve.id == *size);
                let Some(line) = known.and_then(|sleeve| stores.get(Store::Sleeves, &sleeve.range)) else {
                    continue;
                };
                let stick = line.quantity("stock").and_then(|stock| stock.in_unit(millimetre).ok());
                if let Some(stick) = stick.filter(|stick| length > *stick) {
                    let headline = phrase!(
                        "`{value}` takes {length} mm of `{line}` and a stick is {stick} mm long",
                        value = value.id,
                        length = number(length, Rounding::LengthUp),
                        line = line.id,
                        stick = number(stick, Rounding::Length)
                    );
                    let finding =
                        read.at(PAGE.finding(headline), value.place, phrase!("too long for one piece"), None);
                    sink.push(
                        finding
                            .label(span(line.place), phrase!("its range"))
                            .help(phrase!("choose another range with `from`")),
                    );
                }
            }
        }
    }
}
