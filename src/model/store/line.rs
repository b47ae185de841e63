//! Lines of the stores as read, and all of them together.

use crate::model::Place;
use crate::model::store::register::Store;
use crate::quantity::{Quantity, Range};
use std::collections::BTreeMap;

/// What a figure of a line holds, read by its [`Form`](crate::model::Form).
#[derive(Clone, Debug, PartialEq)]
pub enum Figure {
    /// Plain text, a word, or `maker` and `hand-tight` of a torque.
    Text(String),
    /// Several texts, words or ids, each with its place.
    Texts(Vec<(String, Place)>),
    /// A quantity.
    Quantity(Quantity),
    /// From least to greatest.
    Range(Range),
    /// A bare number.
    Number(f64),
    /// A sleeve range's sizes: id, then supplied bore, recovered bore and wall.
    Sizes(BTreeMap<String, BTreeMap<String, Quantity>>),
}

/// One line of a table.
#[derive(Clone, Debug)]
pub struct Line {
    /// Its table.
    pub store: Store,
    /// Its id.
    pub id: String,
    /// What people call it.
    pub name: String,
    /// Its figures by key, each with its own source where it has one, and its place.
    pub figures: BTreeMap<String, (Figure, Option<String>, Place)>,
    /// Where its figures come from.
    pub source: Option<String>,
    /// A remark.
    pub note: Option<String>,
    /// Other names, for search.
    pub also: Vec<String>,
    /// Where it was written.
    pub place: Place,
}

impl Line {
    /// A figure.
    pub fn figure(&self, key: &str) -> Option<&Figure> {
        self.figures.get(key).map(|(figure, ..)| figure)
    }

    /// A figure that is a quantity.
    pub fn quantity(&self, key: &str) -> Option<&Quantity> {
        match self.figure(key)? {
            Figure::Quantity(quantity) => Some(quantity),
            _ => None,
        }
    }

    /// A figure that is a range.
    pub fn range(&self, key: &str) -> Option<&Range> {
        match self.figure(key)? {
            Figure::Range(range) => Some(range),
            _ => None,
        }
    }

    /// A figure that is a bare number.
    pub fn number(&self, key: &str) -> Option<f64> {
        match self.figure(key)? {
            Figure::Number(number) => Some(*number),
            _ => None,
        }
    }

    /// A figure that is text or a word.
    pub fn text(&self, key: &str) -> Option<&str> {
        match self.figure(key)? {
            Figure::Text(text) => Some(text),
            _ => None,
        }
    }

    /// A figure that is a list of texts or ids.
    pub fn texts(&self, key: &str) -> impl Iterator<Item = &str> {
        let list = match self.figure(key) {
            Some(Figure::Texts(list)) => list.as_slice(),
            _ => &[],
        };
        list.iter().map(|(text, _)| text.as_str())
    }

    /// Where a figure comes from: its own source, else the line's.
    pub fn source_of(&self, key: &str) -> Option<&str> {
        self.figures.get(key).and_then(|(_, source, _)| source.as_deref()).or(self.source.as_deref())
    }
}

/// All tables of the stores.
#[derive(Clone, Debug, Default)]
pub struct Stores {
    lines: BTreeMap<Store, BTreeMap<String, Line>>,
    lists: BTreeMap<(Store, &'static str), Vec<(String, Place)>>,
}

impl Stores {
    /// A line.
    pub fn get(&self, store: Store, id: &str) -> Option<&Line> {
        self.lines.get(&store)?.get(id)
    }

    /// The lines of a table, sorted by id.
    pub fn lines(&self, store: Store) -> impl Iterator<Item = &Line> {
        self.lines.get(&store).into_iter().flat_map(BTreeMap::values)
    }

    /// The ids of a table.
    pub fn ids(&self, store: Store) -> impl Iterator<Item = &str> {
        self.lines(store).map(|line| line.id.as_str())
    }

    /// A list that stands beside the lines of a table, such as the verbs among the words.
    pub fn list(&self, store: Store, key: &str) -> impl Iterator<Item = &(String, Place)> {
        let of =
            |((known, name), list): (&(Store, &str), _)| (*known == store && *name == key).then_some(list);
        self.lists.iter().find_map(of).into_iter().flatten()
    }

    /// Keeps a list that stands beside the lines of a table.
    pub fn keep_list(&mut self, store: Store, key: &'static str, list: Vec<(String, Place)>) {
        self.lists.insert((store, key), list);
    }

    /// Keeps a line; an older one of the same id is given back.
    pub fn insert(&mut self, line: Line) -> Option<Line> {
        self.lines.entry(line.store).or_default().insert(line.id.clone(), line)
    }
}
