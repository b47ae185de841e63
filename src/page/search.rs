//! The search page, and what can be searched for. Without its script the page lists everything.

use crate::finding::Finding;
use crate::model::{Form, Kind, Procedure, Prose, Status, Step, Store};
use crate::page::table::row_label;
use crate::page::view::prose::Writer;
use crate::page::view::{Frame, Link, frame, registers, shown};
use crate::page::{File, Manual, PageKind, address, single};
use crate::work::WorkedProcedure;
use serde::Serialize;

/// One thing that can be found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Record {
    /// The label of its group.
    pub group: &'static str,
    /// Its address below the site's root.
    pub address: String,
    /// Its title.
    pub title: String,
    /// What stands below it.
    pub note: String,
    /// Texts that lead to it, each with its weight from 1.
    pub texts: Vec<(String, u32)>,
}

/// Weights: the title, another name or an id, what belongs to it, running text.
const TITLE: u32 = 8;
const NAME: u32 = 6;
const PART: u32 = 3;
const TEXT: u32 = 1;

/// The search page.
#[derive(Debug)]
pub(super) struct Search;

#[derive(Serialize)]
struct View {
    page: Frame,
    title: String,
    groups: Vec<Group>,
}

#[derive(Serialize)]
struct Group {
    text: String,
    lines: Vec<Link>,
}

impl PageKind for Search {
    fn name(&self) -> &'static str {
        "search"
    }

    fn subjects(&self, _: &Manual<'_>) -> Vec<String> {
        single()
    }

    fn draw(&self, manual: &Manual<'_>, _: &str) -> Result<Vec<File>, Box<Finding>> {
        let here = address::SEARCH;
        let title = manual.theme.say("search");
        let mut page = frame(manual, self.name(), here, title.clone());
        page.scripts.extend([address::search_data(manual.fingerprint), manual.theme.asset("search.js")]);
        let mut groups: Vec<(&str, Vec<Link>)> = Vec::new();
        for record in manual.records {
            let note = (!record.note.is_empty()).then(|| record.note.clone());
            let link = Link { note, ..Link::new(here, &record.address, record.title.clone()) };
            match groups.iter_mut().find(|(group, _)| *group == record.group) {
                Some((_, links)) => links.push(link),
                None => groups.push((record.group, vec![link])),
            }
        }
        let name = |group: &str| match Store::of_file(group) {
            Some(store) => registers::words(manual, store).0,
            None => manual.theme.say(group),
        };
        let groups = groups.into_iter().map(|(group, lines)| Group { text: name(group), lines });
        let view = View { page, title, groups: groups.collect() };
        let html = manual.theme.render("search.html", &view)?;
        Ok(vec![(here.to_owned(), html.into_bytes())])
    }
}

/// Everything that can be found: procedures, tables, lines of the stores, items, values, steps.
pub(super) fn records(manual: &Manual<'_>) -> Vec<Record> {
    let mut records = Vec::new();
    let parsed = manual.worked.parsed();
    for procedure in parsed.procedures().values() {
        let mut texts = vec![
            (procedure.title.clone(), TITLE),
            (procedure.id.clone(), NAME),
            (procedure.area.clone(), PART),
            (procedure.summary.clone(), PART),
        ];
        if prints_its_steps(procedure) {
            texts.push((printed(manual, procedure, &procedure.intro), TEXT));
        }
        let vehicles =
            procedure.applies_to.iter().filter_map(|applies| parsed.vehicles().get(&applies.vehicle));
        texts.extend(vehicles.map(|vehicle| (vehicle.name.clone(), PART)));
        records.push(Record {
            group: "procedures",
            address: address::procedure(&procedure.id),
            title: procedure.title.clone(),
            note: procedure.summary.clone(),
            texts,
        });
    }
    for table in parsed.tables().values() {
        let mut texts = vec![(table.title.clone(), TITLE), (table.id.clone(), NAME)];
        let rows = manual.worked.tables().get(&table.id).map(|worked| worked.rows.as_slice());
        texts.extend(rows.unwrap_or_default().iter().map(|row| (row.label.clone(), PART)));
        records.push(Record {
            group: "tables",
            address: address::table(&table.id),
            title: table.title.clone(),
            note: String::new(),
            texts,
        });
    }
    records.extend(rows(manual));
    records.extend(lines(manual));
    for procedure in parsed.procedures().values().filter(|procedure| prints_its_steps(procedure)) {
        let Some(worked) = manual.worked.procedures().get(&procedure.id) else { continue };
        records.extend(procedure.steps().map(|step| step_record(manual, procedure, worked, step)));
    }
    records
}

/// Whether a procedure's page holds its introduction and its steps: that of a withdrawn one holds neither.
fn prints_its_steps(procedure: &Procedure) -> bool {
    procedure.status != Status::Withdrawn
}

