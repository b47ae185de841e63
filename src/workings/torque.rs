//! `torque`: a torque in other units, what to set a wrench with an adapter to, and a check of the preload.

use crate::phrase::phrase;
use crate::quantity::Bound;
use crate::quantity::print::{Rounding, number};
use crate::quantity::{Quantity, unit};
use crate::workings::base::declaration::{Declaration, Example, Formula, Input, Kind, Output, known};
use crate::workings::base::given::Given;
use crate::workings::base::outcome::{Answer, Outcome, Value};
use crate::workings::base::refusal::Refusal;
use crate::workings::base::settle::unreadable;
use crate::workings::base::working::Working;
use std::f64::consts::PI;

/// The working `torque`.
pub(crate) struct Torque;

const REACH: Bound = Bound::above(0.0, 5000.0);

static DECLARATION: Declaration = Declaration {
    name: "torque",
    title: "Torque, wrench setting, preload",
    purpose: "Converts a torque, corrects a wrench setting for an adapter, and checks the preload in a thread.",
    inputs: &[
        Input::need("torque", "N·m", Bound::above(0.0, 10_000.0), "the torque at the fastener"),
        Input::word("to", Kind::Text, "a further unit to show it in").optional(),
        Input::may("arm", "mm", REACH, "length of the wrench from the middle of the grip to its drive"),
        Input::may("adapter", "mm", REACH, "length of the adapter from the drive to the fastener"),
        Input::need("angle", "°", Bound::from(0.0, 180.0), "angle between wrench and adapter, 0 in line")
            .default("0 deg"),
        Input::may("range", "N·m", Bound::from(0.0, 10_000.0), "range of the wrench").kind(Kind::Range),
        Input::word("thread", Kind::Text, "thread for a check, `M8` or `M8x1.25`").optional(),
        Input::word("class", Kind::Text, "property class for a check, `8.8`").optional(),
        Input::may(
            "friction-factor",
            "1",
            Bound::from(0.05, 0.5),
            "friction factor K of the short form, for a check",
        ),
    ],
    open: false,
    outputs: &[
        Output::number("torque", "N·m", Rounding::Figures, "the torque"),
        Output::number("torque-lbf-ft", "lbf·ft", Rounding::Figures, "the same in pound-feet"),
        Output::number("torque-lbf-in", "lbf·in", Rounding::Figures, "the same in pound-inches"),
        Output::number("torque-kgf-m", "kgf·m", Rounding::Figures, "the same in kilopond-metres"),
        Output::number("torque-to", "", Rounding::Figures, "the same in the unit asked for"),
        Output::number("set-to", "N·m", Rounding::Figures, "what to set the wrench to"),
        Output::number("preload", "kN", Rounding::Figures, "preload by the short form, for a check only"),
        Output::number("stress-area", "mm²", Rounding::Figures, "stress area of the thread"),
        Output::number("proof-share", "1", Rounding::Figures, "preload over the proof load"),
    ],
    formulas: &[
        Formula {
            text: "set-to = T·L/(L + E·cos θ)",
            mathml: "<msub><mi>T</mi><mi>s</mi></msub><mo>=</mo><mfrac><mrow><mi>T</mi><mo>·</mo><mi>L</mi></mrow><mrow><mi>L</mi><mo>+</mo><mrow><mi>E</mi><mo>·</mo><mrow><mi>cos</mi><mo>(</mo><mi>θ</mi><mo>)</mo></mrow></mrow></mrow></mfrac>",
        },
        Formula {
            text: "preload F = T/(K·d)",
            mathml: "<mi>F</mi><mo>=</mo><mfrac><mi>T</mi><mrow><mrow><mi>K</mi><mo>·</mo><mi>d</mi></mrow></mrow></mfrac>",
        },
        Formula {
            text: "A = π/4·(d − 0.9382·P)²; proof-share = F/(A·S)",
            mathml: "<mi>A</mi><mo>=</mo><mrow><mfrac><mi>π</mi><mn>4</mn></mfrac><mo>·</mo><msup><mrow><mo>(</mo><mi>d</mi><mo>−</mo><mrow><mn>0.9382</mn><mo>·</mo><mi>P</mi></mrow><mo>)</mo></mrow><mn>2</mn></msup></mrow><mo>,</mo><mi>s</mi><mo>=</mo><mfrac><mi>F</mi><mrow><mrow><mi>A</mi><mo>·</mo><msub><mi>S</mi><mi>p</mi></msub></mrow></mrow></mfrac>",
        },
    ],
    limits: &[
        "A computed torque never fills an empty field: where the maker's figure is not known, the field says so.",
        "The short form scatters by 25 % and more with friction: it checks a figure, it never gives one.",
    ],
    sources: &[
        "Exact definitions of pound, inch and standard gravity",
        "US Army TM 9-254 for the adapter",
        "ISO 898-1 for the stress area; its proof stresses and ISO 261 coarse pitches from memory",
    ],
    example: Example {
        given: &[("torque", "25 N.m"), ("arm", "300 mm"), ("adapter", "60 mm"), ("angle", "60 deg")],
        answers: &[("set-to", 22.727_27), ("torque-lbf-ft", 18.439)],
    },
    maker_first: true,
};

