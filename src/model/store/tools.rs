//! Tools.

use crate::model::key::{Form, above_nothing, may, must};
use crate::model::store::declaration::{Declaration, Register};
use crate::quantity::Bound;

pub(super) const DECLARATION: Declaration = Declaration {
    file: "tools",
    noun: "tool",
    scheme: Some("tool"),
    doc: "What is used again and again. A driver states its drive, a torque wrench its range.",
    called_by: "name",
    keys: &[
        must("name", Form::Text, "what people call it", "Hexalobular driver 25"),
        may("drive", Form::Text, "what it drives", "hexalobular 25"),
        may("size", Form::Text, "its size, where people ask for it by that", "10 mm"),
        may(
            "range",
            Form::Range("N·m", Bound::above(0.0, 5_000.0)),
            "the torques that it can be set to",
            "1 N·m to 6 N·m",
        ),
        may("arm", above_nothing("mm", 3_000.0), "from its square to the middle of its grip", "250 mm"),
        may("graduation", above_nothing("N·m", 100.0), "the least step of its scale", "0.1 N·m"),
        may(
            "hazards",
            Form::References(&["hazard"]),
            "hazards that it brings to every step that uses it",
            "[hot-air]",
        ),
    ],
    lists: &[],
    register: Register::Own,
};
