//! An inspection as a caller of the library sees it: the one place where tests touch its interface for
//! findings. Every field comes from the machine-readable form, whose names are a contract.

use benchleaf::Run;
use benchleaf::finding::{Finding, json, text};
use std::path::Path;

/// A finding, with what a person would read.
#[derive(Debug)]
pub struct Found {
    /// `LED-01`.
    pub code: String,
    /// `error`, `warning` or `advice`.
    pub severity: String,
    /// The headline.
    pub message: String,
    /// The file, as shown.
    pub file: Option<String>,
    /// The line, from 1.
    pub line: Option<u64>,
    /// The column, from 1.
    pub column: Option<u64>,
    /// What to write instead.
    pub help: Option<String>,
    /// The finding for people: excerpt, caret, labels, help.
    pub shown: String,
}

impl Found {
    /// Whether it blocks binding.
    pub fn is_error(&self) -> bool {
        self.severity == "error"
    }
}

impl std::fmt::Display for Found {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let (file, line) = (self.file.as_deref().unwrap_or("?"), self.line.unwrap_or(0));
        write!(formatter, "{} {file}:{line}: {}", self.code, self.message)
    }
}

/// A manual that inspects clean, with all that was worked.
pub fn worked(manual: &Path) -> benchleaf::work::Worked {
    let run = Run::read(manual).expect("the manual's folder is there");
    if let Err(rejected) = run.inspect() {
        panic!("{}", text::render(rejected.findings(), run.source(), false));
    }
    run.work().0
}

/// A manual as worked, whatever faults it has.
pub fn worked_with_faults(manual: &Path) -> benchleaf::work::Worked {
    Run::read(manual).expect("the manual's folder is there").work().0
}

/// Everything that an inspection finds.
pub fn findings(run: &Run) -> Vec<Finding> {
    match run.inspect() {
        Ok(checked) => checked.findings().to_vec(),
        Err(rejected) => rejected.findings().to_vec(),
    }
}

/// Inspects a manual.
pub fn inspect(manual: &Path) -> Vec<Found> {
    let run = Run::read(manual).expect("the manual's folder is there");
    let findings = findings(&run);
    let rows = json::render(&findings, run.source()).expect("findings become JSON");
    let rows: Vec<serde_json::Value> = serde_json::from_str(&rows).expect("an array");
    rows.iter()
        .zip(&findings)
        .map(|(row, finding)| {
            let text_of = |key: &str| row[key].as_str().map(str::to_owned);
            Found {
                code: text_of("code").expect("a code"),
                severity: text_of("severity").expect("a severity"),
                message: text_of("message").expect("a message"),
                file: text_of("file"),
                line: row["line"].as_u64(),
                column: row["column"].as_u64(),
                help: text_of("help"),
                shown: text::render(std::slice::from_ref(finding), run.source(), false),
            }
        })
        .collect()
}