impl Working for Torque {
    fn declaration(&self) -> &'static Declaration {
        &DECLARATION
    }

    fn work(&self, given: &Given) -> Result<Outcome, Refusal> {
        let torque = given.need("torque")?.value;
        let quantity = Quantity::new(torque, known("N·m"));
        let mut answer = Answer::new(&DECLARATION);
        let mut converted = |name: &'static str, symbol: &str| -> Result<(), Refusal> {
            let value = quantity.in_unit(known(symbol)).map_err(|error| unreadable("torque", &error))?;
            answer.put(name, value);
            Ok(())
        };
        converted("torque", "N·m")?;
        converted("torque-lbf-ft", "lbf·ft")?;
        converted("torque-lbf-in", "lbf·in")?;
        converted("torque-kgf-m", "kgf·m")?;
        if let Some(spelling) = given.text("to") {
            let wanted = unit(spelling)
                .ok_or_else(|| Refusal::input("to", phrase!("`to` is not a unit that is known here")))?;
            let value = quantity.in_unit(wanted).map_err(|error| unreadable("to", &error))?;
            answer.put_value("torque-to", Value::number(value, wanted));
        }
        let setting = setting(given, torque)?;
        if given.has("arm") {
            answer.put("set-to", setting);
        }
        if let Some((low, high)) = given.range("range") {
            let least = low.max(0.2 * high);
            // A fifth of 6 N·m is 1.2 N·m, but not in binary fractions.
            let slack = 1e-9 * high;
            if setting < least - slack || setting > high + slack {
                answer.caution(phrase!("{setting} N·m is outside the wrench's use from {least} N·m to {greatest} N·m (20 % to 100 % of its range).", setting = number(setting, Rounding::Figures), least = number(least, Rounding::Figures), greatest = number(high, Rounding::Figures)));
            }
        }
        check(&mut answer, given, torque)?;
        answer.caution(phrase!("The vehicle maker's torque comes first, above all for seats, belts, restraints, steering, brakes and wheels."));
        answer.finish()
    }
}

/// What the wrench is set to: the torque itself without an adapter.
fn setting(given: &Given, torque: f64) -> Result<f64, Refusal> {
    let Some(adapter) = given.measure("adapter") else { return Ok(torque) };
    let arm = given.measure("arm").ok_or_else(|| {
        Refusal::input(
            "arm",
            phrase!("`arm` is missing: an adapter needs the length of the wrench, grip to drive"),
        )
    })?;
    let reach = arm.value + adapter.value * cosine(given.need("angle")?.value);
    if reach <= 0.05 * arm.value {
        return Err(Refusal::input(
            "adapter",
            phrase!("the adapter turns back as far as the grip: no setting gives this torque"),
        ));
    }
    Ok(torque * arm.value / reach)
}

/// The cosine of an angle in degrees, exactly nought at a right angle.
fn cosine(degrees: f64) -> f64 {
    if degrees == 90.0 { 0.0 } else { degrees.to_radians().cos() }
}

