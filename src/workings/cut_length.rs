//! `cut-length`: how long to cut a new cable for its way through the vehicle.

use crate::phrase::phrase;
use crate::quantity::Bound;
use crate::quantity::Quantity;
use crate::quantity::print::{Rounding, number};
use crate::workings::base::declaration::{Declaration, Example, Formula, Input, Kind, Output, known};
use crate::workings::base::given::{Given, Measure};
use crate::workings::base::outcome::{Answer, Outcome};
use crate::workings::base::refusal::Refusal;
use crate::workings::base::settle::unreadable;
use crate::workings::base::working::Working;

/// The working `cut-length`.
pub(crate) struct CutLength;

const LENGTH: Bound = Bound::from(0.0, 1e6);
const ANGLE: Bound = Bound::from(0.0, 3600.0);
const RADIUS: Bound = Bound::above(0.0, 100_000.0);

static DECLARATION: Declaration = Declaration {
    name: "cut-length",
    title: "How long to cut a new cable",
    purpose: "Adds straight runs, bends, service loops and terminations, and rounds up to a step.",
    inputs: &[
        Input::need("runs", "mm", LENGTH, "straight lengths").kind(Kind::Quantities),
        Input::word("bends", Kind::Texts, "bends as angle/radius to the cable's axis, `90deg/30mm`")
            .optional(),
        Input::may("loops", "mm", LENGTH, "lengths of service loops").kind(Kind::Quantities),
        Input::may("terminations", "mm", LENGTH, "what each end uses up").kind(Kind::Quantities),
        Input::need("slack", "1", Bound::from(0.0, 1.0), "slack as a fraction of runs and bends")
            .default("0"),
        Input::may("outside", "mm", Bound::above(0.0, 200.0), "outside diameter of the cable"),
        Input::may(
            "bend-factor",
            "1",
            Bound::above(0.0, 100.0),
            "least bend radius to the axis over the outside diameter",
        ),
        Input::need("step", "mm", Bound::above(0.0, 10_000.0), "step to round up to").default("5 mm"),
    ],
    open: false,
    outputs: &[
        Output::number("exact", "mm", Rounding::LengthUp, "length before rounding up"),
        Output::number("length", "mm", Rounding::LengthUp, "length to cut"),
        Output::number("least-radius", "mm", Rounding::LengthUp, "least bend radius to the cable's axis"),
    ],
    formulas: &[
        Formula {
            text: "exact = (Σ runs + Σ angle·radius)·(1 + slack) + Σ loops + Σ terminations",
            mathml: "<mi>E</mi><mo>=</mo><mrow><mrow><mo>(</mo><mrow><mo>∑</mo><msub><mi>l</mi><mi>i</mi></msub></mrow><mo>+</mo><mrow><mo>∑</mo><mrow><msub><mi>φ</mi><mi>i</mi></msub><mo>·</mo><msub><mi>r</mi><mi>i</mi></msub></mrow></mrow><mo>)</mo></mrow><mo>·</mo><mrow><mo>(</mo><mn>1</mn><mo>+</mo><mi>s</mi><mo>)</mo></mrow></mrow><mo>+</mo><mrow><mo>∑</mo><msub><mi>o</mi><mi>i</mi></msub></mrow><mo>+</mo><mrow><mo>∑</mo><msub><mi>t</mi><mi>i</mi></msub></mrow>",
        },
        Formula {
            text: "least-radius = bend-factor·outside",
            mathml: "<msub><mi>r</mi><mi>min</mi></msub><mo>=</mo><mrow><mi>k</mi><mo>·</mo><mi>D</mi></mrow>",
        },
    ],
    limits: &["Radii are to the cable's axis; a rule for the inside of a bend adds half the diameter."],
    sources: &[
        "Derived geometry",
        "NASA-STD-8739.4 and AC 43.13-1B for least bend radii: name the one that holds",
    ],
    example: Example {
        given: &[
            ("runs", "400 mm, 250 mm"),
            ("bends", "90deg/30mm"),
            ("terminations", "8 mm, 8 mm"),
            ("slack", "2 %"),
        ],
        answers: &[("exact", 727.066_4), ("length", 730.0)],
    },
    maker_first: false,
};

