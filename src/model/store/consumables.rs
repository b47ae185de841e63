//! Consumables.

use crate::model::key::{Form, may, must};
use crate::model::store::declaration::{Declaration, Register};
use crate::quantity::Bound;

pub(super) const DECLARATION: Declaration = Declaration {
    file: "consumables",
    noun: "consumable",
    scheme: Some("consumable"),
    doc: "What is used up: solder, tape, wipes, braid.",
    called_by: "name",
    keys: &[
        must("name", Form::Text, "what people call it", "Fabric loom tape 19 mm"),
        may("unit", Form::Unit(""), "the unit that it is counted in", "m"),
        may("pack", Form::AnyQuantity, "how much is bought at once", "25 m"),
        may(
            "form",
            Form::Word(&["tube", "flat"]),
            "whether a braid or sleeve is threaded on or laid round",
            "tube",
        ),
        may(
            "hazards",
            Form::References(&["hazard"]),
            "hazards that it brings to every step that uses it",
            "[solder-fume]",
        ),
        may("data-sheet", Form::Text, "where its safety data sheet is", "shop folder 12"),
        may(
            "price",
            Form::Number(Bound::from(0.0, 1_000_000.0)),
            "price of a pack in the shop's currency",
            "7.40",
        ),
    ],
    lists: &[],
    register: Register::Own,
};
