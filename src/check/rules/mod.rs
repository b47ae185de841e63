//! The rules, one file each, and the register that lists them once.

mod clo_01;
mod doc_01;
mod doc_02;
mod doc_03;
mod doc_04;
mod doc_05;
mod doc_06;
mod ele_01;
mod ele_02;
mod ele_03;
mod ele_04;
mod ele_05;
mod ele_06;
mod ele_07;
mod ele_08;
mod ele_09;
mod ele_10;
mod kit_01;
mod kit_02;
mod kit_03;
mod kit_04;
mod led_01;
mod led_02;
mod led_03;
mod led_04;
mod led_05;
mod led_06;
mod led_07;
mod led_08;
mod led_09;
mod led_10;
mod led_11;
mod led_12;
mod saf_01;
mod saf_02;
mod saf_03;
mod saf_04;
mod saf_05;
mod saf_06;
mod saf_07;
mod saf_08;
mod saf_09;
mod saf_10;
mod saf_11;
mod str_01;
mod str_02;
mod str_03;
mod str_04;
mod str_05;
mod str_06;
mod str_07;
mod str_08;
mod str_09;
mod str_10;
mod val_01;
mod val_02;
mod val_03;
mod val_04;
mod val_05;
mod val_06;
mod val_07;

use super::rule::Rule;

static REGISTER: &[&dyn Rule] = &[
    &led_01::Led01,
    &led_02::Led02,
    &led_03::Led03,
    &led_04::Led04,
    &led_05::Led05,
    &led_06::Led06,
    &led_07::Led07,
    &led_08::Led08,
    &led_09::Led09,
    &led_10::Led10,
    &led_11::Led11,
    &led_12::Led12,
    &str_01::Str01,
    &str_02::Str02,
    &str_03::Str03,
    &str_04::Str04,
    &str_05::Str05,
    &str_06::Str06,
    &str_07::Str07,
    &str_08::Str08,
    &str_09::Str09,
    &str_10::Str10,
    &val_01::Val01,
    &val_02::Val02,
    &val_03::Val03,
    &val_04::Val04,
    &val_05::Val05,
    &val_06::Val06,
    &val_07::Val07,
    &kit_01::Kit01,
    &kit_02::Kit02,
    &kit_03::Kit03,
    &kit_04::Kit04,
    &ele_01::Ele01,
    &ele_02::Ele02,
    &ele_03::Ele03,
    &ele_04::Ele04,
    &ele_05::Ele05,
    &ele_06::Ele06,
    &ele_07::Ele07,
    &ele_08::Ele08,
    &ele_09::Ele09,
    &ele_10::Ele10,
    &saf_01::Saf01,
    &saf_02::Saf02,
    &saf_03::Saf03,
    &saf_04::Saf04,
    &saf_05::Saf05,
    &saf_06::Saf06,
    &saf_07::Saf07,
    &saf_08::Saf08,
    &saf_09::Saf09,
    &saf_10::Saf10,
    &saf_11::Saf11,
    &clo_01::Clo01,
    &doc_01::Doc01,
    &doc_02::Doc02,
    &doc_03::Doc03,
    &doc_04::Doc04,
    &doc_05::Doc05,
    &doc_06::Doc06,
];

/// Every rule, in the order of the handbook.
pub fn register() -> &'static [&'static dyn Rule] {
    REGISTER
}
