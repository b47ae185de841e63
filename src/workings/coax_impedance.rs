//! `coax-impedance`: characteristic impedance and line constants from the dimensions of a coax.

use crate::phrase::phrase;
use crate::quantity::Bound;
use crate::quantity::print::Rounding;
use crate::workings::base::declaration::{Declaration, Example, Formula, Input, Output};
use crate::workings::base::given::Given;
use crate::workings::base::outcome::{Answer, Outcome};
use crate::workings::base::refusal::Refusal;
use crate::workings::base::working::Working;
use crate::workings::science::chain::{LIGHT, VACUUM_IMPEDANCE, coax_impedance};
use std::f64::consts::PI;

/// The working `coax-impedance`.
pub(crate) struct CoaxImpedance;

const DIAMETER: Bound = Bound::above(0.0, 1000.0);

static DECLARATION: Declaration = Declaration {
    name: "coax-impedance",
    title: "Impedance of a coax from its dimensions",
    purpose: "Gives impedance, velocity, capacitance, inductance and the first higher mode of a round coax.",
    inputs: &[
        Input::need("core", "mm", DIAMETER, "diameter of the core"),
        Input::need("shield-inside", "mm", DIAMETER, "inside diameter of the shield"),
        Input::need(
            "relative-permittivity",
            "1",
            Bound::from(1.0, 100.0),
            "relative permittivity of the dielectric",
        ),
    ],
    open: false,
    outputs: &[
        Output::number("impedance", "Ω", Rounding::Figures, "characteristic impedance"),
        Output::number("velocity-factor", "1", Rounding::Figures, "speed over the speed of light"),
        Output::number("capacitance", "pF/m", Rounding::Figures, "capacitance per length"),
        Output::number("inductance", "nH/m", Rounding::Figures, "inductance per length"),
        Output::number("te11-cutoff", "GHz", Rounding::Figures, "where the first higher mode sets in, about"),
    ],
    formulas: &[
        Formula {
            text: "Z = (η₀/2π)/√εr · ln(D/d)",
            mathml: "<mi>Z</mi><mo>=</mo><mrow><mfrac><msub><mi>η</mi><mn>0</mn></msub><mrow><mrow><mrow><mn>2</mn><mo>·</mo><mi>π</mi></mrow><mo>·</mo><msqrt><msub><mi>ε</mi><mi>r</mi></msub></msqrt></mrow></mrow></mfrac><mo>·</mo><mrow><mi>ln</mi><mo>(</mo><mfrac><mi>D</mi><mi>d</mi></mfrac><mo>)</mo></mrow></mrow>",
        },
        Formula {
            text: "velocity factor = 1/√εr",
            mathml: "<mi>v</mi><mo>=</mo><mfrac><mn>1</mn><msqrt><msub><mi>ε</mi><mi>r</mi></msub></msqrt></mfrac>",
        },
        Formula {
            text: "C = 2π·ε₀·εr/ln(D/d)",
            mathml: "<mi>C</mi><mo>=</mo><mfrac><mrow><mrow><mrow><mn>2</mn><mo>·</mo><mi>π</mi></mrow><mo>·</mo><msub><mi>ε</mi><mn>0</mn></msub></mrow><mo>·</mo><msub><mi>ε</mi><mi>r</mi></msub></mrow><mrow><mi>ln</mi><mo>(</mo><mfrac><mi>D</mi><mi>d</mi></mfrac><mo>)</mo></mrow></mfrac>",
        },
        Formula {
            text: "L = (μ₀/2π)·ln(D/d)",
            mathml: "<mi>L</mi><mo>=</mo><mrow><mfrac><msub><mi>μ</mi><mn>0</mn></msub><mrow><mrow><mn>2</mn><mo>·</mo><mi>π</mi></mrow></mrow></mfrac><mo>·</mo><mrow><mi>ln</mi><mo>(</mo><mfrac><mi>D</mi><mi>d</mi></mfrac><mo>)</mo></mrow></mrow>",
        },
        Formula {
            text: "TE11 cutoff ≈ 2c/(π·(D + d)·√εr)",
            mathml: "<mi>f</mi><mo>=</mo><mfrac><mrow><mn>2</mn><mo>·</mo><mi>c</mi></mrow><mrow><mrow><mrow><mi>π</mi><mo>·</mo><mrow><mo>(</mo><mi>D</mi><mo>+</mo><mi>d</mi><mo>)</mo></mrow></mrow><mo>·</mo><msqrt><msub><mi>ε</mi><mi>r</mi></msub></msqrt></mrow></mrow></mfrac>",
        },
    ],
    limits: &[
        "Solid round core and smooth shield, without losses.",
        "A stranded core counts with 0.94 (7 strands) to 0.97 (19 strands) of its diameter.",
        "A thin braided cable reads about 10 % low.",
    ],
    sources: &["Exact field solution of the coaxial line; η₀ = 376.730313412 Ω (CODATA)"],
    example: Example {
        given: &[("core", "0.0230 in"), ("shield-inside", "0.146 in"), ("relative-permittivity", "2.26")],
        answers: &[("impedance", 73.71)],
    },
    maker_first: false,
};

impl Working for CoaxImpedance {
    fn declaration(&self) -> &'static Declaration {
        &DECLARATION
    }

    fn work(&self, given: &Given) -> Result<Outcome, Refusal> {
        let core = given.need("core")?.value;
        let shield = given.need("shield-inside")?.value;
        let permittivity = given.need("relative-permittivity")?.value;
        if shield <= core {
            return Err(Refusal::input(
                "shield-inside",
                phrase!("`shield-inside` must be larger than `core`: the shield goes round it"),
            ));
        }
        let spread = (shield / core).ln();
        let slowing = permittivity.sqrt();
        // ε₀ = 1/(η₀·c) and μ₀ = η₀/c, so that one constant carries all four.
        let capacitance = 2.0 * PI * permittivity / (VACUUM_IMPEDANCE * LIGHT * spread);
        let inductance = VACUUM_IMPEDANCE / (2.0 * PI * LIGHT) * spread;
        let across = (shield + core) / 1000.0;
        let mut answer = Answer::new(&DECLARATION);
        answer.put("impedance", coax_impedance(core, shield, permittivity));
        answer.put("velocity-factor", 1.0 / slowing);
        answer.put("capacitance", capacitance * 1e12);
        answer.put("inductance", inductance * 1e9);
        answer.put("te11-cutoff", 2.0 * LIGHT / (PI * across * slowing) / 1e9);
        answer.finish()
    }
}
