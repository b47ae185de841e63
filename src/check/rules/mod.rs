//! The rules, one file each, and the register that lists them once.

mod doc_03;
mod kit_01;
mod led_01;
mod led_02;
mod led_03;
mod led_04;
mod led_05;
mod led_06;
mod led_10;
mod led_12;
mod str_10;
mod val_06;

use super::rule::Rule;

static REGISTER: &[&dyn Rule] = &[
    &led_01::Led01,
    &led_02::Led02,
    &led_03::Led03,
    &led_04::Led04,
    &led_05::Led05,
    &led_06::Led06,
    &led_10::Led10,
    &led_12::Led12,
    &str_10::Str10,
    &val_06::Val06,
    &kit_01::Kit01,
    &doc_03::Doc03,
];

/// Every rule, in the order of the handbook.
pub fn register() -> &'static [&'static dyn Rule] {
    REGISTER
}
