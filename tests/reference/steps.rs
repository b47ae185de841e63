//! The steps from a reference row to a working's answer, shared by the lines of the table.

use crate::rows::{Got, Row, rows};
use crate::{number, run, run_with};
use benchleaf::quantity::{Quantity, unit};
use benchleaf::workings::{Cable, Offered, Outcome, Sleeve, Stock};

/// A quantity as a number in a unit.
pub(crate) fn amount(text: &str, symbol: &str) -> f64 {
    Quantity::parse(text)
        .unwrap_or_else(|error| panic!("{text}: {error}"))
        .in_unit(unit(symbol).expect("a unit"))
        .unwrap()
}

/// Resistance of one metre in mΩ.
pub(crate) fn ohms(size: &str, temperature: &str) -> f64 {
    let given = [
        ("size", size),
        ("length", "1 m"),
        ("return", "none"),
        ("current", "1 A"),
        ("temperature", temperature),
    ];
    number("wire", &given, "resistance")
}

/// Copper area of the row's gauge in mm².
pub(crate) fn gauge(row: &Row) -> f64 {
    amount(&format!("{} AWG", row.text("AWG")), "mm2")
}

/// A quantity in another unit, by the working.
pub(crate) fn converted(value: &str, to: &str) -> Got {
    Got::Number(number("convert", &[("value", value), ("to", to)], "result"))
}

/// `item=1 in in mm`.
pub(crate) fn item(row: &Row) -> Got {
    let (value, to) = row.text("item").rsplit_once(" in ").unwrap();
    converted(value, to)
}

/// A prefixed unit in its base unit.
pub(crate) fn prefixed(value: &str, prefix: &str) -> Got {
    let (unit, base) = match prefix {
        "k" => ("kV", "V"),
        "m" => ("mV", "V"),
        "n" => ("ns", "s"),
        "M" => ("MHz", "Hz"),
        "G" => ("GHz", "Hz"),
        other => panic!("{other}"),
    };
    converted(&format!("{value} {unit}"), base)
}

/// The result of a formula.
pub(crate) fn formula(expression: &str, named: &[(&str, &str)]) -> Got {
    let mut given = vec![("expression", expression)];
    given.extend(named);
    Got::Number(number("formula", &given, "result"))
}

/// Bundle over wire for n equal wires.
pub(crate) fn equal(row: &Row) -> f64 {
    let wires = vec!["1 mm"; row.text("n").parse().unwrap()].join(",");
    number("bundle", &[("diameters", &wires)], "diameter")
}

/// What the contract allows above the best known packing.
pub(crate) fn share(row: &Row) -> f64 {
    if row.text("n").parse::<usize>().unwrap() <= 19 { 0.005 } else { 0.02 }
}

/// An output of coax-impedance; the stranding factor shortens the core, a braid widens the shield.
pub(crate) fn coax(row: &Row, braid: f64, output: &str) -> Got {
    let factor: f64 = row.inputs.get("f").map_or(1.0, |text| text.parse().unwrap());
    let core = format!("{} mm", amount(row.text("d"), "mm") * factor);
    let shield = format!("{} mm", amount(row.text("D"), "mm") + 1.5 * braid);
    let given =
        [("core", core.as_str()), ("shield-inside", &shield), ("relative-permittivity", row.text("er"))];
    Got::Number(number("coax-impedance", &given, output))
}

/// Least bend radius by a factor.
pub(crate) fn bend_radius(row: &Row) -> Got {
    let factor = row.text("rule").trim_end_matches('x');
    Got::Number(number(
        "cut-length",
        &[("runs", "1 m"), ("outside", row.text("OD")), ("bend-factor", factor)],
        "least-radius",
    ))
}

/// Voltage drop by a stated resistance.
pub(crate) fn drop(per_length: &str, row: &Row, back: &str, temperature: &str) -> Got {
    let given = [
        ("per-length", per_length),
        ("length", row.text("L")),
        ("return", back),
        ("current", row.text("I")),
        ("temperature", temperature),
    ];
    Got::Number(number("wire", &given, "drop"))
}

