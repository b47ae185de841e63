//! A unit: its symbol, the other ways to spell it, and its exact size in coherent SI units.

use crate::quantity::dimension::Dimension;

/// A unit of measurement. One SI coherent unit of the same dimension times `(value + zero/100)·num/den`.
#[derive(Clone, Debug, PartialEq)]
pub struct Unit {
    /// How it is printed: `N·m`, `mm²`, `mΩ/m`, `°C`. The plain number has the symbol `1`.
    pub symbol: &'static str,
    /// Other spellings that are read, in plain letters: `N.m`, `mm2`, `mohm/m`, `degC`.
    pub aliases: &'static [&'static str],
    /// What it measures.
    pub dimension: Dimension,
    /// Numerator of the factor to coherent SI; a whole number but for units defined with π.
    pub num: f64,
    /// Denominator of the factor to coherent SI; a whole number.
    pub den: f64,
    /// What is added to a value before the factor, in hundredths: 27315 for °C, 45967 for °F, else 0.
    pub zero: f64,
}

impl Unit {
    /// A unit whose scale starts at zero.
    pub(crate) const fn scale(
        symbol: &'static str,
        aliases: &'static [&'static str],
        dimension: Dimension,
        num: f64,
        den: f64,
    ) -> Unit {
        Unit { symbol, aliases, dimension, num, den, zero: 0.0 }
    }

    /// `value` of this unit, expressed in `other`. Both factors are reduced to one quotient of whole
    /// numbers and the decimal value goes in with them, so that the answer is rounded once: 0.375 in is
    /// exactly 9.525 mm and 25.4 mm exactly 1 in.
    ///
    /// The dimensions are the caller's business.
    pub(crate) fn convert(&self, value: f64, other: &Unit) -> f64 {
        if self.symbol == other.symbol {
            return value;
        }
        let (num, den) = reduced(self.num, other.den, self.den, other.num);
        if self.zero == 0.0 && other.zero == 0.0 {
            return scaled(value, num, den);
        }
        // The two zeros are folded into one whole constant, so that 68 °F is 20 °C and nothing near it.
        let shift = self.zero * num - other.zero * den;
        value.mul_add(100.0 * num, shift) / (100.0 * den)
    }

    /// `difference` of this unit, expressed in `other`: the zeros of temperature scales do not count.
    pub(crate) fn convert_difference(&self, difference: f64, other: &Unit) -> f64 {
        if self.symbol == other.symbol {
            return difference;
        }
        let (num, den) = reduced(self.num, other.den, self.den, other.num);
        scaled(difference, num, den)
    }

    /// Whether the unit is a currency, which converts into no other.
    pub(crate) fn is_currency(&self) -> bool {
        self.dimension.money != 0
    }
}

/// `value·num/den`, taking the value for the decimal number that prints it, as the author meant it: the
/// quotient of two whole numbers below 2⁵³ is rounded exactly once.
fn scaled(value: f64, num: f64, den: f64) -> f64 {
    let (digits, tens) = decimal(value);
    let (upper, lower) = reduced(digits.abs(), num, den, tens);
    let quotient = upper / lower;
    if value < 0.0 { -quotient } else { quotient }
}

/// The value as a whole number over a power of ten, where it is a decimal of at most fifteen places.
fn decimal(value: f64) -> (f64, f64) {
    let mut tens = 1.0;
    for _ in 0..16 {
        let digits = (value * tens).round();
        if digits.abs() >= 9.0e15 {
            break;
        }
        if digits / tens == value {
            return (digits, tens);
        }
        tens *= 10.0;
    }
    (value, 1.0)
}

/// The quotient `a·b/(c·d)` with common whole factors removed.
fn reduced(a: f64, b: f64, c: f64, d: f64) -> (f64, f64) {
    let (mut a, mut b, mut c, mut d) = (a, b, c, d);
    cancel(&mut a, &mut c);
    cancel(&mut a, &mut d);
    cancel(&mut b, &mut c);
    cancel(&mut b, &mut d);
    (a * b, c * d)
}

/// Divides both numbers by their greatest common divisor where both are whole, or by each other where equal.
fn cancel(upper: &mut f64, lower: &mut f64) {
    if upper == lower {
        (*upper, *lower) = (1.0, 1.0);
        return;
    }
    let whole = |x: f64| (1.0..9.0e15).contains(&x) && x.fract() == 0.0;
    if !whole(*upper) || !whole(*lower) {
        return;
    }
    let (mut high, mut low) = (*upper, *lower);
    while low != 0.0 {
        (high, low) = (low, high % low);
    }
    *upper /= high;
    *lower /= high;
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use crate::quantity::unit;

    #[test]
    fn conversions_round_once() {
        let (inch, mm) = (unit("in").unwrap(), unit("mm").unwrap());
        assert_eq!(inch.convert(0.375, mm), 9.525);
        assert_eq!(inch.convert(0.1, mm), 2.54);
        assert_eq!(mm.convert(25.4, inch), 1.0);
    }

    #[test]
    fn temperature_scales_meet_where_they_should() {
        let (c, f) = (unit("degC").unwrap(), unit("degF").unwrap());
        assert_eq!(f.convert(68.0, c), 20.0);
        assert_eq!(c.convert(20.0, f), 68.0);
        assert_eq!(c.convert(-40.0, f), -40.0);
        assert_eq!(c.convert_difference(5.0, f), 9.0);
    }

    #[test]
    fn a_full_turn_comes_back() {
        let (deg, rad) = (unit("deg").unwrap(), unit("rad").unwrap());
        assert_eq!(deg.convert(180.0, rad), std::f64::consts::PI);
        assert_eq!(rad.convert(std::f64::consts::PI, deg), 180.0);
    }
}
