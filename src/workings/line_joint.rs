//! `line-joint`: what a joint in a line does to the signal.

use crate::phrase::{Phrase, phrase};
use crate::quantity::Bound;
use crate::quantity::Quantity;
use crate::quantity::print::{Rounding, number};
use crate::workings::base::declaration::{Declaration, Example, Formula, Input, Kind, Output, known};
use crate::workings::base::given::{Given, missing};
use crate::workings::base::outcome::{Answer, Outcome, Value};
use crate::workings::base::refusal::Refusal;
use crate::workings::base::settle::unreadable;
use crate::workings::base::working::Working;
use crate::workings::science::chain::{Section, curve, return_loss, worst};

/// The working `line-joint`.
pub(crate) struct LineJoint;

const OHMS: Bound = Bound::from(1.0, 1000.0);
const LENGTH: Bound = Bound::above(0.0, 100_000.0);
const VELOCITY: Bound = Bound::from(0.05, 1.0);

static DECLARATION: Declaration = Declaration {
    name: "line-joint",
    title: "What a joint does to the signal",
    purpose: "Gives the reflection of one or more odd sections in a matched line, at a frequency or over a band.",
    inputs: &[
        Input::need("line", "Ω", OHMS, "impedance of the line"),
        Input::word(
            "segments",
            Kind::Texts,
            "sections as impedance/length/velocity factor, `100ohm/20mm/0.8`",
        )
        .optional(),
        Input::may("impedance", "Ω", OHMS, "impedance of the one section"),
        Input::may("length", "mm", LENGTH, "length of the one section"),
        Input::may("velocity-factor", "1", VELOCITY, "velocity factor of the one section"),
        Input::need("frequency", "MHz", Bound::above(0.0, 100_000.0), "frequency or band").kind(Kind::Range),
        Input::may(
            "limit",
            "dB",
            Bound::above(0.0, 100.0),
            "return loss to keep, to find the longest section",
        ),
    ],
    open: false,
    outputs: &[
        Output::number(
            "electrical-length",
            "°",
            Rounding::Figures,
            "electrical length of all sections at the worst frequency",
        ),
        Output::number("reflection", "1", Rounding::Figures, "reflection |Γ| at the worst frequency"),
        Output::number("return-loss", "dB", Rounding::Figures, "return loss"),
        Output::number("vswr", "1", Rounding::Figures, "standing-wave ratio"),
        Output::number("mismatch-loss", "dB", Rounding::Figures, "signal lost by the reflection"),
        Output::number(
            "longest",
            "mm",
            Rounding::LengthDown,
            "longest section that keeps the limit over the whole band",
        ),
    ],
    formulas: &[
        Formula {
            text: "one section: u = ½·|Zj/Z₀ − Z₀/Zj|·|sin βl|, |Γ| = u/√(1 + u²)",
            mathml: "<mi>u</mi><mo>=</mo><mrow><mrow><mfrac><mn>1</mn><mn>2</mn></mfrac><mo>·</mo><mrow><mo>|</mo><mfrac><msub><mi>Z</mi><mi>j</mi></msub><msub><mi>Z</mi><mn>0</mn></msub></mfrac><mo>−</mo><mfrac><msub><mi>Z</mi><mn>0</mn></msub><msub><mi>Z</mi><mi>j</mi></msub></mfrac><mo>|</mo></mrow></mrow><mo>·</mo><mrow><mo>|</mo><mrow><mi>sin</mi><mo>(</mo><mrow><mi>β</mi><mo>·</mo><mi>l</mi></mrow><mo>)</mo></mrow><mo>|</mo></mrow></mrow><mo>,</mo><mrow><mo>|</mo><mi>Γ</mi><mo>|</mo></mrow><mo>=</mo><mfrac><mi>u</mi><msqrt><mn>1</mn><mo>+</mo><msup><mi>u</mi><mn>2</mn></msup></msqrt></mfrac>",
        },
        Formula {
            text: "β = 2π·f/(c·v)",
            mathml: "<mi>β</mi><mo>=</mo><mfrac><mrow><mrow><mn>2</mn><mo>·</mo><mi>π</mi></mrow><mo>·</mo><mi>f</mi></mrow><mrow><mrow><mi>c</mi><mo>·</mo><mi>v</mi></mrow></mrow></mfrac>",
        },
        Formula {
            text: "return loss = −20·log₁₀|Γ|; VSWR = (1 + |Γ|)/(1 − |Γ|)",
            mathml: "<mi>s</mi><mo>=</mo><mfrac><mrow><mn>1</mn><mo>+</mo><mrow><mo>|</mo><mi>Γ</mi><mo>|</mo></mrow></mrow><mrow><mn>1</mn><mo>−</mo><mrow><mo>|</mo><mi>Γ</mi><mo>|</mo></mrow></mrow></mfrac>",
        },
        Formula {
            text: "longest = asin(g/√(1 − g²) / (½·|Zj/Z₀ − Z₀/Zj|))/β, g = 10^(−limit/20)",
            mathml: "<mi>l</mi><mo>=</mo><mfrac><mrow><mi>asin</mi><mo>(</mo><mfrac><mrow><mn>2</mn><mo>·</mo><mi>g</mi></mrow><mrow><mrow><mrow><mo>|</mo><mfrac><msub><mi>Z</mi><mi>j</mi></msub><msub><mi>Z</mi><mn>0</mn></msub></mfrac><mo>−</mo><mfrac><msub><mi>Z</mi><mn>0</mn></msub><msub><mi>Z</mi><mi>j</mi></msub></mfrac><mo>|</mo></mrow><mo>·</mo><msqrt><mn>1</mn><mo>−</mo><msup><mi>g</mi><mn>2</mn></msup></msqrt></mrow></mrow></mfrac><mo>)</mo></mrow><mi>β</mi></mfrac>",
        },
    ],
    limits: &[
        "Losses, a broken ground path and the radiation of a pigtail are not in it: the result is the best case.",
        "A half-wave section looks perfect at one frequency: a band is judged by its worst point.",
    ],
    sources: &["Exact chain matrix of lossless lines between matched ends, derived"],
    example: Example {
        given: &[("line", "50 ohm"), ("segments", "100ohm/20mm/0.8"), ("frequency", "225 MHz")],
        answers: &[("return-loss", 21.12)],
    },
    maker_first: false,
};

