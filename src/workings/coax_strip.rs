//! `coax-strip`: how far to strip each layer of a coax for an in-line joint.

use crate::phrase::phrase;
use crate::quantity::Bound;
use crate::quantity::print::Rounding;
use crate::workings::base::declaration::{Declaration, Example, Formula, Input, Kind, Output};
use crate::workings::base::given::{Given, missing};
use crate::workings::base::outcome::{Answer, Outcome};
use crate::workings::base::refusal::Refusal;
use crate::workings::base::working::Working;

/// The working `coax-strip`.
pub(crate) struct CoaxStrip;

const DIAMETER: Bound = Bound::above(0.0, 100.0);
const LENGTH: Bound = Bound::from(0.0, 1000.0);

static DECLARATION: Declaration = Declaration {
    name: "coax-strip",
    title: "How far to strip a coax for an in-line joint",
    purpose: "Gives the strip lengths of core, shield and jacket, and what the inner and outer sleeves cover.",
    inputs: &[
        Input::may("core", "mm", DIAMETER, "diameter of the core"),
        Input::may("dielectric", "mm", DIAMETER, "diameter over the dielectric"),
        Input::may("shield", "mm", DIAMETER, "diameter over the shield"),
        Input::may("jacket", "mm", DIAMETER, "diameter over the jacket"),
        Input::word("cable", Kind::Cable, "a coax of the stores instead of the four diameters").optional(),
        Input::need("joint", "mm", Bound::above(0.0, 1000.0), "length of the core joint"),
        Input::need("tip", "mm", LENGTH, "gap from a core's tip to the other dielectric").default("1 mm"),
        Input::need("inner-overlap", "mm", LENGTH, "what the inner sleeve covers of each dielectric")
            .default("5 mm"),
        Input::need("gap", "mm", LENGTH, "gap between the inner sleeve and the shield's edge")
            .default("1 mm"),
        Input::need("shield-overlap", "mm", LENGTH, "what the shield bridge covers of each shield")
            .default("6 mm"),
        Input::need("outer-overlap", "mm", LENGTH, "what the outer sleeve covers of each jacket")
            .default("10 mm"),
    ],
    open: false,
    outputs: &[
        Output::number("core-strip", "mm", Rounding::Length, "length of bare core, from the cut end"),
        Output::number("shield-cut-back", "mm", Rounding::Length, "length without shield, from the cut end"),
        Output::number("jacket-strip", "mm", Rounding::Length, "length without jacket, from the cut end"),
        Output::number(
            "inner-sleeve-covers",
            "mm",
            Rounding::LengthUp,
            "length of the inner sleeve, finished",
        ),
        Output::number("shield-bridge", "mm", Rounding::LengthUp, "length of the shield bridge"),
        Output::number(
            "outer-sleeve-covers",
            "mm",
            Rounding::LengthUp,
            "length of the outer sleeve, finished",
        ),
        Output::number(
            "cable-allowance",
            "mm",
            Rounding::Length,
            "what the two ends must overlap, so that the run keeps its length",
        ),
    ],
    formulas: &[
        Formula { text: "core-strip = L + t", mathml: "<mi>c</mi><mo>=</mo><mi>L</mi><mo>+</mo><mi>t</mi>" },
        Formula {
            text: "shield-cut-back = L + t + o₁ + g",
            mathml: "<mi>s</mi><mo>=</mo><mi>L</mi><mo>+</mo><mi>t</mi><mo>+</mo><msub><mi>o</mi><mn>1</mn></msub><mo>+</mo><mi>g</mi>",
        },
        Formula {
            text: "jacket-strip = L + t + o₁ + g + o₂",
            mathml: "<mi>j</mi><mo>=</mo><mi>L</mi><mo>+</mo><mi>t</mi><mo>+</mo><msub><mi>o</mi><mn>1</mn></msub><mo>+</mo><mi>g</mi><mo>+</mo><msub><mi>o</mi><mn>2</mn></msub>",
        },
        Formula {
            text: "inner-sleeve-covers = L + 2·(t + o₁)",
            mathml: "<mi>i</mi><mo>=</mo><mi>L</mi><mo>+</mo><mrow><mn>2</mn><mo>·</mo><mrow><mo>(</mo><mi>t</mi><mo>+</mo><msub><mi>o</mi><mn>1</mn></msub><mo>)</mo></mrow></mrow>",
        },
        Formula {
            text: "shield-bridge = L + 2·(t + o₁ + g + o₂)",
            mathml: "<mi>b</mi><mo>=</mo><mi>L</mi><mo>+</mo><mrow><mn>2</mn><mo>·</mo><mrow><mo>(</mo><mi>t</mi><mo>+</mo><msub><mi>o</mi><mn>1</mn></msub><mo>+</mo><mi>g</mi><mo>+</mo><msub><mi>o</mi><mn>2</mn></msub><mo>)</mo></mrow></mrow>",
        },
        Formula {
            text: "outer-sleeve-covers = L + 2·(t + o₁ + g + o₂ + o₃)",
            mathml: "<mi>a</mi><mo>=</mo><mi>L</mi><mo>+</mo><mrow><mn>2</mn><mo>·</mo><mrow><mo>(</mo><mi>t</mi><mo>+</mo><msub><mi>o</mi><mn>1</mn></msub><mo>+</mo><mi>g</mi><mo>+</mo><msub><mi>o</mi><mn>2</mn></msub><mo>+</mo><msub><mi>o</mi><mn>3</mn></msub><mo>)</mo></mrow></mrow>",
        },
    ],
    limits: &[
        "Both cores lie side by side over the joint; each layer works outwards from it.",
        "The step lengths of a connector or a splice kit are its maker's and come first.",
    ],
    sources: &["Derived geometry; the default overlaps are common practice"],
    example: Example {
        given: &[
            ("core", "0.3 mm"),
            ("dielectric", "1.95 mm"),
            ("shield", "2.5 mm"),
            ("jacket", "3.2 mm"),
            ("joint", "4 mm"),
        ],
        answers: &[
            ("core-strip", 5.0),
            ("shield-cut-back", 11.0),
            ("jacket-strip", 17.0),
            ("inner-sleeve-covers", 16.0),
            ("shield-bridge", 30.0),
            ("outer-sleeve-covers", 50.0),
            ("cable-allowance", 4.0),
        ],
    },
    maker_first: false,
};

