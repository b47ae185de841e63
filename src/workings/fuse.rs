//! `fuse`: which blade fuse rating a load and its thinnest wire leave room for.

use crate::quantity::Bound;
use crate::quantity::print::{Rounding, number};
use crate::workings::base::declaration::{Declaration, Example, Formula, Input, Output, Working};
use crate::workings::base::given::Given;
use crate::workings::base::outcome::{Answer, Outcome};
use crate::workings::base::refusal::Refusal;

/// The working `fuse`.
pub(crate) struct Fuse;

/// Ratings in A and body colours of blade fuses (ISO 8820-3, from memory).
const FUSES: &[(f64, &str)] = &[
    (1.0, "black"),
    (2.0, "grey"),
    (3.0, "violet"),
    (4.0, "pink"),
    (5.0, "tan"),
    (7.5, "brown"),
    (10.0, "red"),
    (15.0, "blue"),
    (20.0, "yellow"),
    (25.0, "clear (natural)"),
    (30.0, "green"),
    (35.0, "blue-green"),
    (40.0, "orange"),
];

static DECLARATION: Declaration = Declaration {
    name: "fuse",
    title: "Fuse for a load and its wire",
    purpose: "Checks which standard rating carries a load and still protects the thinnest wire behind it.",
    inputs: &[
        Input::need("load", "A", Bound::above(0.0, 500.0), "continuous current of the load"),
        Input::need(
            "wire-limit",
            "A",
            Bound::above(0.0, 500.0),
            "rated current of the thinnest wire, with conditions and source",
        ),
    ],
    open: false,
    outputs: &[
        Output::number("rating", "A", Rounding::Exact, "smallest rating that fits"),
        Output::text("colour", "colour of its body; the printed number counts, not the colour"),
    ],
    formulas: &[
        Formula {
            text: "rating·0.8 ≥ load",
            mathml: "<mrow><mn>0.8</mn><mo>·</mo><msub><mi>I</mi><mi>f</mi></msub></mrow><mo>≥</mo><mi>I</mi>",
        },
        Formula {
            text: "rating ≤ wire-limit",
            mathml: "<msub><mi>I</mi><mi>f</mi></msub><mo>≤</mo><msub><mi>I</mi><mi>w</mi></msub>",
        },
    ],
    limits: &["Inrush, ambient temperature and the time-current curve are not in it."],
    sources: &["ISO 8820-3 ratings and colours, from memory", "Loading of at most 80 %: common practice"],
    example: Example { given: &[("load", "7 A"), ("wire-limit", "14 A")], answers: &[("rating", 10.0)] },
    maker_first: true,
};

impl Working for Fuse {
    fn declaration(&self) -> &'static Declaration {
        &DECLARATION
    }

    fn work(&self, given: &Given) -> Result<Outcome, Refusal> {
        let load = given.need("load")?.high();
        let limit = given.need("wire-limit")?.low();
        let show = |value: f64| number(value, Rounding::Exact);
        let carrying = FUSES.iter().find(|(rating, _)| rating * 0.8 >= load - 1e-9);
        let (rating, colour) = match carrying {
            Some((rating, colour)) if *rating <= limit => (*rating, *colour),
            Some((rating, _)) => {
                let message = format!(
                    "none fits: a load of {} A needs a fuse of {} A, which the wire's {} A does not allow",
                    show(load),
                    show(*rating),
                    show(limit)
                );
                return Err(Refusal::input("wire-limit", message)
                    .help("the wire is too thin for the load: see `wire`"));
            }
            None => {
                let message = format!(
                    "none fits: a load of {} A is above 80 % of 40 A, the largest rating here",
                    show(load)
                );
                return Err(Refusal::input("load", message));
            }
        };
        let mut answer = Answer::new(&DECLARATION);
        answer.step(format!("{} A at most loaded to 80 % carries {} A", show(rating), show(rating * 0.8)));
        answer.put("rating", rating);
        answer.put_text("colour", colour);
        answer
            .caution("A replacement fuse is the rating that the vehicle maker prints, never a computed one.");
        answer.caution("A fuse protects the thinnest wire behind it: never fit a larger one.");
        answer.caution(
            "Ratings and colours are from memory (ISO 8820-3, unverified): read the number on the fuse.",
        );
        answer.finish()
    }
}
