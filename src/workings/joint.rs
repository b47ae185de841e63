//! `joint`: how thick a joint is, and how far to strip for it.

use crate::phrase::{Phrase, phrase};
use crate::quantity::Bound;
use crate::quantity::print::{Rounding, number};
use crate::workings::base::declaration::{Declaration, Example, Formula, Input, Kind, Output};
use crate::workings::base::given::{Given, missing};
use crate::workings::base::outcome::{Answer, Outcome};
use crate::workings::base::refusal::Refusal;
use crate::workings::base::working::Working;
use crate::workings::science::packing::pack;

/// The working `joint`.
pub(crate) struct Joint;

const WIRE: Bound = Bound::above(0.0, 100.0);
const LENGTH: Bound = Bound::above(0.0, 1000.0);

static DECLARATION: Declaration = Declaration {
    name: "joint",
    title: "How thick a joint is",
    purpose: "Gives the diameter of a joint of two or more conductors, and how far to strip them.",
    inputs: &[
        Input::word(
            "by",
            Kind::Choice(&["lap", "meshed", "barrel"]),
            "how the conductors are brought together",
        ),
        Input::need("wires", "mm", WIRE, "diameters of the conductors, without insulation")
            .kind(Kind::Quantities)
            .of_conductor(),
        Input::need("lap", "mm", LENGTH, "length of the joint"),
        Input::may("barrel", "mm", WIRE, "outside diameter of the barrel, for a barrel joint"),
        Input::need(
            "gap",
            "mm",
            Bound::from(0.0, 1000.0),
            "from each tip to the other conductor's insulation",
        )
        .default("1 mm"),
        Input::need("fillet", "mm", Bound::from(0.0, 20.0), "added to the diameter for solder")
            .default("0 mm"),
        Input::word("tinned", Kind::Choice(&["yes", "no"]), "whether the strands are tinned with solder")
            .default("no"),
    ],
    open: false,
    outputs: &[
        Output::number("diameter", "mm", Rounding::LengthUp, "diameter of the joint"),
        Output::number("length", "mm", Rounding::Length, "length of the joint"),
        Output::number("strip", "mm", Rounding::Length, "length to strip of each conductor"),
        Output::number("bare", "mm", Rounding::LengthUp, "length without insulation, to be covered"),
    ],
    formulas: &[
        Formula {
            text: "lap of two: D = d₁ + d₂ + fillet; of more: that of their bundle",
            mathml: "<mi>D</mi><mo>=</mo><msub><mi>d</mi><mn>1</mn></msub><mo>+</mo><msub><mi>d</mi><mn>2</mn></msub><mo>+</mo><mi>f</mi>",
        },
        Formula {
            text: "meshed: D = √(Σ dᵢ²) + fillet",
            mathml: "<mi>D</mi><mo>=</mo><msqrt><mrow><mo>∑</mo><msup><msub><mi>d</mi><mi>i</mi></msub><mn>2</mn></msup></mrow></msqrt><mo>+</mo><mi>f</mi>",
        },
        Formula {
            text: "strip = lap + gap; bare = lap + 2·gap",
            mathml: "<mi>s</mi><mo>=</mo><mi>l</mi><mo>+</mo><mi>g</mi><mo>,</mo><mi>b</mi><mo>=</mo><mi>l</mi><mo>+</mo><mrow><mn>2</mn><mo>·</mo><mi>g</mi></mrow>",
        },
    ],
    limits: &[
        "A meshed joint keeps the gross area of its strands; hand-made joints are thicker: measure one.",
        "The fillet of solder is an input: measure a finished joint once.",
    ],
    sources: &[
        "NASA-STD-8739.4 19.6.1 for the lap of 3 to 6 conductor diameters",
        "NASA-STD-8739.3 9.1.1 for the gap of less than two wire diameters",
        "Derived geometry",
    ],
    example: Example {
        given: &[("by", "lap"), ("wires", "1.1 mm, 1.1 mm"), ("lap", "5 mm")],
        answers: &[("diameter", 2.2), ("length", 5.0), ("strip", 6.0), ("bare", 7.0)],
    },
    maker_first: false,
};

