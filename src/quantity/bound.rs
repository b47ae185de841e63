//! The least and greatest value that a figure may have. A bound writes its own error.

use crate::phrase::{Phrase, phrase};
use crate::quantity::print::{Rounding, number};

/// Limits of a figure, in its declared unit. Both ends are finite, so that nothing computed overflows.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bound {
    /// The least value.
    pub least: f64,
    /// The greatest value.
    pub greatest: f64,
    /// Whether the least value itself is refused.
    pub least_open: bool,
    /// Whether the greatest value itself is refused.
    pub greatest_open: bool,
}

impl Bound {
    /// Above `least`, at most `greatest`.
    pub const fn above(least: f64, greatest: f64) -> Bound {
        Bound { least, greatest, least_open: true, greatest_open: false }
    }

    /// From `least` to `greatest`, both allowed.
    pub const fn from(least: f64, greatest: f64) -> Bound {
        Bound { least, greatest, least_open: false, greatest_open: false }
    }

    /// From `least`, below `greatest`.
    pub const fn below(least: f64, greatest: f64) -> Bound {
        Bound { least, greatest, least_open: false, greatest_open: true }
    }

    /// Any finite value; for texts and choices too, which have no limits.
    pub const fn any() -> Bound {
        Bound::from(-1e15, 1e15)
    }

    /// Whether `value` lies inside.
    pub fn holds(&self, value: f64) -> bool {
        let above = if self.least_open { value > self.least } else { value >= self.least };
        let below = if self.greatest_open { value < self.greatest } else { value <= self.greatest };
        above && below
    }

    /// The limits in words: `more than 0 mm and at most 1000 mm`.
    pub fn words(&self, unit: &str) -> Phrase {
        let unit = if unit == "1" || unit.is_empty() { String::new() } else { format!(" {unit}") };
        let show = |value: f64| format!("{}{unit}", number(value, Rounding::Exact));
        let (least, greatest) = (show(self.least), show(self.greatest));
        let least = match self.least_open {
            true => phrase!("more than {least}", least = least),
            false => phrase!("at least {least}", least = least),
        };
        let greatest = match self.greatest_open {
            true => phrase!("less than {greatest}", greatest = greatest),
            false => phrase!("at most {greatest}", greatest = greatest),
        };
        phrase!("{least} and {greatest}", least = least, greatest = greatest)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ends_are_open_or_closed() {
        assert!(!Bound::above(0.0, 1.0).holds(0.0));
        assert!(Bound::from(0.0, 1.0).holds(0.0));
        assert!(!Bound::below(0.0, 1.0).holds(1.0));
        assert!(!Bound::any().holds(f64::NAN));
        assert!(!Bound::any().holds(f64::INFINITY));
    }

    #[test]
    fn limits_in_words() {
        assert_eq!(Bound::above(0.0, 10.0).words("mm").to_string(), "more than 0 mm and at most 10 mm");
        assert_eq!(Bound::below(0.0, 1.0).words("1").to_string(), "at least 0 and less than 1");
    }
}
