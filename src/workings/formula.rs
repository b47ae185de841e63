//! `formula`: an expression in ordinary notation, with its dimensions checked.

use crate::phrase::{Phrase, phrase};
use crate::quantity::print::Rounding;
use crate::quantity::{Dimension, ONE, Quantity, Unit, house_unit};
use crate::workings::base::declaration::{Declaration, Example, Formula as Line, Input, Kind, Output};
use crate::workings::base::given::{Given, Settled, missing};
use crate::workings::base::outcome::{Answer, Outcome, Value};
use crate::workings::base::refusal::Refusal;
use crate::workings::base::working::Working;
use crate::workings::science::expression::{Evaluated, evaluate, inner_unit};

/// The working `formula`.
pub(crate) struct Formula;

static DECLARATION: Declaration = Declaration {
    name: "formula",
    title: "A formula of your own",
    purpose: "Works out an expression in ordinary notation from named quantities, and checks its dimensions.",
    inputs: &[Input::word(
        "expression",
        Kind::Text,
        "the expression; other keys name its quantities, as in `run + 2*tail + 150 mm`",
    )],
    open: true,
    outputs: &[Output::number(
        "result",
        "",
        Rounding::Figures,
        "its value, in the unit of the first quantity of its kind",
    )],
    formulas: &[Line {
        text: "+ − * / ^, parentheses, √, min, max, round-up(x) and round-up(x, step), pi",
        mathml: "<mi>r</mi><mo>=</mo><mi>f</mi><mo>(</mo><msub><mi>x</mi><mn>1</mn></msub><mo>,</mo><mo>…</mo><mo>)</mo>",
    }],
    limits: &[
        "Only quantities of one dimension add; counts are plain numbers.",
        "Temperatures on scales with a zero of their own are refused: give differences in K.",
    ],
    sources: &["Arithmetic; the formula is the author's"],
    example: Example {
        given: &[("expression", "run + 2*tail + 150 mm"), ("run", "1200 mm"), ("tail", "8 cm")],
        answers: &[("result", 1510.0)],
    },
    maker_first: false,
};

impl Working for Formula {
    fn declaration(&self) -> &'static Declaration {
        &DECLARATION
    }

    fn work(&self, given: &Given) -> Result<Outcome, Refusal> {
        let text = given.text("expression").ok_or_else(|| missing(&DECLARATION, "expression"))?;
        let mut named: Vec<(&str, &Quantity)> = Vec::new();
        for (name, value) in given.iter() {
            if let Settled::Quantity(quantity) = value {
                named.push((name, quantity));
            }
        }
        let evaluated = evaluate(text, &named).map_err(|message| Refusal::input("expression", message))?;
        let mut answer = Answer::new(&DECLARATION);
        answer.step(Phrase::verbatim(text));
        for (name, quantity) in &named {
            answer.step(Phrase::verbatim(format!("{name} = {quantity}")));
        }
        let (value, unit) = in_a_unit(&evaluated)?;
        answer.put_value("result", Value::number(value, unit));
        answer.finish()
    }
}

/// The result in the unit of the first quantity of its dimension, else in the house unit.
fn in_a_unit(evaluated: &Evaluated) -> Result<(f64, &'static Unit), Refusal> {
    let dimension = evaluated.dimension;
    // An arc is angle times radius: beside other dimensions, radians are plain numbers.
    let without_angle = Dimension { angle: 0, ..dimension };
    let candidates = [dimension, without_angle];
    let unit = candidates.into_iter().find_map(|wanted| {
        if wanted == Dimension::NUMBER {
            return Some(&ONE);
        }
        let written = evaluated.units.iter().copied().find(|unit| unit.dimension == wanted);
        written.or_else(|| house_unit(wanted))
    });
    let unit = unit.ok_or_else(|| {
        let units = dimension.in_base_units();
        Refusal::input(
            "expression",
            phrase!("the result would be in {units}, for which no unit is known here", units = units),
        )
    })?;
    let value = inner_unit(unit.dimension).convert(evaluated.value, unit);
    Ok((value, unit))
}
