//! What a working says of itself. Checking, the command line, schemas and pages follow from it.

use crate::quantity::Bound;
use crate::quantity::print::Rounding;
use crate::quantity::{ONE, Unit, unit};

/// All that is known of a working before it computes.
#[derive(Debug)]
pub struct Declaration {
    /// The name by which it is called: `coax-strip`.
    pub name: &'static str,
    /// A title for people.
    pub title: &'static str,
    /// What it is for, in one sentence.
    pub purpose: &'static str,
    /// What it takes.
    pub inputs: &'static [Input],
    /// Whether any other key is taken too, as a named quantity (only `formula`).
    pub open: bool,
    /// What it answers.
    pub outputs: &'static [Output],
    /// Its formulas.
    pub formulas: &'static [Formula],
    /// What it does not cover, one sentence each.
    pub limits: &'static [&'static str],
    /// Where formulas and constants come from; a value from memory says so.
    pub sources: &'static [&'static str],
    /// A worked example that the tests run.
    pub example: Example,
    /// Whether a wrong answer could hurt someone: the page then says that the vehicle maker's figure,
    /// local codes and licensed practice come first.
    pub maker_first: bool,
}

impl Declaration {
    /// The input with this name.
    pub fn input(&self, name: &str) -> Option<&'static Input> {
        self.inputs.iter().find(|input| input.name == name)
    }

    /// The output with this name.
    pub fn output(&self, name: &str) -> Option<&'static Output> {
        self.outputs.iter().find(|output| output.name == name)
    }
}

/// A formula, once in plain letters and once in MathML.
#[derive(Debug)]
pub struct Formula {
    /// One plain line.
    pub text: &'static str,
    /// The inside of a `<math>` element, well-formed.
    pub mathml: &'static str,
}

/// A worked example: what is written, and what comes out.
#[derive(Debug)]
pub struct Example {
    /// Keys and texts as on the command line.
    pub given: &'static [(&'static str, &'static str)],
    /// Numeric outputs in their declared unit, to be met within 0.1 %.
    pub answers: &'static [(&'static str, f64)],
}

/// One input.
#[derive(Clone, Copy, Debug)]
pub struct Input {
    /// The key.
    pub name: &'static str,
    /// What it means, in one phrase.
    pub meaning: &'static str,
    /// The form of its value.
    pub kind: Kind,
    /// The symbol of the unit that it is settled in; `1` for plain numbers, empty where it has none.
    pub unit: &'static str,
    /// Its limits, in that unit.
    pub bound: Bound,
    /// The value where it is left out.
    pub default: Option<&'static str>,
    /// What the working takes where it is left out and that depends on other inputs, in words.
    pub derived: Option<&'static str>,
    /// The field that stands for a cable of the stores where its diameter is wanted.
    pub diameter: CableDiameter,
    /// Whether it must be given.
    pub required: bool,
}

/// Which diameter stands for a cable.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CableDiameter {
    /// Over its insulation or jacket.
    Outside,
    /// Of its conductor.
    Conductor,
}

/// The form of an input's value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// One quantity of the declared unit's dimension.
    Quantity,
    /// A list of such quantities.
    Quantities,
    /// Such a quantity, or the word `unlimited`.
    OrUnlimited,
    /// One quantity of any dimension.
    Any,
    /// A list of quantities of any one dimension.
    Anys,
    /// Two ends of the declared unit's dimension; one value is both.
    Range,
    /// One of these words.
    Choice(&'static [&'static str]),
    /// A text.
    Text,
    /// A list of texts.
    Texts,
    /// Sleeves of one range or several ranges of the stores.
    Sleeves,
    /// A cable of the stores.
    Cable,
    /// Services of the stores.
    Services,
}

impl Input {
    /// A required quantity.
    pub const fn need(name: &'static str, unit: &'static str, bound: Bound, meaning: &'static str) -> Input {
        Input {
            name,
            meaning,
            kind: Kind::Quantity,
            unit,
            bound,
            default: None,
            derived: None,
            diameter: CableDiameter::Outside,
            required: true,
        }
    }

    /// A quantity that may be left out, without a default.
    pub const fn may(name: &'static str, unit: &'static str, bound: Bound, meaning: &'static str) -> Input {
        Input { required: false, ..Input::need(name, unit, bound, meaning) }
    }

    /// A required value without a unit: a word, a text, something of the stores.
    pub const fn word(name: &'static str, kind: Kind, meaning: &'static str) -> Input {
        Input { kind, ..Input::need(name, "", Bound::any(), meaning) }
    }

    /// The same input, its value in another form.
    pub const fn kind(self, kind: Kind) -> Input {
        Input { kind, ..self }
    }

    /// The same input with a default; it need not be given.
    pub const fn default(self, default: &'static str) -> Input {
        Input { default: Some(default), required: false, ..self }
    }

    /// The same input, for which the working finds a value where it is left out; the words say which.
    pub const fn derived(self, words: &'static str) -> Input {
        Input { derived: Some(words), required: false, ..self }
    }

    /// The same input, for which a cable of the stores is its conductor.
    pub const fn of_conductor(self) -> Input {
        Input { diameter: CableDiameter::Conductor, ..self }
    }

    /// The same input, which may be left out.
    pub const fn optional(self) -> Input {
        Input { required: false, ..self }
    }

    /// The unit that it is settled in; the plain number where it has none.
    pub fn settled_unit(&self) -> &'static Unit {
        known(self.unit)
    }
}

/// One output.
#[derive(Debug)]
pub struct Output {
    /// The key.
    pub name: &'static str,
    /// The symbol of its unit; `1` for counts and ratios; empty for texts and where the unit follows the input.
    pub unit: &'static str,
    /// What it means, in one phrase.
    pub meaning: &'static str,
    /// How people see it rounded.
    pub rounding: Rounding,
}

impl Output {
    /// A numeric output.
    pub const fn number(
        name: &'static str,
        unit: &'static str,
        rounding: Rounding,
        meaning: &'static str,
    ) -> Output {
        Output { name, unit, meaning, rounding }
    }

    /// A text, or a list whose items carry their own units.
    pub const fn text(name: &'static str, meaning: &'static str) -> Output {
        Output { name, unit: "", meaning, rounding: Rounding::Exact }
    }
}

/// The unit with this symbol. A test holds that every declared symbol is one, so that the plain number is
/// never the answer for a misspelt one.
pub(crate) fn known(symbol: &str) -> &'static Unit {
    unit(symbol).unwrap_or(&ONE)
}
