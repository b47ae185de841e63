//! A manual of any size, shaped like the demo and the same on every run: procedures of twenty steps with five
//! values and three figures; one in five joins wires and so has a schedule. It stands on the demo's stores, its
//! van and its safety procedures.

use crate::seeded::Seeded;
use std::fmt::Write;
use std::fs;
use std::io;
use std::path::Path;

/// What holds a panel, the panel, its plug, and the driver and bit for its screws.
const PLACES: &[[&str; 5]] = &[
    ["radio-screws", "radio-frame", "radio-data-plug", "hexalobular-20", "bit-20"],
    ["pillar-screws", "pillar-cover", "pillar-plug", "hexalobular-20", "bit-20"],
    ["sill-screws", "sill-cover", "trailer-plug", "hexalobular-25", "bit-25"],
];
/// What a step looks at, and what it wants to see.
const LOOKS: &[[&str; 2]] = &[
    ["the channel", "Light shows through each drain hole"],
    ["the seal", "The seal lies flat along its whole edge"],
    ["each bracket", "Every bracket is whole"],
    ["the loom", "The loom lies clear of every edge"],
    ["each grommet", "Every grommet sits in its hole"],
    ["the paint", "The paint is whole at each hole"],
];
/// Sentences that explain.
const SENTENCES: &[&str] = &[
    "Nest material hides behind the loom.",
    "A lamp held flat along the metal shows every scratch.",
    "The loom keeps its slack on the hinge side.",
    "Old tape comes off in one piece when it is warm.",
    "The van stays on its springs, and the gap stays the same.",
    "A second look costs less than a second visit.",
];
/// Wires of the stores that a joint may be made in.
const WIRES: &[&str] = &["loom-050", "loom-075", "loom-100", "loom-150"];
const COLOURS: &[&str] = &["RD", "GY/BK", "BN", "BU/WH", "YE"];

/// Writes a manual of `procedures` into an empty folder, on the demo's stores and van.
pub(crate) fn write(demo: &Path, folder: &Path, procedures: usize) -> io::Result<()> {
    for part in ["shop.yaml", "stores", "vehicles", "safety/isolate-supply.md", "safety/restore-supply.md"] {
        copy(&demo.join(part), &folder.join(part))?;
    }
    fs::create_dir_all(folder.join("figures"))?;
    for number in 1..=3 {
        fs::write(folder.join(format!("figures/bench-{number}.svg")), figure(number))?;
    }
    let mut seeded = Seeded::new(20);
    for number in 0..procedures {
        let area = folder.join(format!("area-{}", number % 12));
        fs::create_dir_all(&area)?;
        fs::write(area.join(format!("job-{number}.md")), procedure(number, &mut seeded))?;
    }
    Ok(())
}

fn copy(from: &Path, to: &Path) -> io::Result<()> {
    if from.is_file() {
        fs::create_dir_all(to.parent().unwrap_or(to))?;
        return fs::copy(from, to).map(drop);
    }
    fs::create_dir_all(to)?;
    for entry in fs::read_dir(from)? {
        let entry = entry?;
        copy(&entry.path(), &to.join(entry.file_name()))?;
    }
    Ok(())
}

fn figure(number: usize) -> String {
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 400 300\">\n<title>Layout {number} of the work place</title>\n"
    );
    for at in 0..24 {
        let (x, y) = (20 + at * 15, 40 + (at * 37 * number) % 200);
        let _ = writeln!(svg, "<circle cx=\"{x}\" cy=\"{y}\" r=\"5\" fill=\"none\" stroke=\"#222222\"/>");
    }
    svg + "</svg>\n"
}

/// One in five joins wires.
fn is_joined(number: usize) -> bool {
    number.is_multiple_of(5)
}

