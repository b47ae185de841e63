//! Every drawing over small, ordinary and large inputs.

mod cases;
// A file of tests says so where it is taken in: that is how the test of the layers tells it from code.
#[cfg(test)]
mod facts;

use crate::drawings::svg::trial::{Element, check, read, work};
use crate::drawings::tests::cases::{Case, across, faces, lengthwise, routes, scales};
use crate::drawings::{Labels, Sketch, face, for_working, register};
use crate::workings::{Offered, Outcome, Value};
use std::collections::BTreeSet;

fn labels(count: usize) -> Labels {
    let names = ["brown, earth", "grey and black, tail lamp", "white & \"blue\" <spare>"];
    Labels {
        prefix: "lamp".to_owned(),
        wires: names.iter().cycle().take(count).map(|name| (*name).to_owned()).collect(),
        ..Labels::default()
    }
}

fn drawn(working: &str, inputs: &[(&str, &str)], more: Vec<(&str, Offered)>) -> Option<Sketch> {
    let (given, outcome) = work(working, inputs, more);
    for_working(working).unwrap().draw(&given, &outcome, &labels(40))
}

/// Every case of a working.
fn worked() -> Vec<Case> {
    [lengthwise(), routes(), across(), scales()].concat()
}

pub(crate) fn cases() -> Vec<(String, Sketch)> {
    worked()
        .into_iter()
        .map(|(name, working, inputs, more)| {
            let inputs: Vec<(&str, &str)> = inputs.iter().map(|(key, text)| (*key, text.as_str())).collect();
            let sketch = drawn(working, &inputs, more);
            let sketch = sketch.unwrap_or_else(|| panic!("{name} is drawn"));
            (name, sketch)
        })
        .chain(faces().into_iter().map(|(name, plan)| (name, face(&plan, &labels(0)).unwrap())))
        .collect()
}

#[test]
fn every_drawing_keeps_the_rules_of_output() {
    for (name, sketch) in cases() {
        let faults = check(&sketch, "lamp");
        assert!(faults.is_empty(), "{name}: {faults:#?}");
    }
}

#[test]
fn the_same_inputs_give_the_same_bytes() {
    for ((name, one), (_, other)) in cases().iter().zip(&cases()) {
        assert!(
            one.svg == other.svg && one.narrow == other.narrow && one.callouts == other.callouts,
            "{name}"
        );
    }
}

#[test]
fn every_drawing_is_registered_once() {
    let names: BTreeSet<&str> = register().iter().map(|drawing| drawing.name()).collect();
    assert_eq!(names.len(), register().len());
    for drawing in register() {
        for working in drawing.workings() {
            assert_eq!(for_working(working).map(|found| found.name()), Some(drawing.name()));
        }
    }
    assert!(for_working("none").is_none());
}

/// The lengths of the horizontal dimension lines, in order of drawing.
fn dimension_lines(svg: &str) -> Vec<f64> {
    let lines = read(svg);
    let ends = |line: &Element| -> Option<f64> {
        let (from, to) = line.attributes.get("d")?.strip_prefix('M')?.split_once('L')?;
        let point = |text: &str| -> Option<(f64, f64)> {
            let (x, y) = text.split_once(' ')?;
            Some((x.parse().ok()?, y.parse().ok()?))
        };
        let (from, to) = (point(from)?, point(to)?);
        (from.1 == to.1).then_some(to.0 - from.0)
    };
    lines
        .iter()
        .filter(|line| line.attributes.get("class").is_some_and(|class| class == "d-dim"))
        .filter_map(ends)
        .collect()
}

#[test]
fn a_dimension_is_as_long_as_it_says() {
    // Ten millimetres at 5 : 1 are fifty on paper, at 96 units to the inch.
    let inputs = [("by", "lap"), ("wires", "2mm,2mm"), ("lap", "10mm")];
    let sketch = drawn("joint", &inputs, vec![]).unwrap();
    for (svg, scale) in [(&sketch.svg, 5.0), (&sketch.narrow, 3.0)] {
        let words = if scale == 5.0 { "scale 5 : 1" } else { "scale 3 : 1" };
        assert!(svg.contains(words), "{words}");
        let wanted = 10.0 * scale * 96.0 / 25.4;
        assert!(dimension_lines(svg).iter().any(|long| (long - wanted).abs() < 0.02), "{words}");
    }
}