/// The two gauges of AC 43.13-1B Table 11-9 that the example weighs, as cables of the stores.
pub(crate) fn size_needed(row: &Row) -> Got {
    let cable = |id: &str, number: &str, per_thousand_feet: &str| Cable {
        id: id.to_owned(),
        kind: "single".to_owned(),
        area: Some(amount(number, "mm2")),
        per_length: Some(amount(per_thousand_feet, "mohm/m")),
        rated: Some(40.0),
        ..Cable::default()
    };
    let stock = Stock {
        cables: vec![cable("8", "8 AWG", "0.70 ohm/1000ft"), cable("10", "10 AWG", "1.26 ohm/1000ft")].into(),
    };
    let text = |text: &str| Offered::Text(text.to_owned());
    let length = row.text("L").trim_end_matches("(with return)").trim();
    let given = [
        ("size", text("10 AWG")),
        ("length", text(length)),
        ("return", text("none")),
        ("current", text(row.text("I"))),
        ("temperature", text("20 degC")),
        ("limit", text(row.text("V_drop"))),
    ];
    text_of(&run_with("wire", &given, &stock).unwrap(), "size-needed")
}

/// A text of an outcome.
pub(crate) fn text_of(outcome: &Outcome, name: &str) -> Got {
    match outcome.get(name) {
        Some(benchleaf::workings::Value::Text(text)) => Got::Text(text.clone()),
        Some(benchleaf::workings::Value::Words(words)) => Got::Text(words.to_string()),
        other => panic!("{name}: {other:?}"),
    }
}

/// The size that the rule picks from the table of 2:1 sizes. Where the table here lacks one of the two bores of
/// a size, the supplied bore is the size and the recovered bore half of it, as the ratio says.
pub(crate) fn sleeve_size(row: &Row) -> Got {
    let table = rows("heat-shrink");
    let bore = |start: &str, size: &str| {
        let found = table.iter().find(|row| {
            row.quantity.starts_with(start) && row.inputs.get("size").is_some_and(|own| own == size)
        });
        found.map(Row::number)
    };
    let sizes = ["1/16 in", "3/32 in", "1/8 in", "3/16 in", "1/4 in", "3/8 in", "1/2 in", "3/4 in", "1 in"]
        .map(|size| Sleeve {
            id: size.trim_end_matches(" in").to_owned(),
            range: "2:1".to_owned(),
            supplied: bore("min expanded", size).unwrap_or_else(|| amount(size, "mm")),
            recovered: bore("max recovered", size).unwrap_or_else(|| amount(size, "mm") / 2.0),
            wall: 0.5,
            length_change: (0.0, 0.0),
            adhesive: false,
            relative_permittivity: None,
        });
    let text = |text: &str| Offered::Text(text.to_owned());
    let given = [
        ("over", text(row.text("d_max"))),
        ("grip", text(row.text("d_min"))),
        ("covers", text("10 mm")),
        ("from", Offered::Sleeves(sizes.to_vec())),
        ("slide", text(row.text("clearance"))),
        ("slide-least", text("0 mm")),
        ("squeeze", text("0")),
    ];
    match run_with("sleeve", &given, &Stock::default()) {
        Ok(outcome) => text_of(&outcome, "sleeve"),
        Err(error) => Got::Text(error.split(" fits").next().unwrap().to_owned()),
    }
}

/// Cut length of a sleeve on a wire, in mm.
pub(crate) fn cut(covers: &str, outside: &str, shrink: f64) -> f64 {
    let change = format!("{}", -shrink);
    let given = [
        ("over", outside),
        ("grip", outside),
        ("covers", covers),
        ("supplied", "50 mm"),
        ("recovered", "0.1 mm"),
        ("wall", "0.5 mm"),
        ("length-change", &change),
    ];
    number("sleeve", &given, "cut-length")
}

