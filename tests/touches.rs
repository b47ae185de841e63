//! `touches`: what a change of one line of the stores touches, held against working the manual again with that
//! line changed.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "tests read and write files")]

mod workbench;

use benchleaf::model::Store;
use benchleaf::work::Influence;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use workbench::inspection::worked;

/// Each value and row of a manual with what it shows.
fn shown(manual: &benchleaf::work::Worked) -> BTreeMap<(String, String), String> {
    let values = manual.procedures().iter().flat_map(|(owner, procedure)| {
        let values = procedure.values.iter();
        values.map(move |value| {
            let outputs = value.result.as_ref().map(|work| &work.outcome.outputs);
            ((owner.clone(), value.id.clone()), format!("{outputs:?}"))
        })
    });
    let rows = manual.tables().iter().flat_map(|(table, worked)| {
        worked
            .rows
            .iter()
            .map(move |row| ((format!("table {table}"), row.id.clone()), format!("{:?}", row.cells)))
    });
    values.chain(rows).collect()
}

/// Figures of the demo's stores, each with another that its manual still works with.
const CHANGES: &[(Store, &str, &str, &str)] = &[
    (Store::Cables, "loom-075", "conductor: 1.1 mm", "conductor: 1.15 mm"),
    (Store::Cables, "loom-150", "outside: 2.4 mm", "outside: 2.5 mm"),
    (Store::Cables, "loom-100", "per-length: {value: 18.5 mΩ/m", "per-length: {value: 18.0 mΩ/m"),
    (Store::Cables, "coax-50", "dielectric: 2.95 mm", "dielectric: 2.9 mm"),
    (Store::Sleeves, "polyolefin-3to1", "wall: 0.6 mm", "wall: 0.62 mm"),
    (Store::Sleeves, "lined-3to1", "wall: 1.1 mm", "wall: 1.2 mm"),
    (Store::Sleeves, "polyolefin-4to1", "wall: 0.5 mm", "wall: 0.45 mm"),
    (Store::Services, "dab", "174 MHz to 240 MHz", "174 MHz to 230 MHz"),
    (Store::Services, "wireless-lan", "2400 MHz to 2483.5 MHz", "2400 MHz to 2450 MHz"),
];

#[test]
fn whatever_a_changed_line_changes_is_named() {
    let before = worked(&workbench::demo());
    let (influence, old) = (Influence::of(&before), shown(&before));
    for (store, line, from, to) in CHANGES {
        let (_keep, manual) = workbench::demo_copy();
        let path = manual.join(format!("stores/{}.yaml", store.file()));
        let text = fs::read_to_string(&path).unwrap();
        let at = text.find(&format!("{line}:")).unwrap();
        let place = at + text[at..].find(from).unwrap_or_else(|| panic!("{line} has no `{from}`"));
        fs::write(&path, format!("{}{to}{}", &text[..place], &text[place + from.len()..])).unwrap();
        let new = shown(&worked(&manual));
        let touched = influence.touched_by(*store, line);
        let mut named: BTreeSet<(String, String)> =
            touched.values.iter().map(|(owner, value)| ((*owner).to_owned(), value.id.clone())).collect();
        named.extend(touched.rows.iter().map(|(table, row)| (format!("table {table}"), row.id.clone())));
        let changed: BTreeSet<(String, String)> = old
            .iter()
            .filter(|(key, text)| new.get(*key) != Some(text))
            .map(|(key, _)| key.clone())
            .collect();
        assert!(!changed.is_empty(), "{line}: {to} changes nothing");
        let missed: Vec<_> = changed.difference(&named).collect();
        assert!(missed.is_empty(), "{line}: {to} changes what was not named: {missed:?}");
        assert!(named.len() < old.len(), "{line}: everything is named, so nothing is said");
    }
}
