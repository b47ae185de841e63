//! Values that are to be worked: what a person wrote, and what follows from repairs, with what each input takes.

use super::{Part, Repair};
use crate::model::{NamedValue, Place, Reference, Store, Written};
use crate::quantity::Quantity;
use std::collections::BTreeMap;

/// The values of a procedure, in order, and its repairs.
#[derive(Debug, Default)]
pub(in crate::work) struct Plans {
    values: Vec<Plan>,
    index: BTreeMap<String, usize>,
    pub(in crate::work) repairs: Vec<Repair>,
}

impl Plans {
    /// Adds values behind the others.
    pub(super) fn extend(&mut self, plans: impl IntoIterator<Item = Plan>) {
        for plan in plans {
            self.index.entry(plan.id.clone()).or_insert(self.values.len());
            self.values.push(plan);
        }
    }

    /// The plans of its values, in order.
    pub(in crate::work) fn values(&self) -> &[Plan] {
        &self.values
    }

    /// The plan of a value.
    pub(in crate::work) fn get(&self, id: &str) -> Option<&Plan> {
        self.values.get(*self.index.get(id)?)
    }
}

/// One value to work.
#[derive(Clone, Debug)]
pub(in crate::work) struct Plan {
    /// Its id within its procedure or table.
    pub(in crate::work) id: String,
    /// The part that it plays in a repair; none where a person wrote it.
    pub(in crate::work) part: Option<Part>,
    /// The working's name, and where it is written.
    pub(in crate::work) working: (String, Place),
    /// What its inputs take.
    pub(in crate::work) feeds: Vec<Feed>,
    /// Whether a refusal is an error: something that a person wrote cannot be met.
    pub(in crate::work) strict: bool,
    /// The value of whose lists this holds some places.
    pub(in crate::work) pick: Option<Pick>,
    /// Where it was written.
    pub(in crate::work) place: Place,
}

/// Some places of the lists that another value answers.
#[derive(Clone, Debug)]
pub(in crate::work) struct Pick {
    /// The value.
    pub(in crate::work) whole: Part,
    /// How long those of its lists are that have a place for each wire.
    pub(in crate::work) of: usize,
    /// Which places, from nought.
    pub(in crate::work) places: Vec<usize>,
}

/// What one input takes.
#[derive(Clone, Debug)]
pub(in crate::work) struct Feed {
    /// The input's name.
    pub(in crate::work) name: String,
    /// What it takes.
    pub(in crate::work) taken: Taken,
    /// Where its key is.
    pub(in crate::work) key: Place,
    /// Where it was written.
    pub(in crate::work) place: Place,
}

/// What an input takes, each as what it is: only what a person wrote as text is ever read as text.
#[derive(Clone, Debug, PartialEq)]
pub(in crate::work) enum Taken {
    /// A text or a word.
    Text(String),
    /// A figure.
    Figure(Quantity),
    /// What a reference leads to.
    Refer(Reference),
    /// Whole lines of the stores, by their ids.
    Lines(Store, Vec<String>),
    /// Several.
    All(Vec<Taken>),
}

impl From<&Written> for Taken {
    fn from(written: &Written) -> Taken {
        match written {
            Written::Text(text) => Taken::Text(text.clone()),
            Written::Reference(reference) => Taken::Refer(reference.clone()),
            Written::List(all) => Taken::All(all.iter().map(|(one, _)| Taken::from(one)).collect()),
        }
    }
}

impl Plan {
    /// A value that a person wrote; strict where its refusal is an error and not only a gap.
    pub(in crate::work) fn written(value: &NamedValue, strict: bool) -> Plan {
        let feed = |input: &crate::model::Input| Feed {
            name: input.name.clone(),
            taken: Taken::from(&input.written),
            key: input.key,
            place: input.place,
        };
        Plan {
            id: value.id.clone(),
            part: None,
            working: value.working.clone(),
            feeds: value.inputs.iter().map(feed).collect(),
            strict,
            pick: None,
            place: value.place,
        }
    }

    /// A value that follows from a repair.
    pub(super) fn follows(part: Part, working: &str, feeds: Vec<(String, Taken)>, place: Place) -> Plan {
        let feed = |(name, taken)| Feed { name, taken, key: place, place };
        Plan {
            id: part.to_string(),
            part: Some(part),
            working: (working.to_owned(), place),
            feeds: feeds.into_iter().map(feed).collect(),
            strict: false,
            pick: None,
            place,
        }
    }
}
