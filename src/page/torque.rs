//! The torque index: every torque of the manual with who says so, and the steps that tighten to it.

use crate::finding::Finding;
use crate::model::{Item, Store};
use crate::page::markup::{Element, Markup};
use crate::page::view::entry;
use crate::page::view::plan::link;
use crate::page::view::{Cell, Reading, Sheet, shown, uses};
use crate::page::{File, Manual, PageKind, address, single};
use std::collections::{BTreeMap, BTreeSet};

/// The torque index.
#[derive(Debug)]
pub(super) struct Torque;

impl PageKind for Torque {
    fn name(&self) -> &'static str {
        "torque"
    }

    fn subjects(&self, _: &Manual<'_>) -> Vec<String> {
        single()
    }

    fn draw(&self, manual: &Manual<'_>, _: &str) -> Result<Vec<File>, Box<Finding>> {
        entry::index(
            manual,
            self.name(),
            address::TORQUE,
            (manual.theme.say("torque"), manual.theme.say("torque_lead")),
            Some(sheet(manual)),
            Vec::new(),
        )
    }
}

/// One row for each fastening, with every procedure whose route touches it. One thing has one torque; were
/// there two, each would have its row.
fn sheet(manual: &Manual<'_>) -> Sheet {
    let say = |key: &str| manual.theme.say(key);
    let heads = [
        ("col_item", false),
        ("col_torque", true),
        ("col_who_says", false),
        ("col_count", true),
        ("col_steps", false),
    ];
    let mut sheet = Sheet::new(say("torque"), heads.map(|(key, figures)| (say(key), figures)).to_vec());
    let mut taken: BTreeSet<String> = BTreeSet::new();
    for ((_, id, _), found) in fastenings(manual) {
        let anchor = if taken.insert(id.clone()) { id } else { format!("{id}--{}", taken.len()) };
        let Some(reading) = shown::torque(manual, found.item) else { continue };
        let steps = found.procedures.iter().map(|procedure| steps(manual, procedure, &found.item.id));
        let steps = Markup::joined(steps, &Element::new("br").alone());
        let line = found.item.of().and_then(|of| manual.worked.parsed().stores().get(Store::Fasteners, of));
        let name = line.map_or_else(Cell::default, |line| {
            let href = address::line(line.store, &line.id).map(|to| address::link(address::TORQUE, &to));
            Cell { href, note: Some(line.name.clone()), ..Cell::default() }
        });
        sheet.push(
            Some(anchor),
            vec![
                Cell { text: found.item.name.clone(), ..name },
                figure(&reading),
                says(manual, &reading),
                Cell::text(found.item.count().to_string()),
                Cell { html: Some(steps), ..Cell::default() },
            ],
        );
    }
    sheet
}

struct Found<'a> {
    item: &'a Item,
    procedures: BTreeSet<&'a str>,
}

/// Every fastening that a route touches, by name, id and torque.
fn fastenings<'a>(manual: &Manual<'a>) -> BTreeMap<(String, String, String), Found<'a>> {
    let mut found: BTreeMap<(String, String, String), Found<'a>> = BTreeMap::new();
    for (id, worked) in manual.worked.procedures() {
        let touched = worked.items.values().filter(|item| item.kind().is_fastening());
        for item in touched.filter(|item| worked.replay.touches(&item.id)) {
            let Some(reading) = shown::torque(manual, item) else { continue };
            let torque = format!("{} {:?} {:?}", reading.number, reading.unit, reading.source);
            let key = (item.name.clone(), item.id.clone(), torque);
            let entry = found.entry(key).or_insert_with(|| Found { item, procedures: BTreeSet::new() });
            entry.procedures.insert(id);
        }
    }
    found
}

fn figure(reading: &Reading) -> Cell {
    match (reading.write_in, &reading.unit) {
        (true, unit) => Cell::text(format!("____ {}", unit.as_deref().unwrap_or_default())),
        (false, Some(unit)) => Cell {
            second: reading.second.clone(),
            note: reading.note.clone(),
            ..Cell::text(format!("{}\u{a0}{unit}", reading.number))
        },
        (false, None) => Cell::text(reading.number.clone()),
    }
}

fn says(manual: &Manual<'_>, reading: &Reading) -> Cell {
    let own = reading.write_in.then(|| manual.theme.say("maker_figure"));
    let Some(source) = own.or_else(|| reading.source.clone()) else { return Cell::default() };
    if !reading.unverified {
        return Cell::text(source);
    }
    let words = manual.theme.say_what("unverified", &source);
    Cell { html: Some(Element::span("unverified").around_text(&words)), ..Cell::default() }
}

/// A procedure and its steps that move the item.
fn steps(manual: &Manual<'_>, procedure: &str, item: &str) -> Markup {
    let here = address::TORQUE;
    let worked = manual.worked.procedures().get(procedure);
    let moves = worked.into_iter().flat_map(|worked| {
        let moved = worked.replay.moves.iter().filter(|moved| moved.item == item);
        moved.filter_map(|moved| worked.route.legs.get(moved.leg))
    });
    let written = manual.procedure(procedure);
    let tops: BTreeSet<uses::At> =
        moves.filter_map(|leg| Some(uses::At::step(written?, written?.step(&leg.top)?))).collect();
    let links = uses::links(manual, here, Some(&tops)).into_iter().map(|step| {
        let label = format!("{} {}", step.number, step.text);
        Element::link(&step.href).with("aria-label", &label).around_text(&step.number.to_string())
    });
    let title = link(manual, here, procedure);
    let name = Element::link(&title.href.unwrap_or_default()).around_text(&title.text);
    name.then(&Markup::text(": ")).then(&Markup::joined(links, &Markup::text(", ")))
}
