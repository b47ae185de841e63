//! `convert`: one quantity in another unit, temperature scales included.

use crate::phrase::{Phrase, phrase};
use crate::quantity::print::Rounding;
use crate::quantity::unit;
use crate::workings::base::declaration::{Declaration, Example, Formula, Input, Kind, Output};
use crate::workings::base::given::{Given, missing};
use crate::workings::base::outcome::{Answer, Outcome, Value};
use crate::workings::base::refusal::Refusal;
use crate::workings::base::settle::unreadable;
use crate::workings::base::working::Working;

/// The working `convert`.
pub(crate) struct Convert;

static DECLARATION: Declaration = Declaration {
    name: "convert",
    title: "Convert a unit",
    purpose: "Expresses a quantity in another unit of the same dimension.",
    inputs: &[
        Input::word("value", Kind::Any, "the quantity to convert, with its unit"),
        Input::word("to", Kind::Text, "the unit wanted, for example `mm` or `N.m`"),
    ],
    open: false,
    outputs: &[Output::number("result", "", Rounding::Figures, "the same quantity in the unit wanted")],
    formulas: &[Formula {
        text: "result = (value + zero)·factor / factor' − zero'",
        mathml: "<mi>r</mi><mo>=</mo><mfrac><mrow><mrow><mo>(</mo><mi>v</mi><mo>+</mo><mi>z</mi><mo>)</mo></mrow><mo>·</mo><mi>f</mi></mrow><msup><mi>f</mi><mo>′</mo></msup></mfrac><mo>−</mo><msup><mi>z</mi><mo>′</mo></msup>",
    }],
    limits: &[
        "A temperature is a point on its scale; a difference of temperatures is given in K or °R.",
        "A wire gauge is read as an area; nothing is turned into a gauge.",
    ],
    sources: &["Exact definitions: inch 25.4 mm, pound 0.45359237 kg, standard gravity 9.80665 m/s²"],
    example: Example { given: &[("value", "3/8 in"), ("to", "mm")], answers: &[("result", 9.525)] },
    maker_first: false,
};

impl Working for Convert {
    fn declaration(&self) -> &'static Declaration {
        &DECLARATION
    }

    fn work(&self, given: &Given) -> Result<Outcome, Refusal> {
        let value = given.quantity("value").ok_or_else(|| missing(&DECLARATION, "value"))?;
        let spelling = given.text("to").ok_or_else(|| missing(&DECLARATION, "to"))?;
        let wanted = unit(spelling).ok_or_else(|| {
            let shown: String = spelling.chars().take(40).collect();
            Refusal::input("to", phrase!("`{shown}` is not a unit that is known here", shown = shown))
                .help(phrase!("write for example `mm`, `N.m` or `degC`"))
        })?;
        let result = value.to(wanted).map_err(|error| unreadable("value", &error))?;
        let mut answer = Answer::new(&DECLARATION);
        answer.step(Phrase::verbatim(format!("{value} = {result}")));
        answer.put_value("result", Value::number(result.value, wanted));
        answer.finish()
    }
}
