//! The one list of all workings. A new working is one file and one line here.

use crate::workings::base::working::Working;
use crate::workings::{
    bundle, coax_impedance, coax_strip, convert, cut_length, formula, fuse, insert, join_or_replace, joint,
    line_joint, sleeve, stagger, stock_cut, torque, total, wire, wrap,
};

/// Every working, in the order of the handbook.
static REGISTER: &[&dyn Working] = &[
    &convert::Convert,
    &total::Total,
    &joint::Joint,
    &sleeve::Sleeve,
    &coax_strip::CoaxStrip,
    &coax_impedance::CoaxImpedance,
    &bundle::Bundle,
    &wrap::Wrap,
    &wire::Wire,
    &torque::Torque,
    &line_joint::LineJoint,
    &join_or_replace::JoinOrReplace,
    &stagger::Stagger,
    &insert::Insert,
    &cut_length::CutLength,
    &fuse::Fuse,
    &stock_cut::StockCut,
    &formula::Formula,
];

/// Every working.
pub fn register() -> &'static [&'static dyn Working] {
    REGISTER
}

/// The working with this name.
pub fn find(name: &str) -> Option<&'static dyn Working> {
    REGISTER.iter().copied().find(|working| working.declaration().name == name)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workings::{Stock, settle};
    use std::collections::BTreeMap;

    #[test]
    fn every_default_is_a_value_of_its_input() {
        for declaration in register().iter().map(|working| working.declaration()) {
            let refusals = settle(declaration, &BTreeMap::new(), &Stock::default()).err().unwrap_or_default();
            for name in refusals.iter().filter_map(|refusal| refusal.input.as_deref()) {
                let input = declaration.input(name).unwrap();
                assert_eq!(input.default, None, "{}: {name} is left out and refused", declaration.name);
            }
        }
    }
}