#[test]
fn both_figures_of_a_strip_plan_are_true() {
    let cable = [("core", "0.3mm"), ("dielectric", "1.95mm"), ("shield", "2.5mm"), ("jacket", "3.2mm")];
    let inputs: Vec<_> = cable.into_iter().chain([("joint", "6mm")]).collect();
    let sketch = drawn("coax-strip", &inputs, vec![]).unwrap();
    let scales: Vec<f64> = sketch
        .svg
        .split("scale ")
        .skip(1)
        .filter_map(|rest| rest.split(" : 1, drawing 169").next()?.parse().ok())
        .collect();
    let [end, finished] = scales.as_slice() else { panic!("two scales in {scales:?}") };
    let lines = dimension_lines(&sketch.svg);
    for (length, scale) in [(7.0, end), (13.0, end), (19.0, end), (32.0, finished), (52.0, finished)] {
        let wanted = length * scale * 96.0 / 25.4;
        assert!(lines.iter().any(|long| (long - wanted).abs() < 0.02), "{length} mm in {lines:?}");
    }
}

#[test]
fn names_of_wires_stand_in_the_callouts_escaped_nowhere() {
    let sketch = drawn("bundle", &[("diameters", "2mm,2mm,2mm")], vec![]).unwrap();
    assert_eq!(sketch.callouts[2], "3 white & \"blue\" <spare>, Ø\u{a0}2.0\u{a0}mm");
    let sketch = drawn(
        "stagger",
        &[("wires", "2mm,2mm,2mm"), ("finished", "3mm"), ("joint", "26mm"), ("lap", "6mm"), ("gap", "9mm")],
        vec![],
    )
    .unwrap();
    assert!(!sketch.svg.contains("<spare>") && !sketch.svg.contains("& "));
}

#[test]
fn odd_prefixes_still_make_ids() {
    let (given, outcome) = work("torque", &[("torque", "2.5N.m")], vec![]);
    let labels = Labels { prefix: "7 \"x\"/ü".to_owned(), ..Labels::default() };
    let sketch = for_working("torque").unwrap().draw(&given, &outcome, &labels).unwrap();
    assert!(sketch.svg.contains(r#"<title id="d-7--x----t">"#));
    assert!(check(&sketch, "d-7--x---").is_empty());
}

#[test]
fn what_is_no_number_makes_no_drawing() {
    for (name, working, inputs, more) in worked() {
        let inputs: Vec<(&str, &str)> = inputs.iter().map(|(key, text)| (*key, text.as_str())).collect();
        let (given, outcome) = work(working, &inputs, more);
        let drawing = for_working(working).unwrap();
        assert!(
            drawing.draw(&given, &spoilt(&outcome, None), &labels(0)).is_none(),
            "{name} without outputs"
        );
        for bad in [f64::NAN, f64::INFINITY, -1.0, 1e9] {
            let sketch = drawing.draw(&given, &spoilt(&outcome, Some(bad)), &labels(0));
            assert!(sketch.is_none(), "{name} with {bad}");
        }
    }
}

/// The outcome with every number replaced, or without outputs.
fn spoilt(outcome: &Outcome, number: Option<f64>) -> Outcome {
    let mut spoilt = outcome.clone();
    spoilt.curve =
        number.map_or_else(Vec::new, |number| outcome.curve.iter().map(|(at, _)| (*at, number)).collect());
    if number == Some(1e9) {
        spoilt.curve.clear();
    }
    spoilt.outputs.retain(|_| number.is_some());
    for (_, value) in &mut spoilt.outputs {
        spoil(value, number.unwrap_or(0.0));
    }
    spoilt
}

fn spoil(value: &mut Value, with: f64) {
    match value {
        Value::Number { value, .. } => *value = with,
        Value::List(items) => items.iter_mut().for_each(|item| spoil(item, with)),
        Value::Positions(circles) => circles.iter_mut().for_each(|circle| circle.d = with),
        Value::Text(_) | Value::Words(_) | Value::Unlimited => {}
    }
}
