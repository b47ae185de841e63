//! Protection to wear.

use crate::model::key::{Form, may, must};
use crate::model::store::declaration::{Declaration, Register};

pub(super) const DECLARATION: Declaration = Declaration {
    file: "protection",
    noun: "protection",
    scheme: Some("protection"),
    doc: "What people wear against hazards.",
    called_by: "name",
    keys: &[
        must("name", Form::Text, "what people call it", "Eye protection"),
        may("sign", Form::Sign, "its sign, one of `M…`", "M004"),
    ],
    lists: &[],
    register: Register::Beside("hazards"),
};
