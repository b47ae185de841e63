//! What may be offered for an input, and what is refused: each bound, kind and count from both sides.

use super::*;
use crate::workings::find;

fn text(text: &str) -> Offered {
    Offered::Text(text.to_owned())
}

fn quantity(text: &str) -> Offered {
    Offered::Quantity(Quantity::parse(text).unwrap())
}

/// What a working is given, or every refusal.
fn given(working: &str, offered: &[(&str, Offered)]) -> Result<Given, Vec<Refusal>> {
    let offered = offered.iter().map(|(name, offer)| ((*name).to_owned(), offer.clone())).collect();
    settle(find(working).unwrap().declaration(), &offered, &Stock::default())
}

/// The inputs that are refused.
fn refused(working: &str, offered: &[(&str, Offered)]) -> Vec<String> {
    let refusals = given(working, offered).err().unwrap_or_default();
    refusals.into_iter().filter_map(|refusal| refusal.input).collect()
}

/// A wrench's adapter at this angle, which may be from 0° to 180°.
fn angle(angle: &str) -> bool {
    refused("torque", &[("torque", text("10 N·m")), ("angle", text(angle))]).is_empty()
}

#[test]
fn what_a_value_may_be_with_its_tolerance_lies_within_the_bounds() {
    for (said, holds) in [
        ("0 deg", true),
        ("180 deg", true),
        ("180.1 deg", false),
        ("90 deg ± 90 deg", true),
        ("2 deg ± 2 deg", true),
        ("2 deg ± 3 deg", false),
        ("179.5 deg ± 0.5 deg", true),
        ("179.5 deg ± 1 deg", false),
    ] {
        assert_eq!(angle(said), holds, "{said}");
    }
}

#[test]
fn a_list_has_one_item_at_least_and_five_hundred_at_most() {
    let total = |items: usize| refused("total", &[("of", text(&vec!["1 mm"; items].join(",")))]);
    assert_eq!(total(500), Vec::<String>::new());
    assert_eq!(total(501), ["of"]);
    assert_eq!(refused("total", &[("of", text("  "))]), ["of"]);
    assert_eq!(refused("total", &[("of", Offered::List(Vec::new()))]), ["of"]);
    let sum = |offer| given("total", &[("of", offer)]).unwrap().quantities("of").len();
    assert_eq!(sum(text("[1 mm, 2 mm]")), 2);
    assert_eq!(sum(quantity("1 mm")), 1);
}

#[test]
fn one_value_may_come_as_a_list_of_one() {
    let torque =
        |offer| given("torque", &[("torque", offer)]).map(|given| given.measure("torque").unwrap().value);
    assert_eq!(torque(Offered::List(vec![text("10 N·m")])).unwrap(), 10.0);
    assert!(torque(Offered::List(vec![text("10 N·m"), text("11 N·m")])).is_err());
    assert!(torque(Offered::List(Vec::new())).is_err());
    assert!(torque(Offered::Sleeves(Vec::new())).is_err());
}

#[test]
fn a_range_is_two_ends_in_either_order_or_one_value() {
    let band = |offer| {
        let given = given(
            "line-joint",
            &[("line", text("50 ohm")), ("segments", text("75ohm/5mm/0.7")), ("frequency", offer)],
        );
        given.ok().and_then(|given| given.range("frequency"))
    };
    assert_eq!(band(text("100 MHz to 200 MHz")), Some((100.0, 200.0)));
    assert_eq!(band(Offered::List(vec![text("200 MHz"), quantity("0.1 GHz")])), Some((100.0, 200.0)));
    assert_eq!(band(quantity("150 MHz")), Some((150.0, 150.0)));
    assert_eq!(band(text("150 MHz")), Some((150.0, 150.0)));
    assert_eq!(band(Offered::List(vec![text("100 MHz")])), None);
    assert_eq!(band(Offered::List(vec![text("1 MHz"), text("2 MHz"), text("3 MHz")])), None);
    assert_eq!(band(Offered::List(vec![text("1 mm"), text("2 mm")])), None);
    assert_eq!(band(Offered::Services(Vec::new())), None);
}

