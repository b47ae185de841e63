//! Decisions of the workings from both sides where a line of `tests/limits` cannot put the question: things of the
//! stores, steps, curves and the words of refusals.

use crate::workbench::things::{coax, service, sleeve};
use crate::{number, run, run_with};
use benchleaf::workings::{Cable, Offered, Outcome, Service, Sleeve, Stock, Value};

fn text(text: &str) -> Offered {
    Offered::Text(text.to_owned())
}

/// The steps of an answer, one after the other.
fn steps(outcome: &Outcome) -> String {
    outcome.steps.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")
}

/// The verdict on a coax, with these inputs besides.
fn judged(cable: Cable, service: Service, more: &[(&'static str, &str)]) -> Result<Outcome, String> {
    let mut given = vec![
        ("kind", text("coax")),
        ("cable", Offered::Cable(Box::new(cable))),
        ("services", Offered::Services(vec![service])),
        ("joint", text("6 mm")),
        ("sleeve-permittivity", text("2")),
    ];
    given.extend(more.iter().map(|(name, said)| (*name, text(said))));
    run_with("join-or-replace", &given, &Stock::default())
}

#[test]
fn a_joint_is_as_long_as_its_strips_say() {
    // Joint 6, tips of 4, layers of 6 on either side: 6 + 2·4, 6, and 6 + 2·(4 + 6) as a pigtail.
    let lengths = ["over 14 mm, beside it", "over 6 mm each", "over 26 mm"];
    for more in [
        [
            ("core-strip", "10 mm"),
            ("shield-cut-back", "16 mm"),
            ("core-joint", "0.5 mm"),
            ("inner-sleeve", "3 mm"),
        ],
        [("tip", "4 mm"), ("shield-cut-back", "16 mm"), ("core-joint", "0.5 mm"), ("inner-sleeve", "3 mm")],
    ] {
        let outcome = judged(coax(), service(100.0, 200.0, 10.0), &more).unwrap();
        assert!(lengths.iter().all(|length| steps(&outcome).contains(length)), "{}", steps(&outcome));
    }
    let more = [("tip", "4 mm"), ("inner-overlap", "3.5 mm"), ("gap", "2.5 mm")];
    let outcome = judged(coax(), service(100.0, 200.0, 10.0), &more).unwrap();
    assert!(lengths.iter().all(|length| steps(&outcome).contains(length)), "{}", steps(&outcome));
    // Strips that leave nothing beside the joint fit; those that leave less do not.
    for (strip, back, fits) in [
        ("6 mm", "6 mm", true),
        ("5.9 mm", "12 mm", false),
        ("10 mm", "9.9 mm", false),
        ("10 mm", "10 mm", true),
    ] {
        let more = [("core-strip", strip), ("shield-cut-back", back)];
        let answer = judged(coax(), service(100.0, 200.0, 10.0), &more);
        assert_eq!(answer.is_ok(), fits, "{strip} {back}: {answer:?}");
    }
}

#[test]
fn what_is_not_measured_counts_as_two_cores_and_a_millimetre_more() {
    let outcome = judged(coax(), service(100.0, 200.0, 10.0), &[]).unwrap();
    // (η₀/2π)/√2·ln(D/d) between two cores of 0.3 mm and a sleeve of 1.95 + 1 mm.
    let impedance = 59.958 / 2f64.sqrt() * (2.95_f64 / 0.6).ln();
    assert!(steps(&outcome).contains(&format!("core joint {impedance:.1} Ω")), "{}", steps(&outcome));
    let said = |outcome: &Outcome, name: &str| {
        outcome.cautions.iter().any(|caution| caution.to_string().contains(name))
    };
    assert!(said(&outcome, "`core-joint` was not given") && said(&outcome, "`inner-sleeve` was not given"));
    let measured =
        judged(coax(), service(100.0, 200.0, 10.0), &[("core-joint", "0.5 mm"), ("inner-sleeve", "3 mm")])
            .unwrap();
    assert!(!said(&measured, "was not given"));
    for cable in [
        Cable { core: Some(0.0), ..coax() },
        Cable { impedance: Some(f64::NAN), ..coax() },
        Cable { relative_permittivity: Some(0.99), ..coax() },
        Cable { dielectric: Some(0.3), ..coax() },
    ] {
        assert!(judged(cable.clone(), service(100.0, 200.0, 10.0), &[]).is_err(), "{cable:?}");
    }
    let vacuum = Cable { relative_permittivity: Some(1.0), ..coax() };
    assert!(judged(vacuum, service(100.0, 200.0, 10.0), &[]).is_ok());
}

#[test]
fn a_band_lies_between_nought_and_a_hundred_gigahertz() {
    for (low, high, least, is_band) in [
        (100.0, 100.0, 10.0, true),
        (100.0, 99.0, 10.0, false),
        (0.0, 100.0, 10.0, false),
        (1.0, 100_000.0, 10.0, true),
        (1.0, 100_001.0, 10.0, false),
        (100.0, 200.0, f64::NAN, false),
        (100.0, 200.0, f64::INFINITY, false),
    ] {
        assert_eq!(judged(coax(), service(low, high, least), &[]).is_ok(), is_band, "{low} {high} {least}");
    }
}

/// Why no sleeve of these sizes goes over 2.5 mm (3.0 mm are asked) and grips 2 mm (1.8 mm are asked).
fn nearest(sizes: &[(&str, f64, f64)]) -> String {
    let sizes = sizes.iter().map(|(id, supplied, recovered)| sleeve(id, *supplied, *recovered)).collect();
    let given = [
        ("over", text("2.5 mm")),
        ("grip", text("2 mm")),
        ("covers", text("10 mm")),
        ("from", Offered::Sleeves(sizes)),
    ];
    run_with("sleeve", &given, &Stock::default()).unwrap_err()
}

#[test]
fn the_nearest_sleeve_lacks_least_of_bore_and_grip_together() {
    // What a size lacks is how many times too small its bore is, times how many times too large it stays.
    for (sizes, named) in [
        ([("a", 2.0, 1.0), ("b", 2.8, 1.0)], "b"),
        ([("a", 4.0, 3.7), ("b", 4.0, 1.9)], "b"),
        // 1.5 × 1.5 = 2.25 against 2.1 × 1.
        ([("a", 2.0, 2.7), ("b", 1.4286, 1.0)], "b"),
        // What is more than enough makes up for nothing: 1.2 × 1 against 1 × 1.3.
        ([("a", 2.5, 1.7), ("b", 9.0, 2.34)], "a"),
    ] {
        let said = nearest(&sizes);
        assert!(said.contains(&format!("The nearest, `{named}`")), "{sizes:?}: {said}");
    }
    let said = nearest(&[("a", 2.5, 2.0)]);
    assert!(
        said.contains("does not slide over (3 mm needed)")
            && said.contains("recovers to 2 mm only (1.8 mm needed)"),
        "{said}"
    );
}

#[test]
fn a_size_of_the_stores_counts_where_its_figures_make_sense() {
    let fits = |one: Sleeve| {
        let given = [
            ("over", text("2.5 mm")),
            ("grip", text("2 mm")),
            ("covers", text("10 mm")),
            ("from", Offered::Sleeves(vec![one])),
        ];
        run_with("sleeve", &given, &Stock::default()).is_ok()
    };
    assert!(fits(sleeve("a", 3.0, 1.8)));
    assert!(fits(Sleeve { length_change: (-0.89, 0.0), ..sleeve("a", 3.0, 1.0) }));
    for wrong in [
        Sleeve { length_change: (-0.9, 0.0), ..sleeve("a", 3.0, 1.0) },
        Sleeve { length_change: (f64::INFINITY, 0.0), ..sleeve("a", 3.0, 1.0) },
        Sleeve { wall: 0.0, ..sleeve("a", 3.0, 1.0) },
        Sleeve { wall: f64::NAN, ..sleeve("a", 3.0, 1.0) },
        sleeve("a", f64::INFINITY, 1.0),
        sleeve("a", 3.0, 0.0),
        sleeve("a", 2.99, 1.0),
        sleeve("a", 3.0, 1.81),
    ] {
        assert!(!fits(wrong.clone()), "{wrong:?}");
    }
}

#[test]
fn a_band_has_a_curve_and_a_worst_point_and_one_frequency_has_none() {
    let joint = |frequency| {
        run("line-joint", &[("line", "50 ohm"), ("segments", "100ohm/20mm/0.8"), ("frequency", frequency)])
            .unwrap()
    };
    let band = joint("100 MHz to 200 MHz");
    assert!(band.curve.len() > 1 && steps(&band).contains("worst point of the band: 200 MHz"));
    let one = joint("200 MHz");
    assert!(one.curve.is_empty() && !steps(&one).contains("worst point"));
    // 20 mm at 0.8 of the speed of light: 200 MHz turn it by 360°·0.02·2e8/(0.8·299792458).
    assert!((one.number("electrical-length").unwrap() - 6.004).abs() < 0.001);
}

#[test]
fn without_an_area_a_conductor_is_as_thick_as_its_resistance_says() {
    let cable = |id: &str, per_length| Cable {
        id: id.to_owned(),
        kind: "single".to_owned(),
        per_length: Some(per_length),
        rated: Some(10.0),
        ..Cable::default()
    };
    // 10 mΩ/m are 1.7 mm² of copper, 5 mΩ/m twice that: the thinner serves.
    for cables in [[cable("thin", 10.0), cable("thick", 5.0)], [cable("thick", 5.0), cable("thin", 10.0)]] {
        let given = [
            ("size", text("1 mm2")),
            ("length", text("1 m")),
            ("return", text("none")),
            ("current", text("1 A")),
            ("temperature", text("20 degC")),
            ("limit", text("1 V")),
        ];
        let outcome = run_with("wire", &given, &Stock { cables: cables.to_vec().into() }).unwrap();
        assert_eq!(outcome.get("size-needed"), Some(&Value::Text("thin".to_owned())));
    }
}

#[test]
fn a_joint_says_how_its_conductors_are_brought_together() {
    for by in ["lap", "meshed", "barrel"] {
        let outcome =
            run("joint", &[("by", by), ("wires", "1mm,1mm"), ("lap", "5 mm"), ("barrel", "2 mm")]).unwrap();
        assert!(steps(&outcome).contains(&format!("{by} of 2 conductors")), "{}", steps(&outcome));
    }
    assert_eq!(
        number("joint", &[("by", "lap"), ("wires", "1mm,1mm"), ("lap", "5 mm"), ("gap", "1 mm")], "strip"),
        6.0
    );
}

#[test]
fn no_more_are_taken_than_a_working_says() {
    let joint = |wires: usize| {
        run("joint", &[("by", "meshed"), ("wires", &vec!["1mm"; wires].join(",")), ("lap", "5 mm")])
    };
    assert!(joint(60).is_ok() && joint(61).unwrap_err().contains("at most 60"));
    let line = |segments: usize| {
        let segments = vec!["75ohm/5mm/0.7"; segments].join(",");
        run("line-joint", &[("line", "50 ohm"), ("segments", &segments), ("frequency", "100 MHz")])
    };
    assert!(line(50).is_ok() && line(51).unwrap_err().contains("at most 50"));
    let bundle = |wires: usize| run("bundle", &[("diameters", &vec!["1mm"; wires].join(","))]);
    assert!(bundle(200).is_ok() && bundle(201).unwrap_err().contains("at most 200"));
    let stagger = |wires: usize| {
        let wires = vec!["1mm"; wires].join(",");
        run(
            "stagger",
            &[("wires", &wires), ("finished", "2 mm"), ("joint", "30 mm"), ("lap", "6 mm"), ("gap", "10 mm")],
        )
    };
    assert!(stagger(61).is_ok() && stagger(62).unwrap_err().contains("at most 61"));
}

#[test]
fn only_bundles_joints_and_staggers_are_packed() {
    let mut packed: Vec<(&str, &str)> = benchleaf::workings::register()
        .iter()
        .filter_map(|working| Some((working.declaration().name, working.packs()?)))
        .collect();
    packed.sort_unstable();
    assert_eq!(packed, [("bundle", "diameters"), ("joint", "wires"), ("stagger", "wires")]);
}

#[test]
fn a_sleeve_is_filled_with_what_the_stores_say_of_it() {
    let joint = |chosen: &str, stored: Option<f64>| {
        let one = Sleeve { relative_permittivity: stored, ..sleeve("one", 3.0, 1.0) };
        let sizes = vec![Sleeve { relative_permittivity: Some(4.0), ..sleeve("zero", 3.0, 1.0) }, one];
        let given = [
            ("kind", text("coax")),
            ("cable", Offered::Cable(Box::new(coax()))),
            ("services", Offered::Services(vec![service(100.0, 200.0, 10.0)])),
            ("joint", text("6 mm")),
            ("core-joint", text("0.5 mm")),
            ("inner-sleeve", text("3 mm")),
            ("from", Offered::Sleeves(sizes)),
            ("sleeve", text(chosen)),
        ];
        run_with("join-or-replace", &given, &Stock::default()).unwrap()
    };
    // (η₀/2π)/√ε·ln(3/0.5) at the core joint.
    let at = |permittivity: f64| format!("core joint {:.1} Ω", 59.958 / permittivity.sqrt() * 6f64.ln());
    let told = |outcome: &Outcome| {
        outcome.cautions.iter().any(|caution| caution.to_string().contains("permittivity"))
    };
    let known = joint("one", Some(1.8));
    assert!(steps(&known).contains(&at(1.8)) && !told(&known), "{}", steps(&known));
    // Polyolefin where nothing or nothing that can be is known.
    for outcome in [joint("one", None), joint("one", Some(0.9)), joint("two", Some(1.8))] {
        assert!(steps(&outcome).contains(&at(2.3)) && told(&outcome), "{}", steps(&outcome));
    }
    assert!(!told(&joint("one", Some(1.0))));
}

#[test]
fn a_coax_that_fails_says_what_else_would_do() {
    let reason = |shield: &str, least: f64| {
        let outcome = judged(coax(), service(1000.0, 1500.0, least), &[("shield-joint", shield)]).unwrap();
        let Some(Value::Words(reason)) = outcome.get("reason") else { panic!("reason") };
        (reason.to_string().contains("Bridge the shield"), reason.to_string().contains("run a new cable"))
    };
    // As the working's own contract: as a pigtail 3 dB, bridged 19 dB and more.
    assert_eq!(reason("bridged", 5.0), (false, false));
    assert_eq!(reason("pigtail", 10.0), (true, false));
    assert_eq!(reason("bridged", 60.0), (false, true));
}

#[test]
fn a_cable_of_no_sound_size_has_none() {
    let drop = |area: Option<f64>, per_length: Option<f64>| {
        let cable = Cable { id: "odd".to_owned(), area, per_length, ..Cable::default() };
        let given = [
            ("cable", Offered::Cable(Box::new(cable))),
            ("length", text("10 m")),
            ("return", text("none")),
            ("current", text("1 A")),
            ("temperature", text("20 degC")),
        ];
        run_with("wire", &given, &Stock::default()).ok().and_then(|outcome| outcome.number("drop"))
    };
    // 10 mΩ/m over 10 m at 1 A.
    assert!((drop(None, Some(10.0)).unwrap() - 0.1).abs() < 1e-9);
    assert!((drop(Some(1.7241), Some(f64::NAN)).unwrap() - 0.1).abs() < 1e-9);
    assert!((drop(Some(1.7241), Some(0.0)).unwrap() - 0.1).abs() < 1e-9);
    assert_eq!([drop(Some(f64::INFINITY), None), drop(Some(0.0), None), drop(Some(-1.0), None)], [None; 3]);
}

#[test]
fn a_pigtail_is_judged_by_the_worse_of_air_and_sleeve() {
    // Two wires of d at a distance a: Z = η₀/π · arcosh(a/d)/√ε, here of 0.5 mm at (3 + 0.5)/2 mm, in air and in a
    // sleeve of ε = 2 (Pozar, Microwave Engineering, table 2.1, from memory).
    let impedance = |permittivity: f64| 119.917 * (1.75_f64 / 0.5).acosh() / permittivity.sqrt();
    // A lossless section of Z on a line of Z₀: |Γ| = |z − 1/z| · |tan βl| / |2 + j(z + 1/z) tan βl|, z = Z/Z₀.
    let loss = |line: f64, permittivity: f64| {
        let z = impedance(permittivity) / line;
        let turn = (std::f64::consts::TAU * 200.0e6 * 26.0e-3 * permittivity.sqrt() / 299_792_458.0).tan();
        let reflection = (z - 1.0 / z).abs() * turn / (2.0_f64).hypot((z + 1.0 / z) * turn);
        -20.0 * reflection.log10()
    };
    for (line, worse) in [(50.0, 1.0), (300.0, 2.0)] {
        let better = 3.0 - worse;
        assert!(loss(line, worse) + 0.2 < loss(line, better));
        let cable = Cable { impedance: Some(line), ..coax() };
        let more = [
            ("core-strip", "10 mm"),
            ("shield-cut-back", "16 mm"),
            ("core-joint", "0.5 mm"),
            ("inner-sleeve", "3 mm"),
            ("shield-joint", "pigtail"),
        ];
        let outcome = judged(cable, service(100.0, 200.0, 10.0), &more).unwrap();
        let shown = format!("as a pigtail {:.0} Ω over 26 mm", impedance(worse));
        assert!(steps(&outcome).contains(&shown), "{shown} in {}", steps(&outcome));
        let margin = outcome.number("margin").unwrap();
        assert!((margin - (loss(line, worse) - 10.0)).abs() < 0.01, "{margin} at {line} Ω");
    }
}

#[test]
fn an_inner_sleeve_goes_over_core_joint_and_dielectric() {
    let fits = |joint: &str, sleeve: &str| {
        let more = [("core-joint", joint), ("inner-sleeve", sleeve)];
        judged(coax(), service(100.0, 200.0, 10.0), &more).is_ok()
    };
    // The dielectric of this cable is 1.95 mm: a sleeve that has shrunk onto it leaves no air.
    for (joint, sleeve, wanted) in [
        ("0.5 mm", "1.95 mm", true),
        ("0.5 mm", "1.94 mm", false),
        ("2.5 mm", "2.6 mm", true),
        ("2.5 mm", "2.5 mm", false),
        ("2.5 mm", "2.4 mm", false),
    ] {
        assert_eq!(fits(joint, sleeve), wanted, "{joint} {sleeve}");
    }
}

#[test]
fn a_sleeve_of_the_stores_names_its_range_and_one_by_its_figures_none() {
    let place = [("over", text("2.5 mm")), ("grip", text("2 mm")), ("covers", text("10 mm"))];
    let stored = [("from", Offered::Sleeves(vec![sleeve("one", 4.0, 1.0)]))];
    let given = [
        ("supplied", text("4 mm")),
        ("recovered", text("1 mm")),
        ("wall", text("0.5 mm")),
        ("length-change", text("0 %")),
    ];
    let says = |more: &[(&'static str, Offered)]| {
        let all: Vec<_> = place.iter().chain(more).cloned().collect();
        let outcome = run_with("sleeve", &all, &Stock::default()).unwrap();
        outcome.sources.iter().any(|source| source.to_string().contains("entry in the stores"))
    };
    assert!(says(&stored));
    assert!(!says(&given));
}
