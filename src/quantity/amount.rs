//! A quantity: a number with its unit and perhaps a tolerance.

use crate::phrase::{Fill, Part};
use crate::quantity::dimension::Dimension;
use crate::quantity::error::{QuantityError, example, nearest_unit, shown};
use crate::quantity::gauge::{gauge_area, parse_gauge};
use crate::quantity::number::{leading_number, plain};
use crate::quantity::print::{Rounding, number};
use crate::quantity::table::{ONE, unit};
use crate::quantity::unit::Unit;
use std::fmt;

/// A value in a unit. The value is finite when it was parsed.
#[derive(Clone, Debug, PartialEq)]
pub struct Quantity {
    /// The number, in `unit`.
    pub value: f64,
    /// The unit it was written in.
    pub unit: &'static Unit,
    /// How far the true value may lie to either side, in the same unit; never negative.
    pub tolerance: Option<f64>,
    /// The digits as the author wrote them (`3/8`, `2.40`); a wire gauge in full (`18 AWG`); empty when computed.
    pub written: String,
}

impl Quantity {
    /// A computed quantity, without digits of an author.
    pub fn new(value: f64, unit: &'static Unit) -> Quantity {
        Quantity { value, unit, tolerance: None, written: String::new() }
    }

    /// Reads a number with a unit: `2.4 mm`, `.5mm`, `3/8 in`, `18 AWG`, `12 mm ± 0.5 mm`, `6 pieces`.
    ///
    /// # Errors
    /// Says what to write where the unit is missing or unknown, the number is none or not finite.
    pub fn parse(text: &str) -> Result<Quantity, QuantityError> {
        parse_for(text, None)
    }

    /// Reads a quantity of the dimension of `wanted`. Where that is a plain number or a count, a bare number
    /// serves, and so does a percentage; a plain number and a count stand for each other.
    ///
    /// # Errors
    /// As [`Quantity::parse`], and where the dimension is another.
    pub fn parse_as(text: &str, wanted: &'static Unit) -> Result<Quantity, QuantityError> {
        let quantity = parse_for(text, Some(wanted))?;
        quantity.check(wanted)?;
        Ok(quantity)
    }

    /// What it measures.
    pub fn dimension(&self) -> Dimension {
        self.unit.dimension
    }

    /// The value in another unit, rounded once; temperature scales with their zeros.
    ///
    /// # Errors
    /// Where the dimensions differ, or two currencies do.
    pub fn in_unit(&self, unit: &Unit) -> Result<f64, QuantityError> {
        self.check(unit)?;
        Ok(self.unit.convert(self.value, unit))
    }

    /// The tolerance in another unit, zero where there is none.
    ///
    /// # Errors
    /// As [`Quantity::in_unit`].
    pub fn tolerance_in(&self, unit: &Unit) -> Result<f64, QuantityError> {
        self.check(unit)?;
        Ok(self.unit.convert_difference(self.tolerance.unwrap_or(0.0), unit))
    }

    /// The same quantity in another unit, its tolerance with it.
    ///
    /// # Errors
    /// As [`Quantity::in_unit`].
    pub fn to(&self, unit: &'static Unit) -> Result<Quantity, QuantityError> {
        let value = self.in_unit(unit)?;
        let tolerance = match self.tolerance {
            Some(_) => Some(self.tolerance_in(unit)?),
            None => None,
        };
        let written = if unit == self.unit { self.written.clone() } else { String::new() };
        Ok(Quantity { value, unit, tolerance, written })
    }

    /// Whether it can be expressed in `unit`.
    fn check(&self, unit: &Unit) -> Result<(), QuantityError> {
        if !self.unit.dimension.suits(unit.dimension) {
            if self.unit.symbol == "1" {
                let digits = if self.written.is_empty() {
                    number(self.value, Rounding::Exact)
                } else {
                    self.written.clone()
                };
                let example = format!("{digits} {}", unit.symbol);
                return Err(QuantityError::Bare { text: shown(&digits), example: shown(&example) });
            }
            let written = self.unit.symbol;
            let wanted = unit.symbol;
            return Err(QuantityError::WrongDimension {
                unit: if self.written.ends_with("AWG") { self.written.clone() } else { written.to_owned() },
                found: self.unit.dimension,
                needed: unit.dimension,
                wanted,
            });
        }
        if self.unit.is_currency() && self.unit.symbol != unit.symbol {
            return Err(QuantityError::Currency { from: self.unit.symbol, to: unit.symbol });
        }
        Ok(())
    }
}

