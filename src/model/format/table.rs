//! The keys of a computed table, and of a value.

use crate::model::key::{Form, Key, may, must};

/// The keys of a computed table.
pub const TABLE: &[Key] = &[
    must("id", Form::Id, "its id", "sleeve-chart"),
    must("title", Form::Text, "its title", "Sleeve for each loom wire"),
    must(
        "rows",
        Form::Own("one name, with ids of cables, sleeves, fasteners or tools, or with a sweep"),
        "what it has a row for",
        "{wire: [loom-075, loom-100]}",
    ),
    must(
        "values",
        Form::Own("ids, each with a working and its inputs"),
        "worked afresh for each row",
        "{joint: {working: joint, by: lap}}",
    ),
    may("take", Form::Texts, "the outputs that make its columns", "[joint.diameter]"),
    may("plot", Form::Map(PLOT), "what it draws", "{x: row:wire.outside, y: joint.diameter}"),
    may("note", Form::Text, "a remark", "For dry places"),
];

/// The schemes of the lines that a table may have rows for.
pub const ROWS: &[&str] = &["cable", "sleeve", "fastener", "tool"];

/// What a table draws.
pub const PLOT: &[Key] = &[
    must("x", Form::Text, "along: a figure of the row, or an output", "row:wire.outside"),
    must("y", Form::Text, "up: an output", "joint.diameter"),
];
