//! `wire`: resistance, voltage drop and size of a wire.

use crate::phrase::phrase;
use crate::quantity::Bound;
use crate::quantity::print::{Rounding, number};
use crate::workings::base::declaration::{Declaration, Example, Formula, Input, Kind, Output};
use crate::workings::base::given::{Given, missing};
use crate::workings::base::nouns::Cable;
use crate::workings::base::outcome::{Answer, Outcome};
use crate::workings::base::refusal::Refusal;
use crate::workings::base::working::Working;
use crate::workings::science::copper;

/// The working `wire`.
pub(crate) struct Wire;

/// Real strands run up to this share above ideal copper (ISO 6722-1 limits, from memory).
const STRANDS: f64 = 1.11;

static DECLARATION: Declaration = Declaration {
    name: "wire",
    title: "Resistance, drop and size of a wire",
    purpose: "Gives resistance, voltage drop and heat of a wire, the gauge that has its copper, and the cable a drop needs.",
    inputs: &[
        Input::may("size", "mm²", Bound::above(0.0, 1000.0), "copper area, in mm² or AWG"),
        Input::word("cable", Kind::Cable, "a cable of the stores instead of a size").optional(),
        Input::may(
            "per-length",
            "mΩ/m",
            Bound::above(0.0, 1e6),
            "resistance per length at 20 °C instead of a size",
        ),
        Input::need("length", "m", Bound::above(0.0, 1000.0), "length one way"),
        Input::word(
            "return",
            Kind::Choice(&["same", "chassis", "none"]),
            "the way back: `same` doubles the length, `chassis` and `none` do not",
        ),
        Input::need("current", "A", Bound::from(0.0, 2000.0), "current"),
        Input::may("supply", "V", Bound::above(0.0, 2000.0), "supply voltage, for the share"),
        Input::need("temperature", "°C", Bound::from(-50.0, 200.0), "temperature of the conductor"),
        Input::may("limit", "V", Bound::above(0.0, 2000.0), "greatest drop allowed, to find a size"),
    ],
    open: false,
    outputs: &[
        Output::number("area", "mm²", Rounding::Figures, "copper area"),
        Output::number(
            "resistance",
            "mΩ",
            Rounding::Figures,
            "resistance of the whole way at that temperature",
        ),
        Output::number("drop", "V", Rounding::Figures, "voltage drop"),
        Output::number("drop-worst", "V", Rounding::Figures, "voltage drop of the worst wire of that size"),
        Output::number("drop-share", "%", Rounding::Figures, "drop as a share of the supply"),
        Output::number("heat", "W", Rounding::Figures, "heat released in the whole way"),
        Output::text("awg-at-least", "thinnest even gauge whose copper is not less"),
        Output::text(
            "size-needed",
            "smallest cable of the stores that keeps the limit and carries the current",
        ),
    ],
    formulas: &[
        Formula {
            text: "R₂₀ = ρ₂₀/A, ρ₂₀ = 0.017241 Ω·mm²/m",
            mathml: "<msub><mi>R</mi><mn>20</mn></msub><mo>=</mo><mfrac><msub><mi>ρ</mi><mn>20</mn></msub><mi>A</mi></mfrac>",
        },
        Formula {
            text: "R = R₂₀·n·L·(1 + α·(T − 20 °C)), α = 0.00393 /K, n = 2 with a wire back",
            mathml: "<mi>R</mi><mo>=</mo><mrow><mrow><mrow><msub><mi>R</mi><mn>20</mn></msub><mo>·</mo><mi>n</mi></mrow><mo>·</mo><mi>L</mi></mrow><mo>·</mo><mrow><mo>(</mo><mn>1</mn><mo>+</mo><mrow><mi>α</mi><mo>·</mo><mrow><mo>(</mo><mi>T</mi><mo>−</mo><msub><mi>T</mi><mn>20</mn></msub><mo>)</mo></mrow></mrow><mo>)</mo></mrow></mrow>",
        },
        Formula {
            text: "drop = R·I; heat = R·I²",
            mathml: "<mi>U</mi><mo>=</mo><mrow><mi>R</mi><mo>·</mo><mi>I</mi></mrow><mo>,</mo><mi>P</mi><mo>=</mo><mrow><mi>R</mi><mo>·</mo><msup><mi>I</mi><mn>2</mn></msup></mrow>",
        },
        Formula {
            text: "AWG n: d = 0.127 mm·92^((36 − n)/39)",
            mathml: "<mi>d</mi><mo>=</mo><mrow><msub><mi>d</mi><mn>36</mn></msub><mo>·</mo><msup><mn>92</mn><mrow><mfrac><mrow><mn>36</mn><mo>−</mo><mi>n</mi></mrow><mn>39</mn></mfrac></mrow></msup></mrow>",
        },
    ],
    limits: &[
        "The temperature rule is a straight line, good from about −50 °C to 150 °C.",
        "A chassis return has a resistance of its own, which is not counted.",
        "A size is compared by copper area, never by its name: the usual pairs of metric and gauge are up to 17 % short.",
    ],
    sources: &[
        "IACS resistivity of annealed copper (NBS Handbook 100)",
        "ASTM B258 for the gauge",
        "ISO 6722-1 resistance limits, 11 % above ideal copper, from memory",
    ],
    example: Example {
        given: &[
            ("per-length", "18.5 mohm/m"),
            ("length", "4 m"),
            ("return", "same"),
            ("current", "8 A"),
            ("temperature", "85 degC"),
        ],
        answers: &[("drop", 1.486)],
    },
    maker_first: true,
};

