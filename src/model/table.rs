//! Values and tables as written: which working, with which inputs, not yet computed.

use super::{Place, Reference};

/// An input as written.
#[derive(Clone, Debug, PartialEq)]
pub enum Written {
    /// A text: a quantity, a word, an id; read by the input that it is for.
    Text(String),
    /// A reference.
    Reference(Reference),
    /// Several.
    List(Vec<(Written, Place)>),
}

/// An input of a value.
#[derive(Clone, Debug, PartialEq)]
pub struct Input {
    /// Its name.
    pub name: String,
    /// What was written.
    pub written: Written,
    /// Where its name stands.
    pub key: Place,
    /// Where it was written.
    pub place: Place,
}

/// A value: a working and its inputs.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedValue {
    /// Its id within its procedure or table.
    pub id: String,
    /// The working's name.
    pub working: (String, Place),
    /// Its inputs.
    pub inputs: Vec<Input>,
    /// Where it was written.
    pub place: Place,
}

/// What a table has a row for.
#[derive(Clone, Debug, PartialEq)]
pub enum Rows {
    /// The lines of the stores with these ids; the key under which inputs name them.
    Ids(String, Vec<(String, Place)>),
    /// Quantities from least to greatest by a step; the key under which inputs name them.
    Sweep(String, Vec<crate::quantity::Quantity>, Place),
}

/// What a table draws.
#[derive(Clone, Debug, PartialEq)]
pub struct Plot {
    /// Along: a reference to the row, or a value's output.
    pub x: (String, Place),
    /// Up: a value's output.
    pub y: (String, Place),
}

/// A computed table, as written.
#[derive(Clone, Debug)]
pub struct Table {
    /// Its id.
    pub id: String,
    /// Its title.
    pub title: String,
    /// Its rows.
    pub rows: Rows,
    /// Worked afresh for each row.
    pub values: Vec<NamedValue>,
    /// The outputs that make its columns: `value.output`.
    pub take: Vec<(String, Place)>,
    /// What it draws.
    pub plot: Option<Plot>,
    /// A remark.
    pub note: Option<String>,
    /// Where it was written.
    pub place: Place,
}
