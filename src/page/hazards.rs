//! The entries of the hazard register: every hazard with every step that meets it.

use crate::model::{Message, Store};
use crate::page::Manual;
use crate::page::view::card::{full, hazard_panel};
use crate::page::view::entry::{self, Entry};
use crate::page::view::uses;
use std::collections::{BTreeMap, BTreeSet};

/// Every hazard of the stores as its message, then those that steps write in full; the gravest first, what
/// nothing uses last.
pub(super) fn entries(manual: &Manual<'_>, here: &str) -> Vec<Entry> {
    let mut entries: Vec<Entry> = Vec::new();
    for line in manual.worked.parsed().stores().lines(Store::Hazards) {
        let panel = hazard_panel(manual, line);
        let entry = entry::entry(manual, here, line);
        let facts = entry.facts.into_iter().filter(|fact| fact.is_beside_the_message(manual)).collect();
        entries.push(Entry { name: panel.hazard.clone(), panel: Some(panel), facts, ..entry });
    }
    entries.extend(written(manual, here));
    entries.sort_by(|a, b| {
        let key = |entry: &Entry| (entry.idle, entry.panel.as_ref().map(|panel| panel.rank));
        key(a).cmp(&key(b))
    });
    entries
}

/// Messages that steps write in full, each text once.
fn written(manual: &Manual<'_>, here: &str) -> Vec<Entry> {
    let mut found: BTreeMap<_, BTreeSet<uses::At>> = BTreeMap::new();
    for procedure in manual.worked.parsed().procedures().values() {
        for step in procedure.steps() {
            for message in step.messages.iter().filter(|message| matches!(message, Message::Full { .. })) {
                if let Some(panel) = full(manual, message) {
                    found.entry(panel).or_default().insert(uses::At::step(procedure, step));
                }
            }
        }
    }
    let entries = (1..).zip(found).map(|(number, (panel, at))| Entry {
        id: format!("written--{number}"),
        name: panel.hazard.clone(),
        panel: Some(panel),
        used: uses::groups(manual, here, Some(&at)),
        ..Entry::default()
    });
    entries.collect()
}
