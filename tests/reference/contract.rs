//! The contract of every working: names, units, examples, refusals, steadiness under hostile text.

use crate::{number, run};
use benchleaf::quantity::unit;
use benchleaf::workings::{Kind, Offered, Outcome, Stock, Value, find, register, settle};
use std::collections::BTreeSet;
use std::path::Path;

#[test]
fn every_file_is_registered_once_and_names_are_unique() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/workings");
    let mut files = BTreeSet::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        if let Some(name) = name.strip_suffix(".rs").filter(|name| !["mod", "register"].contains(name)) {
            files.insert(name.replace('_', "-"));
        }
    }
    let names: Vec<String> = register().iter().map(|working| working.declaration().name.to_owned()).collect();
    assert_eq!(names.iter().cloned().collect::<BTreeSet<_>>(), files);
    assert_eq!(names.len(), files.len());
}

#[test]
fn declarations_are_complete() {
    for working in register() {
        let declaration = working.declaration();
        let name = declaration.name;
        assert!(
            !declaration.purpose.is_empty()
                && !declaration.sources.is_empty()
                && !declaration.limits.is_empty(),
            "{name}"
        );
        assert!(!declaration.formulas.is_empty() && !declaration.outputs.is_empty(), "{name}");
        let inputs: BTreeSet<&str> = declaration.inputs.iter().map(|input| input.name).collect();
        assert_eq!(inputs.len(), declaration.inputs.len(), "{name}");
        for input in declaration.inputs {
            assert!(
                input.unit.is_empty() || unit(input.unit).is_some_and(|known| known.symbol == input.unit),
                "{name} {}",
                input.name
            );
            assert!(!(input.required && input.default.is_some()), "{name} {}", input.name);
            let numeric =
                matches!(input.kind, Kind::Quantity | Kind::Quantities | Kind::OrUnlimited | Kind::Range);
            assert_eq!(numeric, !input.unit.is_empty(), "{name} {}", input.name);
        }
        for output in declaration.outputs {
            assert!(
                output.unit.is_empty() || unit(output.unit).is_some_and(|known| known.symbol == output.unit),
                "{name} {}",
                output.name
            );
        }
        for formula in declaration.formulas {
            assert!(is_well_formed(formula.mathml), "{name}: {}", formula.mathml);
        }
    }
}

/// Whether every element closes in order and nothing stands outside an element.
fn is_well_formed(markup: &str) -> bool {
    let mut open = Vec::new();
    let mut rest = markup;
    while let Some(tag) = rest.strip_prefix('<') {
        let Some((tag, after)) = tag.split_once('>') else { return false };
        match tag.strip_prefix('/') {
            Some(name) if open.pop() != Some(name) => return false,
            Some(_) => {}
            None => open.push(tag),
        }
        let text = after.find('<').unwrap_or(after.len());
        if (text > 0 && open.is_empty()) || after[..text].contains('&') {
            return false;
        }
        rest = &after[text..];
    }
    open.is_empty() && rest.is_empty() && !markup.is_empty()
}

#[test]
fn examples_come_out_as_stated_and_only_declared_outputs_leave() {
    for working in register() {
        let declaration = working.declaration();
        let outcome = run(declaration.name, declaration.example.given)
            .unwrap_or_else(|error| panic!("{}: {error}", declaration.name));
        for (output, expected) in declaration.example.answers {
            let got = outcome.number(output).unwrap_or_else(|| panic!("{} {output}", declaration.name));
            assert!(
                (got - expected).abs() <= expected.abs() * 1e-3 + 1e-9,
                "{} {output}: {got}",
                declaration.name
            );
        }
        sound(&outcome, declaration.name);
        for (name, _) in &outcome.outputs {
            assert!(declaration.output(name).is_some(), "{} {name}", declaration.name);
        }
    }
}

/// Holds that no number of an outcome is NaN or infinite.
pub(crate) fn sound(outcome: &Outcome, name: &str) {
    fn check(value: &Value, name: &str) {
        match value {
            Value::Number { value, .. } => assert!(value.is_finite(), "{name}"),
            Value::List(items) => items.iter().for_each(|item| check(item, name)),
            Value::Positions(circles) => {
                assert!(circles.iter().all(|circle| circle.x.is_finite() && circle.y.is_finite()), "{name}");
            }
            Value::Text(_) | Value::Words(_) | Value::Unlimited => {}
        }
    }
    outcome.outputs.iter().for_each(|(_, value)| check(value, name));
}

