//! What of a manual could not be read at all, so that nothing is said of what would have stood there.

use super::files::Kind;
use crate::finding::{FileId, Sink};
use std::collections::BTreeSet;

/// Whole files that could not be read.
#[derive(Debug, Default)]
pub struct Lost {
    /// The ids of procedures, as far as their text tells them.
    pub procedures: BTreeSet<String>,
    /// Whether what others refer to is among them: stores, vehicles or tables.
    pub shared: bool,
    /// The files of stores, vehicles and tables of which some lines have faults.
    pub gaps: BTreeSet<FileId>,
}

/// The codes with which a whole file is refused.
const WHOLE: &[&str] = &["SRC-01", "SRC-02", "SRC-03", "SRC-04", "SRC-05", "SRC-08"];

impl Lost {
    /// Notes a file after it was read, with what was found in it.
    pub(super) fn note(&mut self, kind: Kind, file: FileId, found: &Sink) {
        if matches!(kind, Kind::Store(_) | Kind::Vehicle | Kind::Table) && found.has_errors() {
            self.gaps.insert(file);
            self.shared |= found.has_any(WHOLE);
        }
    }

    /// Notes a procedure that could not be read.
    pub(super) fn procedure(&mut self, path: &str, text: &str) {
        let written = text.lines().take(60).find_map(|line| line.strip_prefix("id:")).map(str::trim);
        let name = path.rsplit('/').next().unwrap_or(path);
        let stem = name.strip_suffix(".md").unwrap_or(name);
        self.procedures.insert(written.unwrap_or(stem).to_owned());
    }
}
