//! What a working answers.

use crate::phrase::{Phrase, phrase};
use crate::quantity::Unit;
use crate::quantity::print::{Rounding, number};
use crate::workings::base::declaration::{Declaration, known};
use crate::workings::base::refusal::Refusal;

/// A circle of a packing, mm from the centre of the whole.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Circle {
    /// Across.
    pub x: f64,
    /// Up.
    pub y: f64,
    /// Diameter.
    pub d: f64,
}

/// A bundle in cross-section that a drawing shows.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// Which: `level` (all joints side by side) or `staggered` (the thickest station).
    pub name: &'static str,
    /// Diameter of the smallest circle found around it, mm.
    pub diameter: f64,
    /// Its circles, in the order of the wires.
    pub members: Vec<Member>,
}

/// One circle of a section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Member {
    /// Where it lies, mm from the centre of the whole.
    pub circle: Circle,
    /// The place of its wire among the inputs, counted from nought.
    pub wire: usize,
    /// Whether it is the wire's joint here, or the bare wire passing by.
    pub is_joint: bool,
}

/// One value of an answer or a settled input.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A finite number with its unit.
    Number {
        /// In `unit`, full precision.
        value: f64,
        /// The unit; counts and ratios have `1`.
        unit: &'static Unit,
    },
    /// A word of the format or an id.
    Text(String),
    /// Words for people, said in the language of the page.
    Words(Phrase),
    /// Infinite: `unlimited`.
    Unlimited,
    /// Several values in order.
    List(Vec<Value>),
    /// Circles in input order.
    Positions(Vec<Circle>),
}

impl Value {
    /// A number; infinity becomes [`Value::Unlimited`].
    pub fn number(value: f64, unit: &'static Unit) -> Value {
        if value == f64::INFINITY { Value::Unlimited } else { Value::Number { value, unit } }
    }

    /// The number, where it is one.
    pub fn as_number(&self) -> Option<f64> {
        match self {
            Value::Number { value, .. } => Some(*value),
            _ => None,
        }
    }

    /// For people: rounded number and symbol with a no-break space, items with commas.
    pub fn shown(&self, rounding: Rounding) -> String {
        match self {
            Value::Number { value, unit } if unit.symbol == "1" => number(*value, rounding),
            Value::Number { value, unit } if unit.symbol == "°" => format!("{}°", number(*value, rounding)),
            Value::Number { value, unit } => format!("{}\u{a0}{}", number(*value, rounding), unit.symbol),
            Value::Text(text) => text.clone(),
            Value::Words(words) => words.to_string(),
            Value::Unlimited => "unlimited".to_owned(),
            Value::List(items) => {
                let inner = |item: &Value| match item {
                    Value::List(_) => format!("({})", item.shown(rounding)),
                    other => other.shown(rounding),
                };
                items.iter().map(inner).collect::<Vec<_>>().join(", ")
            }
            Value::Positions(circles) => format!("{} circles", circles.len()),
        }
    }

    /// Whether every number in it is finite.
    fn is_sound(&self) -> bool {
        match self {
            Value::Number { value, .. } => value.is_finite(),
            Value::Text(_) | Value::Words(_) | Value::Unlimited => true,
            Value::List(items) => items.iter().all(Value::is_sound),
            Value::Positions(circles) => circles
                .iter()
                .all(|circle| circle.x.is_finite() && circle.y.is_finite() && circle.d.is_finite()),
        }
    }
}