#[test]
fn a_cable_stands_for_the_field_that_is_wanted() {
    let cable = Cable {
        id: "cable".to_owned(),
        outside: Some(2.5),
        conductor: Some(1.2),
        area: Some(0.75),
        per_length: Some(23.0),
        rated: Some(9.0),
        ..Cable::default()
    };
    let offer = || Offered::Cable(Box::new(cable.clone()));
    let wire = |name: &'static str| {
        let rest = [
            ("length", text("1 m")),
            ("return", text("none")),
            ("current", text("1 A")),
            ("temperature", text("20 degC")),
        ];
        given("wire", &[&[(name, offer())][..], &rest].concat())
            .ok()
            .and_then(|given| given.measure(name))
            .map(|it| it.value)
    };
    assert_eq!(wire("size"), Some(0.75));
    assert_eq!(wire("per-length"), Some(23.0));
    let fuse = given("fuse", &[("load", text("5 A")), ("wire-limit", offer())]).unwrap();
    assert_eq!(fuse.measure("wire-limit").unwrap().value, 9.0);
    let joint = given(
        "joint",
        &[("by", text("lap")), ("lap", text("5 mm")), ("wires", Offered::List(vec![offer(), offer()]))],
    )
    .unwrap();
    assert_eq!(joint.measures("wires").iter().map(|wire| wire.value).collect::<Vec<_>>(), [1.2, 1.2]);
    let sleeve = [("grip", text("2 mm")), ("covers", text("5 mm")), ("over", offer())];
    assert_eq!(given("sleeve", &sleeve).unwrap().measures("over")[0].value, 2.5);
    // A temperature is nothing that a cable has, and a field may be wanting.
    assert_eq!(refused("torque", &[("torque", offer())]), ["torque"]);
    let bare = Offered::Cable(Box::default());
    assert_eq!(refused("fuse", &[("load", text("5 A")), ("wire-limit", bare)]), ["wire-limit"]);
}

#[test]
fn texts_have_two_thousand_bytes_at_most() {
    let expression = |length: usize| {
        let offer = text(&format!("1{}", " ".repeat(length - 1)));
        refused("formula", &[("expression", offer)])
    };
    assert_eq!(expression(2000), Vec::<String>::new());
    assert_eq!(expression(2001), ["expression"]);
    let formula = given("formula", &[("expression", quantity("5 mm"))]).unwrap();
    assert_eq!(formula.text("expression"), Some("5\u{a0}mm"));
    assert_eq!(refused("formula", &[("expression", Offered::Services(Vec::new()))]), ["expression"]);
}

#[test]
fn plain_quantities_are_finite_and_no_larger_than_1e15() {
    let total = |offer| refused("total", &[("of", offer)]).is_empty();
    let metres = |value: f64| Offered::Quantity(Quantity::new(value, Quantity::parse("1 m").unwrap().unit));
    assert!(total(metres(1e15)) && total(metres(-1e15)));
    assert!(!total(metres(1.1e15)) && !total(metres(-1.1e15)));
    assert!(!total(metres(f64::NAN)) && !total(metres(f64::INFINITY)));
}

#[test]
fn edits_are_those_of_levenshtein() {
    // V. I. Levenshtein 1966; pairs that textbooks work through.
    for (one, other, edits) in [
        ("kitten", "sitting", 3),
        ("saturday", "sunday", 3),
        ("flaw", "lawn", 2),
        ("", "abc", 3),
        ("abc", "", 3),
        ("gap", "gap", 0),
        ("intention", "execution", 5),
    ] {
        assert_eq!(distance(one, other), edits, "{one} {other}");
        assert_eq!(distance(other, one), edits, "{other} {one}");
    }
}

#[test]
fn a_name_is_near_that_differs_in_a_third_of_its_letters() {
    let near = |word: &str, known: &'static str| near(word, [known].into_iter()) == Some(known);
    // Two of six, one of three, and one of two.
    assert!(near("lenxxh", "length") && !near("lexxxh", "length"));
    assert!(near("gqp", "gap") && !near("qqp", "gap"));
    assert!(near("bx", "by") && !near("xx", "by"));
    assert_eq!(super::near("wire", ["wide", "wires", "size"].into_iter()), Some("wide"));
    let help = |name: &str| {
        let refusals = given("torque", &[("torque", text("10 N·m")), (name, text("1"))]).err().unwrap();
        refusals[0].help.as_ref().unwrap().to_string()
    };
    assert!(help("angl").contains("did you mean `angle`?"), "{}", help("angl"));
    assert!(help("whatever").starts_with("the inputs are `"), "{}", help("whatever"));
}
