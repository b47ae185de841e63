//! The units that are read and printed, and how a spelling finds its unit.
//!
//! A data table: factors are the exact definitions (inch 25.4 mm, pound 0.45359237 kg, standard gravity
//! 9.80665 m/s²), written as whole numerators and denominators.

use crate::quantity::dimension::Dimension;
use crate::quantity::unit::Unit;
use std::collections::BTreeMap;
use std::f64::consts::PI;
use std::sync::LazyLock;

/// The unit of a plain number.
pub static ONE: Unit = Unit::scale("1", &[""], Dimension::NUMBER, 1.0, 1.0);

const LENGTH: Dimension = Dimension::LENGTH;
const AREA: Dimension = Dimension::mechanical(2, 0, 0);
const VOLUME: Dimension = Dimension::mechanical(3, 0, 0);
const MASS: Dimension = Dimension::mechanical(0, 1, 0);
const TIME: Dimension = Dimension::mechanical(0, 0, 1);
const FREQUENCY: Dimension = Dimension::mechanical(0, 0, -1);
const SPEED: Dimension = Dimension::mechanical(1, 0, -1);
const FORCE: Dimension = Dimension::mechanical(1, 1, -2);
const TORQUE: Dimension = Dimension::mechanical(2, 1, -2);
const PRESSURE: Dimension = Dimension::mechanical(-1, 1, -2);
const POWER: Dimension = Dimension::mechanical(2, 1, -3);
const CURRENT: Dimension = Dimension::electrical(0, 0, 0, 1);
const CHARGE: Dimension = Dimension::electrical(0, 0, 1, 1);
const VOLTAGE: Dimension = Dimension::electrical(2, 1, -3, -1);
const RESISTANCE: Dimension = Dimension::electrical(2, 1, -3, -2);
const RESISTANCE_PER_LENGTH: Dimension = Dimension::electrical(1, 1, -3, -2);
const RESISTIVITY: Dimension = Dimension::electrical(3, 1, -3, -2);
const CAPACITANCE: Dimension = Dimension::electrical(-2, -1, 4, 2);
const CAPACITANCE_PER_LENGTH: Dimension = Dimension::electrical(-3, -1, 4, 2);
const INDUCTANCE: Dimension = Dimension::electrical(2, 1, -2, -2);
const INDUCTANCE_PER_LENGTH: Dimension = Dimension::electrical(1, 1, -2, -2);
const DELAY: Dimension = Dimension::mechanical(-1, 0, 1);
const PER_LENGTH: Dimension = Dimension::mechanical(-1, 0, 0);

/// Shortens a line of the table.
const fn u(
    symbol: &'static str,
    aliases: &'static [&'static str],
    dimension: Dimension,
    num: f64,
    den: f64,
) -> Unit {
    Unit::scale(symbol, aliases, dimension, num, den)
}

