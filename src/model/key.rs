//! The keys of a file, declared once: name, form, bounds, words, what each means and an example. Reading, what
//! is said of a fault, and the tables of the writer's handbook follow from the declaration.

use crate::quantity::Bound;

/// What a key holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Form {
    /// Plain text, not empty.
    Text,
    /// A list of plain texts, or one.
    Texts,
    /// One of the words given.
    Word(&'static [&'static str]),
    /// Several of the words given.
    Words(&'static [&'static str]),
    /// A quantity of this unit's dimension, and its bounds in that unit.
    Quantity(&'static str, Bound),
    /// A quantity of any dimension.
    AnyQuantity,
    /// A quantity with its bounds in a unit, or one of the words given.
    QuantityOr(&'static str, Bound, &'static [&'static str]),
    /// `least to greatest`, or one quantity for both; both ends within the bounds in this unit.
    Range(&'static str, Bound),
    /// A bare number within bounds.
    Number(Bound),
    /// A whole number from 1 up to the one given.
    Count(u32),
    /// An id, alone.
    Id,
    /// One id, alone or as a full reference of one of these schemes.
    Reference(&'static [&'static str]),
    /// A list of ids, or one, each alone or as a full reference of one of these schemes.
    References(&'static [&'static str]),
    /// A conductor's colour in the letters of IEC 60757.
    Colour,
    /// A safety sign by its number of ISO 7010.
    Sign,
    /// A unit of the same dimension as the one given; any unit where that is empty.
    Unit(&'static str),
    /// The size of a file.
    Size,
    /// A map of keys.
    Map(&'static [Key]),
    /// A list of maps of keys, or one.
    Maps(&'static [Key]),
    /// Ids, each with a map of keys.
    Lines(&'static [Key]),
    /// What has a form of its own, said in these words.
    Own(&'static str),
}

/// A key that a map may have.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Key {
    /// As written.
    pub name: &'static str,
    /// What it holds.
    pub form: Form,
    /// Whether a map without it is an error.
    pub required: bool,
    /// What it means, in a line.
    pub doc: &'static str,
    /// A value as its author would write it.
    pub example: &'static str,
}

/// A key that must be there.
pub const fn must(name: &'static str, form: Form, doc: &'static str, example: &'static str) -> Key {
    Key { name, form, required: true, doc, example }
}

/// A key that may be left out.
pub const fn may(name: &'static str, form: Form, doc: &'static str, example: &'static str) -> Key {
    Key { name, form, required: false, doc, example }
}

/// The words of a question that has two answers.
pub const YES_NO: Form = Form::Word(&["yes", "no"]);
/// Kinds of conductor.
pub const CONDUCTORS: &[&str] =
    &["single", "pair", "shielded", "coax", "data", "fibre", "pyrotechnic", "high-voltage"];
/// Where a joint may lie.
pub const PLACES: &[&str] = &["dry", "wet", "flex", "hot", "dirty"];
/// The ways to join a wire.
pub const JOINS: &[&str] = &["lap", "meshed", "barrel"];
/// Whether a thing that was taken out may go back.
pub const REUSE: Form = Form::Word(&["yes", "inspect", "never"]);
/// The signal words of ANSI Z535.6, the gravest first.
pub const SIGNAL_WORDS: &[&str] = &["danger", "warning", "caution", "notice"];

/// How tight: a torque, or whose figure or feeling holds.
pub const TORQUE: Form = Form::QuantityOr("N·m", Bound::above(0.0, 5_000.0), &["maker", "hand-tight"]);

/// A quantity above nothing and up to the greatest that is read, in its unit.
pub const fn above_nothing(unit: &'static str, greatest: f64) -> Form {
    Form::Quantity(unit, Bound::above(0.0, greatest))
}

impl Form {
    /// The form in words, for the handbook: `a quantity in mm, more than 0 mm and at most 100 mm`.
    pub fn words(&self) -> String {
        let list = |words: &[&str]| words.iter().map(|word| format!("`{word}`")).collect::<Vec<_>>();
        let within = |unit: &str, bound: &Bound| match *bound == Bound::any() {
            true => String::new(),
            false => format!(", {}", bound.words(unit)),
        };
        let ids = |schemes: &[&str]| match schemes {
            [] => "an id".to_owned(),
            _ => {
                let full: Vec<String> = schemes.iter().map(|scheme| format!("`{scheme}:`")).collect();
                format!("an id, or in full with {}", full.join(" or "))
            }
        };
        match self {
            Form::Text => "text".to_owned(),
            Form::Texts => "a text, or a list of texts".to_owned(),
            Form::Word(words) => list(words).join(", "),
            Form::Words(words) => format!("a list of {}", list(words).join(", ")),
            Form::Quantity(unit, bound) => format!("a quantity in {unit}{}", within(unit, bound)),
            Form::AnyQuantity => "a quantity".to_owned(),
            Form::QuantityOr(unit, bound, words) => {
                format!("a quantity in {unit}{}; or {}", within(unit, bound), list(words).join(", "))
            }
            Form::Range(unit, bound) => {
                format!("a range such as `1 to 2 {unit}`, or one quantity{}", within(unit, bound))
            }
            Form::Number(bound) => format!("a number{}", within("", bound)),
            Form::Count(greatest) => format!("a whole number from 1 to {greatest}"),
            Form::Id => "an id".to_owned(),
            Form::Reference(schemes) => ids(schemes),
            Form::References(schemes) => format!("a list, or one, of: {}", ids(schemes)),
            Form::Colour => "letters of IEC 60757".to_owned(),
            Form::Sign => "a sign of ISO 7010".to_owned(),
            Form::Unit("") => "a unit".to_owned(),
            Form::Unit(unit) => format!("a unit such as `{unit}`"),
            Form::Size => "the size of a file in B, kB or MB".to_owned(),
            Form::Map(keys) => format!("a map of {}", list(&names(keys)).join(", ")),
            Form::Maps(keys) => format!("a list, or one, of: a map of {}", list(&names(keys)).join(", ")),
            Form::Lines(keys) => format!("ids, each with {}", list(&names(keys)).join(", ")),
            Form::Own(words) => (*words).to_owned(),
        }
    }
}

/// The names of keys.
pub fn names(keys: &[Key]) -> Vec<&'static str> {
    keys.iter().map(|key| key.name).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_form_says_its_unit_its_bounds_and_its_words() {
        assert_eq!(above_nothing("mm", 100.0).words(), "a quantity in mm, more than 0 mm and at most 100 mm");
        assert_eq!(YES_NO.words(), "`yes`, `no`");
        assert_eq!(
            Form::References(&["hazard"]).words(),
            "a list, or one, of: an id, or in full with `hazard:`"
        );
    }
}