/// An answer: outputs in the order of the declaration, and what people should know beside it.
#[derive(Clone, Debug, PartialEq)]
pub struct Outcome {
    /// Names and values; an output that the inputs do not ask for is absent.
    pub outputs: Vec<(&'static str, Value)>,
    /// Intermediate steps for people.
    pub steps: Vec<Phrase>,
    /// What to beware of, each with its source.
    pub cautions: Vec<Phrase>,
    /// Sources beyond those of the declaration.
    pub sources: Vec<Phrase>,
    /// Whether tolerances were given and the worst of each was used.
    pub worst_case: bool,
    /// Return loss (dB) over frequency (MHz), where a band was asked for; else empty.
    pub curve: Vec<(f64, f64)>,
    /// What the curve is called where there are others beside it (`bridged`, `pigtail`); else empty.
    pub curve_name: &'static str,
    /// Other curves over the same band, each with its name.
    pub others: Vec<(&'static str, Vec<(f64, f64)>)>,
    /// Bundles in cross-section, where the working packs any; else empty.
    pub sections: Vec<Section>,
}

impl Outcome {
    /// The value of an output.
    pub fn get(&self, name: &str) -> Option<&Value> {
        self.outputs.iter().find(|(known, _)| *known == name).map(|(_, value)| value)
    }

    /// The number of an output in its declared unit.
    pub fn number(&self, name: &str) -> Option<f64> {
        self.get(name)?.as_number()
    }
}

/// Gathers an answer against its declaration.
pub(crate) struct Answer {
    declaration: &'static Declaration,
    outcome: Outcome,
}

impl Answer {
    /// An answer without outputs.
    pub(crate) fn new(declaration: &'static Declaration) -> Answer {
        let outcome = Outcome {
            outputs: Vec::new(),
            steps: Vec::new(),
            cautions: Vec::new(),
            sources: Vec::new(),
            worst_case: false,
            curve: Vec::new(),
            curve_name: "",
            others: Vec::new(),
            sections: Vec::new(),
        };
        Answer { declaration, outcome }
    }

    /// The declared unit of an output.
    fn unit_of(&self, name: &str) -> &'static Unit {
        known(self.declaration.output(name).map_or("1", |output| output.unit))
    }

    /// Adds a number in the declared unit of the output.
    pub(crate) fn put(&mut self, name: &'static str, value: f64) {
        let unit = self.unit_of(name);
        self.put_value(name, Value::number(value, unit));
    }

    /// Adds a list of numbers in the declared unit of the output.
    pub(crate) fn put_all(&mut self, name: &'static str, values: impl IntoIterator<Item = f64>) {
        let unit = self.unit_of(name);
        let items = values.into_iter().map(|value| Value::number(value, unit)).collect();
        self.put_value(name, Value::List(items));
    }

    /// Adds a word of the format or an id.
    pub(crate) fn put_text(&mut self, name: &'static str, text: impl Into<String>) {
        self.put_value(name, Value::Text(text.into()));
    }

    /// Adds words for people.
    pub(crate) fn put_words(&mut self, name: &'static str, words: Phrase) {
        self.put_value(name, Value::Words(words));
    }

    /// Adds any value.
    pub(crate) fn put_value(&mut self, name: &'static str, value: Value) {
        self.outcome.outputs.push((name, value));
    }

    /// Adds a step.
    pub(crate) fn step(&mut self, step: Phrase) {
        self.outcome.steps.push(step);
    }

    /// Adds a caution.
    pub(crate) fn caution(&mut self, caution: Phrase) {
        self.outcome.cautions.push(caution);
    }

    /// Adds a source.
    pub(crate) fn source(&mut self, source: Phrase) {
        self.outcome.sources.push(source);
    }

    /// Says that the worst of each tolerance was used, where any was given.
    pub(crate) fn worst_case(&mut self, any: bool) {
        if any && !self.outcome.worst_case {
            self.outcome.worst_case = true;
            self.step(phrase!("Each input with a tolerance counts with its worst value."));
        }
    }

    /// Adds a curve of return loss over frequency.
    pub(crate) fn curve(&mut self, curve: Vec<(f64, f64)>) {
        self.outcome.curve = curve;
    }

    /// Names the curve, and adds another that it is to be read against.
    pub(crate) fn against(&mut self, name: &'static str, other: &'static str, curve: Vec<(f64, f64)>) {
        self.outcome.curve_name = name;
        self.outcome.others.push((other, curve));
    }

    /// Adds a bundle in cross-section.
    pub(crate) fn section(&mut self, section: Section) {
        self.outcome.sections.push(section);
    }

    /// The finished answer. No NaN and no infinity leaves a working: such an answer is a refusal.
    pub(crate) fn finish(self) -> Result<Outcome, Refusal> {
        let unsound = self.outcome.outputs.iter().find(|(_, value)| !value.is_sound());
        match unsound {
            Some((name, _)) => Err(Refusal::of(phrase!(
                "the inputs are too large or too small together: `{name}` is not a finite number",
                name = *name
            ))),
            None => Ok(self.outcome),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_is_shown_with_its_unit_in_its_own_way() {
        let shown = |value: f64, unit: &str| Value::number(value, known(unit)).shown(Rounding::Exact);
        assert_eq!(shown(5.5, "1"), "5.5");
        assert_eq!(shown(90.0, "°"), "90°");
        assert_eq!(shown(5.5, "mm"), "5.5\u{a0}mm");
        assert_eq!(shown(f64::INFINITY, "mm"), "unlimited");
        let list = Value::List(vec![
            Value::number(1.0, known("1")),
            Value::List(vec![Value::Text("a".to_owned()), Value::Unlimited]),
        ]);
        assert_eq!(list.shown(Rounding::Exact), "1, (a, unlimited)");
    }

    #[test]
    fn no_answer_leaves_with_what_is_no_number() {
        let sound = Circle { x: 1.0, y: 2.0, d: 3.0 };
        let nan = f64::NAN;
        for (value, is_sound) in [
            (Value::Positions(vec![sound, sound]), true),
            (Value::Positions(vec![sound, Circle { x: nan, ..sound }]), false),
            (Value::Positions(vec![Circle { y: nan, ..sound }, sound]), false),
            (Value::Positions(vec![Circle { d: f64::INFINITY, ..sound }]), false),
            (Value::number(nan, known("mm")), false),
            (Value::List(vec![Value::Unlimited, Value::number(nan, known("mm"))]), false),
            (Value::List(vec![Value::Unlimited, Value::number(1.0, known("mm"))]), true),
        ] {
            let mut answer = Answer::new(crate::workings::find("bundle").expect("a working").declaration());
            answer.put_value("positions", value.clone());
            assert_eq!(answer.finish().is_ok(), is_sound, "{value:?}");
        }
    }

    #[test]
    fn steps_and_sources_are_kept_in_order() {
        let mut answer = Answer::new(crate::workings::find("bundle").expect("a working").declaration());
        answer.step(Phrase::verbatim("one".to_owned()));
        answer.step(Phrase::verbatim("two".to_owned()));
        answer.source(Phrase::verbatim("book".to_owned()));
        let outcome = answer.finish().expect("an answer");
        let words = |all: &[Phrase]| all.iter().map(ToString::to_string).collect::<Vec<_>>();
        assert_eq!(
            (words(&outcome.steps), words(&outcome.sources)),
            (vec!["one".to_owned(), "two".to_owned()], vec!["book".to_owned()])
        );
    }
}
