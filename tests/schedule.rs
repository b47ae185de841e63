//! The join schedule: what follows from a procedure's conductors alone, held against the formulas of the trade and
//! against the claims that a shop would lean on.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "tests read and write files")]

mod workbench;

use benchleaf::model::Store;
use benchleaf::work::{Role, Worked, WorkedProcedure};
use benchleaf::workings::Value;
use serde_json::Value as Json;
use std::fs;
use workbench::inspection::{worked, worked_with_faults};

/// The verdict on a coax of 75 Ω with a core joint of 20 mm, and its margin in dB.
fn verdict(services: &str, shield_joint: &str) -> (String, f64) {
    let given = [
        "kind=coax",
        "cable=coax-75-foam",
        &format!("services={services}"),
        &format!("shield-joint={shield_joint}"),
        "joint=20mm",
        "core-joint=1.2mm",
        "inner-sleeve=3.4mm",
    ];
    let answer = reckon("join-or-replace", &given);
    let outputs = &answer["outputs"];
    (outputs["verdict"]["value"].as_str().unwrap().to_owned(), outputs["margin"]["value"].as_f64().unwrap())
}

/// A computation with the demo's stores, as a user asks for it.
fn reckon(working: &str, given: &[&str]) -> Json {
    let demo = workbench::demo();
    let mut program = assert_cmd::Command::new(assert_cmd::cargo::cargo_bin!("benchleaf"));
    program.args(["reckon", working, "--json", "--shop", demo.to_str().unwrap()]).args(given);
    let out = program.output().unwrap();
    assert!(out.status.success(), "{given:?}: {}", String::from_utf8_lossy(&out.stderr));
    serde_json::from_slice(&out.stdout).unwrap()
}

/// That radio leads are joined and leads of higher bands are not is common practice in the trade; bands as
/// published (ITU Radio Regulations Article 5, CEPT Constanta 2007, IEEE 802.11), limit 10 dB.
#[test]
fn a_twisted_shield_serves_broadcast_radio_and_fails_above() {
    let radio = verdict("am,fm,dab", "pigtail");
    assert!(radio.0 == "join" && radio.1 > 0.0, "{radio:?}");
    for service in ["satellite-positioning", "wireless-lan"] {
        let (twisted, margin) = verdict(service, "pigtail");
        assert!(twisted != "join" && margin < 0.0, "{service}: {twisted} {margin}");
    }
    for service in ["am,fm,dab", "satellite-positioning", "wireless-lan"] {
        let (twisted, bridged) = (verdict(service, "pigtail").1, verdict(service, "bridged").1);
        assert!(bridged > twisted, "{service}: bridged {bridged} dB, twisted {twisted} dB");
    }
    let reason = reckon(
        "join-or-replace",
        &[
            "kind=coax",
            "cable=coax-75-foam",
            "services=dab",
            "joint=20mm",
            "core-joint=1.2mm",
            "inner-sleeve=3.4mm",
        ],
    );
    let reason = reason["outputs"]["reason"]["value"].as_str().unwrap();
    assert!(
        reason.contains("Bridged") && reason.contains("pigtail") && reason.matches(" dB").count() >= 3,
        "{reason}"
    );
}

#[test]
fn a_moulded_data_cable_is_replaced_whole() {
    let answer = reckon("join-or-replace", &["kind=data", "cable=display-data"]);
    assert_eq!(answer["outputs"]["verdict"]["value"], "replace");
    assert!(answer["outputs"]["reason"]["value"].as_str().unwrap().contains("moulded"));
    let manual = worked(&workbench::demo());
    let own = text(&manual.procedures()["display-lead"], "display-lead/verdict", "verdict");
    assert_eq!(own, "replace", "the schedule says the same");
}

fn number(procedure: &WorkedProcedure, value: &str, output: &str) -> f64 {
    let value = procedure.value(value).unwrap_or_else(|| panic!("no value {value}"));
    value.result.as_ref().unwrap().outcome.number(output).unwrap()
}

fn text(procedure: &WorkedProcedure, value: &str, output: &str) -> String {
    match procedure.value(value).unwrap().result.as_ref().unwrap().outcome.get(output) {
        Some(Value::Text(text)) => text.clone(),
        other => panic!("{value}.{output}: {other:?}"),
    }
}

