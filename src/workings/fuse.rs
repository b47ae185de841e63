//! `fuse`: which blade fuse rating a load and its thinnest wire leave room for.

use crate::phrase::{Phrase, phrase};
use crate::quantity::Bound;
use crate::quantity::print::{Rounding, number};
use crate::workings::base::declaration::{Declaration, Example, Formula, Input, Output};
use crate::workings::base::given::Given;
use crate::workings::base::outcome::{Answer, Outcome};
use crate::workings::base::refusal::Refusal;
use crate::workings::base::working::Working;

/// The working `fuse`.
pub(crate) struct Fuse;

/// Ratings in A and body colours of blade fuses (ISO 8820-3, from memory).
static FUSES: [(f64, Phrase); 13] = [
    (1.0, phrase!("black")),
    (2.0, phrase!("grey")),
    (3.0, phrase!("violet")),
    (4.0, phrase!("pink")),
    (5.0, phrase!("tan")),
    (7.5, phrase!("brown")),
    (10.0, phrase!("red")),
    (15.0, phrase!("blue")),
    (20.0, phrase!("yellow")),
    (25.0, phrase!("clear (natural)")),
    (30.0, phrase!("green")),
    (35.0, phrase!("blue-green")),
    (40.0, phrase!("orange")),
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
            Some((rating, colour)) if *rating <= limit => (*rating, colour.clone()),
            Some((rating, _)) => {
                let message = phrase!(
                    "none fits: a load of {load} A needs a fuse of {rating} A, which the wire's {limit} A does not allow",
                    load = show(load),
                    rating = show(*rating),
                    limit = show(limit)
                );
                return Err(Refusal::input("wire-limit", message)
                    .help(phrase!("the wire is too thin for the load: see `wire`")));
            }
            None => {
                let message = phrase!(
                    "none fits: a load of {load} A is above 80 % of 40 A, the largest rating here",
                    load = show(load)
                );
                return Err(Refusal::input("load", message));
            }
        };
        let mut answer = Answer::new(&DECLARATION);
        answer.step(phrase!(
            "{rating} A at most loaded to 80 % carries {load} A",
            rating = show(rating),
            load = show(rating * 0.8)
        ));
        answer.put("rating", rating);
        answer.put_words("colour", colour);
        answer.caution(phrase!(
            "A replacement fuse is the rating that the vehicle maker prints, never a computed one."
        ));
        answer.caution(phrase!("A fuse protects the thinnest wire behind it: never fit a larger one."));
        answer.caution(phrase!(
            "Ratings and colours are from memory (ISO 8820-3, unverified): read the number on the fuse."
        ));
        answer.finish()
    }
}
