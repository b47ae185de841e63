//! Jobs as a manual on disk: one vehicle for each garage, one procedure for each job, inspected as a whole.

use crate::job::{Job, Thing};
use crate::workbench;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::fs;

/// The rules that the checker knows, but for lost settings, which are a warning where safety is not touched.
const CODES: [&str; 8] = ["LED-01", "LED-02", "LED-03", "LED-04", "LED-05", "LED-06", "LED-10", "LED-12"];

/// Faults of the ledger that have a rule of their own: an energy that is not even isolated, and a sleeve that
/// has no way on any more.
const OWN: [(&str, &str); 2] = [("SAF-07", "LED-03"), ("ELE-01", "LED-10")];

/// What a procedure's findings say, by code and item.
#[derive(Clone, Debug, Default)]
pub struct Found {
    /// Under the ledger's codes.
    pub plain: BTreeSet<(String, String)>,
    /// Under a code of their own, by the ledger's that they stand for.
    pub own: BTreeSet<(String, String)>,
}

/// The id of a job's procedure.
pub fn procedure(garage: usize, job: usize) -> String {
    format!("garage-{garage}-job-{job}")
}

/// Writes the jobs of every garage and inspects them: each procedure's findings.
pub fn inspected(garages: &[Vec<Job>]) -> BTreeMap<String, Found> {
    let keep = workbench::folder();
    let manual = keep.path().join("manual");
    workbench::copy(&workbench::root().join("tests/faults/base"), &manual);
    for (garage, jobs) in garages.iter().enumerate() {
        let vehicle = vehicle(&jobs[0]);
        fs::write(manual.join(format!("vehicles/garage-{garage}.yaml")), vehicle).unwrap();
        for (number, job) in jobs.iter().enumerate() {
            let id = procedure(garage, number);
            fs::write(manual.join(format!("{id}.md")), text(job, &id, garage)).unwrap();
        }
    }
    let findings = workbench::inspection::findings(&benchleaf::Run::read(&manual).unwrap());
    let mut found: BTreeMap<String, Found> = BTreeMap::new();
    for finding in &findings {
        let code = finding.code.0;
        assert!(!code.starts_with("SRC") && !code.starts_with("DOC"), "{code}: {}", finding.headline);
        let own = OWN.iter().find(|(own, _)| *own == code).map(|(_, ledger)| *ledger);
        if !CODES.contains(&code) && own.is_none() {
            continue;
        }
        let id = finding.procedure.clone().expect("it stands in a procedure");
        let garage: usize = id.split('-').nth(1).unwrap().parse().unwrap();
        let things = &garages[garage][0].things;
        // A strip leads with its item; elsewhere ids stand in grave accents.
        let quoted = finding.headline.split('`').skip(1).step_by(2);
        let leading = finding.detail.as_deref().and_then(|strip| strip.split(' ').next());
        let item = leading
            .into_iter()
            .chain(quoted)
            .find(|word| things.contains_key(*word))
            .expect("it names its item");
        let found = found.entry(id).or_default();
        match own {
            Some(ledger) => found.own.insert((ledger.to_owned(), item.to_owned())),
            None => found.plain.insert((code.to_owned(), item.to_owned())),
        };
    }
    found
}

fn vehicle(job: &Job) -> String {
    let mut text = "name: Garage\n".to_owned();
    let kinds = [
        ("energy", "energies"),
        ("panel", "panels"),
        ("fastener", "fasteners"),
        ("clip", "clips"),
        ("tie", "ties"),
        ("grommet", "grommets"),
        ("connector", "connectors"),
        ("conductor", "conductors"),
        ("aid", "aids"),
        ("setting", "settings"),
    ];
    for (kind, key) in kinds {
        let things: Vec<&Thing> = job.things.values().filter(|thing| thing.kind == kind).collect();
        if things.is_empty() {
            continue;
        }
        writeln!(text, "{key}:").unwrap();
        for thing in things {
            writeln!(text, "  {}: {{{}}}", thing.id, keys(thing, all_by_barrel(job)).join(", ")).unwrap();
        }
    }
    text
}

fn keys(thing: &Thing, all_by_barrel: bool) -> Vec<String> {
    let list = |key: &str, ids: &[String]| format!("{key}: [{}]", ids.join(", "));
    let mut keys = vec![format!("name: Thing {}", thing.id)];
    if thing.fastens() {
        keys.push(format!("of: pan-5x16, count: {}, torque: hand-tight", thing.count));
        keys.extend(thing.holds.iter().map(|panel| format!("holds: {panel}")));
    }
    match thing.kind {
        "panel" => keys.push(list("hides", &thing.hides)),
        "energy" => keys.push(list("loses", &thing.loses)),
        "connector" => keys.push("ways: 2, lock: latch".to_owned()),
        "conductor" => {
            let cable = if thing.shield { "coax-50" } else { "loom-075" };
            keys = vec![format!("carries: Lamp feed, of: {cable}, colour: RD")];
            if thing.barrel && !all_by_barrel {
                keys.push("by: barrel, barrel: 2.5 mm".to_owned());
            }
        }
        _ => {}
    }
    keys
}

/// Whether the procedure says it for all of its conductors, instead of the vehicle for each.
fn all_by_barrel(job: &Job) -> bool {
    job.things.values().all(|thing| thing.kind != "conductor" || thing.barrel)
}

fn text(job: &Job, id: &str, garage: usize) -> String {
    let mut text = format!(
        "---\nid: {id}\ntitle: Work on {id}\nsummary: All is as it was.\narea: Cases\n\
         applies-to: [{{vehicle: garage-{garage}}}]\n\
         revision: {{letter: A, effective: 2026-01-05, approved-by: Lead, reason: First issue}}\n\
         status: released\nskill: electrical\n{}---\n\nWork in a garage.\n\n## Work {{#work}}\n",
        if all_by_barrel(job) { "join-as: {by: barrel, barrel: 2.5 mm}\n" } else { "" }
    );
    for (number, step) in job.steps.iter().enumerate() {
        write!(text, "\n### Do the work {{#step-{number}}}\n\n```step\n").unwrap();
        if !step.is_empty() {
            text.push_str("does:\n");
        }
        for deed in step {
            match deed.count {
                None => writeln!(text, "  - {}: {}", deed.verb, deed.item).unwrap(),
                Some(count) => {
                    writeln!(text, "  - {}: {{item: {}, count: {count}}}", deed.verb, deed.item).unwrap();
                }
            }
        }
        if let Some(named) = &job.needs_off {
            writeln!(text, "needs-off: [{}]", named.join(", ")).unwrap();
        }
        text.push_str("check: It is as it should be\n```\n");
    }
    text.push_str("\n## Close-out {#close-out}\n\n### Measure the supply {#measure}\n\n```step\n");
    text.push_str(
        "check: {measure: Supply voltage, accept: 11.8 V to 13.0 V, otherwise: step:measure}\n```\n",
    );
    text
}
