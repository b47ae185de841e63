//! The columns of a loom's table, and what a vehicle says of a loom.

use crate::model::key::{Form, Key, PLACES, above_nothing, may, must};

/// The columns of a loom's table, by the names in its header.
pub const LOOM_COLUMNS: &[Key] = &[
    must("id", Form::Id, "the conductor's id", "tail-feed"),
    may("from", Form::Text, "where it begins", "Door plug"),
    may("to", Form::Text, "where it ends", "Tail lamp plug"),
    may("carries", Form::Text, "what it carries", "Tail lamp feed"),
    may("of", Form::Reference(&["cable"]), "the cable that it is made of", "loom-075"),
    may("colour", Form::Colour, "its colour", "GY/BK"),
    may("length", above_nothing("mm", 100_000.0), "length of the whole wire", "1860 mm"),
    may("place", Form::Word(PLACES), "where a joint of it would lie", "dry"),
    may("from-way", Form::Text, "its way in the connector where it begins", "3"),
    may("to-way", Form::Text, "its way in the connector where it ends", "B2"),
];

/// What a vehicle says of a loom.
pub const LOOM: &[Key] = &[
    must("table", Form::Text, "the file beside the vehicle's that holds it", "my-van-door.csv"),
    may("name", Form::Text, "what people call it", "Rear door loom"),
    may("note", Form::Text, "a remark", "Left door only"),
];
