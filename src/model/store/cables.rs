//! Cables.

use crate::model::key::{CONDUCTORS, Form, YES_NO, above_nothing, may, must};
use crate::model::store::declaration::{Declaration, Register};
use crate::quantity::Bound;

pub(super) const DECLARATION: Declaration = Declaration {
    file: "cables",
    noun: "cable",
    scheme: Some("cable"),
    doc: "Wires and cables that repairs are made with, and those that vehicles have.",
    called_by: "name",
    keys: &[
        must("name", Form::Text, "what people call it", "Loom wire 0.75 mm²"),
        must("kind", Form::Word(CONDUCTORS), "what kind of conductor", "single"),
        may("size", above_nothing("mm²", 1_000.0), "cross-section of its conductor", "0.75 mm²"),
        may("conductor", above_nothing("mm", 100.0), "diameter over the bare strands", "1.1 mm"),
        may("outside", above_nothing("mm", 200.0), "greatest diameter over the insulation", "1.9 mm"),
        may("core", above_nothing("mm", 100.0), "diameter of a coax's inner conductor", "0.9 mm"),
        may("dielectric", above_nothing("mm", 200.0), "diameter over a coax's dielectric", "2.95 mm"),
        may("shield", above_nothing("mm", 200.0), "diameter over the shield", "3.6 mm"),
        may("per-length", above_nothing("mΩ/m", 100_000.0), "resistance per length", "24.7 mΩ/m"),
        may("rated", above_nothing("A", 2_000.0), "current that it may carry", "14 A"),
        may("impedance", above_nothing("Ω", 1_000.0), "characteristic impedance", "75 Ω"),
        may("relative-permittivity", Form::Number(Bound::from(1.0, 100.0)), "of its dielectric", "2.26"),
        may(
            "bend-factor",
            Form::Number(Bound::above(0.0, 100.0)),
            "least bend radius in outside diameters",
            "10",
        ),
        may("moulded", YES_NO, "whether its connectors are moulded on", "no"),
        may("data-rate", above_nothing("Mbit/s", 1_000_000.0), "the rate that it carries", "480 Mbit/s"),
        may(
            "data-rate-limit",
            above_nothing("Mbit/s", 1_000_000.0),
            "the rate up to which the shop joins it",
            "1 Mbit/s",
        ),
        may(
            "untwist-limit",
            above_nothing("mm", 1_000.0),
            "how far its maker lets a pair be untwisted",
            "25 mm",
        ),
    ],
    lists: &[],
    register: Register::Own,
};
