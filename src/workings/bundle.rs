//! `bundle`: how thick a bundle of wires is, by packing their circles.

use crate::phrase::phrase;
use crate::quantity::Bound;
use crate::quantity::print::{Rounding, number};
use crate::workings::base::declaration::{Declaration, Example, Formula, Input, Kind, Output};
use crate::workings::base::given::Given;
use crate::workings::base::outcome::{Answer, Outcome, Value};
use crate::workings::base::refusal::Refusal;
use crate::workings::base::working::Working;
use crate::workings::science::packing::pack;

/// The working `bundle`.
pub(crate) struct Bundle;

/// The most circles that are packed.
pub(crate) const MOST: usize = 200;

static DECLARATION: Declaration = Declaration {
    name: "bundle",
    title: "How thick a bundle is",
    purpose: "Finds the smallest circle that holds all wires, and the conduit to buy for them.",
    inputs: &[
        Input::need("diameters", "mm", Bound::above(0.0, 1000.0), "outside diameters of the wires")
            .kind(Kind::Quantities),
        Input::need("cover", "mm", Bound::from(0.0, 100.0), "wall thickness of a cover round the bundle")
            .default("0 mm"),
        Input::need("spare", "1", Bound::from(0.0, 5.0), "room to spare in the conduit, as a fraction")
            .default("0.2"),
    ],
    open: false,
    outputs: &[
        Output::number("diameter", "mm", Rounding::LengthUp, "diameter of the bundle with its cover"),
        Output::number(
            "fill",
            "1",
            Rounding::Figures,
            "share of the circle that the wires fill, without cover",
        ),
        Output::number("rule-of-thumb", "mm", Rounding::LengthUp, "1.2·√(Σd²), for comparison"),
        Output::text("positions", "where each wire lies, from the centre"),
        Output::number("upper", "mm", Rounding::LengthUp, "inside diameter of the conduit to buy"),
    ],
    formulas: &[
        Formula {
            text: "diameter = least D with |pᵢ| + dᵢ/2 ≤ D/2 and |pᵢ − pⱼ| ≥ (dᵢ + dⱼ)/2, plus 2·cover",
            mathml: "<mrow><mo>|</mo><msub><mi>p</mi><mi>i</mi></msub><mo>|</mo></mrow><mo>+</mo><mfrac><msub><mi>d</mi><mi>i</mi></msub><mn>2</mn></mfrac><mo>≤</mo><mfrac><mi>D</mi><mn>2</mn></mfrac><mo>,</mo><mrow><mo>|</mo><msub><mi>p</mi><mi>i</mi></msub><mo>−</mo><msub><mi>p</mi><mi>j</mi></msub><mo>|</mo></mrow><mo>≥</mo><mfrac><mrow><msub><mi>d</mi><mi>i</mi></msub><mo>+</mo><msub><mi>d</mi><mi>j</mi></msub></mrow><mn>2</mn></mfrac>",
        },
        Formula {
            text: "rule of thumb = 1.2·√(Σ d²)",
            mathml: "<mi>D</mi><mo>=</mo><mrow><mn>1.2</mn><mo>·</mo><msqrt><mrow><mo>∑</mo><msup><msub><mi>d</mi><mi>i</mi></msub><mn>2</mn></msup></mrow></msqrt></mrow>",
        },
        Formula {
            text: "fill = Σ d² / D²",
            mathml: "<mi>φ</mi><mo>=</mo><mfrac><mrow><mo>∑</mo><msup><msub><mi>d</mi><mi>i</mi></msub><mn>2</mn></msup></mrow><msup><mi>D</mi><mn>2</mn></msup></mfrac>",
        },
        Formula {
            text: "upper = diameter·(1 + spare)",
            mathml: "<mi>U</mi><mo>=</mo><mrow><mi>D</mi><mo>·</mo><mrow><mo>(</mo><mn>1</mn><mo>+</mo><mi>s</mi><mo>)</mo></mrow></mrow>",
        },
    ],
    limits: &[
        "Round, hard wires; a hand-tied bundle is thicker than the best packing.",
        "One to three wires and equal wires on rings are exact; else the best arrangement that a fixed search finds.",
    ],
    sources: &[
        "Packing search, derived; checked against the collected table of proven and best known packings (Graham, Pirl, Melissen, Fodor, Goldberg, Reis)",
        "The factor 1.2 is a rule of thumb from memory",
    ],
    example: Example {
        given: &[("diameters", "2mm,2mm,2mm")],
        answers: &[("diameter", 4.309_401), ("rule-of-thumb", 4.156_92)],
    },
    maker_first: false,
};

impl Working for Bundle {
    fn declaration(&self) -> &'static Declaration {
        &DECLARATION
    }

    fn packs(&self) -> Option<&'static str> {
        Some("diameters")
    }

    fn work(&self, given: &Given) -> Result<Outcome, Refusal> {
        let diameters: Vec<f64> = given.measures("diameters").iter().map(|wire| wire.value).collect();
        if diameters.len() > MOST {
            return Err(Refusal::input(
                "diameters",
                phrase!(
                    "{count} wires are too many: at most {most} are packed",
                    count = diameters.len(),
                    most = MOST
                ),
            ));
        }
        let packing = pack(&diameters);
        let squares: f64 = diameters.iter().map(|d| d * d).sum();
        let whole = packing.diameter + 2.0 * given.need("cover")?.value;
        let mut answer = Answer::new(&DECLARATION);
        let how = match packing.exact {
            true => phrase!("closed form"),
            false => phrase!("best arrangement found"),
        };
        answer.step(phrase!(
            "{how} of {count} wires: {diameter} mm without cover",
            how = how,
            count = diameters.len(),
            diameter = number(packing.diameter, Rounding::Figures)
        ));
        answer.put("diameter", whole);
        answer.put("fill", squares / (packing.diameter * packing.diameter));
        answer.put("rule-of-thumb", 1.2 * squares.sqrt());
        answer.put_value("positions", Value::Positions(packing.circles));
        answer.put("upper", whole * (1.0 + given.need("spare")?.value));
        answer.finish()
    }
}
