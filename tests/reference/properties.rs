//! Properties that hold for every input: units do not matter, more is never less, nothing overlaps.

use crate::contract::sound;
use crate::workbench::things;
use crate::{number, run, run_with};
use benchleaf::quantity::{Quantity, Range, parse_number, unit};
use benchleaf::workings::{Offered, Stock, Value};
use proptest::prelude::*;

/// Sleeve outputs for one sleeve.
fn sleeve(over: &str, grip: &str, covers: &str, output: &str) -> f64 {
    let given = [
        ("over", over),
        ("grip", grip),
        ("covers", covers),
        ("supplied", "150 mm"),
        ("recovered", "0.1 mm"),
        ("wall", "0.6 mm"),
        ("length-change", "-0.05"),
    ];
    number("sleeve", &given, output)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_parses_or_is_refused_without_panic(text in ".{0,60}") {
        let _ = (parse_number(&text), Quantity::parse(&text), Range::parse(&text), unit(&text));
        let _ = Quantity::parse_as(&text, unit("mm").unwrap()).map_err(|error| (error.to_string(), error.help()));
        let _ = run("formula", &[("expression", &text)]);
    }

    #[test]
    fn a_quantity_goes_to_another_unit_and_back(thousandths in 1u32..10_000_000) {
        let value = f64::from(thousandths) / 1000.0;
        for (here, there) in [("mm", "in"), ("N.m", "lbf.ft"), ("degC", "degF"), ("mohm/m", "ohm/1000ft"), ("kPa", "psi")] {
            let there = Quantity::new(value, unit(here).unwrap()).to(unit(there).unwrap()).unwrap();
            let back = there.in_unit(unit(here).unwrap()).unwrap();
            prop_assert!((back - value).abs() <= 1e-9 * value.max(1.0), "{here} {value} {back}");
        }
    }

    #[test]
    fn written_digits_come_back(whole in 0u32..100_000, part in 0u32..1000) {
        let text = format!("{whole}.{part:03} mm");
        let quantity = Quantity::parse(&text).unwrap();
        prop_assert_eq!(quantity.to_string(), format!("{whole}.{part:03}\u{a0}mm"));
    }

    #[test]
    fn inches_and_millimetres_give_the_same_sleeve(over in 2.0f64..20.0, share in 0.2f64..1.0, covers in 1.0f64..100.0) {
        let grip = over * share;
        let metric = sleeve(&format!("{over} mm"), &format!("{grip} mm"), &format!("{covers} mm"), "cut-length");
        let inch = sleeve(&format!("{} in", over / 25.4), &format!("{} in", grip / 25.4), &format!("{} in", covers / 25.4), "cut-length");
        prop_assert!((metric - inch).abs() < 1e-9 * metric);
    }

    #[test]
    fn more_to_cover_never_takes_less(over in 2.0f64..20.0, covers in 1.0f64..100.0, more in 0.0f64..50.0) {
        let at = |covers: f64| sleeve(&format!("{over} mm"), &format!("{over} mm"), &format!("{covers} mm"), "cut-length");
        prop_assert!(at(covers + more) >= at(covers));
        let tape = |length: f64| number("wrap", &[("diameter", "12 mm"), ("tape-width", "19 mm"), ("tape-thickness", "0.13 mm"), ("length", &format!("{length} mm"))], "tape");
        prop_assert!(tape(covers + more) >= tape(covers));
        let drop = |metres: f64| number("wire", &[("size", "1 mm2"), ("length", &format!("{metres} m")), ("return", "same"), ("current", "5 A"), ("temperature", "40 degC")], "drop");
        prop_assert!(drop(covers + more) >= drop(covers));
    }

    #[test]
    fn the_wall_keeps_its_area(over in 0.2f64..100.0) {
        let text = format!("{over} mm");
        let wall = sleeve(&text, &text, "1 mm", "wall-after");
        let area = wall * (wall + over);
        prop_assert!((area - 0.6 * 0.7).abs() < 1e-9, "{area}");
    }

    #[test]
    fn a_passive_joint_reflects_less_than_everything(zj in 1.0f64..1000.0, length in 0.1f64..500.0, low in 0.1f64..100.0, wide in 0.0f64..3000.0) {
        let segments = format!("{zj} ohm/{length} mm/0.7");
        let outcome = run("line-joint", &[("line", "75 ohm"), ("segments", &segments), ("frequency", &format!("{low} MHz to {} MHz", low + wide))]).unwrap();
        sound(&outcome, "line-joint");
        let reflection = outcome.number("reflection").unwrap();
        prop_assert!((0.0..1.0).contains(&reflection));
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 10, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn packed_circles_never_overlap_or_stick_out(tenths in prop::collection::vec(5u32..80, 1..14)) {
        let wires: Vec<String> = tenths.iter().map(|d| format!("{} mm", f64::from(*d) / 10.0)).collect();
        let outcome = run("bundle", &[("diameters", &wires.join(","))]).unwrap();
        let diameter = outcome.number("diameter").unwrap();
        let Some(Value::Positions(circles)) = outcome.get("positions") else { panic!("positions") };
        prop_assert_eq!(circles.len(), tenths.len());
        let squares: f64 = circles.iter().map(|circle| circle.d * circle.d).sum();
        prop_assert!(diameter >= squares.sqrt() * (1.0 - 1e-12));
        for (i, one) in circles.iter().enumerate() {
            prop_assert!((one.d - f64::from(tenths[i]) / 10.0).abs() < 1e-12);
            prop_assert!(one.x.hypot(one.y) + one.d / 2.0 <= diameter / 2.0 * (1.0 + 1e-12));
            for other in &circles[i + 1..] {
                prop_assert!((one.x - other.x).hypot(one.y - other.y) >= (one.d + other.d) / 2.0 * (1.0 - 1e-12));
            }
        }
    }

    #[test]
    fn cut_plans_hold_every_piece(pieces in prop::collection::vec(50u32..900, 1..18), kerf in 0u32..5) {
        let text: Vec<String> = pieces.iter().map(|piece| format!("{piece} mm")).collect();
        let outcome = run("stock-cut", &[("pieces", &text.join(",")), ("stock", "1000 mm"), ("kerf", &format!("{kerf} mm"))]).unwrap();
        let Some(Value::List(lengths)) = outcome.get("plan") else { panic!("plan") };
        let mut cut = Vec::new();
        for length in lengths {
            let Value::List(row) = length else { panic!("row") };
            let row: Vec<f64> = row.iter().filter_map(Value::as_number).collect();
            prop_assert!(row.iter().sum::<f64>() + f64::from(kerf) * (row.len() as f64 - 1.0) <= 1000.0 + 1e-5);
            cut.extend(row.iter().map(|piece| piece.round() as u32));
        }
        let mut pieces = pieces;
        pieces.sort_unstable();
        cut.sort_unstable();
        prop_assert_eq!(cut, pieces);
    }
}

/// Another unit for each that examples are written in, related to it by exact definition (inch 25.4 mm, foot-pound by
/// the pound of 0.45359237 kg and standard gravity, Fahrenheit by 5/9).
const OTHERS: &[(&str, &str)] = &[
    ("mm", "in"),
    ("m", "ft"),
    ("N·m", "lbf·ft"),
    ("°C", "°F"),
    ("°", "rad"),
    ("A", "mA"),
    ("V", "mV"),
    ("Ω", "kΩ"),
    ("MHz", "GHz"),
    ("mΩ/m", "Ω/km"),
];

/// A text of an example with each of its quantities in another unit; the same where it holds none.
fn respelt(text: &str) -> String {
    let one = |item: &str| {
        let quantity = Quantity::parse(item.trim()).ok().filter(|quantity| quantity.unit.symbol != "1");
        let other = quantity.as_ref().and_then(|quantity| {
            let (_, other) = OTHERS.iter().find(|(symbol, _)| *symbol == quantity.unit.symbol)?;
            quantity.to(unit(other)?).ok()
        });
        other.map_or_else(|| item.to_owned(), |other| format!("{} {}", other.value, other.unit.symbol))
    };
    text.split(',').map(one).collect::<Vec<_>>().join(",")
}

/// The numbers of a value in coherent units, in order: some workings answer in the unit that they were asked in.
fn numbers(value: &Value) -> Vec<f64> {
    match value {
        Value::Number { value, unit } => vec![value * unit.num / unit.den],
        Value::List(all) => all.iter().flat_map(numbers).collect(),
        Value::Positions(circles) => circles.iter().map(|circle| circle.d).collect(),
        Value::Text(_) | Value::Words(_) | Value::Unlimited => Vec::new(),
    }
}

#[test]
fn every_example_comes_out_the_same_in_other_units() {
    let mut changed = 0;
    for working in benchleaf::workings::register() {
        let declaration = working.declaration();
        // What is asked for by the name of a unit answers in that unit.
        if declaration.example.given.iter().any(|(key, _)| *key == "to") {
            continue;
        }
        let other: Vec<(&str, String)> =
            declaration.example.given.iter().map(|(key, text)| (*key, respelt(text))).collect();
        let other: Vec<(&str, &str)> = other.iter().map(|(key, text)| (*key, text.as_str())).collect();
        changed += usize::from(other.iter().zip(declaration.example.given).any(|(one, two)| one.1 != two.1));
        let (first, second) =
            (run(declaration.name, declaration.example.given), run(declaration.name, &other));
        let (first, second) = (first.unwrap(), second.unwrap_or_else(|error| panic!("{other:?}: {error}")));
        for ((name, one), (_, two)) in first.outputs.iter().zip(&second.outputs) {
            let (one, two) = (numbers(one), numbers(two));
            assert_eq!(one.len(), two.len(), "{}.{name}", declaration.name);
            for (one, two) in one.iter().zip(&two) {
                let close = (one - two).abs() <= 1e-6 * one.abs().max(1e-6);
                assert!(close, "{}.{name}: {one} and {two} for {other:?}", declaration.name);
            }
        }
    }
    assert!(changed >= 12, "only {changed} examples have another unit");
}

/// The coax of the format's example, with a service from `low` to `high` MHz.
fn coax(shield_joint: &str, low: f64, high: f64, least: f64) -> (String, f64) {
    let text = |text: &str| Offered::Text(text.to_owned());
    let given = [
        ("kind", text("coax")),
        ("cable", Offered::Cable(Box::new(things::coax()))),
        ("services", Offered::Services(vec![things::service(low, high, least)])),
        ("shield-joint", text(shield_joint)),
        ("joint", text("6 mm")),
        ("core-joint", text("0.2 mm")),
        ("inner-sleeve", text("2 mm")),
        ("sleeve-permittivity", text("2")),
    ];
    let outcome = run_with("join-or-replace", &given, &Stock::default()).unwrap();
    let Some(Value::Text(verdict)) = outcome.get("verdict") else { panic!("verdict") };
    (verdict.clone(), outcome.number("margin").unwrap() + least)
}

/// The figures that the contract quotes for a joint of 20 mm in 75 Ω: about 15 dB at 240 MHz and 3 dB at
/// 1.5 GHz as a pigtail, 36 dB and 19 dB bridged.
#[test]
fn the_shield_decides_as_the_contract_quotes() {
    for (method, megahertz, decibels) in [
        ("pigtail", 240.0, 15.0),
        ("pigtail", 1500.0, 3.0),
        ("bridged", 240.0, 36.0),
        ("bridged", 1500.0, 19.0),
    ] {
        let (_, loss) = coax(method, megahertz, megahertz, 1.0);
        assert!((loss - decibels).abs() < 1.5, "{method} {megahertz}: {loss}");
    }
    assert_eq!(coax("bridged", 88.0, 108.0, 10.0).0, "join");
    assert_eq!(coax("pigtail", 1000.0, 1500.0, 10.0).0, "connector");
    assert_eq!(coax("bridged", 2400.0, 2500.0, 25.0).0, "replace");
}
