//! Small, ordinary and large inputs for every drawing.

use crate::workings::{Cable, Offered, Service, Sleeve};

fn wires(diameter: &str, count: usize) -> String {
    vec![diameter; count].join(",")
}

/// Name, working, inputs as text, things of the stores.
pub(crate) type Case = (String, &'static str, Vec<(&'static str, String)>, Vec<(&'static str, Offered)>);

fn case(name: impl Into<String>, working: &'static str, inputs: &[(&'static str, &str)]) -> Case {
    let inputs = inputs.iter().map(|(key, text)| (*key, (*text).to_owned())).collect();
    (name.into(), working, inputs, Vec::new())
}

/// Along the wire.
pub(crate) fn lengthwise() -> Vec<Case> {
    let thin = [("core", "0.3mm"), ("dielectric", "1.95mm"), ("shield", "2.5mm"), ("jacket", "3.2mm")];
    let thick = [("core", "2.7mm"), ("dielectric", "7.25mm"), ("shield", "8.1mm"), ("jacket", "10.3mm")];
    let mut all = Vec::new();
    for (size, cable) in [("thin", thin), ("thick", thick)] {
        for lap in ["3mm", "6mm", "30mm"] {
            let inputs: Vec<_> = cable.into_iter().chain([("joint", lap)]).collect();
            all.push(case(format!("strip-{size}-{lap}"), "coax-strip", &inputs));
        }
    }
    for (name, by, list, lap) in [
        ("joint-lap-3", "lap", "1.1mm,1.1mm", "3mm"),
        ("joint-lap-30", "lap", "1.1mm,1.5mm", "30mm"),
        ("joint-meshed", "meshed", "1.1mm,1.5mm", "6mm"),
        ("joint-meshed-3", "meshed", "2mm,1.1mm,1.1mm", "8mm"),
        ("joint-lap-4", "lap", "2mm,1.1mm,1.1mm,0.8mm", "8mm"),
        ("joint-lap-40", "lap", &wires("0.8mm", 40), "12mm"),
    ] {
        all.push(case(name, "joint", &[("by", by), ("wires", list), ("lap", lap)]));
    }
    let barrel = [("by", "barrel"), ("wires", "1.1mm,1.5mm"), ("lap", "12mm"), ("barrel", "3.4mm")];
    all.push(case("joint-barrel", "joint", &barrel));
    for (loom, tape, overlap) in
        [("12mm", "19mm", "0.5"), ("30mm", "19mm", "0.2"), ("8mm", "15mm", "0"), ("20mm", "9mm", "0.5")]
    {
        let tape = [("tape-width", tape), ("overlap", overlap), ("tape-thickness", "0.13mm")];
        let inputs: Vec<_> = tape.into_iter().chain([("diameter", loom), ("length", "500mm")]).collect();
        all.push(case(format!("wrap-{loom}"), "wrap", &inputs));
    }
    for count in [1, 2, 7, 40] {
        let list = wires("1.9mm", count);
        let joint = [("finished", "3.4mm"), ("joint", "26mm"), ("lap", "6mm"), ("gap", "10mm")];
        let inputs: Vec<_> = joint.into_iter().chain([("wires", list.as_str())]).collect();
        all.push(case(format!("stagger-{count}"), "stagger", &inputs));
    }
    all
}

