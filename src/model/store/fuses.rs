//! Fuses, for finding a drain by what a fuse lets fall.

use crate::model::key::{Form, above_nothing, must};
use crate::model::store::declaration::{Declaration, Register};

pub(super) const DECLARATION: Declaration = Declaration {
    file: "fuses",
    noun: "fuse",
    scheme: Some("fuse"),
    doc: "Fuses by kind and rating, with the resistance by which a drain is found without opening a circuit.",
    called_by: "name",
    keys: &[
        must("name", Form::Text, "what people call it", "Blade fuse 10 A"),
        must("rating", above_nothing("A", 2_000.0), "rated current", "10 A"),
        must(
            "resistance",
            above_nothing("mΩ", 100_000.0),
            "cold resistance between its test points",
            "7.7 mΩ",
        ),
    ],
    lists: &[],
    register: Register::Own,
};