impl Working for Wire {
    fn declaration(&self) -> &'static Declaration {
        &DECLARATION
    }

    fn work(&self, given: &Given) -> Result<Outcome, Refusal> {
        let copper = Copper::of(given)?;
        let return_path = given.text("return").ok_or_else(|| missing(&DECLARATION, "return"))?;
        let ways = if return_path == "same" { 2.0 } else { 1.0 };
        let (length, current, temperature) =
            (given.need("length")?, given.need("current")?, given.need("temperature")?);
        let factor = length.value * ways * copper::warmth(temperature.value);
        let resistance = copper.per_length * factor;
        let drop = resistance * current.value / 1000.0;
        let worst_factor =
            length.high() * ways * copper::warmth(temperature.high()) * current.high() / 1000.0;
        let worst = copper.worst * worst_factor;
        let mut answer = Answer::new(&DECLARATION);
        answer.worst_case(given.is_tolerant());
        answer.step(phrase!(
            "{per_length} mΩ/m at 20 °C",
            per_length = number(copper.per_length, Rounding::Figures)
        ));
        answer.step(phrase!(
            "{length} m of conductor count",
            length = number(length.value * ways, Rounding::Figures)
        ));
        if let Some(area) = copper.area {
            answer.put("area", area);
        }
        answer.put("resistance", resistance);
        answer.put("drop", drop);
        answer.put("drop-worst", worst);
        if let Some(supply) = given.measure("supply") {
            answer.put("drop-share", 100.0 * drop / supply.value);
        }
        answer.put("heat", resistance * current.value * current.value / 1000.0);
        if let Some(area) = copper.area {
            match copper::gauge_at_least(area) {
                Some(gauge) => answer.put_text("awg-at-least", gauge),
                None => answer.put_words("awg-at-least", phrase!("none: thicker than 3/0 AWG")),
            }
        }
        if !copper.stated {
            answer.caution(phrase!("drop-worst counts strands up to 11 % above ideal copper (ISO 6722-1 limits, from memory: unverified)."));
        }
        if return_path == "chassis" {
            answer.caution(phrase!("The chassis and its joints have a resistance of their own: measure the drop on the earth side too."));
        }
        if let Some(limit) = given.measure("limit") {
            size_needed(&mut answer, given.stock(), limit.low(), current.high(), worst_factor);
            if worst > limit.low() {
                answer.caution(phrase!("The drop of the worst wire of this size is above the limit."));
            }
        }
        answer.finish()
    }
}

/// What is known of the conductor.
struct Copper {
    area: Option<f64>,
    per_length: f64,
    worst: f64,
    stated: bool,
}

impl Copper {
    /// From exactly one of size, cable and resistance per length.
    fn of(given: &Given) -> Result<Copper, Refusal> {
        let named = ["size", "cable", "per-length"].into_iter().filter(|name| given.has(name)).count();
        if named != 1 {
            return Err(Refusal::input(
                "size",
                phrase!("give exactly one of `size`, `cable` and `per-length`"),
            ));
        }
        if let Some(size) = given.measure("size") {
            return Ok(Copper::ideal(size.value, size.low()));
        }
        if let Some(stated) = given.measure("per-length") {
            return Ok(Copper { area: None, per_length: stated.value, worst: stated.high(), stated: true });
        }
        let cable = given.cable("cable").ok_or_else(|| missing(&DECLARATION, "cable"))?;
        Copper::of_cable(cable).ok_or_else(|| {
            Refusal::input(
                "cable",
                phrase!(
                    "the cable `{cable}` has neither `size` nor `per-length` in the stores",
                    cable = cable.id
                ),
            )
        })
    }

    /// Ideal copper of an area, the thinnest within tolerance counting for the worst.
    fn ideal(area: f64, thinnest: f64) -> Copper {
        let worst = copper::per_length(thinnest) * STRANDS;
        Copper { area: Some(area), per_length: copper::per_length(area), worst, stated: false }
    }

    /// A cable of the stores, its stated resistance first.
    fn of_cable(cable: &Cable) -> Option<Copper> {
        let sound = |value: Option<f64>| value.filter(|value| value.is_finite() && *value > 0.0);
        match (sound(cable.per_length), sound(cable.area)) {
            (Some(stated), area) => Some(Copper { area, per_length: stated, worst: stated, stated: true }),
            (None, Some(area)) => Some(Copper::ideal(area, area)),
            (None, None) => None,
        }
    }
}

/// The smallest single cable of the stores that keeps the drop and carries the current by its rating.
fn size_needed(answer: &mut Answer, stock: &[Cable], limit: f64, current: f64, factor: f64) {
    let mut fitting: Vec<(f64, &str)> = Vec::new();
    let mut unrated = false;
    for cable in stock.iter().filter(|cable| cable.kind == "single") {
        let Some(copper) = Copper::of_cable(cable) else { continue };
        if copper.worst * factor > limit {
            continue;
        }
        match cable.rated {
            Some(rated) if rated >= current => {
                fitting.push((copper.area.unwrap_or(17.241 / copper.per_length), &cable.id))
            }
            Some(_) => {}
            None => unrated = true,
        }
    }
    fitting.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(b.1)));
    match fitting.first() {
        Some((_, id)) => {
            answer.put_text("size-needed", *id);
            answer.caution(phrase!(
                "A rated current holds only under the conditions of its source: bundling and heat lower it."
            ));
        }
        None => answer.put_words("size-needed", phrase!("none fits")),
    }
    if unrated {
        answer.caution(phrase!(
            "Cables of the stores without a rated current were left out: drop and heating must both pass."
        ));
    }
}