#[test]
fn hostile_texts_are_refused_or_answered_but_never_panic() {
    let long = "9".repeat(5000);
    let texts = [
        "",
        " ",
        "nan",
        "inf mm",
        "1e999 mm",
        "-1 mm",
        "0 mm",
        "1e-300 mm",
        "1e14 mm",
        "5",
        "1 N·m",
        "2,4 mm",
        "±",
        "🦀",
        "unlimited",
        "1-1",
        "1deg/1mm",
        "1ohm/1mm/1",
        "(",
        &long,
    ];
    for working in register() {
        let declaration = working.declaration();
        for input in declaration.inputs {
            for text in texts {
                let mut given: Vec<(&str, &str)> =
                    declaration.example.given.iter().copied().filter(|(key, _)| *key != input.name).collect();
                given.push((input.name, text));
                if let Ok(outcome) = run(declaration.name, &given) {
                    sound(&outcome, declaration.name);
                }
            }
        }
    }
}

#[test]
fn all_refusals_are_told_at_once_with_their_limits() {
    let error = run(
        "wrap",
        &[("diameter", "-1 mm"), ("tape-width", "19"), ("tape-thicknes", "1 mm"), ("length", "5 N.m")],
    )
    .unwrap_err();
    for part in [
        "must be more than 0 mm and at most 1000 mm",
        "`19` has no unit",
        "no input `tape-thicknes`",
        "`tape-thickness` is missing",
        "N·m is a torque; a length is wanted here",
    ] {
        assert!(error.contains(part), "{part} in {error}");
    }
    assert!(find("wrap-up").is_none());
}

#[test]
fn the_sleeve_of_the_contract() {
    let given = [
        ("over", "4.6mm"),
        ("grip", "1.9mm"),
        ("covers", "10mm"),
        ("supplied", "9.5mm"),
        ("recovered", "1.5mm"),
        ("wall", "0.6mm"),
        ("length-change", "-0.05"),
    ];
    let outcome = run("sleeve", &given).unwrap();
    assert_eq!(outcome.number("cut-length").unwrap(), (10.0 + 2.0 * 5.0) / 0.95);
    let wall = (4.6f64 * 4.6 / 4.0 + 0.6 * 2.1).sqrt() - 2.3;
    assert!((outcome.number("wall-after").unwrap() - wall).abs() < 1e-12);
    assert!((outcome.number("finished-diameter").unwrap() - (4.6 + 2.0 * wall)).abs() < 1e-12);
    assert!((outcome.number("slide-margin").unwrap() - (9.5 - 5.1)).abs() < 1e-12);
    let mut small = given.to_vec();
    small[3] = ("supplied", "5mm");
    let error = run("sleeve", &small).unwrap_err();
    assert!(error.starts_with("none fits: needs 2.98:1") && error.contains("does not slide over"), "{error}");
    let mut swapped = given.to_vec();
    swapped[1] = ("grip", "5 mm");
    assert!(run("sleeve", &swapped).unwrap_err().contains("above `over`"));
}

#[test]
fn tolerances_count_with_their_worst_value() {
    let sleeve = |over: &str, grip: &str, covers: &str| {
        run(
            "sleeve",
            &[
                ("over", over),
                ("grip", grip),
                ("covers", covers),
                ("supplied", "9.5mm"),
                ("recovered", "1.5mm"),
                ("wall", "0.6mm"),
                ("length-change", "-10 % to 0 %"),
            ],
        )
        .unwrap()
    };
    let (loose, tight) =
        (sleeve("4.6 mm ± 0.2 mm", "2 mm ± 0.1 mm", "10 mm ± 1 mm"), sleeve("4.8 mm", "1.9 mm", "11 mm"));
    assert!(loose.worst_case && !tight.worst_case);
    assert_eq!(loose.number("ratio-needed"), tight.number("ratio-needed"));
    assert_eq!(tight.number("cut-length").unwrap(), (11.0 + 10.0) / 0.9);
    let cut = |runs: &str| number("cut-length", &[("runs", runs), ("bends", "90deg/30mm")], "exact");
    assert_eq!(cut("100 mm ± 2 mm"), cut("102 mm"));
    let tape = |diameter: &str| {
        number(
            "wrap",
            &[
                ("diameter", diameter),
                ("tape-width", "19 mm"),
                ("tape-thickness", "0.13 mm"),
                ("length", "1 m"),
            ],
            "tape",
        )
    };
    assert_eq!(tape("12 mm ± 1 mm"), tape("13 mm"));
}

