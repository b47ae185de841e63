//! The hazard index: every hazard with every step that meets it, and the protection against them.

use crate::finding::Finding;
use crate::model::{Message, Store};
use crate::page::view::card::{full, hazard_panel};
use crate::page::view::entry::{self, Entry};
use crate::page::view::uses;
use crate::page::{File, Manual, PageKind, address, single};
use std::collections::{BTreeMap, BTreeSet};

/// The hazard index.
#[derive(Debug)]
pub(super) struct Hazards;

impl PageKind for Hazards {
    fn name(&self) -> &'static str {
        "hazards"
    }

    fn subjects(&self, _: &Manual<'_>) -> Vec<String> {
        single()
    }

    fn draw(&self, manual: &Manual<'_>, _: &str) -> Result<Vec<File>, Box<Finding>> {
        let here = address::HAZARDS;
        let mut entries: Vec<Entry> = Vec::new();
        for line in manual.worked.parsed.stores.lines(Store::Hazards) {
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
        let protection = entry::entries(manual, here, Store::Protection).into_iter();
        entries.extend(
            protection.map(|entry| Entry { id: address::beside(Store::Protection, &entry.id), ..entry }),
        );
        entry::index(manual, self.name(), here, None, entries)
    }
}

/// Messages that steps write in full, each text once.
fn written(manual: &Manual<'_>, here: &str) -> Vec<Entry> {
    let mut found: BTreeMap<_, BTreeSet<uses::At>> = BTreeMap::new();
    for procedure in manual.worked.parsed.procedures.values() {
        for step in procedure.steps() {
            for message in step.messages.iter().filter(|message| matches!(message, Message::Full { .. })) {
                if let Some(panel) = full(manual, message) {
                    let at = (procedure.id.clone(), step.number, step.id.clone());
                    found.entry(panel).or_default().insert(at);
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