/// Preload and its share of the proof load, where a thread is given.
fn check(answer: &mut Answer, given: &Given, torque: f64) -> Result<(), Refusal> {
    let Some(text) = given.text("thread") else {
        let stray = ["class", "friction-factor"].into_iter().find(|name| given.has(name));
        return match stray {
            Some(name) => Err(Refusal::input(
                "thread",
                phrase!("`thread` is missing: `{name}` is for a check of a thread", name = name),
            )),
            None => Ok(()),
        };
    };
    let (diameter, pitch) = thread(text)?;
    let area = PI / 4.0 * (diameter - 0.9382 * pitch).powi(2);
    let factor = given.measure("friction-factor").ok_or_else(|| {
        Refusal::input(
            "friction-factor",
            phrase!("`friction-factor` is missing: a check of a thread needs K, about 0.2 for dry steel"),
        )
    })?;
    // N·m over mm is kN.
    let preload = torque / (factor.value * diameter);
    answer.put("preload", preload);
    answer.put("stress-area", area);
    if let Some(class) = given.text("class") {
        let proof = proof_stress(class, diameter)?;
        let share = preload * 1000.0 / (area * proof);
        answer.put("proof-share", share);
        answer.source(phrase!(
            "Proof stress of class {class}, {proof} MPa: ISO 898-1, from memory, unverified",
            class = class,
            proof = proof.to_string()
        ));
        if share > 0.9 {
            answer.caution(phrase!(
                "The preload is above 90 % of the proof load: check torque, thread and class."
            ));
        }
    }
    answer.caution(phrase!("The short form scatters by 25 % and more: it is for plausibility only."));
    Ok(())
}

/// Diameter and pitch in mm of `M8` (coarse, ISO 261) or `M8x1.25`.
fn thread(text: &str) -> Result<(f64, f64), Refusal> {
    let shown: String = text.chars().take(20).collect();
    let refused = || {
        Refusal::input(
            "thread",
            phrase!("`{shown}` is not a metric thread that is known here", shown = shown),
        )
        .help(phrase!("write `M8` or `M8x1.25`"))
    };
    let plain = text.replace(['×', 'X', '*'], "x").replace(' ', "");
    let body = plain.strip_prefix(['M', 'm']).ok_or_else(refused)?;
    let number = |part: &str| part.parse::<f64>().ok().filter(|value| value.is_finite() && *value > 0.0);
    let (diameter, pitch) = match body.split_once('x') {
        Some((diameter, pitch)) => {
            (number(diameter).ok_or_else(refused)?, number(pitch).ok_or_else(refused)?)
        }
        None => {
            let diameter = number(body).ok_or_else(refused)?;
            let coarse = COARSE.iter().find(|(size, _)| *size == diameter).ok_or_else(refused)?;
            (diameter, coarse.1)
        }
    };
    if (1.0..=64.0).contains(&diameter) && pitch < diameter * 0.5 {
        Ok((diameter, pitch))
    } else {
        Err(refused())
    }
}

/// Coarse pitches of ISO 261, mm.
const COARSE: &[(f64, f64)] = &[
    (2.0, 0.4),
    (2.5, 0.45),
    (3.0, 0.5),
    (4.0, 0.7),
    (5.0, 0.8),
    (6.0, 1.0),
    (7.0, 1.0),
    (8.0, 1.25),
    (10.0, 1.5),
    (12.0, 1.75),
    (14.0, 2.0),
    (16.0, 2.0),
    (18.0, 2.5),
    (20.0, 2.5),
    (24.0, 3.0),
];

/// Stress under proof load, MPa (ISO 898-1, from memory).
fn proof_stress(class: &str, diameter: f64) -> Result<f64, Refusal> {
    match class.trim() {
        "4.6" => Ok(225.0),
        "4.8" => Ok(310.0),
        "5.6" => Ok(280.0),
        "5.8" => Ok(380.0),
        "6.8" => Ok(440.0),
        "8.8" if diameter <= 16.0 => Ok(580.0),
        "8.8" => Ok(600.0),
        "10.9" => Ok(830.0),
        "12.9" => Ok(970.0),
        other => {
            let shown: String = other.chars().take(20).collect();
            Err(Refusal::input(
                "class",
                phrase!("`{shown}` is not a property class that is known here", shown = shown),
            )
            .help(phrase!("write 8.8, 10.9 or 12.9")))
        }
    }
}
