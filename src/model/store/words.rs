//! The words of the shop.

use crate::model::key::{Form, may};
use crate::model::store::declaration::{Declaration, Register};

pub(super) const DECLARATION: Declaration = Declaration {
    file: "words",
    noun: "word",
    scheme: None,
    doc: "One word for one thing.",
    called_by: "name",
    keys: &[
        may("avoid", Form::Texts, "words that the shop does not write for it", "[disconnect, detach]"),
        may("also", Form::Texts, "words that people search by", "[connector off]"),
    ],
    lists: &[may(
        "verbs",
        Form::Texts,
        "verbs of the shop that a step may begin with",
        "[swap, depin, nip up]",
    )],
    register: Register::Nowhere,
};
