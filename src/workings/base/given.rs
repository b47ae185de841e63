//! Settled inputs: every value parsed, in its declared unit, inside its bounds.

use crate::phrase::{Phrase, phrase};
use crate::quantity::print::Rounding;
use crate::quantity::{Quantity, Unit};
use crate::workings::base::declaration::{Declaration, Kind, known};
use crate::workings::base::nouns::{Cable, Service, Sleeve};
use crate::workings::base::outcome::Value;
use crate::workings::base::refusal::Refusal;
use std::collections::BTreeMap;
use std::sync::Arc;

/// A settled number in the input's declared unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measure {
    /// The value.
    pub value: f64,
    /// How far the true value may lie to either side; zero where none was given.
    pub tolerance: f64,
}

impl Measure {
    /// The least that it can be.
    pub fn low(&self) -> f64 {
        self.value - self.tolerance
    }

    /// The most that it can be.
    pub fn high(&self) -> f64 {
        self.value + self.tolerance
    }
}

/// One settled input.
#[derive(Clone, Debug, PartialEq)]
pub enum Settled {
    /// A number in the declared unit.
    Measure(Measure, &'static Unit),
    /// Numbers in the declared unit.
    Measures(Vec<Measure>, &'static Unit),
    /// No limit.
    Unlimited,
    /// Quantities in the units of their author.
    Quantities(Vec<Quantity>),
    /// A quantity in the unit of its author.
    Quantity(Quantity),
    /// Two ends in the declared unit.
    Range(f64, f64, &'static Unit),
    /// A word or a text.
    Text(String),
    /// Texts.
    Texts(Vec<String>),
    /// Sleeves to choose from.
    Sleeves(Vec<Sleeve>),
    /// A cable.
    Cable(Box<Cable>),
    /// Services.
    Services(Vec<Service>),
}

impl Settled {
    /// As it was given, each number with its tolerance.
    pub fn shown(&self) -> String {
        let one = |measure: &Measure, unit: &'static Unit| {
            let told = |value: f64| Value::number(value, unit).shown(Rounding::Exact);
            match measure.tolerance > 0.0 {
                true => format!("{} ± {}", told(measure.value), told(measure.tolerance)),
                false => told(measure.value),
            }
        };
        match self {
            Settled::Measure(measure, unit) => one(measure, unit),
            Settled::Measures(all, unit) => {
                all.iter().map(|measure| one(measure, unit)).collect::<Vec<_>>().join(", ")
            }
            other => other.value().shown(Rounding::Exact),
        }
    }

    /// The value as an answer would hold it, for pages and for JSON. Things of the stores are their ids.
    pub fn value(&self) -> Value {
        let texts = |ids: Vec<String>| Value::List(ids.into_iter().map(Value::Text).collect());
        let plain = |quantity: &Quantity| Value::number(quantity.value, quantity.unit);
        match self {
            Settled::Measure(measure, unit) => Value::number(measure.value, unit),
            Settled::Measures(all, unit) => {
                Value::List(all.iter().map(|measure| Value::number(measure.value, unit)).collect())
            }
            Settled::Unlimited => Value::Unlimited,
            Settled::Quantities(all) => Value::List(all.iter().map(plain).collect()),
            Settled::Quantity(quantity) => plain(quantity),
            Settled::Range(low, high, unit) if low == high => Value::number(*low, unit),
            Settled::Range(low, high, unit) => {
                Value::List(vec![Value::number(*low, unit), Value::number(*high, unit)])
            }
            Settled::Text(text) => Value::Text(text.clone()),
            Settled::Texts(all) => texts(all.clone()),
            Settled::Sleeves(all) => texts(all.iter().map(|sleeve| sleeve.id.clone()).collect()),
            Settled::Cable(cable) => Value::Text(cable.id.clone()),
            Settled::Services(all) => texts(all.iter().map(|service| service.id.clone()).collect()),
        }
    }

    /// Whether any number in it carries a tolerance.
    pub fn is_tolerant(&self) -> bool {
        match self {
            Settled::Measure(measure, _) => measure.tolerance > 0.0,
            Settled::Measures(all, _) => all.iter().any(|measure| measure.tolerance > 0.0),
            _ => false,
        }
    }
}

/// The settled inputs of one computation, with the stores' cables for what may be chosen.
#[derive(Clone, Debug)]
pub struct Given {
    declaration: &'static Declaration,
    values: BTreeMap<String, Settled>,
    cables: Arc<[Cable]>,
}

impl Given {
    /// Only settling makes one.
    pub(crate) fn new(
        declaration: &'static Declaration,
        values: BTreeMap<String, Settled>,
        cables: Arc<[Cable]>,
    ) -> Given {
        Given { declaration, values, cables }
    }

    /// What these are the inputs of.
    pub fn declaration(&self) -> &'static Declaration {
        self.declaration
    }

    /// Every settled input in the order of the declaration, then the named quantities of an open one.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &Settled)> {
        let declared = self.declaration.inputs.iter();
        let first = declared.filter_map(|input| self.values.get(input.name).map(|value| (input.name, value)));
        let named = self.values.iter().filter(|(name, _)| self.declaration.input(name).is_none());
        first.chain(named.map(|(name, value)| (name.as_str(), value)))
    }

    /// The settled value with this name.
    pub fn get(&self, name: &str) -> Option<&Settled> {
        self.values.get(name)
    }

    /// Whether it was given or has a default.
    pub fn has(&self, name: &str) -> bool {
        self.values.contains_key(name)
    }

    /// Whether any input carries a tolerance.
    pub fn is_tolerant(&self) -> bool {
        self.values.values().any(Settled::is_tolerant)
    }