#[test]
fn stagger_places_parks_and_refuses() {
    let base = [
        ("wires", "2mm,2mm,2mm"),
        ("finished", "4 mm"),
        ("joint", "30 mm"),
        ("lap", "6 mm"),
        ("gap", "10 mm"),
    ];
    let outcome = run("stagger", &base).unwrap();
    let list = |name: &str| match outcome.get(name) {
        Some(Value::List(items)) => items.iter().filter_map(Value::as_number).collect::<Vec<_>>(),
        other => panic!("{other:?}"),
    };
    assert_eq!(list("offsets"), [15.0, 55.0, 95.0]);
    assert_eq!(list("trim-near"), [18.0, 58.0, 98.0]);
    assert_eq!(list("trim-far"), [98.0, 58.0, 18.0]);
    assert!(outcome.number("bulge-staggered") < outcome.number("bulge-level"));
    // Standoff 25, sleeve 30 and half a lap 3 are 58: the middle joint at 55 lacks 3 on either side, the
    // outer ones park towards the far end of the zone, where there is room.
    assert_eq!(outcome.number("open-near"), Some(3.0));
    assert_eq!(outcome.number("open-far"), Some(0.0));
    let sides = ["far", "near", "near"].map(|side| Value::Text(side.to_owned()));
    assert_eq!(outcome.get("park"), Some(&Value::List(sides.to_vec())));
    let with = |more: &[(&'static str, &'static str)]| run("stagger", &[base.as_slice(), more].concat());
    assert!(with(&[("available", "100 mm")]).unwrap_err().contains("cut level"));
    // Ends that just meet, three joints a step of 40 mm apart: near ends back by 0, 40, 80, far ends by 120, 80, 40.
    // Every gap is 120 mm, and a piece of 120 + 2·6 mm fills it (the formula of `insert`).
    let offered = [base.as_slice(), &[("available", "0 mm")]].concat().into_iter();
    let offered = offered.map(|(key, text)| (key.to_owned(), Offered::Text(text.to_owned()))).collect();
    let stagger = find("stagger").unwrap();
    let given = settle(stagger.declaration(), &offered, &Stock::default()).unwrap();
    let help = stagger.work(&given).unwrap_err().help.unwrap();
    assert!(
        help.to_string().contains("piece of 132.0 mm") && help.to_string().contains("steps of 40.0 mm"),
        "{help}"
    );
    assert_eq!(number("insert", &[("removed", "120 mm"), ("lap", "6 mm")], "piece"), 132.0);
    let paired = with(&[("pairs", "1-3")]).unwrap();
    assert_eq!(paired.get("verdict"), Some(&Value::Text("maker".to_owned())));
    let allowed = with(&[("pairs", "1-3"), ("untwist-limit", "80 mm")]).unwrap();
    assert_eq!(allowed.get("verdict"), Some(&Value::Text("stagger".to_owned())));
}

#[test]
fn bends_that_are_too_tight_and_fuses_that_do_not_fit_are_refused() {
    let tight = [("runs", "1 m"), ("bends", "90deg/30mm"), ("outside", "5 mm"), ("bend-factor", "10")];
    assert!(run("cut-length", &tight).unwrap_err().contains("tighter than the least radius of 50.0 mm"));
    assert!(run("fuse", &[("load", "20 A"), ("wire-limit", "20 A")]).unwrap_err().contains("none fits"));
    assert!(
        run("torque", &[("torque", "5 N.m"), ("adapter", "50 mm")]).unwrap_err().contains("`arm` is missing")
    );
    assert!(
        run("coax-impedance", &[("core", "3 mm"), ("shield-inside", "3 mm"), ("relative-permittivity", "2")])
            .is_err()
    );
}

#[test]
fn a_dangerous_conductor_is_always_the_makers() {
    for kind in ["fibre", "pyrotechnic", "high-voltage"] {
        let outcome = run("join-or-replace", &[("kind", kind)]).unwrap();
        assert_eq!(outcome.get("verdict"), Some(&Value::Text("maker".to_owned())));
        assert_eq!(outcome.number("margin"), None);
    }
}