/// A temperature scale with its own zero, in hundredths.
const fn t(symbol: &'static str, aliases: &'static [&'static str], num: f64, den: f64, zero: f64) -> Unit {
    Unit { symbol, aliases, dimension: Dimension::TEMPERATURE, num, den, zero }
}

const MM: Unit = u("mm", &["millimetre", "millimetres", "millimeter", "millimeters"], LENGTH, 1.0, 1e3);

/// The unit of lengths in a workshop.
pub static MILLIMETRE: Unit = MM;

/// Every unit. Aliases are in the folded spelling of [`fold`]; the first unit of a dimension is its house unit.
static TABLE: &[Unit] = &[
    MM,
    u("m", &["metre", "metres", "meter", "meters"], LENGTH, 1.0, 1.0),
    u("cm", &["centimetre", "centimetres", "centimeter", "centimeters"], LENGTH, 1.0, 1e2),
    u("µm", &["um", "micrometre", "micrometer", "micron", "microns"], LENGTH, 1.0, 1e6),
    u("km", &["kilometre", "kilometres", "kilometer", "kilometers"], LENGTH, 1e3, 1.0),
    u("in", &["inch", "inches", "\"", "″"], LENGTH, 127.0, 5000.0),
    u("ft", &["foot", "feet", "'", "′"], LENGTH, 381.0, 1250.0),
    u("yd", &["yard", "yards"], LENGTH, 1143.0, 1250.0),
    u("mi", &["mile", "miles"], LENGTH, 1_609_344.0, 1e3),
    u("mil", &["mils", "thou"], LENGTH, 127.0, 5e6),
    u("mm²", &["mm2", "sqmm"], AREA, 1.0, 1e6),
    u("cm²", &["cm2"], AREA, 1.0, 1e4),
    u("m²", &["m2"], AREA, 1.0, 1.0),
    u("in²", &["in2", "sqin"], AREA, 16_129.0, 25e6),
    u("ft²", &["ft2"], AREA, 145_161.0, 1_562_500.0),
    u("circ.mil", &["circmil", "cmil", "CM", "circular.mil", "circular.mils"], AREA, PI * 16_129.0, 1e14),
    u("kcmil", &["MCM"], AREA, PI * 16_129.0, 1e11),
    u("ml", &["mL", "millilitre", "millilitres"], VOLUME, 1.0, 1e6),
    u("l", &["L", "litre", "litres", "liter", "liters"], VOLUME, 1.0, 1e3),
    u("mm³", &["mm3"], VOLUME, 1.0, 1e9),
    u("cm³", &["cm3", "cc"], VOLUME, 1.0, 1e6),
    u("m³", &["m3"], VOLUME, 1.0, 1.0),
    u("g", &["gram", "grams"], MASS, 1.0, 1e3),
    u("kg", &["kilogram", "kilograms"], MASS, 1.0, 1.0),
    u("mg", &["milligram", "milligrams"], MASS, 1.0, 1e6),
    u("lb", &["lbs", "pound", "pounds"], MASS, 45_359_237.0, 1e8),
    u("oz", &["ounce", "ounces"], MASS, 45_359_237.0, 16e8),
    u("min", &["minute", "minutes"], TIME, 60.0, 1.0),
    u("s", &["sec", "second", "seconds"], TIME, 1.0, 1.0),
    u("ms", &["millisecond", "milliseconds"], TIME, 1.0, 1e3),
    u("µs", &["us"], TIME, 1.0, 1e6),
    u("ns", &[], TIME, 1.0, 1e9),
    u("h", &["hr", "hour", "hours"], TIME, 3600.0, 1.0),
    u("d", &["day", "days"], TIME, 86_400.0, 1.0),
    u("weeks", &["week"], TIME, 604_800.0, 1.0),
    u("months", &["month"], TIME, 2_629_746.0, 1.0),
    u("years", &["year", "yr"], TIME, 31_556_952.0, 1.0),
    u("MHz", &[], FREQUENCY, 1e6, 1.0),
    u("Hz", &[], FREQUENCY, 1.0, 1.0),
    u("kHz", &[], FREQUENCY, 1e3, 1.0),
    u("GHz", &[], FREQUENCY, 1e9, 1.0),
    u("rpm", &["1/min", "r/min", "rev/min"], FREQUENCY, 1.0, 60.0),
    u("Mbit/s", &["Mbps"], Dimension::DATA_RATE, 1e6, 1.0),
    u("kbit/s", &["kbps"], Dimension::DATA_RATE, 1e3, 1.0),
    u("Gbit/s", &["Gbps"], Dimension::DATA_RATE, 1e9, 1.0),
    u("m/s", &[], SPEED, 1.0, 1.0),
    u("mm/s", &[], SPEED, 1.0, 1e3),
    u("km/h", &["kph"], SPEED, 5.0, 18.0),
    u("mph", &["mi/h"], SPEED, 1_397.0, 3_125.0),
    u("N", &["newton", "newtons"], FORCE, 1.0, 1.0),
    u("kN", &[], FORCE, 1e3, 1.0),
    u("mN", &[], FORCE, 1.0, 1e3),
    u("lbf", &[], FORCE, 8_896_443_230_521.0, 2e12),
    u("kgf", &["kp"], FORCE, 980_665.0, 1e5),
    u("ozf", &[], FORCE, 8_896_443_230_521.0, 32e12),
    u("N·m", &["N.m", "Nm", "N-m"], TORQUE, 1.0, 1.0),
    u("N·cm", &["N.cm", "Ncm"], TORQUE, 1.0, 1e2),
    u("mN·m", &["mN.m", "mNm"], TORQUE, 1.0, 1e3),
    u("N·mm", &["N.mm", "Nmm"], TORQUE, 1.0, 1e3),
    u("kN·m", &["kN.m", "kNm"], TORQUE, 1e3, 1.0),
    u(
        "lbf·ft",
        &["lbf.ft", "lbfft", "lbf-ft", "ft.lbf", "ftlbf", "ft-lbf", "lb.ft", "lb-ft", "ft.lb", "ft-lb"],
        TORQUE,
        3_389_544_870_828_501.0,
        25e14,
    ),
    u(
        "lbf·in",
        &["lbf.in", "lbfin", "lbf-in", "in.lbf", "inlbf", "in-lbf", "lb.in", "lb-in", "in.lb", "in-lb"],
        TORQUE,
        1_129_848_290_276_167.0,
        1e16,
    ),
    u("kgf·m", &["kgf.m", "kgfm", "kgf-m", "kp.m", "kpm", "m.kgf"], TORQUE, 980_665.0, 1e5),
    u("kgf·cm", &["kgf.cm", "kgfcm", "kgf-cm", "kp.cm", "cm.kgf"], TORQUE, 980_665.0, 1e7),
    u(
        "ozf·in",
        &["ozf.in", "ozfin", "ozf-in", "oz.in", "oz-in", "in.ozf", "in.oz"],
        TORQUE,
        1_129_848_290_276_167.0,
        16e16,
    ),
    u("kPa", &[], PRESSURE, 1e3, 1.0),
    u("Pa", &["N/m2"], PRESSURE, 1.0, 1.0),
    u("hPa", &["mbar"], PRESSURE, 1e2, 1.0),
    u("MPa", &["N/mm2"], PRESSURE, 1e6, 1.0),
    u("bar", &[], PRESSURE, 1e5, 1.0),
    u("psi", &["lbf/in2"], PRESSURE, 8_896_443_230_521.0, 1_290_320_000.0),
    u("W", &["watt", "watts"], POWER, 1.0, 1.0),
    u("mW", &[], POWER, 1.0, 1e3),
    u("kW", &[], POWER, 1e3, 1.0),
    u("A", &["amp", "amps", "ampere", "amperes"], CURRENT, 1.0, 1.0),
    u("mA", &[], CURRENT, 1.0, 1e3),
    u("µA", &["uA"], CURRENT, 1.0, 1e6),
    u("A·h", &["A.h", "Ah"], CHARGE, 3600.0, 1.0),
    u("V", &["volt", "volts"], VOLTAGE, 1.0, 1.0),
    u("mV", &[], VOLTAGE, 1.0, 1e3),
    u("µV", &["uV"], VOLTAGE, 1.0, 1e6),
    u("kV", &[], VOLTAGE, 1e3, 1.0),
    u("Ω", &["ohm", "ohms"], RESISTANCE, 1.0, 1.0),
    u("mΩ", &["mohm", "milliohm", "milliohms"], RESISTANCE, 1.0, 1e3),
    u("µΩ", &["uohm", "microohm"], RESISTANCE, 1.0, 1e6),
    u("kΩ", &["kohm"], RESISTANCE, 1e3, 1.0),
    u("MΩ", &["Mohm", "megohm"], RESISTANCE, 1e6, 1.0),
    u("mΩ/m", &["mohm/m", "ohm/km", "Ω/km"], RESISTANCE_PER_LENGTH, 1.0, 1e3),
    u("Ω/m", &["ohm/m"], RESISTANCE_PER_LENGTH, 1.0, 1.0),
    u("Ω/ft", &["ohm/ft"], RESISTANCE_PER_LENGTH, 1250.0, 381.0),
    u("Ω/1000ft", &["ohm/1000ft", "ohm/1000.ft", "ohm/kft"], RESISTANCE_PER_LENGTH, 5.0, 1524.0),
    u("Ω·mm²/m", &["ohm.mm2/m", "ohmmm2/m"], RESISTIVITY, 1.0, 1e6),
    u("Ω·m", &["ohm.m", "ohmm"], RESISTIVITY, 1.0, 1.0),
    u("pF", &[], CAPACITANCE, 1.0, 1e12),
    u("nF", &[], CAPACITANCE, 1.0, 1e9),
    u("µF", &["uF"], CAPACITANCE, 1.0, 1e6),
    u("pF/m", &[], CAPACITANCE_PER_LENGTH, 1.0, 1e12),
    u("pF/ft", &[], CAPACITANCE_PER_LENGTH, 1250.0, 381e12),
    u("nF/m", &[], CAPACITANCE_PER_LENGTH, 1.0, 1e9),
    u("nH", &[], INDUCTANCE, 1.0, 1e9),
    u("µH", &["uH"], INDUCTANCE, 1.0, 1e6),
    u("mH", &[], INDUCTANCE, 1.0, 1e3),
    u("nH/m", &[], INDUCTANCE_PER_LENGTH, 1.0, 1e9),
    u("µH/m", &["uH/m"], INDUCTANCE_PER_LENGTH, 1.0, 1e6),
    u("ns/m", &[], DELAY, 1.0, 1e9),
    u("s/m", &[], DELAY, 1.0, 1.0),
    u("1/m", &["/m"], PER_LENGTH, 1.0, 1.0),
    t("°C", &["degC", "deg.C", "celsius"], 1.0, 1.0, 27_315.0),
    t("°F", &["degF", "deg.F", "fahrenheit"], 5.0, 9.0, 45_967.0),
    t("K", &["kelvin"], 1.0, 1.0, 0.0),
    t("°R", &["degR", "rankine"], 5.0, 9.0, 0.0),
    u("1/K", &["/K"], Dimension { temperature: -1, ..Dimension::NUMBER }, 1.0, 1.0),
    u("°", &["deg", "degree", "degrees"], Dimension::ANGLE, PI, 180.0),
    u("rad", &["radian", "radians"], Dimension::ANGLE, 1.0, 1.0),
    u("dB", &["decibel", "decibels"], Dimension::LEVEL, 1.0, 1.0),
    u("dB/m", &[], Dimension { level: 1, length: -1, ..Dimension::NUMBER }, 1.0, 1.0),
    u("%", &["percent"], Dimension::NUMBER, 1.0, 1e2),
    u("pieces", &["piece", "pcs", "pc", "off"], Dimension::COUNT, 1.0, 1.0),
    u("turns", &["turn"], Dimension::COUNT, 1.0, 1.0),
    u("sets", &["set"], Dimension::COUNT, 1.0, 1.0),
    u("ways", &["way"], Dimension::COUNT, 1.0, 1.0),
    u("pairs", &["pair"], Dimension::COUNT, 1.0, 1.0),
    u("layers", &["layer"], Dimension::COUNT, 1.0, 1.0),
    u("strands", &["strand"], Dimension::COUNT, 1.0, 1.0),
    u("times", &["cycles", "cycle"], Dimension::COUNT, 1.0, 1.0),
    u("EUR", &["€"], Dimension::MONEY, 1.0, 1.0),
    u("USD", &["$"], Dimension::MONEY, 1.0, 1.0),
    u("GBP", &["£"], Dimension::MONEY, 1.0, 1.0),
    u("CHF", &[], Dimension::MONEY, 1.0, 1.0),
    u("SEK", &[], Dimension::MONEY, 1.0, 1.0),
    u("NOK", &[], Dimension::MONEY, 1.0, 1.0),
    u("DKK", &[], Dimension::MONEY, 1.0, 1.0),
    u("PLN", &[], Dimension::MONEY, 1.0, 1.0),
    u("CZK", &[], Dimension::MONEY, 1.0, 1.0),
    u("JPY", &[], Dimension::MONEY, 1.0, 1.0),
    u("CAD", &[], Dimension::MONEY, 1.0, 1.0),
    u("AUD", &[], Dimension::MONEY, 1.0, 1.0),
];

/// The longest spelling that can name a unit; anything longer is not looked at.
const LONGEST: usize = 32;

/// Every spelling, folded, and its unit: units are asked for far more often than anything else.
static SPELLINGS: LazyLock<BTreeMap<String, &'static Unit>> = LazyLock::new(|| {
    let of = |unit: &'static Unit| {
        unit.aliases.iter().copied().chain([unit.symbol]).map(move |spelling| (fold(spelling), unit))
    };
    // A test holds every spelling to one unit, so that the order does not matter.
    units().flat_map(of).collect()
});