impl Working for Joint {
    fn declaration(&self) -> &'static Declaration {
        &DECLARATION
    }

    fn packs(&self) -> Option<&'static str> {
        Some("wires")
    }

    fn work(&self, given: &Given) -> Result<Outcome, Refusal> {
        let wires: Vec<f64> = given.measures("wires").iter().map(|wire| wire.value).collect();
        let by = given.text("by").ok_or_else(|| missing(&DECLARATION, "by"))?;
        let lap = given.need("lap")?.value;
        let gap = given.need("gap")?.value;
        let fillet = given.need("fillet")?.value;
        if wires.len() < 2 {
            return Err(Refusal::input("wires", phrase!("a joint has at least two conductors")));
        }
        if wires.len() > 60 {
            return Err(Refusal::input("wires", phrase!("at most 60 conductors are taken in one joint")));
        }
        let mut answer = Answer::new(&DECLARATION);
        let bare = match by {
            "lap" => pack(&wires).diameter,
            "meshed" => wires.iter().map(|d| d * d).sum::<f64>().sqrt(),
            _ => barrel(given, &wires)?,
        };
        answer.step(phrase!(
            "{by} of {count} conductors: {diameter} mm without solder",
            by = joined(by),
            count = wires.len(),
            diameter = number(bare, Rounding::Figures)
        ));
        caution(&mut answer, given, by, &wires, lap, gap);
        answer.put("diameter", bare + fillet);
        answer.put("length", lap);
        answer.put("strip", lap + gap);
        answer.put("bare", lap + 2.0 * gap);
        answer.finish()
    }
}

/// How the conductors are brought together, in words.
fn joined(by: &str) -> Phrase {
    match by {
        "lap" => phrase!("lap"),
        "meshed" => phrase!("meshed"),
        _ => phrase!("barrel"),
    }
}

/// The outside diameter of a barrel, which must be able to hold each conductor.
fn barrel(given: &Given, wires: &[f64]) -> Result<f64, Refusal> {
    let barrel = given.measure("barrel").ok_or_else(|| {
        Refusal::input(
            "barrel",
            phrase!("`barrel` is missing: a barrel joint needs the outside diameter of its barrel"),
        )
    })?;
    let thickest = wires.iter().copied().fold(0.0, f64::max);
    if barrel.value <= thickest {
        let thickest = number(thickest, Rounding::Exact);
        let message = phrase!(
            "a barrel must be more than {thickest} mm across to take the thickest conductor",
            thickest = thickest
        );
        return Err(Refusal::input("barrel", message));
    }
    Ok(barrel.value)
}

/// What the standards say against this joint.
fn caution(answer: &mut Answer, given: &Given, by: &str, wires: &[f64], lap: f64, gap: f64) {
    let thinnest = wires.iter().copied().fold(f64::INFINITY, f64::min);
    let thickest = wires.iter().copied().fold(0.0, f64::max);
    let show = |value: f64| number(value, Rounding::Figures);
    // The thicker conductor sets the least lap; with it, the window is 3 to 6 of its diameters.
    if by != "barrel" && (lap < 3.0 * thickest - 1e-9 || lap > 6.0 * thickest + 1e-9) {
        answer.caution(phrase!("A lap of {lap} mm is outside 3 to 6 conductor diameters ({least} mm to {greatest} mm): NASA-STD-8739.4 19.6.1.", lap = show(lap), least = show(3.0 * thickest), greatest = show(6.0 * thickest)));
    }
    if gap >= 2.0 * thinnest {
        answer.caution(phrase!(
            "A gap of {gap} mm is two wire diameters or more ({limit} mm): NASA-STD-8739.3 9.1.1.",
            gap = show(gap),
            limit = show(2.0 * thinnest)
        ));
    }
    if by == "barrel" && given.text("tinned") == Some("yes") {
        answer.caution(phrase!("Tinned strands are not crimped: the solder creeps and the crimp comes loose (NASA-STD-8739.4 4.3)."));
    }
}
