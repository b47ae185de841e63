//! What kind of thing a quantity measures: exponents of ten base dimensions, and a name for people.

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
        for (dimension, name) in NAMES {
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

    /// The name with its article, for the middle of a sentence: `a torque`, `an area`.
    pub fn with_article(&self) -> String {
        let name = self.name();
        if name.starts_with("a ") {
            return name;
        }
        let article = if name.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
        if name == "money" { name } else { format!("{article} {name}") }
    }
}

/// Names of the dimensions that occur in a workshop.
const NAMES: &[(Dimension, &str)] = &[
    (Dimension::NUMBER, "a plain number"),
    (Dimension::LENGTH, "length"),
    (Dimension::COUNT, "count"),
    (Dimension::ANGLE, "angle"),
    (Dimension::TEMPERATURE, "temperature"),
    (Dimension::LEVEL, "level"),
    (Dimension::MONEY, "money"),
    (Dimension::DATA_RATE, "data rate"),
    (Dimension::mechanical(2, 0, 0), "area"),
    (Dimension::mechanical(3, 0, 0), "volume"),
    (Dimension::mechanical(0, 1, 0), "mass"),
    (Dimension::mechanical(0, 0, 1), "time"),
    (Dimension::mechanical(0, 0, -1), "frequency"),
    (Dimension::mechanical(1, 0, -1), "speed"),
    (Dimension::mechanical(1, 0, -2), "acceleration"),
    (Dimension::mechanical(1, 1, -2), "force"),
    (Dimension::mechanical(2, 1, -2), "torque"),
    (Dimension::mechanical(-1, 1, -2), "pressure"),
    (Dimension::mechanical(2, 1, -3), "power"),
    (Dimension::mechanical(-1, 1, 0), "mass per length"),
    (Dimension::mechanical(-1, 0, 1), "delay per length"),
    (Dimension::mechanical(-3, 1, 0), "density"),
    (Dimension::mechanical(-1, 0, 0), "number per length"),
    (Dimension::electrical(0, 0, 0, 1), "current"),
    (Dimension::electrical(0, 0, 1, 1), "charge"),
    (Dimension::electrical(2, 1, -3, -1), "voltage"),
    (Dimension::electrical(2, 1, -3, -2), "resistance"),
    (Dimension::electrical(1, 1, -3, -2), "resistance per length"),
    (Dimension::electrical(3, 1, -3, -2), "resistivity"),
    (Dimension::electrical(-2, -1, 4, 2), "capacitance"),
    (Dimension::electrical(-3, -1, 4, 2), "capacitance per length"),
    (Dimension::electrical(2, 1, -2, -2), "inductance"),
    (Dimension::electrical(1, 1, -2, -2), "inductance per length"),
    (Dimension { level: 1, length: -1, ..Dimension::NUMBER }, "attenuation per length"),
    (Dimension { money: 1, length: -1, ..Dimension::NUMBER }, "price per length"),
    (Dimension { temperature: -1, ..Dimension::NUMBER }, "temperature coefficient"),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_and_articles_read_well() {
        assert_eq!(Dimension::LENGTH.name(), "length");
        assert_eq!(Dimension::mechanical(2, 1, -2).with_article(), "a torque");
        assert_eq!(Dimension::mechanical(2, 0, 0).with_article(), "an area");
        assert_eq!(Dimension::NUMBER.with_article(), "a plain number");
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