impl Working for CoaxStrip {
    fn declaration(&self) -> &'static Declaration {
        &DECLARATION
    }

    fn work(&self, given: &Given) -> Result<Outcome, Refusal> {
        nested(given)?;
        let value = |name: &str| given.need(name).map(|measure| measure.value);
        let joint = value("joint")?;
        let core = joint + value("tip")?;
        let dielectric = core + value("inner-overlap")?;
        let shield = dielectric + value("gap")?;
        let jacket = shield + value("shield-overlap")?;
        let outer = jacket + value("outer-overlap")?;
        // From the cut end, each length counts once; over the whole joint the far side counts again.
        let whole = |reach: f64| 2.0 * reach - joint;
        let mut answer = Answer::new(&DECLARATION);
        answer.put("core-strip", core);
        answer.put("shield-cut-back", shield);
        answer.put("jacket-strip", jacket);
        answer.put("inner-sleeve-covers", whole(dielectric));
        answer.put("shield-bridge", whole(jacket));
        answer.put("outer-sleeve-covers", whole(outer));
        answer.put("cable-allowance", joint);
        answer.caution(phrase!(
            "The step lengths of a connector or a splice kit are its maker's and come first."
        ));
        answer.finish()
    }
}

/// The four diameters, each larger than the one inside.
fn nested(given: &Given) -> Result<(), Refusal> {
    let cable = given.cable("cable");
    let layers = [
        ("core", cable.and_then(|cable| cable.core)),
        ("dielectric", cable.and_then(|cable| cable.dielectric)),
        ("shield", cable.and_then(|cable| cable.shield)),
        ("jacket", cable.and_then(|cable| cable.outside)),
    ];
    let mut inside: Option<(&str, f64)> = None;
    for (name, stored) in layers {
        let diameter = given.measure(name).map(|measure| measure.value).or(stored);
        let diameter = diameter.ok_or_else(|| {
            missing(&DECLARATION, name)
                .help(phrase!("give the four diameters, or a `cable` of the stores that has them"))
        })?;
        if let Some((inner, size)) = inside
            && diameter <= size
        {
            return Err(Refusal::input(
                name,
                phrase!(
                    "`{name}` must be larger than `{inner}`: the layers of a coax are nested",
                    name = name,
                    inner = inner
                ),
            ));
        }
        inside = Some((name, diameter));
    }
    Ok(())
}