fn procedure(number: usize, seeded: &mut Seeded) -> String {
    let joins = is_joined(number);
    let mut text = format!(
        "---\nid: job-{number}\ntitle: Repair {number} behind a cover\nsummary: What was gnawed behind the cover serves again.\n\
         area: Area {area}\napplies-to: [{{vehicle: calder-320}}]\n\
         revision: {{letter: B, effective: 2026-03-16, approved-by: Workshop lead, reason: Steps in a better order}}\n\
         status: released\nskill: electrical\npeople: 1\nstart-state: [Van on a level floor, Parking brake on, Ignition off]\n",
        area = number % 12,
    );
    if joins {
        text.push_str(
            "\njoin-as: {by: lap, gap: 1 mm, from: polyolefin-3to1, place: dry}\nitems:\n  conductors:\n",
        );
        for (wire, of) in WIRES.iter().enumerate() {
            let colour = seeded.pick(COLOURS);
            let length = 800 + 10 * seeded.below(200);
            let _ = writeln!(
                text,
                "    wire-{number}-{wire}: {{carries: Lamp feed {wire}, of: {of}, colour: {colour}, length: {length} mm, place: dry, action: join}}"
            );
        }
    }
    let length = 100 + 10 * seeded.below(60);
    let _ = write!(
        text,
        "\nvalues:\n  \
         loom: {{working: bundle, diameters: [cable:loom-075.outside, cable:loom-050.outside, cable:loom-100.outside, cable:loom-150.outside]}}\n  \
         branch: {{working: bundle, diameters: [cable:loom-075.outside, cable:loom-050.outside, cable:loom-050.outside]}}\n  \
         tape-loom: {{working: wrap, diameter: value:loom.diameter, tape-width: 19 mm, tape-thickness: 0.26 mm, length: {length} mm, end-turns: 2}}\n  \
         tape-branch: {{working: wrap, diameter: value:branch.diameter, tape-width: 19 mm, tape-thickness: 0.26 mm, length: 60 mm, end-turns: 2}}\n  \
         tape: {{working: total, of: [value:tape-loom.tape, value:tape-branch.tape]}}\n---\n\n\
         The loom runs behind a cover, and mice like the place.\n{}\n\nIt measures <value:loom.diameter> without its tape.\n\n\
         | part | what it needs |\n| --- | --- |\n| trunk | <value:tape-loom.tape> of tape |\n| branch | <value:tape-branch.tape> of tape |\n",
        sentence(seeded),
    );
    steps(&mut text, number, seeded);
    text
}

fn sentence(seeded: &mut Seeded) -> &'static str {
    SENTENCES[seeded.below(SENTENCES.len())]
}

