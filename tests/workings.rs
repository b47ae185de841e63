//! The workings and the units against reference values from outside the project.
//!
//! Each row of `tests/reference` is computed by the first line of [`computed::COMPUTED`] whose words start its quantity,
//! or is named in [`skipped::SKIPPED`] with the reason. A row that neither covers makes the test fail.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "the tests read the reference tables")]

mod workbench;

#[path = "reference/computed.rs"]
mod computed;
#[path = "reference/contract.rs"]
mod contract;
#[path = "reference/properties.rs"]
mod properties;
#[path = "reference/rows.rs"]
mod rows;
#[path = "reference/sides.rs"]
mod sides;
#[path = "reference/skipped.rs"]
mod skipped;
#[path = "reference/steps.rs"]
mod steps;

use benchleaf::workings::{Offered, Outcome, Stock, find, settle};
use computed::COMPUTED;
use rows::{judge, rows};
use skipped::SKIPPED;
use std::collections::BTreeMap;

/// Runs a working on texts.
pub fn run(name: &str, given: &[(&str, &str)]) -> Result<Outcome, String> {
    let given: Vec<(&str, Offered)> =
        given.iter().map(|(key, text)| (*key, Offered::Text((*text).to_owned()))).collect();
    run_with(name, &given, &Stock::default())
}

/// Runs a working on anything, with stores.
pub fn run_with(name: &str, given: &[(&str, Offered)], stock: &Stock) -> Result<Outcome, String> {
    let working = find(name).unwrap_or_else(|| panic!("no working {name}"));
    let offered: BTreeMap<String, Offered> =
        given.iter().map(|(key, offer)| ((*key).to_owned(), offer.clone())).collect();
    let given = settle(working.declaration(), &offered, stock)
        .map_err(|refusals| refusals.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))?;
    working.work(&given).map_err(|refusal| refusal.to_string())
}

/// A number of an outcome.
pub fn number(name: &str, given: &[(&str, &str)], output: &str) -> f64 {
    let outcome = run(name, given).unwrap_or_else(|error| panic!("{name} {given:?}: {error}"));
    outcome.number(output).unwrap_or_else(|| panic!("{name}: no number {output}"))
}

/// File, and the least number of rows that must be computed.
const FILES: &[(&str, usize)] = &[
    ("automotive-cable", 22),
    ("awg", 22),
    ("bundle", 36),
    ("coax", 9),
    ("colour-codes", 9),
    ("electrical", 14),
    ("heat-shrink", 14),
    ("joint-reflection", 22),
    ("safety-signals", 0),
    ("soldering", 3),
    ("splice", 17),
    ("tape", 16),
    ("torque", 26),
    ("units", 24),
];

#[test]
fn every_reference_row_is_met_or_skipped_with_a_reason() {
    let mut faults = Vec::new();
    for (file, least) in FILES {
        let mut computed = 0;
        for row in rows(file) {
            let matches = |(known, start): (&str, &str)| known == *file && row.quantity.starts_with(start);
            let line = COMPUTED.iter().find(|line| matches((line.0, line.1)));
            let skipped = SKIPPED.iter().any(|line| matches((line.0, line.1)));
            match line {
                Some((_, _, compute)) => {
                    computed += 1;
                    faults.extend(judge(&row, &compute(&row)).err());
                }
                None if skipped => {}
                None => {
                    faults.push(format!("{}: `{}` is neither computed nor skipped", row.id, row.quantity))
                }
            }
        }
        if computed < *least {
            faults.push(format!("{file}: {computed} rows computed, at least {least} expected"));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn every_line_of_the_tables_has_a_row_and_every_file_is_listed() {
    for (file, start) in
        COMPUTED.iter().map(|line| (line.0, line.1)).chain(SKIPPED.iter().map(|line| (line.0, line.1)))
    {
        assert!(rows(file).iter().any(|row| row.quantity.starts_with(start)), "{file}: no row `{start}`");
    }
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference");
    for entry in std::fs::read_dir(folder).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        if let Some(name) = name.strip_suffix(".csv") {
            assert!(FILES.iter().any(|(file, _)| *file == name), "{name}.csv is not listed");
        }
    }
}
