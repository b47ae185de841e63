//! Small, ordinary and large inputs for every drawing.

use crate::drawings::{Face, Filled};
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
    for (removed, lap, gap) in
        [("300mm", "8mm", "1mm"), ("40mm", "12mm", "0mm"), ("25mm", "6mm", "2mm"), ("1500mm", "25mm", "1mm")]
    {
        let inputs = [("removed", removed), ("lap", lap), ("gap", gap), ("outside", "1.9mm")];
        all.push(case(format!("insert-{removed}"), "insert", &inputs));
    }
    for count in [1, 2, 7, 40] {
        let list = wires("1.9mm", count);
        let joint = [("finished", "3.4mm"), ("joint", "26mm"), ("lap", "6mm"), ("gap", "10mm")];
        let inputs: Vec<_> = joint.into_iter().chain([("wires", list.as_str())]).collect();
        all.push(case(format!("stagger-{count}"), "stagger", &inputs));
    }
    let mixed = [
        ("wires", "1.4mm,1.9mm,3mm,1.4mm,2.4mm,1.6mm,1.9mm"),
        ("finished", "3.2mm,4.1mm,6mm,3mm,5.2mm,3.6mm,4.1mm"),
        ("joint", "26mm"),
        ("lap", "6mm"),
        ("gap", "10mm"),
    ];
    all.push(case("stagger-mixed", "stagger", &mixed));
    let abreast = mixed.into_iter().chain([("abreast", "3")]).collect::<Vec<_>>();
    all.push(case("stagger-abreast", "stagger", &abreast));
    all
}

