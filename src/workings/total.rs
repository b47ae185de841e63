//! `total`: the sum of quantities of one dimension.

use crate::phrase::{Phrase, phrase};
use crate::quantity::print::Rounding;
use crate::workings::base::declaration::{Declaration, Example, Formula, Input, Kind, Output};
use crate::workings::base::given::{Given, missing};
use crate::workings::base::outcome::{Answer, Outcome, Value};
use crate::workings::base::refusal::Refusal;
use crate::workings::base::settle::unreadable;
use crate::workings::base::working::Working;

/// The working `total`.
pub(crate) struct Total;

static DECLARATION: Declaration = Declaration {
    name: "total",
    title: "Add up",
    purpose: "Adds quantities of one dimension, in the unit of the first.",
    inputs: &[Input::word("of", Kind::Anys, "the quantities to add")],
    open: false,
    outputs: &[Output::number("sum", "", Rounding::Figures, "their sum, in the unit of the first")],
    formulas: &[Formula {
        text: "sum = Σ of",
        mathml: "<mi>s</mi><mo>=</mo><mrow><mo>∑</mo><msub><mi>q</mi><mi>i</mi></msub></mrow>",
    }],
    limits: &[
        "All quantities have one dimension; temperatures on scales with a zero of their own do not add.",
    ],
    sources: &["Arithmetic"],
    example: Example { given: &[("of", "1.2 m, 350 mm, 5 cm")], answers: &[("sum", 1.6)] },
    maker_first: false,
};

impl Working for Total {
    fn declaration(&self) -> &'static Declaration {
        &DECLARATION
    }

    fn work(&self, given: &Given) -> Result<Outcome, Refusal> {
        let all = given.quantities("of");
        let first = all.first().ok_or_else(|| missing(&DECLARATION, "of"))?;
        let mut values = Vec::with_capacity(all.len());
        for quantity in all {
            if quantity.unit.zero != 0.0 {
                return Err(Refusal::input(
                    "of",
                    phrase!("{unit} do not add: give differences in K", unit = quantity.unit.symbol),
                ));
            }
            values.push(quantity.in_unit(first.unit).map_err(|error| unreadable("of", &error))?);
        }
        let mut answer = Answer::new(&DECLARATION);
        let shown: Vec<String> = all.iter().map(ToString::to_string).collect();
        answer.step(Phrase::verbatim(shown.join(" + ")));
        answer.put_value("sum", Value::number(added(&values), first.unit));
        answer.finish()
    }
}

/// The sum without the residue of binary fractions: 0.1 and 0.2 are 0.3 (Neumaier's compensated sum, then the
/// nearest decimal of fifteen digits where it lies within the last place).
fn added(values: &[f64]) -> f64 {
    let (mut sum, mut lost) = (0.0f64, 0.0f64);
    for value in values {
        let next: f64 = sum + value;
        lost += if sum.abs() >= value.abs() { (sum - next) + value } else { (value - next) + sum };
        sum = next;
    }
    let exact = sum + lost;
    let decimal: f64 = format!("{exact:.14e}").parse().unwrap_or(exact);
    if (decimal - exact).abs() <= exact.abs() * f64::EPSILON { decimal } else { exact }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Sums whose exact value is known: decimal fractions, and figures of very different size (N. J. Higham,
    /// Accuracy and Stability of Numerical Algorithms, chapter 4, on why the order of adding must not matter).
    #[test]
    fn a_sum_is_exact_whatever_its_order() {
        for (values, sum) in [
            (&[0.1, 0.2][..], 0.3),
            (&[0.1; 10], 1.0),
            (&[0.7, 0.1, 0.3], 1.1),
            (&[1.0, 1e16, -1e16], 1.0),
            (&[1e16, 1.0, -1e16], 1.0),
            (&[1e16, -1e16, 1.0], 1.0),
            (&[-1e16, 1.0, 1e16, 1.0], 2.0),
            (&[-0.1, -0.2], -0.3),
            (&[2.5], 2.5),
            (&[], 0.0),
        ] {
            assert_eq!(added(values), sum, "{values:?}");
        }
    }

    #[test]
    fn what_is_no_decimal_of_fifteen_digits_is_left_alone() {
        for value in [1.0 / 3.0, -1.0 / 3.0, 2f64.sqrt()] {
            assert_eq!(added(&[value]), value);
        }
    }
}
