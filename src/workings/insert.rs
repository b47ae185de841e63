//! `insert`: a piece let in where a wire has no length to spare.

use crate::phrase::phrase;
use crate::quantity::Bound;
use crate::quantity::print::{Rounding, number};
use crate::workings::base::declaration::{Declaration, Example, Formula, Input, Output};
use crate::workings::base::given::Given;
use crate::workings::base::outcome::{Answer, Outcome};
use crate::workings::base::refusal::Refusal;
use crate::workings::base::working::Working;

/// The working `insert`.
pub(crate) struct Insert;

static DECLARATION: Declaration = Declaration {
    name: "insert",
    title: "A piece let in",
    purpose: "Gives the length of a piece that replaces what was taken out, with a joint at each end.",
    inputs: &[
        Input::need("removed", "mm", Bound::above(0.0, 100_000.0), "length taken out"),
        Input::need("lap", "mm", Bound::above(0.0, 1000.0), "lap of each joint"),
        Input::need("gap", "mm", Bound::from(0.0, 1000.0), "from each tip to the other's insulation")
            .default("1 mm"),
        Input::may("outside", "mm", Bound::above(0.0, 100.0), "outside diameter of the wire"),
    ],
    open: false,
    outputs: &[
        Output::number("piece", "mm", Rounding::LengthUp, "length of the piece to cut"),
        Output::number(
            "strip",
            "mm",
            Rounding::Length,
            "length to strip at each end of the piece and of the wire",
        ),
    ],
    formulas: &[Formula {
        text: "piece = removed + 2·lap; strip = lap + gap",
        mathml: "<mi>p</mi><mo>=</mo><mi>r</mi><mo>+</mo><mrow><mn>2</mn><mo>·</mo><mi>l</mi></mrow><mo>,</mo><mi>s</mi><mo>=</mo><mi>l</mi><mo>+</mo><mi>g</mi>",
    }],
    limits: &["The piece has the copper area, insulation and temperature class of the wire."],
    sources: &["Derived geometry", "AC 43.13-1B 11-167c for the number of splices"],
    example: Example {
        given: &[("removed", "300 mm"), ("lap", "8 mm")],
        answers: &[("piece", 316.0), ("strip", 9.0)],
    },
    maker_first: false,
};

impl Working for Insert {
    fn declaration(&self) -> &'static Declaration {
        &DECLARATION
    }

    fn work(&self, given: &Given) -> Result<Outcome, Refusal> {
        let removed = given.need("removed")?.value;
        let lap = given.need("lap")?.value;
        let gap = given.need("gap")?.value;
        let mut answer = Answer::new(&DECLARATION);
        let show = |value: f64| number(value, Rounding::Figures);
        answer.step(phrase!(
            "{removed} mm and twice a lap of {lap} mm",
            removed = show(removed),
            lap = show(lap)
        ));
        answer.put("piece", removed + 2.0 * lap);
        answer.put("strip", lap + gap);
        answer.caution(phrase!("One splice in a wire segment is the usual limit, and a piece has two: AC 43.13-1B 11-167c. Prefer a new wire."));
        if removed < 2.0 * (lap + gap) {
            answer.caution(phrase!("The two joints lie closer than their own length: take out more, or run a new wire (common practice)."));
        }
        answer.finish()
    }
}
