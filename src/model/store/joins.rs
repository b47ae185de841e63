//! Which join the shop allows.

use crate::model::key::{CONDUCTORS, Form, JOINS, PLACES, must};
use crate::model::store::declaration::{Declaration, Register};

pub(super) const DECLARATION: Declaration = Declaration {
    file: "joins",
    noun: "join",
    scheme: None,
    doc: "Which join the shop allows, by kind of conductor and place. The first line that fits holds.",
    called_by: "name",
    keys: &[
        must("kinds", Form::Words(CONDUCTORS), "kinds of conductor", "[single]"),
        must("places", Form::Words(PLACES), "where the joint lies", "[dry]"),
        must(
            "allow",
            Form::Words(JOINS),
            "the joins that are allowed; none where the list is empty",
            "[lap, barrel]",
        ),
    ],
    lists: &[],
    register: Register::Nowhere,
};