impl Working for LineJoint {
    fn declaration(&self) -> &'static Declaration {
        &DECLARATION
    }

    fn work(&self, given: &Given) -> Result<Outcome, Refusal> {
        let line = given.need("line")?.value;
        let sections = sections(given)?;
        let (low, high) = given.range("frequency").ok_or_else(|| missing(&DECLARATION, "frequency"))?;
        let (frequency, reflection) = worst(line, &sections, low, high);
        let mut answer = Answer::new(&DECLARATION);
        if high > low {
            answer.step(phrase!(
                "worst point of the band: {frequency} MHz",
                frequency = number(frequency, Rounding::Figures)
            ));
            answer.curve(curve(line, &sections, low, high));
        }
        let phase: f64 = sections.iter().map(|section| section.phase(frequency)).sum();
        answer.put("electrical-length", phase.to_degrees());
        answer.put("reflection", reflection);
        answer.put("return-loss", return_loss(reflection));
        answer.put("vswr", (1.0 + reflection) / (1.0 - reflection));
        answer.put("mismatch-loss", -10.0 * (-reflection * reflection).ln_1p() / std::f64::consts::LN_10);
        if let Some(limit) = given.measure("limit") {
            let [section] = sections.as_slice() else {
                return Err(Refusal::input(
                    "limit",
                    phrase!("`limit` finds the longest section of one: give one segment"),
                ));
            };
            answer.put_value("longest", longest(line, section, limit.value, high));
        }
        answer.caution(phrase!("This is the best case: losses, a broken ground path and the radiation of a pigtail are not in it."));
        answer.finish()
    }
}

/// The longest section that keeps the return loss up to the highest frequency; any length where even a
/// quarter wave keeps it.
fn longest(line: f64, section: &Section, limit: f64, high: f64) -> Value {
    let allowed = 10f64.powf(-limit / 20.0);
    let allowed = allowed / (1.0 - allowed * allowed).sqrt();
    let mismatch = 0.5 * (section.impedance / line - line / section.impedance).abs();
    if mismatch <= allowed {
        return Value::Unlimited;
    }
    let per_millimetre = Section { length: 1.0, ..*section }.phase(high);
    Value::number((allowed / mismatch).asin() / per_millimetre, known("mm"))
}

/// The sections: the list, or the one that three inputs describe.
fn sections(given: &Given) -> Result<Vec<Section>, Refusal> {
    if given.has("segments") {
        let texts = given.texts("segments");
        if ["impedance", "length", "velocity-factor"].iter().any(|name| given.has(name)) {
            return Err(Refusal::input(
                "segments",
                phrase!("give either `segments`, or `impedance`, `length` and `velocity-factor`"),
            ));
        }
        if texts.len() > 50 {
            return Err(Refusal::input("segments", phrase!("at most 50 segments are taken")));
        }
        return texts.iter().map(|text| section(text)).collect();
    }
    let [impedance, length, velocity] = ["impedance", "length", "velocity-factor"].map(|name| {
        given.measure(name).ok_or_else(|| {
            missing(&DECLARATION, name).help(phrase!(
                "give `segments`, or `impedance`, `length` and `velocity-factor` of one section"
            ))
        })
    });
    Ok(vec![Section { impedance: impedance?.value, length: length?.value, velocity: velocity?.value }])
}

/// One section as `impedance/length/velocity factor`.
fn section(text: &str) -> Result<Section, Refusal> {
    let shown: String = text.chars().take(40).collect();
    let parts: Vec<&str> = text.split('/').collect();
    let [impedance, length, velocity] = parts.as_slice() else {
        return Err(Refusal::input(
            "segments",
            phrase!("`{shown}` is not a segment: write for example `75ohm/20mm/0.66`", shown = shown),
        ));
    };
    let part = |text: &str, name: Phrase, symbol: &str, bound: Bound| {
        let value =
            Quantity::parse_as(text, known(symbol)).and_then(|quantity| quantity.in_unit(known(symbol)));
        let value = value.map_err(|error| unreadable("segments", &error))?;
        if bound.holds(value) {
            return Ok(value);
        }
        Err(Refusal::input(
            "segments",
            phrase!(
                "the {name} in `{shown}` must be {limits}",
                name = name,
                shown = shown,
                limits = bound.words(symbol)
            ),
        ))
    };
    Ok(Section {
        impedance: part(impedance, phrase!("impedance"), "Ω", OHMS)?,
        length: part(length, phrase!("length"), "mm", LENGTH)?,
        velocity: part(velocity, phrase!("velocity factor"), "1", VELOCITY)?,
    })
}
