//! A range of values, as in the reach of a torque wrench or the band of a service.

use crate::quantity::amount::Quantity;
use crate::quantity::error::{QuantityError, shown};
use crate::quantity::table::ONE;
use crate::quantity::unit::Unit;
use std::fmt;

/// Two ends of one dimension, the first not above the second.
#[derive(Clone, Debug, PartialEq)]
pub struct Range {
    /// The lower end.
    pub least: Quantity,
    /// The upper end.
    pub greatest: Quantity,
}

impl Range {
    /// Reads `1 N·m to 6 N·m`, `1 to 6 N·m`, `-10 % to 0 %`; a single value is both ends.
    ///
    /// # Errors
    /// As [`Quantity::parse`] for either end, and where the ends run backwards.
    pub fn parse(text: &str) -> Result<Range, QuantityError> {
        read(text, None)
    }

    /// As [`Range::parse`], with both ends of the dimension of `wanted`.
    ///
    /// # Errors
    /// As [`Quantity::parse_as`] for either end, and where the ends run backwards.
    pub fn parse_as(text: &str, wanted: &'static Unit) -> Result<Range, QuantityError> {
        read(text, Some(wanted))
    }

    /// Both ends in one unit.
    ///
    /// # Errors
    /// Where the dimensions differ.
    pub fn in_unit(&self, unit: &Unit) -> Result<(f64, f64), QuantityError> {
        Ok((self.least.in_unit(unit)?, self.greatest.in_unit(unit)?))
    }
}

impl fmt::Display for Range {
    /// For people: `1 N·m to 6 N·m`, or the one value where both ends are the same.
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.least == self.greatest {
            write!(out, "{}", self.least)
        } else {
            write!(out, "{} to {}", self.least, self.greatest)
        }
    }
}

/// Reads one end.
fn end(text: &str, wanted: Option<&'static Unit>) -> Result<Quantity, QuantityError> {
    match wanted {
        Some(wanted) => Quantity::parse_as(text, wanted),
        None => Quantity::parse(text),
    }
}

/// Splits at ` to ` and lends the unit of the second end to a first one that has none.
fn read(text: &str, wanted: Option<&'static Unit>) -> Result<Range, QuantityError> {
    let Some((first, second)) = split(text) else {
        let one = end(text, wanted)?;
        return Ok(Range { least: one.clone(), greatest: one });
    };
    let greatest = end(second, wanted)?;
    let least = match end(first, wanted) {
        Ok(own) if own.unit != &ONE => own,
        own => end(&format!("{} {}", first.trim(), greatest.unit.symbol), wanted).or(own)?,
    };
    if greatest.in_unit(least.unit)? < least.value {
        return Err(QuantityError::Backwards { text: shown(text) });
    }
    Ok(Range { least, greatest })
}

/// The two sides of the word `to`, or of three dots.
fn split(text: &str) -> Option<(&str, &str)> {
    text.split_once(" to ").or_else(|| text.split_once('…')).or_else(|| text.split_once("..."))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::quantity::unit;

    #[test]
    fn ends_lend_each_other_their_unit() {
        let torque = unit("N.m").unwrap();
        for text in ["1 N·m to 6 N·m", "1 to 6 N·m", "1 N.m to 6 Nm"] {
            assert_eq!(Range::parse_as(text, torque).unwrap().in_unit(torque).unwrap(), (1.0, 6.0), "{text}");
        }
        let shrink = Range::parse_as("-10 % to 0 %", &ONE).unwrap();
        assert_eq!(shrink.in_unit(&ONE).unwrap(), (-0.1, 0.0));
        assert_eq!(Range::parse_as("-10 to 0 %", &ONE).unwrap().in_unit(&ONE).unwrap(), (-0.1, 0.0));
    }

    #[test]
    fn one_value_is_both_ends() {
        let one = Range::parse("98 MHz").unwrap();
        assert_eq!(one.least, one.greatest);
        assert_eq!(one.to_string(), "98\u{a0}MHz");
    }

    #[test]
    fn backwards_and_mixed_ranges_are_refused() {
        assert!(matches!(Range::parse("6 mm to 1 mm"), Err(QuantityError::Backwards { .. })));
        assert!(Range::parse("1 mm to 6 N·m").is_err());
        assert!(Range::parse("1 to 6").is_err());
        assert!(Range::parse("to").is_err());
    }
}