/// What a procedure's page prints of a piece of its prose. Nothing else is found: what a page does not print, such
/// as a note among writers, is not for those who search it.
fn printed(manual: &Manual<'_>, procedure: &Procedure, prose: &Prose) -> String {
    let here = address::procedure(&procedure.id);
    let writer = Writer { manual, procedure: &procedure.id, here: &here, prefix: "", figures: None };
    writer.plain(prose)
}

/// The rows of the tables, each with what it answers: one query gives the figure.
fn rows(manual: &Manual<'_>) -> Vec<Record> {
    let mut records = Vec::new();
    for (id, worked) in manual.worked.tables() {
        let Some(table) = manual.worked.parsed().tables().get(id) else { continue };
        for row in &worked.rows {
            let cells = row.cells.iter().zip(&worked.columns).filter_map(|(cell, column)| {
                let (rounding, _) = shown::output(&column.working, &column.output);
                let name = shown::output_name(manual, &column.working, &column.output);
                let figure = shown::Shown::value(manual, cell.as_ref().ok()?, rounding).text();
                Some(format!("{name} {figure}"))
            });
            let label = row_label(manual, row);
            records.push(Record {
                group: "table_rows",
                address: format!("{}#{}", address::table(id), address::row_anchor(&row.id)),
                title: format!("{}: {label}", table.title),
                note: cells.collect::<Vec<_>>().join(" · "),
                texts: vec![(label, TITLE), (row.id.clone(), NAME), (table.title.clone(), PART)],
            });
        }
    }
    records
}

fn lines(manual: &Manual<'_>) -> Vec<Record> {
    let mut records = Vec::new();
    for store in Store::ALL {
        for line in manual.worked.parsed().stores().lines(store) {
            let Some(address) = address::line(store, &line.id) else { continue };
            let hazard = line.text("hazard");
            let title = hazard.map_or_else(|| line.name.clone(), str::to_owned);
            let mut texts = vec![(title.clone(), TITLE), (line.id.clone(), NAME)];
            texts.extend(line.also.iter().map(|name| (name.clone(), NAME)));
            let plain = registers::keys(store).filter(|key| key.form == Form::Text && key.name != "name");
            let said = plain.filter_map(|key| line.text(key.name)).filter(|text| *text != title);
            texts.extend(said.map(|text| (text.to_owned(), PART)));
            texts.extend(line.note.iter().map(|note| (note.clone(), TEXT)));
            records.push(Record { group: store.file(), address, title, note: String::new(), texts });
        }
    }
    records
}

/// A step, found by its words, its tools, and everything that it moves with colour and other names.
fn step_record(manual: &Manual<'_>, procedure: &Procedure, worked: &WorkedProcedure, step: &Step) -> Record {
    let stores = manual.worked.parsed().stores();
    let prose = printed(manual, procedure, &step.prose);
    let mut texts = vec![(step.heading.clone(), NAME), (procedure.title.clone(), TEXT), (prose, TEXT)];
    for (at, leg) in worked.route.at(&step.id) {
        // What a procedure carried out in place touches is found at the step that runs it.
        for moved in worked.replay.on_leg(at) {
            let Some(item) = worked.items.get(&moved.item) else { continue };
            texts.push((item.name.clone(), PART));
            texts.push((item.id.clone(), PART));
            texts.extend(item.conductor().and_then(|own| own.carries.clone()).map(|carries| (carries, PART)));
            if item.kind() == Kind::Conductor {
                // What people call a conductor: wire, lead, cable.
                texts.push((manual.theme.say("also_conductor"), PART));
                let cable = item.of().and_then(|of| stores.get(Store::Cables, of));
                texts.extend(cable.map(|line| (line.name.clone(), TEXT)));
            }
            texts.extend(item.colour().iter().map(|letters| (shown::colour(manual, letters), PART)));
        }
        let run = manual.procedure(&leg.procedure).and_then(|run| run.step(&leg.step));
        let used = run.into_iter().flat_map(|run| run.tools.iter().chain(&run.consumables).chain(&run.parts));
        for line in used.filter_map(|used| stores.get(used.store, &used.id)) {
            texts.push((line.name.clone(), PART));
            texts.extend(line.also.iter().map(|name| (name.clone(), PART)));
        }
        for act in run.into_iter().flat_map(|run| &run.does) {
            let also = stores.get(Store::Words, act.verb.word());
            texts.extend(also.into_iter().flat_map(|line| &line.also).map(|word| (word.clone(), TEXT)));
        }
    }
    Record {
        group: "steps_title",
        address: address::step(&procedure.id, &step.id),
        title: format!("{} {}", step.number, step.heading),
        note: procedure.title.clone(),
        texts,
    }
}