/// Twenty steps: what is opened is closed, and between them wires are joined or places looked at.
fn steps(text: &mut String, number: usize, seeded: &mut Seeded) {
    let [screws, panel, plug, driver, bit] = *seeded.pick(PLACES);
    let name = panel.replace('-', " ");
    let run = |text: &mut String, heading: &str, id: &str, block: &str, prose: &str| {
        let _ = write!(text, "\n### {heading} {{#{id}}}\n\n```step\n{block}\n```\n");
        if !prose.is_empty() {
            let _ = write!(text, "\n{prose}\n");
        }
    };
    text.push_str("\n## Make safe {#make-safe}\n");
    run(text, "Isolate the 12 V supply", "isolate-supply", "carry-out: isolate-supply", "");
    text.push_str("\n## Open up {#open-up}\n");
    run(
        text,
        "Remove the screws",
        "remove-screws",
        &format!(
            "does:\n  - remove: {screws}\ntools: [{driver}]\nfigures: [bench-1.svg]\nminutes: 4\ncheck: counted"
        ),
        "Start at the hinge side, as <figure:bench-1.svg> numbers them.",
    );
    run(
        text,
        &format!("Take off the {name}"),
        "take-off",
        &format!(
            "does:\n  - take-off: {panel}\ntools: [trim-lever]\nminutes: 3\ncheck: The edge of the cover is whole"
        ),
        sentence(seeded),
    );
    run(
        text,
        "Unplug the loom",
        "unplug",
        &format!("does:\n  - unplug: {plug}\nmessages: [sharp-edge]\nminutes: 1"),
        "",
    );
    text.push_str("\n## Work {#work}\n");
    let looks = if is_joined(number) {
        wires(text, number, &run);
        4
    } else {
        10
    };
    for look in 0..looks {
        let [what, wanted] = *seeded.pick(LOOKS);
        let figure = if look == 0 { "figures: [bench-2.svg]\n" } else { "" };
        let prose = if look == 0 { "<figure:bench-2.svg> shows where." } else { sentence(seeded) };
        run(
            text,
            &format!("Look at {what}"),
            &format!("look-{look}"),
            &format!("tools: [inspection-lamp]\n{figure}minutes: 2\ncheck: {wanted}"),
            prose,
        );
    }
    text.push_str("\n## Close up {#close-up}\n");
    run(
        text,
        "Wrap the loom",
        "wrap",
        "consumables: [{of: loom-tape, quantity: value:tape}]\nfigures: [bench-3.svg]\nminutes: 8\ncheck: The tape lies half over itself",
        "Begin as <figure:bench-3.svg> shows, with <value:tape-loom.tape>.",
    );
    run(
        text,
        "Plug in the loom",
        "plug-in",
        &format!(
            "does:\n  - plug-in: {plug}\nminutes: 1\ncheck: The lock of the plug has engaged with a click"
        ),
        "",
    );
    let block =
        format!("does:\n  - put-back: {panel}\nminutes: 3\ncheck: The loom lies clear of the screw holes");
    run(text, &format!("Put back the {name}"), "put-back", &block, "");
    let block = format!(
        "does:\n  - fasten: {screws}\ntools: [torque-wrench-small, {bit}]\nminutes: 5\ncheck: Each tightened screw has a paint mark"
    );
    run(text, "Fasten the screws", "fasten-screws", &block, "Work from the middle to the corners.");
    run(text, "Restore the 12 V supply", "restore-supply", "carry-out: restore-supply", "");
    text.push_str("\n## Close-out {#close-out}\n");
    run(
        text,
        "Measure the drop under load",
        "measure-drop",
        "tools: [multimeter]\nminutes: 4\ncheck: {measure: Drop under load, accept: 0 V to 0.5 V, otherwise: step:unplug}\nrecord: {ask: Drop under load, unit: V}",
        "",
    );
}

/// The six steps of four joints.
fn wires(text: &mut String, number: usize, run: &impl Fn(&mut String, &str, &str, &str, &str)) {
    let all = |verb: &str| {
        (0..WIRES.len()).map(|wire| format!("\n  - {verb}: wire-{number}-{wire}")).collect::<String>()
    };
    let does = |verb: &str, rest: &str| format!("does:{}\n{rest}", all(verb));
    run(
        text,
        "Cut the gnawed wires back",
        "cut",
        &does("cut", "tools: [side-cutter]\nmessages: [loose-end]\nminutes: 6"),
        "",
    );
    run(text, "Slide a sleeve onto each wire", "sleeves", &does("sleeve-on", "minutes: 4"), "");
    let block = does("join", "tools: [soldering-iron, fume-extractor]\nminutes: 25");
    run(
        text,
        "Join the wires",
        "join",
        &block,
        "Both conductors lie side by side over the whole lap. A tie on each side is their strain relief.",
    );
    let block =
        does("look-over", "tools: [magnifier]\nminutes: 4\ncheck: The strands show under a smooth fillet");
    run(text, "Look over each joint", "look-over", &block, "");
    run(text, "Shrink the sleeves", "shrink", &does("shrink", "tools: [hot-air-gun]\nminutes: 8"), "");
    let block = does(
        "test",
        "tools: [multimeter]\nminutes: 8\ncheck: {measure: Drop across a joint under load, accept: 0 V to 0.05 V, otherwise: step:cut}\nrecord: {ask: Highest drop, unit: V}",
    );
    run(text, "Test each wire under load", "test", &block, "");
}