/// An output of line-joint for one section.
pub(crate) fn reflected(row: &Row, output: &str) -> Got {
    let given = [
        ("line", row.text("Z0")),
        ("impedance", row.text("Zj")),
        ("length", row.text("l")),
        ("velocity-factor", row.text("VF")),
        ("frequency", row.text("f")),
    ];
    Got::Number(number("line-joint", &given, output))
}

/// A quarter wave of impedance Z₀·√s has the standing-wave ratio s.
pub(crate) fn quarter_wave(ratio: f64, output: &str) -> Got {
    let impedance = format!("{} ohm", 50.0 * ratio.sqrt());
    let length = format!("{} m", 299.792_458 / 400.0);
    let given = [
        ("line", "50 ohm"),
        ("impedance", impedance.as_str()),
        ("length", &length),
        ("velocity-factor", "1"),
        ("frequency", "100 MHz"),
    ];
    Got::Number(number("line-joint", &given, output))
}

/// Where a condition that holds at `low` stops holding.
pub(crate) fn boundary(low: f64, high: f64, holds: impl Fn(f64) -> bool) -> f64 {
    let (mut low, mut high) = (low, high);
    assert!(holds(low) && !holds(high));
    for _ in 0..50 {
        let middle = f64::midpoint(low, high);
        if holds(middle) { low = middle } else { high = middle }
    }
    f64::midpoint(low, high)
}

/// Whether a joint of two such wires draws a caution that names this paragraph.
pub(crate) fn cautions(wire: &str, lap: &str, gap: &str, paragraph: &str) -> bool {
    let wires = format!("{wire},{wire}");
    let outcome = run("joint", &[("by", "lap"), ("wires", &wires), ("lap", lap), ("gap", gap)]).unwrap();
    outcome.cautions.iter().any(|caution| caution.to_string().contains(paragraph))
}

/// The laps in mm between which a joint draws no caution.
pub(crate) fn window(wire: &str) -> (f64, f64) {
    let diameter = amount(wire, "mm");
    let told = |lap: f64| cautions(wire, &format!("{lap} mm"), "0.1 mm", "19.6.1");
    (boundary(diameter, 4.0 * diameter, told), boundary(4.0 * diameter, 10.0 * diameter, |lap| !told(lap)))
}

/// Zone of `count` staggered joints in mm.
pub(crate) fn zone(count: usize, joint: &str, gap: &str) -> f64 {
    let wires = vec!["1 mm"; count].join(",");
    number(
        "stagger",
        &[("wires", &wires), ("finished", "1 mm"), ("joint", joint), ("lap", "5 mm"), ("gap", gap)],
        "zone",
    )
}

/// An output of wrap for a row.
pub(crate) fn wrap(row: &Row, output: &str) -> Result<f64, String> {
    let or =
        |name: &str, default: &str| row.inputs.get(name).map_or_else(|| default.to_owned(), Clone::clone);
    let (length, overlap, turns) = (or("L", "100 mm"), or("overlap", "0.5"), or("end_turns_total", "0"));
    let given = [
        ("diameter", row.text("D")),
        ("tape-width", row.text("width")),
        ("tape-thickness", row.text("thickness")),
        ("overlap", overlap.as_str()),
        ("length", &length),
        ("end-turns", &turns),
    ];
    run("wrap", &given).map(|outcome| outcome.number(output).unwrap())
}

/// An output of torque for a thread.
pub(crate) fn threaded(thread: &str, class: Option<&str>, output: &str) -> f64 {
    let mut given = vec![("torque", "10 N.m"), ("thread", thread), ("friction-factor", "0.2")];
    given.extend(class.map(|class| ("class", class)));
    number("torque", &given, output)
}

/// Proof load in N.
pub(crate) fn proof_load(thread: &str, class: &str) -> f64 {
    1000.0 * threaded(thread, Some(class), "preload") / threaded(thread, Some(class), "proof-share")
}
