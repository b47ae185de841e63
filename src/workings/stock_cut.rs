//! `stock-cut`: cutting pieces from stock lengths with the fewest lengths.

use crate::phrase::phrase;
use crate::quantity::Bound;
use crate::quantity::print::{Rounding, number};
use crate::workings::base::declaration::{Declaration, Example, Formula, Input, Kind, Output, known};
use crate::workings::base::given::{Given, Measure};
use crate::workings::base::outcome::{Answer, Outcome, Value};
use crate::workings::base::refusal::Refusal;
use crate::workings::base::working::Working;
use crate::workings::science::cutting::plan;

/// The working `stock-cut`.
pub(crate) struct StockCut;

static DECLARATION: Declaration = Declaration {
    name: "stock-cut",
    title: "Cutting pieces from stock",
    purpose: "Plans how to cut pieces from the fewest stock lengths.",
    inputs: &[
        Input::need("pieces", "mm", Bound::above(0.0, 1e6), "lengths of the pieces").kind(Kind::Quantities),
        Input::need("stock", "mm", Bound::above(0.0, 1e6), "length of one stock length"),
        Input::need("kerf", "mm", Bound::from(0.0, 100.0), "what each cut takes away").default("0 mm"),
    ],
    open: false,
    outputs: &[
        Output::number("lengths-needed", "1", Rounding::Whole, "stock lengths needed"),
        Output::number("plan", "mm", Rounding::Length, "the pieces from each length"),
        Output::number("waste", "mm", Rounding::Length, "what is left over, cuts included"),
    ],
    formulas: &[Formula {
        text: "pieces of one length and the cuts between them ≤ stock",
        mathml: "<mrow><mo>∑</mo><msub><mi>p</mi><mi>i</mi></msub></mrow><mo>+</mo><mrow><mrow><mo>(</mo><mi>n</mi><mo>−</mo><mn>1</mn><mo>)</mo></mrow><mo>·</mo><mi>k</mi></mrow><mo>≤</mo><mi>S</mi>",
    }],
    limits: &["Proven optimal to 30 pieces; first-fit decreasing beyond, which can take more lengths."],
    sources: &["Branch and bound, derived"],
    example: Example {
        given: &[("pieces", "700mm, 600mm, 500mm, 400mm, 300mm, 500mm"), ("stock", "1000 mm")],
        answers: &[("lengths-needed", 3.0), ("waste", 0.0)],
    },
    maker_first: false,
};

impl Working for StockCut {
    fn declaration(&self) -> &'static Declaration {
        &DECLARATION
    }

    fn work(&self, given: &Given) -> Result<Outcome, Refusal> {
        let pieces: Vec<f64> = given.measures("pieces").iter().map(Measure::high).collect();
        let stock = given.need("stock")?.low();
        let kerf = given.need("kerf")?.high();
        if let Some(piece) = pieces.iter().find(|piece| **piece > stock) {
            let (piece, stock) = (number(*piece, Rounding::Exact), number(stock, Rounding::Exact));
            return Err(Refusal::input(
                "pieces",
                phrase!(
                    "a piece of {piece} mm is longer than the stock length of {stock} mm",
                    piece = piece,
                    stock = stock
                ),
            ));
        }
        let plan = plan(&pieces, stock, kerf);
        let mut answer = Answer::new(&DECLARATION);
        answer.worst_case(given.is_tolerant());
        answer.step(match plan.proven {
            true => phrase!("proven optimal: fewer lengths cannot hold the pieces"),
            false => phrase!("first-fit decreasing: not proven, fewer lengths might do"),
        });
        let lengths = plan.lengths.len() as f64;
        let used: f64 = pieces.iter().sum();
        let unit = known("mm");
        let row = |row: &Vec<f64>| Value::List(row.iter().map(|piece| Value::number(*piece, unit)).collect());
        answer.put("lengths-needed", lengths);
        answer.put_value("plan", Value::List(plan.lengths.iter().map(row).collect()));
        answer.put("waste", (lengths * stock - used).max(0.0));
        answer.finish()
    }
}