/// One bend, worst case taken.
struct Bend {
    arc: f64,
    least_radius: f64,
}

impl Working for CutLength {
    fn declaration(&self) -> &'static Declaration {
        &DECLARATION
    }

    fn work(&self, given: &Given) -> Result<Outcome, Refusal> {
        let sum = |name: &str| given.measures(name).iter().map(Measure::high).sum::<f64>();
        let (bends, tolerant) = bends(given.texts("bends"))?;
        let arcs: f64 = bends.iter().map(|bend| bend.arc).sum();
        let step = given.need("step")?.value;
        let exact =
            (sum("runs") + arcs) * (1.0 + given.need("slack")?.high()) + sum("loops") + sum("terminations");
        let mut answer = Answer::new(&DECLARATION);
        answer.worst_case(given.is_tolerant() || tolerant);
        let show = |value: f64| number(value, Rounding::Figures);
        answer.step(phrase!(
            "straight runs {runs} mm, bends {bends} mm",
            runs = show(sum("runs")),
            bends = show(arcs)
        ));
        answer.step(phrase!(
            "loops {loops} mm, terminations {terminations} mm",
            loops = show(sum("loops")),
            terminations = show(sum("terminations"))
        ));
        answer.put("exact", exact);
        // The allowance keeps a length that is a whole number of steps from gaining one by its last places.
        let steps = (exact / step - 1e-9).ceil();
        answer.put("length", steps * step);
        if let (Some(outside), Some(factor)) = (given.measure("outside"), given.measure("bend-factor")) {
            let least = outside.high() * factor.high();
            answer.put("least-radius", least);
            if let Some(bend) = bends.iter().find(|bend| bend.least_radius < least * (1.0 - 1e-9)) {
                return Err(Refusal::input(
                    "bends",
                    phrase!(
                        "a bend of {radius} mm is tighter than the least radius of {least} mm",
                        radius = show(bend.least_radius),
                        least = number(least, Rounding::LengthUp)
                    ),
                )
                .help(phrase!("lay the cable in a wider bend")));
            }
        }
        answer.finish()
    }
}

/// The bends, and whether any carries a tolerance.
fn bends(texts: &[String]) -> Result<(Vec<Bend>, bool), Refusal> {
    let mut bends = Vec::with_capacity(texts.len());
    let mut tolerant = false;
    for text in texts {
        let shown: String = text.chars().take(40).collect();
        let Some((angle, radius)) = text.split_once('/') else {
            return Err(Refusal::input(
                "bends",
                phrase!("`{shown}` is not a bend: write for example `90deg/30mm`", shown = shown),
            ));
        };
        let (angle, radius) = (part(angle, "°", ANGLE, &shown)?, part(radius, "mm", RADIUS, &shown)?);
        tolerant |= angle.tolerance > 0.0 || radius.tolerance > 0.0;
        bends.push(Bend { arc: angle.high().to_radians() * radius.high(), least_radius: radius.low() });
    }
    Ok((bends, tolerant))
}

/// One part of a bend inside its bounds.
fn part(text: &str, symbol: &str, bound: Bound, shown: &str) -> Result<Measure, Refusal> {
    let unit = known(symbol);
    let quantity = Quantity::parse_as(text, unit).map_err(|error| unreadable("bends", &error))?;
    let value = quantity.in_unit(unit).map_err(|error| unreadable("bends", &error))?;
    let tolerance = quantity.tolerance_in(unit).map_err(|error| unreadable("bends", &error))?;
    if bound.holds(value - tolerance) && bound.holds(value + tolerance) {
        return Ok(Measure { value, tolerance });
    }
    Err(Refusal::input(
        "bends",
        phrase!(
            "in `{shown}`, the part in {symbol} must be {limits}",
            shown = shown,
            symbol = symbol,
            limits = bound.words(symbol)
        ),
    ))
}
