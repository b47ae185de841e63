//! What two declarations of one thing say under a key, compared as what it is: figures as figures, whatever
//! unit they are written in.

use super::Torque;
use crate::quantity::Quantity;

/// What a declaration says under one key, to hold two declarations of one thing against each other.
#[derive(Debug)]
pub enum Declared<'a> {
    /// Words, an id, an order.
    Words(Option<&'a str>),
    /// Ids of which the order says nothing.
    Ids(&'a [String]),
    /// A number of things.
    Count(Option<u32>),
    /// Yes or no.
    Yes(bool),
    /// A figure, in whatever unit.
    Figure(Option<&'a Quantity>),
    /// How tight.
    Torque(Option<&'a Torque>),
}

impl PartialEq for Declared<'_> {
    fn eq(&self, other: &Declared<'_>) -> bool {
        match (self, other) {
            (Declared::Words(one), Declared::Words(other)) => one == other,
            (Declared::Ids(one), Declared::Ids(other)) => {
                one.len() == other.len() && one.iter().all(|id| other.contains(id))
            }
            (Declared::Count(one), Declared::Count(other)) => one == other,
            (Declared::Yes(one), Declared::Yes(other)) => one == other,
            (Declared::Figure(Some(one)), Declared::Figure(Some(other))) => same(one, other),
            (Declared::Figure(one), Declared::Figure(other)) => one.is_none() && other.is_none(),
            (Declared::Torque(Some(Torque::Figure(one))), Declared::Torque(Some(Torque::Figure(other)))) => {
                same(one, other)
            }
            (Declared::Torque(one), Declared::Torque(other)) => one == other,
            _ => false,
        }
    }
}

/// Whether two quantities are one figure, however their authors wrote it: `2.5 N·m` and `250 N·cm`.
fn same(one: &Quantity, other: &Quantity) -> bool {
    // Converting a unit moves the last binary digits.
    let near = |one: f64, other: f64| (one - other).abs() <= 1e-9 * one.abs().max(other.abs());
    let (Ok(value), Ok(tolerance)) = (other.in_unit(one.unit), other.tolerance_in(one.unit)) else {
        return false;
    };
    near(one.value, value) && near(one.tolerance.unwrap_or(0.0), tolerance)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{Fastening, Item, Kind, Place, Sort, What};

    fn panel(hides: &[&str]) -> Item {
        let hides = hides.iter().map(|id| (*id).to_owned()).collect();
        Item::new(What::Panel { of: None, hides }, "lining", Place::default())
    }

    fn torqued(words: &str) -> Item {
        let torque = Some(Torque::Figure(Quantity::parse(words).unwrap()));
        let fastening = Fastening { torque, ..Fastening::of(Sort::Fastener) };
        Item::new(What::Fastening(fastening), "screws", Place::default())
    }

    #[test]
    fn a_figure_is_the_same_in_whatever_unit_it_is_written() {
        for (one, other, agree) in [
            ("2.5 N·m", "2.50 N·m", true),
            ("2.5 N·m", "250 N·cm", true),
            ("2.5 N·m", "2.6 N·m", false),
            ("2.5 N·m ± 0.1 N·m", "2.5 N·m", false),
        ] {
            assert_eq!(torqued(one).says("torque") == torqued(other).says("torque"), agree, "{one}, {other}");
        }
        let maker = Declared::Torque(Some(&Torque::Maker));
        assert_ne!(torqued("2.5 N·m").says("torque"), Some(maker));
    }

    #[test]
    fn ids_have_no_order() {
        let known = panel(&["plug", "feed"]);
        assert_eq!(known.says("hides"), panel(&["feed", "plug"]).says("hides"));
        assert_ne!(known.says("hides"), panel(&["feed"]).says("hides"));
        assert_ne!(known.says("hides"), panel(&["feed", "lamp"]).says("hides"));
    }

    #[test]
    fn a_kind_says_nothing_under_a_key_that_it_does_not_have() {
        assert_eq!(panel(&[]).says("torque"), None);
        assert_eq!(Item::bare(Kind::Setting, "clock", Place::default()).says("loses"), None);
    }
}