    /// The number with this name.
    pub fn measure(&self, name: &str) -> Option<Measure> {
        match self.values.get(name)? {
            Settled::Measure(measure, _) => Some(*measure),
            _ => None,
        }
    }

    /// The number with this name, which must be there.
    ///
    /// # Errors
    /// Where it was not given.
    pub fn need(&self, name: &str) -> Result<Measure, Refusal> {
        self.measure(name).ok_or_else(|| missing(self.declaration, name))
    }

    /// The numbers of a list, empty where it was not given.
    pub fn measures(&self, name: &str) -> &[Measure] {
        match self.values.get(name) {
            Some(Settled::Measures(all, _)) => all,
            _ => &[],
        }
    }

    /// The text or word with this name.
    pub fn text(&self, name: &str) -> Option<&str> {
        match self.values.get(name)? {
            Settled::Text(text) => Some(text),
            _ => None,
        }
    }

    /// The texts of a list, empty where it was not given.
    pub fn texts(&self, name: &str) -> &[String] {
        match self.values.get(name) {
            Some(Settled::Texts(all)) => all,
            _ => &[],
        }
    }

    /// The two ends of a range.
    pub fn range(&self, name: &str) -> Option<(f64, f64)> {
        match self.values.get(name)? {
            Settled::Range(low, high, _) => Some((*low, *high)),
            _ => None,
        }
    }

    /// A quantity in the unit of its author.
    pub fn quantity(&self, name: &str) -> Option<&Quantity> {
        match self.values.get(name)? {
            Settled::Quantity(quantity) => Some(quantity),
            _ => None,
        }
    }

    /// Quantities in the units of their author, empty where none were given.
    pub fn quantities(&self, name: &str) -> &[Quantity] {
        match self.values.get(name) {
            Some(Settled::Quantities(all)) => all,
            _ => &[],
        }
    }

    /// The sleeves to choose from, empty where none were given.
    pub fn sleeves(&self, name: &str) -> &[Sleeve] {
        match self.values.get(name) {
            Some(Settled::Sleeves(all)) => all,
            _ => &[],
        }
    }

    /// The cable with this name.
    pub fn cable(&self, name: &str) -> Option<&Cable> {
        match self.values.get(name)? {
            Settled::Cable(cable) => Some(cable),
            _ => None,
        }
    }

    /// The services, empty where none were given.
    pub fn services(&self, name: &str) -> &[Service] {
        match self.values.get(name) {
            Some(Settled::Services(all)) => all,
            _ => &[],
        }
    }

    /// Every cable of the stores.
    pub fn stock(&self) -> &[Cable] {
        &self.cables
    }
}

/// The refusal of an input that was left out; it says what to write.
pub(crate) fn missing(declaration: &'static Declaration, name: &str) -> Refusal {
    let input = declaration.input(name);
    let (meaning, unit) = input.map_or(("", ""), |input| (input.meaning, input.unit));
    let refusal = Refusal::input(
        name,
        phrase!("`{name}` is missing: {meaning}", name = name, meaning = Phrase::bare(meaning)),
    );
    if let Some(Kind::Choice(words)) = input.map(|input| input.kind) {
        return refusal.help(phrase!("write one of `{allowed}`", allowed = words.join("`, `")));
    }
    let example = if known(unit).symbol == "1" { "" } else { unit };
    if example.is_empty() {
        refusal
    } else {
        refusal.help(phrase!(
            "write `{name}` with its unit, for example in {unit}",
            name = name,
            unit = example
        ))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn measure(value: f64, tolerance: f64) -> Measure {
        Measure { value, tolerance }
    }

    #[test]
    fn a_range_of_one_value_is_that_value() {
        let mhz = known("MHz");
        assert_eq!(Settled::Range(5.0, 5.0, mhz).value(), Value::number(5.0, mhz));
        let ends = Value::List(vec![Value::number(5.0, mhz), Value::number(6.0, mhz)]);
        assert_eq!(Settled::Range(5.0, 6.0, mhz).value(), ends);
    }

    #[test]
    fn a_tolerance_is_told_where_there_is_one() {
        let mm = known("mm");
        for (tolerance, alone, beside) in [
            (0.0, "4\u{a0}mm", "3\u{a0}mm, 4\u{a0}mm"),
            (0.2, "4\u{a0}mm ± 0.2\u{a0}mm", "3\u{a0}mm, 4\u{a0}mm ± 0.2\u{a0}mm"),
        ] {
            let one = Settled::Measure(measure(4.0, tolerance), mm);
            assert_eq!((one.shown().as_str(), one.is_tolerant()), (alone, tolerance > 0.0));
            let several = Settled::Measures(vec![measure(3.0, 0.0), measure(4.0, tolerance)], mm);
            assert_eq!((several.shown().as_str(), several.is_tolerant()), (beside, tolerance > 0.0));
        }
        assert!(!Settled::Unlimited.is_tolerant());
        assert_eq!((measure(4.0, 0.25).low(), measure(4.0, 0.25).high()), (3.75, 4.25));
    }

    #[test]
    fn what_is_missing_is_asked_for_with_its_unit_where_it_has_one() {
        let wire = crate::workings::find("wire").expect("a working").declaration();
        let help = |name: &str| missing(wire, name).help.map(|help| help.to_string());
        assert_eq!(help("length").as_deref(), Some("write `length` with its unit, for example in m"));
        let fuse = crate::workings::find("stagger").expect("a working").declaration();
        assert_eq!(missing(fuse, "abreast").help, None);
    }
}
