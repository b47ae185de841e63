//! What follows from a small manual: its repairs, its values, its kit, and the ways through its procedures.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

#[cfg(test)]
mod groups;
#[cfg(test)]
mod joints;
#[cfg(test)]
mod kits;
#[cfg(test)]
mod values;
#[cfg(test)]
mod ways;

use super::{Worked, WorkedProcedure, WorkedValue};
use crate::Run;
use crate::finding::Finding;
use crate::source::{Content, Source};
use crate::workings::Value;

/// Two cables of each sort that is joined in its own way, and sleeves that fit them.
const STORES: [(&str, &str); 3] = [
    (
        "stores/cables.yaml",
        "thin: {name: Thin wire, kind: single, conductor: 1 mm, outside: 2 mm, source: invented}
thick: {name: Thick wire, kind: single, conductor: 2 mm, outside: 3 mm, source: invented}
twin: {name: Pair, kind: pair, conductor: 1 mm, outside: 4 mm, source: invented}
limited: {name: Pair with its limit, kind: pair, conductor: 1 mm, outside: 4 mm, untwist-limit: 500 mm, source: invented}
line: {name: Coax, kind: coax, impedance: 50 Ω, core: 0.9 mm, dielectric: 2.95 mm, shield: 3.6 mm, outside: 4.95 mm, relative-permittivity: 2.26, source: invented}
squib: {name: Restraint lead, kind: pyrotechnic, conductor: 1 mm, outside: 2 mm, source: invented}
",
    ),
    (
        "stores/sleeves.yaml",
        "plain: {name: Plain, adhesive: no, length-change: -10 %, stock: 1 m, sizes: {s3: {supplied: 3 mm, recovered: 1 mm, wall: 0.5 mm}, s6: {supplied: 6 mm, recovered: 1.5 mm, wall: 0.5 mm}, s12: {supplied: 12 mm, recovered: 3 mm, wall: 0.6 mm}}, source: invented}
",
    ),
    ("stores/services.yaml", "radio: {name: Radio, band: 87.5 MHz to 108 MHz, least-return-loss: 10 dB, source: invented}\n"),
];

/// A manual of these files, the stores and a shop.
fn source(files: &[(&str, &str)]) -> Source {
    let shop = ("shop.yaml", "id: shop\nname: A Shop\nlanguage: en\n");
    let own = |path: &str| files.iter().any(|(known, _)| *known == path);
    let others = STORES.into_iter().chain([shop]).filter(|(path, _)| !own(path));
    let all = others.chain(files.iter().copied());
    Source::held(all.map(|(path, text)| (path.to_owned(), Content::Text(text.to_owned()))))
}

/// A manual, worked, with what was found.
fn worked(files: &[(&str, &str)]) -> (Worked, Vec<Finding>) {
    Run::of(source(files)).work()
}

/// A procedure with more front matter and these stages.
fn procedure(id: &str, front: &str, body: &str) -> String {
    format!(
        "---\nid: {id}\ntitle: A job\nsummary: Something is done.\narea: Here\nskill: general\n{front}---\n\nWhat it is for.\n\n{body}\n"
    )
}

/// A procedure `job` that does nothing with these items, worked.
fn job(front: &str) -> (Worked, Vec<Finding>) {
    worked(&[("job.md", &procedure("job", front, "## Work\n\n### Look at it\n"))])
}

fn known(worked: &Worked) -> &WorkedProcedure {
    &worked.procedures["job"]
}

/// A value that is worked.
fn value<'a>(worked: &'a Worked, id: &str) -> &'a WorkedValue {
    known(worked).value(id).unwrap_or_else(|| panic!("no value {id}"))
}

/// An output of a value that is worked.
fn output<'a>(worked: &'a Worked, id: &str, name: &str) -> &'a Value {
    let result = value(worked, id).result.as_ref();
    let work = result.unwrap_or_else(|refusals| panic!("{id}: {refusals:?}"));
    work.outcome.get(name).unwrap_or_else(|| panic!("{id} has no {name}"))
}

fn number(worked: &Worked, id: &str, name: &str) -> f64 {
    output(worked, id, name).as_number().unwrap_or_else(|| panic!("{id}.{name} is no number"))
}

fn numbers(worked: &Worked, id: &str, name: &str) -> Vec<f64> {
    match output(worked, id, name) {
        Value::List(all) => all.iter().filter_map(Value::as_number).collect(),
        one => one.as_number().into_iter().collect(),
    }
}

/// The headlines of what was found under a code.
fn found<'a>(findings: &'a [Finding], code: &str) -> Vec<&'a str> {
    findings
        .iter()
        .filter(|finding| finding.code.0 == code)
        .map(|finding| finding.headline.as_str())
        .collect()
}
