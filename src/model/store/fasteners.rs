//! Fasteners, clips, ties and grommets.

use crate::model::key::{Form, REUSE, TORQUE, above_nothing, may, must};
use crate::model::store::declaration::{Declaration, Register};

pub(super) const DECLARATION: Declaration = Declaration {
    file: "fasteners",
    noun: "fastener",
    scheme: Some("fastener"),
    doc: "Screws, nuts, clips, ties and grommets.",
    called_by: "name",
    keys: &[
        must("name", Form::Text, "what people call it", "Pan-head screw M5 × 16"),
        may("thread", Form::Text, "its thread", "M5x0.8"),
        may("length", above_nothing("mm", 2_000.0), "its length under the head", "16 mm"),
        may("class", Form::Text, "its property class", "\"8.8\""),
        may("drive", Form::Text, "what drives it", "hexalobular 25"),
        may("torque", TORQUE, "how tight, unless the vehicle says otherwise", "2.5 N·m"),
        may("reuse", REUSE, "whether one that was taken out may go back", "yes"),
    ],
    lists: &[],
    register: Register::Own,
};
