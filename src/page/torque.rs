//! The torque index: every torque of the manual with who says so, and the steps that tighten to it.

use crate::finding::Finding;
use crate::model::Store;
use crate::page::prose::escape;
use crate::page::view::card::torque_anchor;
use crate::page::view::entry;
use crate::page::view::plan::link;
use crate::page::view::{Cell, Sheet, shown, uses};
use crate::page::{File, Manual, PageKind, address, single};
use std::collections::BTreeSet;

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
        entry::index(manual, self.name(), address::TORQUE, Some(sheet(manual)), Vec::new())
    }
}

/// One row for each fastening of each procedure whose route touches it.
fn sheet(manual: &Manual<'_>) -> Sheet {
    let here = address::TORQUE;
    let say = |key: &str| manual.theme.say(key);
    let heads = [
        ("col_item", false),
        ("col_torque", true),
        ("col_who_says", false),
        ("col_count", true),
        ("col_fastener", false),
        ("col_procedure", false),
        ("col_steps", false),
    ];
    let mut sheet = Sheet::new(say("torque"), heads.map(|(key, figures)| (say(key), figures)).to_vec());
    for (id, worked) in &manual.worked.procedures {
        let touched = worked.items.values().filter(|item| item.kind.is_fastening());
        for item in touched.filter(|item| worked.replay.touches(&item.id)) {
            let Some(reading) = shown::torque(manual, item) else { continue };
            let torque = match (reading.write_in, &reading.unit) {
                (true, unit) => Cell::text(format!("____ {}", unit.as_deref().unwrap_or_default())),
                (false, Some(unit)) => Cell {
                    second: reading.second.clone(),
                    note: reading.note.clone(),
                    ..Cell::text(format!("{}\u{a0}{unit}", reading.number))
                },
                (false, None) => Cell::text(reading.number.clone()),
            };
            let says = if reading.write_in { Some(say("maker_figure")) } else { reading.source.clone() };
            let says = says.map_or_else(Cell::default, |source| {
                if reading.unverified {
                    let words = escape(&manual.theme.say_what("unverified", &source));
                    Cell {
                        html: Some(format!("<span class=\"unverified\">{words}</span>")),
                        ..Cell::default()
                    }
                } else {
                    Cell::text(source)
                }
            });
            let line = item.of.as_deref().and_then(|of| manual.parsed().stores.get(Store::Fasteners, of));
            let fastener = line.map_or_else(Cell::default, |line| {
                let href = address::line(line.store, &line.id).map(|to| address::link(here, &to));
                Cell { href, ..Cell::text(line.name.clone()) }
            });
            let procedure = link(manual, here, id);
            sheet.push(
                Some(torque_anchor(id, &item.id)),
                vec![
                    Cell::text(item.name.clone()),
                    torque,
                    says,
                    Cell::text(item.count.to_string()),
                    fastener,
                    Cell { href: procedure.href, ..Cell::text(procedure.text) },
                    steps(manual, here, id, &item.id),
                ],
            );
        }
    }
    sheet
}

/// The procedure's own steps that move the item.
fn steps(manual: &Manual<'_>, here: &str, procedure: &str, item: &str) -> Cell {
    let worked = manual.worked.procedures.get(procedure);
    let moves = worked.into_iter().flat_map(|worked| {
        let moved = worked.replay.moves.iter().filter(|moved| moved.item == item);
        moved.filter_map(|moved| worked.route.legs.get(moved.leg))
    });
    let written = manual.procedure(procedure);
    let tops: BTreeSet<uses::At> = moves
        .filter_map(|leg| written?.step(&leg.top))
        .map(|step| (procedure.to_owned(), step.number, step.id.clone()))
        .collect();
    let links = uses::links(manual, here, Some(&tops))
        .into_iter()
        .map(|step| format!("<a href=\"{}\">{} {}</a>", escape(&step.href), step.number, escape(&step.text)));
    let links: Vec<String> = links.collect();
    Cell { html: (!links.is_empty()).then(|| links.join("<br>")), ..Cell::default() }
}
