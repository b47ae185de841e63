//! What single drawings must show, and what they must not.

use crate::drawings::svg::trial::{read, work};
use crate::drawings::tests::{dimension_lines, drawn, labels};
use crate::drawings::{Face, Filled, face, for_working};
use crate::workings::{Offered, Service};

/// Units of a drawing to one millimetre on paper: 96 to the inch.
const UNITS: f64 = 96.0 / 25.4;

fn filled(way: &str, colour: &str, worked: bool) -> Filled {
    Filled {
        way: way.to_owned(),
        wire: format!("wire in {way}"),
        colour: Some(colour.to_owned()),
        colour_words: None,
        worked,
    }
}

fn circles(svg: &str, class: &str) -> usize {
    let of_class = |found: &String| found.split(' ').any(|name| name == class);
    let elements = read(svg);
    let all = elements.iter().filter(|element| element.name == "circle");
    all.filter(|circle| circle.attributes.get("class").is_some_and(of_class)).count()
}

#[test]
fn a_face_without_ways_or_with_too_many_is_not_drawn() {
    for ways in [0, 100_000, u32::MAX] {
        assert!(face(&Face { ways, rows: 2, ..Face::default() }, &labels(0)).is_none(), "{ways}");
    }
}

#[test]
fn a_way_that_is_not_there_fills_no_cavity_and_is_listed() {
    let lettered = ["A1", "0", "7", "-2", "1.5", "", "99999999999"];
    let all = lettered.iter().map(|way| filled(way, "GY/BK", false)).chain([filled(" 3 ", "BN", true)]);
    let plug = Face { name: "a plug".to_owned(), ways: 6, rows: 2, lock: None, filled: all.collect() };
    let sketch = face(&plug, &labels(0)).unwrap();
    // Five of six are free; the key shows the mark once more.
    assert_eq!(circles(&sketch.svg, "d-thin"), 5 + 1);
    assert!(sketch.callouts[0].starts_with("3 wire in") && sketch.callouts[0].ends_with("; worked on here"));
    for way in lettered {
        let fact = format!("Way {way}: wire in {way}, GY/BK; not drawn in a cavity");
        assert!(sketch.callouts.iter().any(|callout| callout.starts_with(&fact)), "{way}");
        assert!(sketch.svg.contains(format!("{way} wire in {way}, GY/BK").trim_start()), "{way}");
    }
    assert!(sketch.callouts.contains(&"No wire named here: 1, 2, 4 to 6".to_owned()));
}

#[test]
fn a_face_says_that_its_order_is_schematic() {
    let sketch = face(&Face { ways: 4, ..Face::default() }, &labels(0)).unwrap();
    let said = "numbered in order; the numbers moulded into the connector count";
    assert!(sketch.callouts.iter().any(|callout| callout.contains(said)));
    let shown: String = read(&sketch.narrow).iter().map(|text| format!("{} ", text.text)).collect();
    assert!(shown.contains("schematic:") && shown.contains("moulded"));
}

#[test]
fn runs_of_a_route_are_to_scale() {
    let inputs = [("runs", "400mm,250mm,600mm"), ("bends", "90deg/30mm,90deg/30mm")];
    let sketch = drawn("cut-length", &inputs, vec![]).unwrap();
    assert!(sketch.svg.contains("scale 1 : 8,") && sketch.narrow.contains("scale 1 : 10,"));
    let lines = dimension_lines(&sketch.svg);
    for run in [400.0, 600.0] {
        let wanted = run / 8.0 * UNITS;
        assert!(lines.iter().any(|long| (long - wanted).abs() < 0.02), "{run} in {lines:?}");
    }
    // 400 + 250 + 600 mm and two quarter circles of 30 mm: 1250 + 30 pi mm, rounded up to a step of 5 mm.
    assert_eq!(sketch.callouts[0], "Cut length: 1345.0\u{a0}mm");
    assert!(sketch.svg.contains("90°\u{a0}R\u{a0}30.0"));
}