/// All units, the plain number first.
pub fn units() -> impl Iterator<Item = &'static Unit> {
    std::iter::once(&ONE).chain(TABLE.iter())
}

/// The unit with this spelling. Letter case counts, since `m` and `M` differ by 10⁹; it is forgiven only in
/// words where it can mean nothing else (`PSI`, `degc`, `Pieces`).
pub fn unit(spelling: &str) -> Option<&'static Unit> {
    let spelling = spelling.trim();
    if spelling.len() > LONGEST {
        return None;
    }
    let folded = fold(spelling);
    if folded.is_empty() {
        return None;
    }
    let exact = SPELLINGS.get(&folded).copied();
    if exact.is_some() || !forgiving(&folded) {
        return exact;
    }
    let alike = |known: &str| fold(known).eq_ignore_ascii_case(&folded);
    let mut found =
        units().filter(|unit| alike(unit.symbol) || unit.aliases.iter().any(|alias| alike(alias)));
    let first = found.next();
    if found.next().is_some() { None } else { first }
}

/// The unit in which values of a dimension are given when nobody asked for another: `mm`, `N·m`, `°C`.
pub fn house_unit(dimension: Dimension) -> Option<&'static Unit> {
    match dimension.name().as_str() {
        "volume" => unit("mm³"),
        "count" | "a plain number" => Some(&ONE),
        _ => TABLE.iter().find(|unit| unit.dimension == dimension),
    }
}