impl fmt::Display for Quantity {
    /// For people: the author's digits where there are any, a no-break space, the symbol.
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.written.ends_with("AWG") {
            let area = number(self.value, Rounding::Figures);
            return write!(out, "{} ({area}\u{a0}{})", self.written.replace(' ', "\u{a0}"), self.unit.symbol);
        }
        let digits =
            if self.written.is_empty() { number(self.value, Rounding::Exact) } else { self.written.clone() };
        let tail = match self.unit.symbol {
            "1" => String::new(),
            "°" => "°".to_owned(),
            symbol => format!("\u{a0}{symbol}"),
        };
        write!(out, "{digits}{tail}")?;
        match self.tolerance {
            Some(tolerance) => write!(out, " ± {}{tail}", number(tolerance, Rounding::Exact)),
            None => Ok(()),
        }
    }
}

impl Fill for Quantity {
    fn part(&self) -> Part {
        Part::Text(self.to_string())
    }
}

/// Reads a quantity; `wanted` gives the example of a message and lets a bare number pass where it may.
fn parse_for(text: &str, wanted: Option<&'static Unit>) -> Result<Quantity, QuantityError> {
    let whole = plain(text);
    if whole.is_empty() {
        return Err(QuantityError::Empty { example: example("", wanted) });
    }
    if let Some(gauge) = parse_gauge(&whole) {
        let gauge = gauge.map_err(|()| QuantityError::Gauge { text: shown(text) })?;
        let area = unit("mm²").unwrap_or(&ONE);
        return Ok(Quantity {
            value: gauge_area(gauge),
            unit: area,
            tolerance: None,
            written: gauge_written(&whole),
        });
    }
    let (main, allowance) = match whole.split_once('±').or_else(|| whole.split_once("+/-")) {
        Some((main, allowance)) => (main.trim(), Some(allowance.trim())),
        None => (whole.as_str(), None),
    };
    let lead = leading_number(main, text).map_err(|error| in_terms_of(error, wanted))?;
    let found = if lead.rest.is_empty() { None } else { Some(known_unit(lead.rest, text)?) };
    let Some(allowance) = allowance else {
        let unit = found.map_or_else(|| bare(lead.written, text, wanted), Ok)?;
        return Ok(Quantity { value: lead.value, unit, tolerance: None, written: lead.written.to_owned() });
    };
    let tolerance = leading_number(allowance, text).map_err(|error| in_terms_of(error, wanted))?;
    let second = if tolerance.rest.is_empty() { None } else { Some(known_unit(tolerance.rest, text)?) };
    let unit = found.or(second).map_or_else(|| bare(lead.written, text, wanted), Ok)?;
    let own = second.unwrap_or(unit);
    Quantity::new(0.0, own).check(unit)?;
    if tolerance.value < 0.0 {
        return Err(QuantityError::Tolerance { text: shown(text) });
    }
    let allowed = own.convert_difference(tolerance.value, unit);
    Ok(Quantity { value: lead.value, unit, tolerance: Some(allowed), written: lead.written.to_owned() })
}

/// The unit of a bare number: allowed where a plain number or a count is wanted.
fn bare(digits: &str, text: &str, wanted: Option<&'static Unit>) -> Result<&'static Unit, QuantityError> {
    match wanted {
        Some(wanted) if wanted.dimension == Dimension::NUMBER => Ok(&ONE),
        Some(wanted) if wanted.dimension == Dimension::COUNT => Ok(wanted),
        _ => Err(QuantityError::Bare { text: shown(text), example: example(digits, wanted) }),
    }
}

/// The unit spelt in `spelling`, or the error that names the nearest.
fn known_unit(spelling: &str, text: &str) -> Result<&'static Unit, QuantityError> {
    unit(spelling).ok_or_else(|| QuantityError::UnknownUnit {
        text: shown(text),
        unit: shown(spelling),
        nearest: nearest_unit(spelling),
    })
}

/// Puts the wanted unit into the example of an error from the number.
fn in_terms_of(error: QuantityError, wanted: Option<&'static Unit>) -> QuantityError {
    match error {
        QuantityError::NotANumber { text, .. } => {
            QuantityError::NotANumber { text, example: example("", wanted) }
        }
        QuantityError::Empty { .. } => QuantityError::Empty { example: example("", wanted) },
        other => other,
    }
}