/// Ways through a vehicle.
pub(crate) fn routes() -> Vec<Case> {
    let hairpins = ["180deg/25mm"; 4].join(",");
    let many = wires("120mm", 12);
    let mixed = "90deg/30mm,45deg/60mm,30deg/200mm,90deg/25mm,120deg/40mm,60deg/50mm";
    let listed: [(&str, &[(&'static str, &str)]); 10] = [
        ("route-two-bends", &[("runs", "400mm,250mm,600mm"), ("bends", "90deg/30mm,90deg/30mm")]),
        (
            "route-all",
            &[
                ("runs", "400mm,250mm,600mm"),
                ("bends", "90deg/30mm,90deg/30mm"),
                ("loops", "150mm,80mm"),
                ("terminations", "8mm,12.5mm,3mm"),
                ("slack", "0.02"),
                ("outside", "3.2mm"),
                ("bend-factor", "6"),
            ],
        ),
        ("route-straight", &[("runs", "850mm")]),
        ("route-few-bends", &[("runs", "300mm,200mm,450mm,90mm"), ("bends", "45deg/40mm")]),
        ("route-more-bends", &[("runs", "300mm"), ("bends", "90deg/30mm,60deg/45mm,90deg/30mm")]),
        ("route-hairpins", &[("runs", "400mm,400mm,400mm,400mm,300mm"), ("bends", &hairpins)]),
        (
            "route-short-runs",
            &[("runs", "5mm,8mm,900mm,12mm"), ("bends", "90deg/20mm,30deg/15mm,90deg/20mm")],
        ),
        ("route-mixed", &[("runs", "220mm,90mm,310mm,150mm,80mm,400mm,60mm"), ("bends", mixed)]),
        ("route-many", &[("runs", &many), ("bends", &["90deg/15mm"; 11].join(","))]),
        (
            "route-long",
            &[("runs", "4200mm ± 30mm,1800mm"), ("bends", "135deg/40mm"), ("terminations", "8mm,8mm")],
        ),
    ];
    listed.into_iter().map(|(name, inputs)| case(name, "cut-length", inputs)).collect()
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
    let radio = vec![
        service("FM", 87.5, 108.0, 10.0),
        service("Digital radio", 174.0, 240.0, 12.0),
        service("Position", 1559.0, 1610.0, 10.0),
    ];
    let everything = vec![
        service("Long and medium wave", 0.5, 1.6065, 10.0),
        service("FM broadcast", 87.5, 108.0, 10.0),
        service("Digital radio, band III", 174.0, 240.0, 12.0),
        service("Cellular, low bands", 617.0, 960.0, 8.0),
        service("Position", 1559.0, 1610.0, 14.0),
        service("Cellular, middle bands", 1710.0, 2690.0, 8.0),
        service("Short range 2.4 GHz", 2400.0, 2483.5, 12.0),
        service("Vehicle to vehicle", 5855.0, 6000.0, 10.0),
    ];
    let video = vec![service("Composite video", 0.001, 6.0, 14.0)];
    for (name, shield, services) in [
        ("loss-bridged", "bridged", &radio),
        ("loss-pigtail", "pigtail", &radio),
        ("loss-everything", "bridged", &everything),
        ("loss-video", "bridged", &video),
    ] {
        let mut verdict =
            case(name, "join-or-replace", &[("kind", "coax"), ("joint", "6mm"), ("shield-joint", shield)]);
        verdict.3.push(("cable", Offered::Cable(Box::new(cable.clone()))));
        verdict.3.push(("services", Offered::Services(services.clone())));
        all.push(verdict);
    }
    all
}

/// A wire in a way; its colour in letters and in words.
fn wire(way: &str, name: &str, colour: &str, words: &str, worked: bool) -> Filled {
    let some = |text: &str| (!text.is_empty()).then(|| text.to_owned());
    Filled {
        way: way.to_owned(),
        wire: name.to_owned(),
        colour: some(colour),
        colour_words: some(words),
        worked,
    }
}

/// Faces of connectors.
pub(crate) fn faces() -> Vec<(String, Face)> {
    let seven = vec![
        wire("1", "Tail lamp feed", "GY/BK", "grey with black", true),
        wire("2", "Stop lamp feed", "BK/RD", "black with red", true),
        wire("3", "Earth", "BN", "brown", true),
        wire("5", "Number plate lamp", "GY", "grey", false),
        wire("8", "Fog lamp feed", "GYWH", "grey with white", true),
        wire("12", "Aerial earth", "", "", false),
        wire("13", "Reverse lamp feed", "BU/YE", "blue with yellow", false),
    ];
    let face = |ways, rows, filled: &[Filled]| Face {
        name: "the rear-door plug".to_owned(),
        ways,
        rows,
        lock: Some("lever, with a secondary lock that is lifted first".to_owned()),
        filled: filled.to_vec(),
    };
    let lettered = [
        wire("A1", "Feed <left>", "RD", "red", true),
        wire("b", "Earth & shield of the aerial line to the roof", "", "", false),
        wire("14", "Signal", "GN/YE", "green with yellow", false),
        wire("3", "Signal return", "GNYE", "green with yellow", false),
    ];
    let colours = ["BN", "GY/BK", "GNYE", "transparent", "RD/WH", ""];
    let many: Vec<Filled> = (1..=60)
        .filter(|way| way % 7 != 0)
        .zip(colours.iter().cycle())
        .map(|(way, colour)| wire(&way.to_string(), &format!("Wire {way}"), colour, "", way % 3 == 0))
        .collect();
    let doubled = [
        wire("1", "Feed of the left lamp", "RD", "red", true),
        wire("1", "Feed of the right lamp", "RD/BK", "red with black", false),
    ];
    let all = [
        ("face-13", face(13, 2, &seven)),
        ("face-13-row", face(13, 1, &seven)),
        ("face-lettered", face(6, 2, &lettered)),
        ("face-60", face(60, 3, &many)),
        ("face-60-rows", face(60, 2, &many)),
        ("face-120", face(120, 4, &many)),
        ("face-1", face(1, 0, &doubled)),
        ("face-empty", Face { lock: None, ..face(2, 9, &[]) }),
    ];
    all.into_iter().map(|(name, plan)| (name.to_owned(), plan)).collect()
}