/// Words of three letters and more that do not start with a prefix whose case carries meaning.
fn forgiving(folded: &str) -> bool {
    folded.len() >= 3
        && folded.bytes().all(|byte| byte.is_ascii_alphabetic())
        && !folded.starts_with(['m', 'M', 'p', 'P']) | folded.eq_ignore_ascii_case("psi")
        || folded.eq_ignore_ascii_case("pieces")
        || folded.eq_ignore_ascii_case("piece")
}

/// One plain spelling for the many typographic ones: dots for products, digits for exponents, `ohm`, `u`, `deg`.
fn fold(spelling: &str) -> String {
    let mut plain = String::with_capacity(spelling.len() + 4);
    for letter in spelling.chars() {
        match letter {
            '·' | '⋅' | '∙' | '•' | '*' | ' ' | '\u{a0}' | '\u{202f}' | '\u{2009}' => plain.push('.'),
            '²' => plain.push('2'),
            '³' => plain.push('3'),
            '^' => {}
            'Ω' | '\u{2126}' => plain.push_str("ohm"),
            'µ' | 'μ' => plain.push('u'),
            '°' | 'º' => plain.push_str("deg"),
            '℃' => plain.push_str("degC"),
            '℉' => plain.push_str("degF"),
            '∕' | '⁄' => plain.push('/'),
            other => plain.push(other),
        }
    }
    plain
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use std::collections::BTreeMap;

    #[test]
    fn no_spelling_names_two_units() {
        let mut seen: BTreeMap<String, &str> = BTreeMap::new();
        for unit in units() {
            for spelling in unit.aliases.iter().chain([&unit.symbol]) {
                let earlier = seen.insert(fold(spelling), unit.symbol);
                assert!(earlier.is_none_or(|other| other == unit.symbol), "{spelling}");
            }
        }
    }

    #[test]
    fn every_symbol_and_alias_is_found() {
        for known in units() {
            assert_eq!(unit(known.symbol).unwrap(), known, "{}", known.symbol);
            for alias in known.aliases.iter().filter(|alias| !alias.is_empty()) {
                assert_eq!(unit(alias).unwrap(), known, "{alias}");
            }
        }
    }

    #[test]
    fn typographic_and_plain_spellings_are_one() {
        for (spelling, symbol) in [
            ("N m", "N·m"),
            ("N.m", "N·m"),
            ("Nm", "N·m"),
            ("mm^2", "mm²"),
            ("mm2", "mm²"),
            ("mohm/m", "mΩ/m"),
            ("μm", "µm"),
            ("degC", "°C"),
            ("lbf ft", "lbf·ft"),
            ("\u{2126}", "Ω"),
            ("PSI", "psi"),
            ("degc", "°C"),
            ("ohm/1000ft", "Ω/1000ft"),
        ] {
            assert_eq!(unit(spelling).map(|unit| unit.symbol), Some(symbol), "{spelling}");
        }
    }

    #[test]
    fn letter_case_counts_where_it_matters() {
        assert_eq!(unit("mohm").unwrap().symbol, "mΩ");
        assert_eq!(unit("Mohm").unwrap().symbol, "MΩ");
        assert!(unit("MM").is_none());
        assert!(unit("NM").is_none());
        assert!(unit("mhz").is_none());
        assert!(unit(&"m".repeat(1000)).is_none());
        assert!(unit("").is_none());
    }
}
