//! How each reference row is computed: the first line whose words start the quantity of the row.

use crate::rows::{Got, Row};
use crate::steps::*;
use crate::{number, run};

/// Computes a row.
pub(crate) type Compute = fn(&Row) -> Got;

/// File, start of the quantity, computation.
pub(crate) const COMPUTED: &[(&str, &str, Compute)] = &[
    ("awg", "IACS volume resistivity", |_| Got::Number(ohms("1 mm2", "20 degC") / 1000.0)),
    ("awg", "temperature coefficient", |_| {
        Got::Number((ohms("1 mm2", "120 degC") / ohms("1 mm2", "20 degC") - 1.0) / 100.0)
    }),
    ("awg", "solid conductor diameter", |row| Got::Number((gauge(row) * 4.0 / std::f64::consts::PI).sqrt())),
    ("awg", "solid conductor cross-section", |row| Got::Number(gauge(row))),
    ("awg", "DC resistance", |row| Got::Number(ohms(&format!("{} AWG", row.text("AWG")), row.text("T")))),
    ("awg", "resistance conversion", |row| converted(row.text("R"), &row.unit)),
    ("awg", "copper resistance at temperature", |row| {
        let given = [
            ("per-length", row.text("R20")),
            ("length", "1 m"),
            ("return", "none"),
            ("current", "1 A"),
            ("temperature", row.text("T")),
        ];
        Got::Number(number("wire", &given, "resistance"))
    }),
    // The worst wire that the working counts with must not be better than the standard allows.
    ("automotive-cable", "max conductor resistance", |row| {
        let given = [
            ("size", row.text("A")),
            ("length", "1 m"),
            ("return", "none"),
            ("current", "1000 A"),
            ("temperature", "20 degC"),
        ];
        Got::Above(number("wire", &given, "drop-worst"), 0.06)
    }),
    ("automotive-cable", "copper area from strand count", |row| {
        formula("n*pi/4*d^2", &[("n", row.text("strands")), ("d", row.text("d_strand"))])
    }),
    ("automotive-cable", "smallest even AWG", |row| {
        let given = [
            ("size", row.text("A")),
            ("length", "1 m"),
            ("return", "none"),
            ("current", "1 A"),
            ("temperature", "20 degC"),
        ];
        let outcome = run("wire", &given).unwrap();
        match outcome.get("awg-at-least") {
            Some(benchleaf::workings::Value::Text(text)) => {
                Got::Text(text.trim_end_matches(" AWG").to_owned())
            }
            other => panic!("{other:?}"),
        }
    }),
    ("automotive-cable", "area shortfall", |row| {
        Got::Number(100.0 * (1.0 - gauge(row) / amount(row.text("A"), "mm2")))
    }),
    ("bundle", "bundle/wire diameter ratio", |row| Got::Packing(equal(row), share(row))),
    ("bundle", "coefficient K", |row| {
        Got::Packing(equal(row) / row.text("n").parse::<f64>().unwrap().sqrt(), share(row))
    }),
    ("bundle", "area fill fraction", |row| formula("1/k^2", &[("k", row.text("K"))])),
    ("bundle", "enclosing diameter of", |row| {
        let wires: Vec<&str> = row.inputs.values().map(String::as_str).collect();
        Got::Number(number("bundle", &[("diameters", &wires.join(","))], "diameter"))
    }),
    ("bundle", "estimated diameter", |row| {
        assert_eq!((row.text("wires"), row.inputs.len()), ("5x2.1 mm", 2), "the row has changed");
        let wires = "2.1mm,2.1mm,2.1mm,2.1mm,2.1mm,4.2mm";
        Got::Number(number("bundle", &[("diameters", wires)], "rule-of-thumb"))
    }),
    ("coax", "characteristic impedance from dimensions", |row| coax(row, 0.0, "impedance")),
    ("coax", "characteristic impedance with braid", |row| {
        coax(row, amount(row.text("braid_wire"), "mm"), "impedance")
    }),
    ("coax", "velocity factor from permittivity", |row| {
        let given = [("core", "1 mm"), ("shield-inside", "3 mm"), ("relative-permittivity", row.text("er"))];
        Got::Number(100.0 * number("coax-impedance", &given, "velocity-factor"))
    }),
    ("coax", "capacitance per metre", |row| coax(row, 0.0, "capacitance")),
    ("coax", "characteristic impedance from velocity", |row| {
        formula("1/(v*299792458 m/s*c)", &[("v", row.text("VP")), ("c", row.text("C"))])
    }),
    ("coax", "propagation delay", |row| formula("1/(299792458 m/s*v)", &[("v", row.text("VF"))])),
    ("coax", "upper usable frequency", |row| coax(row, 0.0, "te11-cutoff")),
    ("coax", "min bend radius of coax", bend_radius),
    ("coax", "jacket strip length", |row| {
        let parts: Vec<&str> = row.inputs.values().map(String::as_str).collect();
        Got::Number(number("total", &[("of", &parts.join(","))], "sum"))
    }),
    ("colour-codes", "blade fuse body colour", |row| {
        let rating = amount(row.text("rating"), "A");
        let load = format!("{} A", rating * 0.8);
        let outcome = run("fuse", &[("load", &load), ("wire-limit", row.text("rating"))]).unwrap();
        assert_eq!(outcome.number("rating"), Some(rating));
        text_of(&outcome, "colour")
    }),
    ("electrical", "calculated voltage drop", |row| drop(row.text("R"), row, "none", "20 degC")),
    ("electrical", "voltage drop at conductor temperature", |row| {
        drop(row.text("R20"), row, "same", row.text("T"))
    }),
    ("electrical", "voltage drop", |row| {
        assert_eq!(row.text("conductors"), "1");
        drop(row.text("R"), row, "none", "20 degC")
    }),
    ("electrical", "wire size for a voltage drop limit", size_needed),
    ("electrical", "bundle and altitude derating", |row| {
        let given =
            [("i", row.text("I_free")), ("a", row.text("altitude_factor")), ("b", row.text("bundle_factor"))];
        formula("i*a*b", &given)
    }),
    ("electrical", "run length allowed", |row| {
        let run = amount(row.text("L1"), "m");
        Got::Number(run * ohms("1 mm2", "20 degC") / ohms("1 mm2", row.text("T2")))
    }),
    ("electrical", "least copper area", |row| {
        assert_eq!(row.text("conductors"), "2");
        let rho = format!("{} ohm.mm2/m", row.text("rho"));
        formula(
            "2*rho*l*i/v",
            &[("rho", &rho), ("l", row.text("L")), ("i", row.text("I")), ("v", row.text("V_drop"))],
        )
    }),
    ("electrical", "heat released", |row| {
        let given = [
            ("per-length", row.text("R")),
            ("length", row.text("L")),
            ("return", "none"),
            ("current", row.text("I")),
            ("temperature", "20 degC"),
        ];
        Got::Number(number("wire", &given, "heat"))
    }),
    ("electrical", "current that produces", |row| {
        formula("v/r", &[("v", row.text("V")), ("r", row.text("R"))])
    }),
    ("heat-shrink", "smallest 2:1 size", sleeve_size),
    ("heat-shrink", "minimum shrink ratio", |row| {
        let given = [
            ("over", row.text("d_max")),
            ("grip", row.text("d_min")),
            ("covers", "1 mm"),
            ("supplied", "100 mm"),
            ("recovered", "0.1 mm"),
            ("wall", "1 mm"),
            ("length-change", "0"),
            ("slide", "0"),
            ("slide-least", "0 mm"),
            ("squeeze", "0"),
        ];
        Got::Number(number("sleeve", &given, "ratio-needed"))
    }),
    ("heat-shrink", "nominal recovered inside diameter", |row| {
        let ratio = row.text("ratio").trim_end_matches(":1");
        formula("d/r", &[("d", row.text("expanded")), ("r", ratio)])
    }),
    ("heat-shrink", "min sleeve overlap", |row| Got::Number(cut("0 mm", row.text("OD"), 0.0) / 2.0)),
    ("heat-shrink", "sleeve cut length", |row| {
        Got::Number(cut(row.text("L_bare"), row.text("OD"), row.text("longitudinal_shrink").parse().unwrap()))
    }),
    ("heat-shrink", "wall after partial recovery", |row| {
        let given = [
            ("over", row.text("D_obj")),
            ("grip", row.text("D_obj")),
            ("covers", "1 mm"),
            ("supplied", "50 mm"),
            ("recovered", row.text("d_rec")),
            ("wall", row.text("w_rec")),
            ("length-change", "0"),
        ];
        Got::Number(number("sleeve", &given, "wall-after"))
    }),
    ("joint-reflection", "return loss of a short", |row| reflected(row, "return-loss")),
    ("joint-reflection", "reflection coefficient", |row| reflected(row, "reflection")),
    ("joint-reflection", "VSWR caused by", |row| reflected(row, "vswr")),
    ("joint-reflection", "longest joint", |row| {
        let given = [
            ("line", row.text("Z0")),
            ("impedance", row.text("Zj")),
            ("length", "1 mm"),
            ("velocity-factor", row.text("VF")),
            ("frequency", row.text("f")),
            ("limit", row.text("RL")),
        ];
        Got::Number(number("line-joint", &given, "longest"))
    }),
    ("joint-reflection", "return loss from VSWR", |row| {
        quarter_wave(row.text("VSWR").parse().unwrap(), "return-loss")
    }),
    ("joint-reflection", "mismatch loss", |row| {
        quarter_wave(row.text("VSWR").parse().unwrap(), "mismatch-loss")
    }),
    ("joint-reflection", "VSWR from return loss", |row| {
        let wanted = amount(row.text("RL"), "dB");
        let loss =
            |ratio: f64| matches!(quarter_wave(ratio, "return-loss"), Got::Number(loss) if loss > wanted);
        Got::Number(boundary(1.0001, 100.0, loss))
    }),
    ("soldering", "temperature conversion", |row| converted(row.text("T"), &row.unit)),
    ("soldering", "insulation gap", |row| {
        let wire = row.text("d").trim_end_matches("(over insulation)").trim().to_owned();
        Got::Number(boundary(0.1, 20.0, |gap| !cautions(&wire, "6 mm", &format!("{gap} mm"), "9.1.1")))
    }),
    ("splice", "lap splice overlap, minimum", |_| Got::Number(window("1 mm").0)),
    ("splice", "lap splice overlap, maximum", |_| Got::Number(window("1 mm").1)),
    ("splice", "lap overlap window", |row| {
        let (least, greatest) = window(row.text("d_conductor"));
        Got::Text(format!("{least:.2}-{greatest:.2}"))
    }),
    ("splice", "insulation gap at a soldered", |_| {
        Got::Number(boundary(0.1, 20.0, |gap| !cautions("1 mm", "4 mm", &format!("{gap} mm"), "9.1.1")))
    }),
    ("splice", "crimping of solder-tinned", |_| {
        let given = [
            ("by", "barrel"),
            ("wires", "1 mm, 1 mm"),
            ("lap", "5 mm"),
            ("barrel", "3 mm"),
            ("tinned", "yes"),
        ];
        let outcome = run("joint", &given).unwrap();
        let told = outcome.cautions.iter().any(|caution| caution.to_string().contains("not crimped"));
        Got::Text(if told { "prohibited" } else { "allowed" }.to_owned())
    }),
    ("splice", "max splices in one wire segment", |_| {
        let outcome = run("insert", &[("removed", "300 mm"), ("lap", "8 mm")]).unwrap();
        let told = outcome.cautions.iter().any(|caution| {
            caution.to_string().starts_with("One splice") && caution.to_string().contains("11-167c")
        });
        Got::Number(f64::from(u8::from(told)))
    }),
    ("splice", "strip length of each wire", |row| {
        let wires = format!("{0},{0}", row.text("d_conductor"));
        let given = [
            ("by", "lap"),
            ("wires", wires.as_str()),
            ("lap", row.text("overlap")),
            ("gap", row.text("gap")),
        ];
        Got::Number(number("joint", &given, "strip"))
    }),
    ("splice", "bare region and sleeve length", |row| {
        let wires = format!("{0},{0}", row.text("d_conductor"));
        let given = [
            ("by", "lap"),
            ("wires", wires.as_str()),
            ("lap", row.text("overlap")),
            ("gap", row.text("gap")),
        ];
        let bare = number("joint", &given, "bare");
        Got::Number(cut(
            &format!("{bare} mm"),
            row.text("OD"),
            row.text("longitudinal_shrink").parse().unwrap(),
        ))
    }),
    ("splice", "length of harness taken", |row| {
        Got::Number(zone(row.text("n").parse().unwrap(), row.text("L_sleeve"), row.text("gap")))
    }),
    ("splice", "splices that fit", |row| {
        let window = amount(row.text("window"), "mm");
        let fits =
            (1..60).take_while(|count| zone(*count, row.text("L_sleeve"), row.text("gap")) <= window).count();
        Got::Number(fits as f64)
    }),
    ("splice", "length of the replacement piece", |row| {
        Got::Number(number(
            "insert",
            &[("removed", row.text("removed")), ("lap", row.text("overlap"))],
            "piece",
        ))
    }),
    ("splice", "number of twists", |row| formula("l/t", &[("l", row.text("L")), ("t", row.text("lay"))])),
    ("splice", "extra wire needed", |row| {
        formula(
            "l*√(1 + (pi*od/lay)^2) - l",
            &[("l", row.text("L")), ("od", row.text("OD")), ("lay", row.text("lay"))],
        )
    }),
    ("splice", "min bend radius", bend_radius),
    ("splice", "resistance between CAN_H and CAN_L, bus unpowered", |row| {
        formula("a*b/(a + b)", &[("a", row.text("R1")), ("b", row.text("R2"))])
    }),
    ("splice", "resistance between CAN_H and CAN_L with", |row| {
        formula("r/n", &[("r", row.text("R")), ("n", row.text("n"))])
    }),
    ("tape", "tape length for one", |row| Got::Number(wrap(row, "tape").expect("a spiral") * 1000.0)),
    ("tape", "tape length with full turns", |row| Got::Number(wrap(row, "tape").expect("a spiral") * 1000.0)),
    ("tape", "helix angle", |row| match wrap(row, "angle") {
        Ok(angle) => Got::Number(angle),
        Err(_) => Got::Text("not possible".to_owned()),
    }),
    ("tape", "smallest diameter", |row| {
        let narrow = |diameter: f64| {
            let mut row = row.clone();
            row.inputs.insert("D".to_owned(), format!("{diameter} mm"));
            wrap(&row, "tape").is_err()
        };
        Got::Number(boundary(0.1, 50.0, narrow))
    }),
    ("tape", "tape length for two", |row| {
        let mut second = row.clone();
        let grown = amount(row.text("D"), "mm") + 4.0 * amount(row.text("thickness"), "mm");
        second.inputs.insert("D".to_owned(), format!("{grown} mm"));
        Got::Number((wrap(row, "tape").unwrap() + wrap(&second, "tape").unwrap()) * 1000.0)
    }),
    ("tape", "outside diameter after", |row| {
        formula("d + 4*t*n", &[("d", row.text("D")), ("t", row.text("thickness")), ("n", row.text("passes"))])
    }),
    ("tape", "number of turns", |row| Got::Number(wrap(row, "turns").unwrap())),
    ("tape", "rolls needed", |row| {
        let tape = format!("{} m", wrap(row, "tape").unwrap());
        formula("round-up(tape/roll)", &[("tape", &tape), ("roll", row.text("roll"))])
    }),
    ("tape", "continuous coverage", |row| {
        let given = [
            ("diameter", "12 mm"),
            ("tape-width", "19 mm"),
            ("tape-thickness", "0.1 mm"),
            ("length", "1 m"),
            ("overlap", row.text("overlap")),
        ];
        Got::Number(number("wrap", &given, "layers"))
    }),
    ("torque", "conversion factor", item),
    ("torque", "torque converted", |row| converted(row.text("T"), &row.unit)),
    ("torque", "nominal stress area", |row| Got::Number(threaded(row.text("thread"), None, "stress-area"))),
    ("torque", "stress area, fine", |row| {
        let thread = format!("M{}x{}", amount(row.text("d"), "mm"), amount(row.text("P"), "mm"));
        Got::Number(threaded(&thread, None, "stress-area"))
    }),
    ("torque", "stress under proof load", |row| {
        let class = row.text("class").to_owned();
        Got::Number(proof_load("M8", &class) / threaded("M8", None, "stress-area"))
    }),
    ("torque", "proof load", |row| Got::Number(proof_load(row.text("thread"), row.text("class")))),
    ("torque", "tightening torque, short form", |row| {
        let thread = format!("M{}", amount(row.text("d"), "mm"));
        let per_newton_metre = number(
            "torque",
            &[("torque", "1 N.m"), ("thread", &thread), ("friction-factor", row.text("K"))],
            "preload",
        );
        Got::Number(amount(row.text("F"), "kN") / per_newton_metre)
    }),
    ("torque", "preload implied", |row| {
        let thread = format!("M{}", amount(row.text("d"), "mm"));
        Got::Number(number(
            "torque",
            &[("torque", row.text("T")), ("thread", &thread), ("friction-factor", row.text("K"))],
            "preload",
        ))
    }),
    ("torque", "torque at the fastener", |row| {
        let share = number(
            "torque",
            &[("torque", "1 N.m"), ("arm", row.text("L")), ("adapter", row.text("E"))],
            "set-to",
        );
        Got::Number(amount(row.text("T_set"), &row.unit) / share)
    }),
    ("torque", "torque wrench setting", |row| {
        let given = [
            ("torque", row.text("T")),
            ("arm", row.text("L")),
            ("adapter", row.text("E")),
            ("angle", row.text("angle")),
        ];
        Got::Number(number("torque", &given, "set-to"))
    }),
    ("units", "conversion factor", item),
    ("units", "length conversion", |row| converted(row.text("L"), &row.unit)),
    ("units", "temperature conversion", |row| converted(row.text("T"), &row.unit)),
    // A difference has no zero of its own: the Rankine scale has the degree of Fahrenheit and starts at nought.
    ("units", "temperature difference", |row| converted(row.text("dT"), "degR")),
    ("units", "resistance per length", |row| converted(row.text("R"), &row.unit)),
    ("units", "SI prefix applied", |row| prefixed(row.text("value"), row.text("prefix"))),
    ("units", "SI prefix power", |row| {
        let symbol = match row.text("prefix") {
            "milli" => "m",
            "mega" => "M",
            "nano" => "n",
            other => panic!("{other}"),
        };
        match prefixed("1", symbol) {
            Got::Number(value) => Got::Number(value.log10()),
            other => other,
        }
    }),
    ("units", "clearance of an inch spanner", |row| {
        let spanner = row.text("spanner").trim_end_matches(" spanner");
        formula("-a + s", &[("s", spanner), ("a", row.text("AF"))])
    }),
];
