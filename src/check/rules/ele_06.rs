//! ELE-06: a cable's stated impedance, size and resistance agree with its dimensions (15 %).

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink};
use crate::model::{Line, Store};
use crate::parse::span;
use crate::phrase::phrase;
use crate::quantity::print::{Rounding, number};
use crate::quantity::unit;

/// The rule ELE-06.
pub(super) struct Ele06;

static PAGE: Page = Page {
    code: Code("ELE-06"),
    severity: Severity::Warning,
    rule: "a cable's stated impedance, size and resistance agree with its dimensions (15 %)",
    why: "A figure copied from the wrong line of a table makes every strip length, sleeve and voltage drop that builds on it wrong.",
    source: "coaxial line: 59.96 Ω/√εr·ln(D/d); copper at 20 °C: 17.241 mΩ·mm²/m (IEC 60028); a stranded conductor fills 0.66 to 1 of its circle",
    fails: "coax-50: {kind: coax, impedance: 75 Ω, core: 0.9 mm, dielectric: 2.95 mm, relative-permittivity: 2.26, …}",
    passes: "coax-50: {kind: coax, impedance: 50 Ω, core: 0.9 mm, dielectric: 2.95 mm, relative-permittivity: 2.26, …}",
};

impl Rule for Ele06 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn of_the_stores(&self) -> bool {
        true
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for line in reading.worked.parsed().stores().lines(Store::Cables) {
            let of = |key: &str, symbol: &str| line.quantity(key)?.in_unit(unit(symbol)?).ok();
            if let (Some(stated), Some(core), Some(dielectric), Some(permittivity)) = (
                of("impedance", "Ω"),
                of("core", "mm"),
                of("dielectric", "mm"),
                line.number("relative-permittivity"),
            ) && dielectric > core
                && permittivity >= 1.0
            {
                let worked = 59.96 / permittivity.sqrt() * (dielectric / core).ln();
                if off(stated, worked) {
                    told(line, "impedance", stated, worked, "Ω", sink);
                }
            }
            let size = of("size", "mm²");
            if let (Some(size), Some(diameter)) = (size, of("conductor", "mm")) {
                let circle = std::f64::consts::FRAC_PI_4 * diameter * diameter;
                // Strands fill about 0.78 of their circle, a solid conductor all of it.
                if size < FILLED * (1.0 - NEAR) * circle || size > circle * (1.0 + NEAR) {
                    told(line, "size", size, FILLED * circle, "mm²", sink);
                }
            }
            if let (Some(size), Some(stated)) = (size, of("per-length", "mΩ/m")) {
                let worked = COPPER / size;
                if off(stated, worked) {
                    told(line, "per-length", stated, worked, "mΩ/m", sink);
                }
            }
        }
    }
}

/// How far a stated figure may lie from the worked one.
const NEAR: f64 = 0.15;
/// Resistance of copper at 20 °C in mΩ·mm²/m (IEC 60028).
const COPPER: f64 = 17.241;
/// The part of its circle that a stranded conductor fills.
const FILLED: f64 = 0.78;

fn off(stated: f64, worked: f64) -> bool {
    (stated - worked).abs() > NEAR * worked
}

fn told(line: &Line, key: &str, stated: f64, worked: f64, symbol: &str, sink: &mut Sink) {
    let place = line.figures.get(key).map_or(line.place, |(_, _, place)| *place);
    let show = |value: f64| number(value, Rounding::Figures);
    let headline = phrase!(
        "`{line}` states {stated} {symbol} and its dimensions give about {worked} {symbol}",
        line = line.id,
        stated = show(stated),
        symbol = symbol,
        worked = show(worked)
    );
    let finding = PAGE.finding(headline).at(span(place), phrase!("more than 15 % off"));
    sink.push(finding.help(phrase!("measure the cable again, or look the line up again")));
}
