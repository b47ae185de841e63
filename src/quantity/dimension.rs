//! What kind of thing a quantity measures: exponents of ten base dimensions, and a name for people.

use crate::phrase::{Phrase, phrase};

/// Exponents of the base dimensions. Two quantities can be added when their dimensions are equal.
///
/// Angle, level (dB), count, money and data are kept apart from plain numbers, because a technician who writes
/// `5 pieces` where degrees are wanted has made a mistake.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Dimension {
    /// Exponent of length (metre).
    pub length: i8,
    /// Exponent of mass (kilogram).
    pub mass: i8,
    /// Exponent of time (second).
    pub time: i8,
    /// Exponent of electric current (ampere).
    pub current: i8,
    /// Exponent of temperature (kelvin).
    pub temperature: i8,
    /// Exponent of plane angle (radian).
    pub angle: i8,
    /// Exponent of level (decibel).
    pub level: i8,
    /// Exponent of count (piece).
    pub count: i8,
    /// Exponent of money (one unit of a currency).
    pub money: i8,
    /// Exponent of data (bit).
    pub data: i8,
}

impl Dimension {
    /// The dimension of a plain number.
    pub const NUMBER: Dimension = Dimension::mechanical(0, 0, 0);
    /// Length.
    pub const LENGTH: Dimension = Dimension::mechanical(1, 0, 0);
    /// A count of pieces, turns or ways.
    pub const COUNT: Dimension = Dimension { count: 1, ..Dimension::NUMBER };
    /// Plane angle.
    pub const ANGLE: Dimension = Dimension { angle: 1, ..Dimension::NUMBER };
    /// Temperature.
    pub const TEMPERATURE: Dimension = Dimension { temperature: 1, ..Dimension::NUMBER };
    /// Level in decibels.
    pub const LEVEL: Dimension = Dimension { level: 1, ..Dimension::NUMBER };
    /// Money.
    pub const MONEY: Dimension = Dimension { money: 1, ..Dimension::NUMBER };

    /// Data over time.
    pub const DATA_RATE: Dimension = Dimension { data: 1, time: -1, ..Dimension::NUMBER };

    /// A dimension of length, mass and time only.
    pub const fn mechanical(length: i8, mass: i8, time: i8) -> Dimension {
        Dimension::electrical(length, mass, time, 0)
    }

    /// A dimension of length, mass, time and current.
    pub const fn electrical(length: i8, mass: i8, time: i8, current: i8) -> Dimension {
        Dimension {
            length,
            mass,
            time,
            current,
            temperature: 0,
            angle: 0,
            level: 0,
            count: 0,
            money: 0,
            data: 0,
        }
    }

