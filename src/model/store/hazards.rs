//! Hazards.

use crate::model::key::{Form, SIGNAL_WORDS, may, must};
use crate::model::store::declaration::{Declaration, Register};

pub(super) const DECLARATION: Declaration = Declaration {
    file: "hazards",
    noun: "hazard",
    scheme: Some("hazard"),
    doc: "What can hurt, how, and what to do about it.",
    called_by: "hazard",
    keys: &[
        must("word", Form::Word(SIGNAL_WORDS), "how grave", "warning"),
        must("hazard", Form::Text, "what can hurt", "Hot air"),
        must("consequence", Form::Text, "how it hurts", "Burns skin and lights vapour"),
        must("avoid", Form::Text, "what to do about it", "Keep the area free of vapour"),
        may("name", Form::Text, "what people call it, where that is not `hazard`", "Hot-air gun"),
        may("sign", Form::Sign, "its sign, one of `W…`", "W017"),
        may("protection", Form::References(&["protection"]), "what to wear against it", "[eye]"),
    ],
    lists: &[],
    register: Register::Own,
};
