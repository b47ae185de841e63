//! `wrap`: how much tape a loom takes.

use crate::phrase::phrase;
use crate::quantity::Bound;
use crate::quantity::print::{Rounding, number};
use crate::workings::base::declaration::{Declaration, Example, Formula, Input, Output};
use crate::workings::base::given::Given;
use crate::workings::base::outcome::{Answer, Outcome};
use crate::workings::base::refusal::Refusal;
use crate::workings::base::working::Working;
use std::f64::consts::PI;

/// The working `wrap`.
pub(crate) struct Wrap;

static DECLARATION: Declaration = Declaration {
    name: "wrap",
    title: "Tape for a loom",
    purpose: "Gives the length of tape for one spiral layer, with its angle, pitch and turns.",
    inputs: &[
        Input::need("diameter", "mm", Bound::above(0.0, 1000.0), "diameter of the loom"),
        Input::need("tape-width", "mm", Bound::above(0.0, 1000.0), "width of the tape"),
        Input::need("tape-thickness", "mm", Bound::above(0.0, 20.0), "thickness of the tape"),
        Input::need("overlap", "1", Bound::below(0.0, 0.95), "covered share of the width").default("0.5"),
        Input::need("length", "mm", Bound::above(0.0, 1e6), "length of loom to wrap"),
        Input::need("end-turns", "1", Bound::from(0.0, 100.0), "full turns at the ends together")
            .default("0"),
    ],
    open: false,
    outputs: &[
        Output::number("tape", "m", Rounding::LengthUp, "length of tape"),
        Output::number("angle", "°", Rounding::Figures, "angle of the tape from a straight turn"),
        Output::number("pitch", "mm", Rounding::Length, "advance along the loom in one turn"),
        Output::number("turns", "1", Rounding::Figures, "turns along the length"),
        Output::number("layers", "1", Rounding::Figures, "layers at any one place"),
    ],
    formulas: &[
        Formula {
            text: "tape = π·(D + t)·L/(w·(1 − o)) + n·π·(D + t)",
            mathml: "<mi>T</mi><mo>=</mo><mfrac><mrow><mrow><mi>π</mi><mo>·</mo><mrow><mo>(</mo><mi>D</mi><mo>+</mo><mi>t</mi><mo>)</mo></mrow></mrow><mo>·</mo><mi>L</mi></mrow><mrow><mrow><mi>w</mi><mo>·</mo><mrow><mo>(</mo><mn>1</mn><mo>−</mo><mi>o</mi><mo>)</mo></mrow></mrow></mrow></mfrac><mo>+</mo><mrow><mrow><mi>n</mi><mo>·</mo><mi>π</mi></mrow><mo>·</mo><mrow><mo>(</mo><mi>D</mi><mo>+</mo><mi>t</mi><mo>)</mo></mrow></mrow>",
        },
        Formula {
            text: "angle = asin(w·(1 − o)/(π·(D + t)))",
            mathml: "<mi>α</mi><mo>=</mo><mrow><mi>asin</mi><mo>(</mo><mfrac><mrow><mi>w</mi><mo>·</mo><mrow><mo>(</mo><mn>1</mn><mo>−</mo><mi>o</mi><mo>)</mo></mrow></mrow><mrow><mrow><mi>π</mi><mo>·</mo><mrow><mo>(</mo><mi>D</mi><mo>+</mo><mi>t</mi><mo>)</mo></mrow></mrow></mrow></mfrac><mo>)</mo></mrow>",
        },
        Formula {
            text: "pitch = w·(1 − o)/cos(angle); turns = L/pitch",
            mathml: "<mi>p</mi><mo>=</mo><mfrac><mrow><mi>w</mi><mo>·</mo><mrow><mo>(</mo><mn>1</mn><mo>−</mo><mi>o</mi><mo>)</mo></mrow></mrow><mrow><mi>cos</mi><mo>(</mo><mi>α</mi><mo>)</mo></mrow></mfrac><mo>,</mo><mi>N</mi><mo>=</mo><mfrac><mi>L</mi><mi>p</mi></mfrac>",
        },
        Formula {
            text: "layers = 1/(1 − o)",
            mathml: "<mi>n</mi><mo>=</mo><mfrac><mn>1</mn><mrow><mn>1</mn><mo>−</mo><mi>o</mi></mrow></mfrac>",
        },
    ],
    limits: &[
        "Stretching the tape shortens what is used; it is not counted.",
        "A half-lap pass adds four thicknesses to the diameter: reckon pass by pass.",
    ],
    sources: &["Helix geometry, derived; the angle cancels exactly"],
    example: Example {
        given: &[
            ("diameter", "12 mm"),
            ("tape-width", "19 mm"),
            ("tape-thickness", "0.13 mm"),
            ("length", "500 mm"),
            ("end-turns", "3"),
        ],
        answers: &[("tape", 2.12), ("layers", 2.0)],
    },
    maker_first: false,
};

impl Working for Wrap {
    fn declaration(&self) -> &'static Declaration {
        &DECLARATION
    }

    fn work(&self, given: &Given) -> Result<Outcome, Refusal> {
        let diameter = given.need("diameter")?;
        let width = given.need("tape-width")?;
        let thickness = given.need("tape-thickness")?;
        let overlap = given.need("overlap")?;
        // A spiral must exist for every wire and tape within the tolerances.
        let tightest = PI * (diameter.low() + thickness.low());
        let widest = width.high() * (1.0 - overlap.low());
        if widest >= tightest {
            let least = widest / PI - thickness.value;
            let least = number(least, Rounding::LengthUp);
            return Err(Refusal::input(
                "diameter",
                phrase!("the tape is too wide for a spiral: this tape and overlap need a loom of more than {least} mm", least = least),
            )
            .help(phrase!("use a narrower tape, more overlap, or lay it lengthwise")));
        }
        let length = given.need("length")?.high();
        let round = PI * (diameter.high() + thickness.high());
        let advance = width.low() * (1.0 - overlap.high());
        let angle = (advance / round).asin();
        let pitch = advance / angle.cos();
        let metres = (round * length / advance + given.need("end-turns")?.high() * round) / 1000.0;
        let mut answer = Answer::new(&DECLARATION);
        answer.worst_case(given.is_tolerant());
        answer.step(phrase!(
            "one turn is {turn} mm long, and {advance} mm of the width advances",
            turn = number(round, Rounding::Figures),
            advance = number(advance, Rounding::Figures)
        ));
        if angle.to_degrees() > 45.0 {
            answer.caution(phrase!(
                "Above about 45° the tape does not lie flat: take a narrower one (common practice)."
            ));
        }
        answer.caution(phrase!("Tape is filler and secondary support, never the only insulation of a live joint (AC 43.13-1B 11-96, 11-159)."));
        answer.put("tape", metres);
        answer.put("angle", angle.to_degrees());
        answer.put("pitch", pitch);
        answer.put("turns", length / pitch);
        answer.put("layers", 1.0 / (1.0 - overlap.value));
        answer.finish()
    }
}
