//! Sleeve ranges.

use crate::model::key::{Form, Key, YES_NO, above_nothing, may, must};
use crate::model::store::declaration::{Declaration, Register};
use crate::quantity::Bound;

pub(super) const DECLARATION: Declaration = Declaration {
    file: "sleeves",
    noun: "sleeve range",
    scheme: Some("sleeve"),
    doc: "Ranges of shrink sleeves with their sizes.",
    called_by: "name",
    keys: &[
        must("name", Form::Text, "what people call it", "Shrink sleeve 3:1"),
        may("adhesive", YES_NO, "whether it is lined with adhesive", "no"),
        may(
            "length-change",
            Form::Range("%", Bound::from(-50.0, 50.0)),
            "change of length when shrunk",
            "-8 %",
        ),
        may("relative-permittivity", Form::Number(Bound::from(1.0, 100.0)), "of its material", "2.3"),
        may(
            "recovers-at",
            Form::Quantity("°C", Bound::from(20.0, 500.0)),
            "temperature at which it shrinks",
            "90 °C",
        ),
        may("stock", above_nothing("m", 10_000.0), "length of a piece as it is bought", "1.2 m"),
        must(
            "sizes",
            Form::Lines(SIZE),
            "its sizes",
            "{s3: {supplied: 3.0 mm, recovered: 1.0 mm, wall: 0.55 mm}}",
        ),
    ],
    lists: &[],
    register: Register::Own,
};

/// What each size states.
const SIZE: &[Key] = &[
    must("supplied", above_nothing("mm", 500.0), "guaranteed least bore as supplied", "3.0 mm"),
    must("recovered", above_nothing("mm", 500.0), "guaranteed greatest bore once shrunk", "1.0 mm"),
    must("wall", above_nothing("mm", 50.0), "thickness of its wall once shrunk", "0.55 mm"),
];
