//! Services that a coax carries.

use crate::model::key::{Form, above_nothing, may, must};
use crate::model::store::declaration::{Declaration, Register};
use crate::quantity::Bound;

pub(super) const DECLARATION: Declaration = Declaration {
    file: "services",
    noun: "service",
    scheme: Some("service"),
    doc: "Bands that a coax carries, with what they allow.",
    called_by: "name",
    keys: &[
        must("name", Form::Text, "what people call it", "FM broadcast"),
        must(
            "band",
            Form::Range("MHz", Bound::above(0.0, 1_000_000.0)),
            "its lowest and highest frequency",
            "87.5 MHz to 108 MHz",
        ),
        must(
            "least-return-loss",
            Form::Quantity("dB", Bound::above(0.0, 100.0)),
            "the return loss that a joint must keep",
            "10 dB",
        ),
        may(
            "capacitance-limit",
            above_nothing("pF", 1_000_000.0),
            "the capacitance that a joint may add",
            "3 pF",
        ),
    ],
    lists: &[],
    register: Register::Beside("cables"),
};