/// The demo with one line more among the door loom's conductors.
fn with_one_more() -> Worked {
    let (_keep, manual) = workbench::demo_copy();
    let path = manual.join("rear-doors/door-loom.md");
    let source = fs::read_to_string(&path).unwrap();
    let line = "    camera-feed: {action: join";
    let more = "    zz-heater-feed: {carries: Mirror heater, of: loom-150, colour: RD, action: join}\n";
    fs::write(&path, source.replacen(line, &format!("{more}{line}"), 1)).unwrap();
    worked_with_faults(&manual)
}

/// Zone of a stagger: k joints and k − 1 gaps (derived geometry, closed form).
#[test]
fn one_line_more_updates_the_whole_schedule() {
    let (before, after) = (worked(&workbench::demo()), with_one_more());
    let (old, new) = (&before.procedures()["door-loom"], &after.procedures()["door-loom"]);
    assert_eq!(new.schedule.joints.len(), old.schedule.joints.len() + 1);
    let joints = |of: &WorkedProcedure| {
        of.schedule.joints.iter().filter(|joint| joint.roles.contains(&Role::Offset)).count()
    };
    for procedure in [old, new] {
        let (sleeve, stations) = (number(procedure, "joints/sleeve", "result"), joints(procedure) as f64);
        let zone = stations * sleeve + (stations - 1.0) * 10.0;
        assert!((number(procedure, "joints/stagger", "zone") - zone).abs() < 1e-9);
    }
    assert_eq!(joints(new), joints(old) + 1);
    for (value, output) in
        [("joint", "strip"), ("sleeve", "cut-length"), ("offset", "trim-near"), ("offset", "trim-far")]
    {
        assert!(number(new, &format!("zz-heater-feed/{value}"), output) > 0.0, "{value}.{output}");
    }
    assert_eq!(text(new, "zz-heater-feed/verdict", "verdict"), "join");
}

/// Eight conductors: side by side their joints are thicker than staggered; neither is thinner than its copper and
/// plastic pressed into a solid rod (area, closed form) nor than its two thickest circles side by side.
#[test]
fn a_staggered_repair_is_thinner_than_a_level_one() {
    let manual = worked(&workbench::demo());
    let procedure = &manual.procedures()["door-loom"];
    let work = procedure.value("joints/stagger").unwrap().result.as_ref().unwrap();
    let (level, staggered) =
        (work.outcome.number("bulge-level").unwrap(), work.outcome.number("bulge-staggered").unwrap());
    assert!(staggered < level, "{staggered} {level}");
    assert_eq!(work.outcome.sections.len(), 2);
    for section in &work.outcome.sections {
        let mut sizes: Vec<f64> = section.members.iter().map(|member| member.circle.d).collect();
        sizes.sort_by(|a, b| b.total_cmp(a));
        let rod = sizes.iter().map(|d| d * d).sum::<f64>().sqrt();
        assert!(
            section.diameter >= rod.max(sizes[0] + sizes[1]) - 1e-9,
            "{}: {}",
            section.name,
            section.diameter
        );
    }
}

/// What is cut from stock lengths is what the joints take, piece by piece, and nothing is longer than its stock.
#[test]
fn the_sleeves_of_the_kit_are_those_of_the_joints() {
    let manual = worked(&workbench::demo());
    for (id, procedure) in manual.procedures() {
        let touched =
            procedure.schedule.joints.iter().filter(|joint| procedure.replay.touches(&joint.conductor));
        let values =
            touched.flat_map(|joint| joint.parts()).filter_map(|part| procedure.value(&part.to_string()));
        let wanted: f64 = values
            .filter(|value| value.working == "sleeve")
            .map(|value| value.result.as_ref().unwrap().outcome.number("cut-length").unwrap())
            .sum();
        let mut cut = 0.0;
        for value in procedure.values.iter().filter(|value| value.id.starts_with("sleeves/")) {
            let outcome = &value.result.as_ref().unwrap().outcome;
            let Some(Value::List(lengths)) = outcome.get("plan") else { panic!("{id}: no plan") };
            for length in lengths {
                let Value::List(pieces) = length else { panic!("{id}: no pieces") };
                let used: f64 = pieces.iter().filter_map(Value::as_number).sum();
                assert!(used <= 1200.0 + 1e-9, "{id}: the demo's stock is 1.2 m");
                cut += used;
            }
        }
        assert!((cut - wanted).abs() < 1e-6, "{id}: {cut} mm are cut, {wanted} mm are wanted");
        let listed: f64 = procedure
            .kit
            .of(Store::Sleeves)
            .flat_map(|line| &line.cuts)
            .map(|(_, length, count)| length * f64::from(*count))
            .sum();
        assert!(listed >= wanted - 1e-6, "{id}: the kit has {listed} mm");
    }
}
