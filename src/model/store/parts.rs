//! Parts.

use crate::model::key::{Form, REUSE, may, must};
use crate::model::store::declaration::{Declaration, Register};
use crate::quantity::Bound;

pub(super) const DECLARATION: Declaration = Declaration {
    file: "parts",
    noun: "part",
    scheme: Some("part"),
    doc: "What is bought for one job: connectors, clips, lamps.",
    called_by: "name",
    keys: &[
        must("name", Form::Text, "what people call it", "Six-way lamp connector"),
        may("number", Form::Text, "by which it is ordered", "invented-0612"),
        may(
            "price",
            Form::Number(Bound::from(0.0, 1_000_000.0)),
            "price of one in the shop's currency",
            "7.40",
        ),
        may("reuse", REUSE, "whether one that was taken out may go back", "never"),
        may(
            "hazards",
            Form::References(&["hazard"]),
            "hazards that it brings to every step that uses it",
            "[sharp-edge]",
        ),
    ],
    lists: &[],
    register: Register::Own,
};