/// A gauge as it is shown: number first, one space, `AWG`.
fn gauge_written(text: &str) -> String {
    let upper = text.to_ascii_uppercase();
    format!("{} AWG", upper.replace("AWG", "").trim())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn mm(text: &str) -> f64 {
        Quantity::parse_as(text, unit("mm").unwrap()).unwrap().in_unit(unit("mm").unwrap()).unwrap()
    }

    #[test]
    fn lengths_as_people_write_them() {
        assert_eq!(mm("2.4 mm"), 2.4);
        assert_eq!(mm("2.4mm"), 2.4);
        assert_eq!(mm(".5mm"), 0.5);
        assert_eq!(mm("3/8 in"), 9.525);
        assert_eq!(mm("3/8in"), 9.525);
        assert_eq!(mm("1 1/16 in"), 26.9875);
    }

    #[test]
    fn tolerances_come_in_any_unit() {
        for text in ["12 mm ± 0.5 mm", "12 ± 0.5 mm", "12 mm ± 0.5", "12 mm +/- 0.05 cm"] {
            let quantity = Quantity::parse(text).unwrap();
            assert_eq!((quantity.value, quantity.tolerance), (12.0, Some(0.5)), "{text}");
        }
        let warm = Quantity::parse("20 °C ± 5 °C").unwrap().to(unit("degF").unwrap()).unwrap();
        assert_eq!((warm.value, warm.tolerance), (68.0, Some(9.0)));
    }

    #[test]
    fn gauges_become_areas_and_keep_their_name() {
        let gauge = Quantity::parse("AWG 18").unwrap();
        assert_eq!((gauge.unit.symbol, gauge.written.as_str()), ("mm²", "18 AWG"));
        assert_eq!(gauge.to_string(), "18\u{a0}AWG (0.823\u{a0}mm²)");
    }

    #[test]
    fn messages_say_what_to_write() {
        let length = unit("mm").unwrap();
        let say = |text: &str| Quantity::parse_as(text, length).unwrap_err().to_string();
        assert_eq!(say("12"), "`12` has no unit: write for example `12 mm`");
        assert_eq!(say("2,4 mm"), "`2,4 mm` has a comma: write 2.4 mm with a point");
        assert_eq!(say("5 N·m"), "N·m is a torque; a length is wanted here, for example in mm");
        assert_eq!(say(""), "nothing is written here: write for example `12 mm`");
        assert_eq!(say("1e999 mm"), "`1e999 mm` is not a finite number");
        let unknown = Quantity::parse("5 Mm").unwrap_err();
        assert_eq!(unknown.help().unwrap().to_string(), "did you mean `mm`?");
    }

    #[test]
    fn plain_numbers_and_counts_stand_for_each_other() {
        assert_eq!(Quantity::parse_as("0.5", &ONE).unwrap().value, 0.5);
        assert_eq!(Quantity::parse_as("5 %", &ONE).unwrap().in_unit(&ONE).unwrap(), 0.05);
        assert_eq!(Quantity::parse_as("6 pieces", &ONE).unwrap().value, 6.0);
        assert_eq!(Quantity::parse_as("6", unit("pieces").unwrap()).unwrap().unit.symbol, "pieces");
        assert!(Quantity::parse("6").is_err());
    }

    #[test]
    fn display_keeps_the_digits_of_the_author() {
        assert_eq!(Quantity::parse("2.40mm").unwrap().to_string(), "2.40\u{a0}mm");
        assert_eq!(Quantity::parse("90 deg").unwrap().to_string(), "90°");
        assert_eq!(Quantity::new(0.1, unit("N.m").unwrap()).to_string(), "0.1\u{a0}N·m");
    }

    #[test]
    fn currencies_do_not_mix() {
        let price = Quantity::parse("5 EUR").unwrap();
        assert!(price.in_unit(unit("USD").unwrap()).is_err());
    }

    #[test]
    fn hostile_text_is_refused_without_panic() {
        let long = "9".repeat(100_000);
        for text in
            ["±", "± 1 mm", "1 mm ±", "1 mm ± -1 mm", "AWG", "NaN mm", "🦀", "1 🦀", "-", "1/", "1 1/", &long]
        {
            assert!(Quantity::parse(text).is_err());
        }
    }
}