/// Across the wire.
pub(crate) fn across() -> Vec<Case> {
    let mut all = Vec::new();
    for (count, size) in [(1, "2mm"), (2, "2mm"), (7, "1.9mm"), (40, "1.5mm"), (19, "25mm")] {
        let inputs = [("diameters", &*wires(size, count)), ("cover", "0.5mm")];
        all.push(case(format!("bundle-{count}"), "bundle", &inputs));
    }
    let mixed = format!("12mm,{},3.2mm,{}", wires("1.9mm", 12), wires("0.8mm", 9));
    all.push(case("bundle-mixed", "bundle", &[("diameters", &mixed)]));
    let own = [("supplied", "9.5mm"), ("recovered", "1.5mm"), ("wall", "0.6mm"), ("length-change", "-0.05")];
    for (over, grip, covers) in
        [("4.6mm", "1.9mm", "10mm"), ("8.5mm", "1.7mm", "0mm"), ("2mm", "2mm", "300mm")]
    {
        let place = [("over", over), ("grip", grip), ("covers", covers)];
        let inputs: Vec<_> = place.into_iter().chain(own).collect();
        all.push(case(format!("sleeve-{covers}"), "sleeve", &inputs));
    }
    let stock = |id: &str, supplied, recovered| Sleeve {
        id: id.to_owned(),
        range: "polyolefin".to_owned(),
        supplied,
        recovered,
        wall: 0.55,
        length_change: (-0.08, 0.0),
        adhesive: false,
        relative_permittivity: None,
    };
    let place = [("over", "2.4mm"), ("grip", "1.9mm"), ("covers", "8mm")];
    let mut range = case("sleeve-range", "sleeve", &place);
    range.3.push(("from", Offered::Sleeves(vec![stock("s3", 3.0, 1.0), stock("s48", 4.8, 1.5)])));
    all.push(range);
    all
}

/// Scales and plots.
pub(crate) fn scales() -> Vec<Case> {
    let mut all = vec![
        case("torque-plain", "torque", &[("torque", "2.5N.m")]),
        case("torque-range", "torque", &[("torque", "2.5N.m"), ("range", "1N.m to 6N.m")]),
        case("torque-close", "torque", &[("torque", "25N.m"), ("arm", "900mm"), ("adapter", "9mm")]),
    ];
    for (angle, arm, adapter) in [
        ("0deg", "300mm", "60mm"),
        ("60deg", "300mm", "60mm"),
        ("90deg", "250mm", "100mm"),
        ("150deg", "400mm", "80mm"),
    ] {
        let wrench = [("arm", arm), ("adapter", adapter), ("angle", angle), ("range", "10N.m to 50N.m")];
        let inputs: Vec<_> = wrench.into_iter().chain([("torque", "25N.m")]).collect();
        all.push(case(format!("torque-{angle}"), "torque", &inputs));
    }
    let line = [("line", "75ohm"), ("segments", "50ohm/20mm/0.66,90ohm/30mm/0.8")];
    for (name, band) in [("loss-wide", "10MHz to 3000MHz"), ("loss-narrow", "87.5MHz to 108MHz")] {
        let inputs: Vec<_> = line.into_iter().chain([("frequency", band)]).collect();
        all.push(case(name, "line-joint", &inputs));
    }
    let one = [("line", "75ohm"), ("impedance", "50ohm"), ("length", "20mm"), ("velocity-factor", "0.66")];
    let band = [("limit", "20dB"), ("frequency", "10MHz to 500MHz")];
    all.push(case("loss-limit", "line-joint", &one.into_iter().chain(band).collect::<Vec<_>>()));
    let cable = Cable {
        id: "coax".to_owned(),
        kind: "coax".to_owned(),
        outside: Some(3.2),
        core: Some(0.3),
        dielectric: Some(1.95),
        shield: Some(2.5),
        impedance: Some(75.0),
        relative_permittivity: Some(2.25),
        ..Cable::default()
    };
    let service = |name: &str, low, high, least_return_loss| Service {
        id: name.to_lowercase(),
        name: name.to_owned(),
        low,
        high,
        least_return_loss,
        source: "invented".to_owned(),
    };
    let services = vec![
        service("FM", 87.5, 108.0, 10.0),
        service("Digital radio", 174.0, 240.0, 12.0),
        service("Position", 1559.0, 1610.0, 10.0),
    ];
    for (name, shield) in [("loss-bridged", "bridged"), ("loss-pigtail", "pigtail")] {
        let mut verdict =
            case(name, "join-or-replace", &[("kind", "coax"), ("joint", "6mm"), ("shield-joint", shield)]);
        verdict.3.push(("cable", Offered::Cable(Box::new(cable.clone()))));
        verdict.3.push(("services", Offered::Services(services.clone())));
        all.push(verdict);
    }
    all
}
