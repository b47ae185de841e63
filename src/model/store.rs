//! The stores: what the shop keeps. Each table's keys are declared once, here; reading, range errors and
//! the writer's handbook follow from the declaration.

use super::{Place, Scheme};
use crate::quantity::{Quantity, Range};
use std::collections::BTreeMap;

/// A table of the stores.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs, reason = "each is the file it names")]
pub enum Store {
    Tools,
    Fasteners,
    Cables,
    Sleeves,
    Consumables,
    Parts,
    Protection,
    Hazards,
    Services,
    Joins,
    Words,
}

/// What a key of a stores line holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// Plain text.
    Text,
    /// A list of plain texts, or one.
    Texts,
    /// One of the words given.
    Word(&'static [&'static str]),
    /// Several of the words given.
    Words(&'static [&'static str]),
    /// A quantity of this unit's dimension.
    Quantity(&'static str),
    /// A quantity of any dimension.
    AnyQuantity,
    /// A torque, or `maker`, or `hand-tight`.
    Torque,
    /// `least to greatest`, or one quantity for both.
    Range(&'static str),
    /// A bare number.
    Number,
    /// Ids of another table.
    Ids(Store),
    /// The sizes of a sleeve range.
    Sizes,
}

/// A key that a line of a store may have.
#[derive(Clone, Copy, Debug)]
pub struct Key {
    /// As written.
    pub name: &'static str,
    /// What it holds.
    pub form: Form,
    /// Whether a line without it is an error.
    pub required: bool,
}

const fn must(name: &'static str, form: Form) -> Key {
    Key { name, form, required: true }
}

const fn may(name: &'static str, form: Form) -> Key {
    Key { name, form, required: false }
}

const YES_NO: &[&str] = &["yes", "no"];
/// Kinds of conductor, as cables and joins name them.
const CONDUCTORS: &[&str] =
    &["single", "pair", "shielded", "coax", "data", "fibre", "pyrotechnic", "high-voltage"];
const PLACES: &[&str] = &["dry", "wet", "flex", "hot", "dirty"];

const TOOLS: &[Key] = &[
    must("name", Form::Text),
    may("drive", Form::Text),
    may("size", Form::Text),
    may("range", Form::Range("N·m")),
    may("arm", Form::Quantity("mm")),
    may("graduation", Form::Quantity("N·m")),
    may("hazards", Form::Ids(Store::Hazards)),
];
const FASTENERS: &[Key] = &[
    must("name", Form::Text),
    may("thread", Form::Text),
    may("length", Form::Quantity("mm")),
    may("class", Form::Text),
    may("drive", Form::Text),
    may("torque", Form::Torque),
    may("reuse", Form::Word(&["yes", "inspect", "never"])),
];
const CABLES: &[Key] = &[
    must("name", Form::Text),
    must("kind", Form::Word(CONDUCTORS)),
    may("size", Form::Quantity("mm²")),
    may("conductor", Form::Quantity("mm")),
    may("outside", Form::Quantity("mm")),
    may("core", Form::Quantity("mm")),
    may("dielectric", Form::Quantity("mm")),
    may("shield", Form::Quantity("mm")),
    may("per-length", Form::Quantity("mΩ/m")),
    may("rated", Form::Quantity("A")),
    may("impedance", Form::Quantity("Ω")),
    may("relative-permittivity", Form::Number),
    may("bend-factor", Form::Number),
    may("moulded", Form::Word(YES_NO)),
    may("data-rate", Form::Quantity("Mbit/s")),
    may("data-rate-limit", Form::Quantity("Mbit/s")),
];
const SLEEVES: &[Key] = &[
    must("name", Form::Text),
    may("adhesive", Form::Word(YES_NO)),
    may("length-change", Form::Range("%")),
    may("relative-permittivity", Form::Number),
    may("recovers-at", Form::Quantity("°C")),
    may("stock", Form::Quantity("m")),
    must("sizes", Form::Sizes),
];
const CONSUMABLES: &[Key] = &[
    must("name", Form::Text),
    may("unit", Form::Text),
    may("pack", Form::AnyQuantity),
    may("hazards", Form::Ids(Store::Hazards)),
    may("data-sheet", Form::Text),
    may("price", Form::Number),
];
const PARTS: &[Key] = &[
    must("name", Form::Text),
    may("number", Form::Text),
    may("price", Form::Number),
    may("reuse", Form::Word(&["yes", "inspect", "never"])),
    may("hazards", Form::Ids(Store::Hazards)),
];
const PROTECTION: &[Key] = &[must("name", Form::Text), may("sign", Form::Text)];
const HAZARDS: &[Key] = &[
    must("word", Form::Word(&["danger", "warning", "caution", "notice"])),
    must("hazard", Form::Text),
    must("consequence", Form::Text),
    must("avoid", Form::Text),
    may("name", Form::Text),
    may("sign", Form::Text),
    may("protection", Form::Ids(Store::Protection)),
];
const SERVICES: &[Key] = &[
    must("name", Form::Text),
    must("band", Form::Range("MHz")),
    must("least-return-loss", Form::Quantity("dB")),
];
const JOINS: &[Key] = &[
    must("kinds", Form::Words(CONDUCTORS)),
    must("places", Form::Words(PLACES)),
    must("allow", Form::Words(&["lap", "meshed", "barrel"])),
];
const WORDS: &[Key] = &[may("avoid", Form::Texts), may("also", Form::Texts)];

impl Store {
    /// All tables, in the order of the indexes.
    pub const ALL: [Store; 11] = [
        Store::Tools,
        Store::Fasteners,
        Store::Cables,
        Store::Sleeves,
        Store::Consumables,
        Store::Parts,
        Store::Protection,
        Store::Hazards,
        Store::Services,
        Store::Joins,
        Store::Words,
    ];

    /// The name of its file, without the ending.
    pub fn file(self) -> &'static str {
        match self {
            Store::Tools => "tools",
            Store::Fasteners => "fasteners",
            Store::Cables => "cables",
            Store::Sleeves => "sleeves",
            Store::Consumables => "consumables",
            Store::Parts => "parts",
            Store::Protection => "protection",
            Store::Hazards => "hazards",
            Store::Services => "services",
            Store::Joins => "joins",
            Store::Words => "words",
        }
    }

    /// One line of it, in a sentence: `tool`, `sleeve range`.
    pub fn noun(self) -> &'static str {
        match self {
            Store::Tools => "tool",
            Store::Fasteners => "fastener",
            Store::Cables => "cable",
            Store::Sleeves => "sleeve range",
            Store::Consumables => "consumable",
            Store::Parts => "part",
            Store::Protection => "protection",
            Store::Hazards => "hazard",
            Store::Services => "service",
            Store::Joins => "join",
            Store::Words => "word",
        }
    }

    /// The keys that its lines may have, besides `source`, `note` and `also`.
    pub fn keys(self) -> &'static [Key] {
        match self {
            Store::Tools => TOOLS,
            Store::Fasteners => FASTENERS,
            Store::Cables => CABLES,
            Store::Sleeves => SLEEVES,
            Store::Consumables => CONSUMABLES,
            Store::Parts => PARTS,
            Store::Protection => PROTECTION,
            Store::Hazards => HAZARDS,
            Store::Services => SERVICES,
            Store::Joins => JOINS,
            Store::Words => WORDS,
        }
    }

    /// The table that a scheme points into.
    pub fn of(scheme: Scheme) -> Option<Store> {
        Some(match scheme {
            Scheme::Tool => Store::Tools,
            Scheme::Fastener => Store::Fasteners,
            Scheme::Cable => Store::Cables,
            Scheme::Sleeve => Store::Sleeves,
            Scheme::Consumable => Store::Consumables,
            Scheme::Part => Store::Parts,
            Scheme::Protection => Store::Protection,
            Scheme::Service => Store::Services,
            Scheme::Hazard => Store::Hazards,
            _ => return None,
        })
    }
}

/// What a figure of a line holds, read by its [`Form`].
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

    /// Keeps a line; an older one of the same id is given back.
    pub fn insert(&mut self, line: Line) -> Option<Line> {
        self.lines.entry(line.store).or_default().insert(line.id.clone(), line)
    }
}