    /// The exponents in a fixed order with the name of each base dimension.
    fn parts(self) -> [(i8, &'static str); 10] {
        [
            (self.length, "length"),
            (self.mass, "mass"),
            (self.time, "time"),
            (self.current, "current"),
            (self.temperature, "temperature"),
            (self.angle, "angle"),
            (self.level, "level"),
            (self.count, "count"),
            (self.money, "money"),
            (self.data, "data"),
        ]
    }

    /// Combines two dimensions exponent by exponent; exponents saturate at ±127.
    fn combine(self, other: Dimension, with: impl Fn(i8, i8) -> i8) -> Dimension {
        Dimension {
            length: with(self.length, other.length),
            mass: with(self.mass, other.mass),
            time: with(self.time, other.time),
            current: with(self.current, other.current),
            temperature: with(self.temperature, other.temperature),
            angle: with(self.angle, other.angle),
            level: with(self.level, other.level),
            count: with(self.count, other.count),
            money: with(self.money, other.money),
            data: with(self.data, other.data),
        }
    }

    /// The dimension of a product.
    pub fn times(self, other: Dimension) -> Dimension {
        self.combine(other, i8::saturating_add)
    }

    /// The dimension of a quotient.
    pub fn over(self, other: Dimension) -> Dimension {
        self.combine(other, i8::saturating_sub)
    }

    /// The dimension of an integer power.
    pub fn power(self, exponent: i8) -> Dimension {
        self.combine(self, |own, _| own.saturating_mul(exponent))
    }

    /// The dimension of a square root, where every exponent is even.
    pub fn root(self) -> Option<Dimension> {
        let even = self.parts().iter().all(|(exponent, _)| exponent % 2 == 0);
        even.then(|| self.combine(self, |own, _| own / 2))
    }

    /// Whether this is a plain number or a count, which stand for each other where either is wanted.
    pub fn is_plain(self) -> bool {
        self == Dimension::NUMBER || self == Dimension::COUNT
    }

    /// Whether a value of this dimension serves where `wanted` is asked for.
    pub fn suits(self, wanted: Dimension) -> bool {
        self == wanted || (self.is_plain() && wanted.is_plain())
    }

    /// What people call it: `length`, `torque`, `resistance per length`, `a plain number`. Torque and energy
    /// share their exponents; this manual knows torque.
    pub fn name(&self) -> String {
        for (dimension, name, _) in NAMES {
            if dimension == self {
                return (*name).to_owned();
            }
        }
        let mut words = Vec::new();
        for (exponent, name) in self.parts() {
            match exponent {
                0 => {}
                1 => words.push(name.to_owned()),
                _ => words.push(format!("{name}^{exponent}")),
            }
        }
        words.join("·")
    }

    /// The name with its article, for the middle of a sentence: `a torque`, `an area`; the coherent unit where it
    /// has no name.
    pub fn with_article(&self) -> Phrase {
        let named = NAMES.iter().find(|(dimension, ..)| dimension == self);
        named.map_or_else(
            || phrase!("a quantity in {units}", units = self.in_base_units()),
            |(.., phrase)| phrase.clone(),
        )
    }

    /// The coherent unit of the dimension: `m^5·s^-2`; `¤` stands for a unit of money.
    pub fn in_base_units(&self) -> String {
        const SYMBOLS: [&str; 10] = ["m", "kg", "s", "A", "K", "rad", "dB", "pieces", "¤", "bit"];
        let mut units = Vec::new();
        for ((exponent, _), symbol) in self.parts().into_iter().zip(SYMBOLS) {
            match exponent {
                0 => {}
                1 => units.push(symbol.to_owned()),
                _ => units.push(format!("{symbol}^{exponent}")),
            }
        }
        units.join("·")
    }
}

/// Names of the dimensions that occur in a workshop.
static NAMES: &[(Dimension, &str, Phrase)] = &[
    (Dimension::NUMBER, "a plain number", phrase!("a plain number")),
    (Dimension::LENGTH, "length", phrase!("a length")),
    (Dimension::COUNT, "count", phrase!("a count")),
    (Dimension::ANGLE, "angle", phrase!("an angle")),
    (Dimension::TEMPERATURE, "temperature", phrase!("a temperature")),
    (Dimension::LEVEL, "level", phrase!("a level")),
    (Dimension::MONEY, "money", phrase!("money")),
    (Dimension::DATA_RATE, "data rate", phrase!("a data rate")),
    (Dimension::mechanical(2, 0, 0), "area", phrase!("an area")),
    (Dimension::mechanical(3, 0, 0), "volume", phrase!("a volume")),
    (Dimension::mechanical(0, 1, 0), "mass", phrase!("a mass")),
    (Dimension::mechanical(0, 0, 1), "time", phrase!("a time")),
    (Dimension::mechanical(0, 0, -1), "frequency", phrase!("a frequency")),
    (Dimension::mechanical(1, 0, -1), "speed", phrase!("a speed")),
    (Dimension::mechanical(1, 0, -2), "acceleration", phrase!("an acceleration")),
    (Dimension::mechanical(1, 1, -2), "force", phrase!("a force")),
    (Dimension::mechanical(2, 1, -2), "torque", phrase!("a torque")),
    (Dimension::mechanical(-1, 1, -2), "pressure", phrase!("a pressure")),
    (Dimension::mechanical(2, 1, -3), "power", phrase!("a power")),
    (Dimension::mechanical(-1, 1, 0), "mass per length", phrase!("a mass per length")),
    (Dimension::mechanical(-1, 0, 1), "delay per length", phrase!("a delay per length")),
    (Dimension::mechanical(-3, 1, 0), "density", phrase!("a density")),
    (Dimension::mechanical(-1, 0, 0), "number per length", phrase!("a number per length")),
    (Dimension::electrical(0, 0, 0, 1), "current", phrase!("a current")),
    (Dimension::electrical(0, 0, 1, 1), "charge", phrase!("a charge")),
    (Dimension::electrical(2, 1, -3, -1), "voltage", phrase!("a voltage")),
    (Dimension::electrical(2, 1, -3, -2), "resistance", phrase!("a resistance")),
    (Dimension::electrical(1, 1, -3, -2), "resistance per length", phrase!("a resistance per length")),
    (Dimension::electrical(3, 1, -3, -2), "resistivity", phrase!("a resistivity")),
    (Dimension::electrical(-2, -1, 4, 2), "capacitance", phrase!("a capacitance")),
    (Dimension::electrical(-3, -1, 4, 2), "capacitance per length", phrase!("a capacitance per length")),
    (Dimension::electrical(2, 1, -2, -2), "inductance", phrase!("an inductance")),
    (Dimension::electrical(1, 1, -2, -2), "inductance per length", phrase!("an inductance per length")),
    (
        Dimension { level: 1, length: -1, ..Dimension::NUMBER },
        "attenuation per length",
        phrase!("an attenuation per length"),
    ),
    (
        Dimension { money: 1, length: -1, ..Dimension::NUMBER },
        "price per length",
        phrase!("a price per length"),
    ),
    (
        Dimension { temperature: -1, ..Dimension::NUMBER },
        "temperature coefficient",
        phrase!("a temperature coefficient"),
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_articles_read_well() {
        assert_eq!(Dimension::LENGTH.name(), "length");
        let said = |dimension: Dimension| dimension.with_article().to_string();
        assert_eq!(said(Dimension::mechanical(2, 1, -2)), "a torque");
        assert_eq!(said(Dimension::mechanical(2, 0, 0)), "an area");
        assert_eq!(said(Dimension::NUMBER), "a plain number");
        assert_eq!(said(Dimension::mechanical(5, 0, -2)), "a quantity in m^5·s^-2");
        assert_eq!(Dimension::mechanical(5, 0, -2).name(), "length^5·time^-2");
    }

    #[test]
    fn products_quotients_and_roots_agree() {
        let area = Dimension::LENGTH.times(Dimension::LENGTH);
        assert_eq!(area, Dimension::LENGTH.power(2));
        assert_eq!(area.root(), Some(Dimension::LENGTH));
        assert_eq!(Dimension::LENGTH.root(), None);
        assert_eq!(area.over(area), Dimension::NUMBER);
    }

    #[test]
    fn exponents_saturate_instead_of_overflowing() {
        let mut large = Dimension::LENGTH;
        for _ in 0..20 {
            large = large.times(large);
        }
        assert_eq!(large.length, i8::MAX);
    }

    #[test]
    fn counts_and_plain_numbers_stand_for_each_other() {
        assert!(Dimension::COUNT.suits(Dimension::NUMBER));
        assert!(!Dimension::COUNT.suits(Dimension::LENGTH));
    }
}