#[test]
fn what_is_no_route_is_not_drawn() {
    let coil = [("runs", "400mm"), ("bends", "720deg/30mm")];
    assert!(drawn("cut-length", &coil, vec![]).is_none());
    let runs = ["10mm"; 40].join(",");
    assert!(drawn("cut-length", &[("runs", &*runs)], vec![]).is_none());
}

#[test]
fn joints_across_a_stagger_are_hatched_and_wires_that_pass_are_plain() {
    let inputs = [
        ("wires", "1.4mm,1.9mm,3mm"),
        ("finished", "3.2mm,4.1mm,6mm"),
        ("joint", "26mm"),
        ("lap", "6mm"),
        ("gap", "10mm"),
    ];
    let (given, mut outcome) = work("stagger", &inputs, vec![]);
    let draw = |outcome: &_| for_working("stagger").unwrap().draw(&given, outcome, &labels(3)).unwrap();
    let sketch = draw(&outcome);
    let hatched = |svg: &str, name: &str| svg.matches(&format!("fill=\"url(#lamp-{name})\"")).count();
    // Three joints side by side; staggered, the thickest one with two bare wires.
    assert_eq!(hatched(&sketch.svg, "slant"), 3 + 1);
    assert!(sketch.callouts.iter().any(|callout| callout.ends_with("joint there: 3")));
    let named = |count| for_working("stagger").unwrap().draw(&given, &outcome, &labels(count)).unwrap();
    assert!(named(1).svg.contains(">brown, earth<") && named(1).callouts[0].starts_with("1 brown, earth, "));
    assert!(!named(0).svg.contains(">wire<") && named(0).callouts[0].starts_with("1 wire, "));
    outcome.sections.clear();
    let plain = draw(&outcome);
    assert_eq!((hatched(&plain.svg, "slant"), hatched(&plain.svg, "back")), (0, 2));
}

#[test]
fn both_methods_of_a_shield_are_drawn_and_named() {
    let service = Service {
        id: "fm".to_owned(),
        name: "FM".to_owned(),
        low: 87.5,
        high: 108.0,
        least_return_loss: 10.0,
        source: "invented".to_owned(),
    };
    let figures = [
        ("kind", "coax"),
        ("joint", "6mm"),
        ("line", "75ohm"),
        ("core", "0.3mm"),
        ("dielectric", "1.95mm"),
        ("relative-permittivity", "2.25"),
    ];
    for (hand, other) in [("bridged", "pigtail"), ("pigtail", "bridged")] {
        let inputs: Vec<_> = figures.into_iter().chain([("shield-joint", hand)]).collect();
        let more = vec![("services", Offered::Services(vec![service.clone()]))];
        let sketch = drawn("join-or-replace", &inputs, more).unwrap();
        let said = format!("Solid: {hand}, the joint in hand; dashed: {other}");
        assert!(sketch.callouts.contains(&said), "{:?}", sketch.callouts);
        let first = &sketch.callouts[0];
        assert!(first.starts_with("1 FM, 87.5 to 108\u{a0}MHz: at least 10\u{a0}dB; "), "{first}");
        assert!(
            first.contains(&format!("; {hand}: worst ")) && first.contains(&format!("; {other}: worst "))
        );
        assert!(
            sketch.svg.contains(&format!(">{hand}, in hand<")) && sketch.svg.contains(&format!(">{other}<"))
        );
    }
}

#[test]
fn an_insert_too_short_for_its_gaps_is_not_drawn() {
    let inputs = |removed| [("removed", removed), ("lap", "6mm"), ("gap", "2mm")];
    assert!(drawn("insert", &inputs("25mm"), vec![]).is_some());
    assert!(drawn("insert", &inputs("3mm"), vec![]).is_none());
}

#[test]
fn an_insert_shows_its_piece_across_a_break_with_the_true_length() {
    let inputs = [("removed", "300mm"), ("lap", "8mm")];
    let sketch = drawn("insert", &inputs, vec![]).unwrap();
    for words in [">300.0 removed<", ">316.0 piece<", ">9.0 strip<", ">8.0 lap<", ">1.0 gap<"] {
        assert!(sketch.svg.contains(words) && sketch.narrow.contains(words), "{words}");
    }
}
