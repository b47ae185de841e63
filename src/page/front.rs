//! The front: the rack of job cards by area, the registers, the computed tables, what changed.

use crate::finding::Finding;
use crate::model::{Procedure, Status, Store, slug};
use crate::page::view::plan::{minutes, skill, vehicles};
use crate::page::view::{Cell, Edge, Frame, Link, Sheet, frame, registers};
use crate::page::{File, Manual, PageKind, address, single};
use serde::Serialize;
use std::collections::BTreeMap;

/// The front page.
#[derive(Debug)]
pub(super) struct Front;

#[derive(Serialize)]
struct View {
    page: Frame,
    shop: Shop,
    search: &'static str,
    areas: Vec<Area>,
    registers: Vec<Link>,
    tables: Vec<Link>,
    changed: Sheet,
}

#[derive(Serialize)]
struct Shop {
    id: String,
    name: String,
    procedures: usize,
    vehicles: String,
    signal_words: String,
}

#[derive(Serialize)]
struct Area {
    id: String,
    number: u32,
    title: String,
    tickets: Vec<Ticket>,
}

/// A job card.
#[derive(Serialize)]
struct Ticket {
    id: String,
    title: String,
    href: String,
    revision: String,
    gated: bool,
    mark: Option<String>,
    summary: String,
    vehicles: String,
    minutes: u64,
    skill: String,
    kit: String,
    sheet: String,
    schedule: Option<String>,
}

impl PageKind for Front {
    fn name(&self) -> &'static str {
        "front"
    }

    fn subjects(&self, _: &Manual<'_>) -> Vec<String> {
        single()
    }

    fn draw(&self, manual: &Manual<'_>, _: &str) -> Result<Vec<File>, Box<Finding>> {
        let parsed = manual.worked.parsed();
        let areas = areas(manual);
        let mut page = frame(manual, self.name(), address::FRONT, parsed.shop().name.clone());
        page.edges_name = manual.theme.say("nav_areas");
        page.edges = areas
            .iter()
            .map(|area| Edge { id: area.id.clone(), number: area.number, text: area.title.clone() })
            .collect();
        let names: Vec<&str> = parsed.vehicles().values().map(|vehicle| vehicle.name.as_str()).collect();
        let view = View {
            page,
            shop: Shop {
                id: parsed.shop().id.clone(),
                name: parsed.shop().name.clone(),
                procedures: parsed.procedures().len(),
                vehicles: names.join(", "),
                signal_words: parsed.shop().signal_words.clone(),
            },
            search: address::SEARCH,
            areas,
            registers: shelf(manual),
            tables: parsed
                .tables()
                .values()
                .map(|table| Link::new(address::FRONT, &address::table(&table.id), table.title.clone()))
                .collect(),
            changed: changed(manual),
        };
        let html = manual.theme.render("front.html", &view)?;
        Ok(vec![(address::FRONT.to_owned(), html.into_bytes())])
    }
}

fn areas(manual: &Manual<'_>) -> Vec<Area> {
    let mut by_area: BTreeMap<&str, Vec<&Procedure>> = BTreeMap::new();
    for procedure in manual.worked.parsed().procedures().values() {
        by_area.entry(procedure.area.as_str()).or_default().push(procedure);
    }
    let area = |(number, (title, procedures)): (u32, (&str, Vec<&Procedure>))| Area {
        id: format!("area--{}-{number}", slug(title)),
        number,
        title: title.to_owned(),
        tickets: procedures.iter().map(|procedure| ticket(manual, procedure)).collect(),
    };
    (1..).zip(by_area).map(area).collect()
}

fn ticket(manual: &Manual<'_>, procedure: &Procedure) -> Ticket {
    let id = &procedure.id;
    let worked = manual.worked.procedures().get(id);
    let joins = worked.is_some_and(|worked| !worked.schedule.joints.is_empty());
    let marked = procedure.status != Status::Released;
    Ticket {
        id: id.clone(),
        title: procedure.title.clone(),
        href: address::procedure(id),
        revision: procedure
            .revision
            .as_ref()
            .map_or_else(|| "–".to_owned(), |approval| approval.letter.clone()),
        gated: procedure.skill.is_gated(),
        mark: marked.then(|| manual.theme.say(&format!("status_{}", procedure.status.word()))),
        summary: procedure.summary.clone(),
        vehicles: vehicles(manual, procedure).join("; "),
        minutes: worked.map_or(0, |worked| minutes(manual, worked)),
        skill: skill(manual, procedure.skill),
        kit: format!("{}#at--kit", address::procedure(id)),
        sheet: address::job_sheet(id),
        schedule: joins.then(|| address::join_schedule(id)),
    }
}

/// The pages on which things are looked up, each with how many lines it lists.
fn shelf(manual: &Manual<'_>) -> Vec<Link> {
    let count = |store: Store| manual.worked.parsed().stores().lines(store).count().to_string();
    let link = |(page, title, store): (String, String, Option<Store>)| Link {
        note: store.map(count),
        ..Link::new(address::FRONT, &page, title)
    };
    registers::pages(manual).into_iter().map(link).collect()
}

/// Every revision in force with its reason, the newest first.
fn changed(manual: &Manual<'_>) -> Sheet {
    let say = |key: &str| manual.theme.say(key);
    let heads = ["col_effective", "col_procedure", "col_revision", "col_reason"];
    let mut sheet = Sheet::new(say("changed_caption"), heads.map(|key| (say(key), false)).to_vec());
    let mut revised: Vec<_> = manual
        .worked
        .parsed()
        .procedures()
        .values()
        .filter_map(|procedure| Some((procedure.revision.as_ref()?, procedure)))
        .collect();
    revised.sort_by(|(a, one), (b, other)| b.effective.cmp(&a.effective).then(one.id.cmp(&other.id)));
    for (approval, procedure) in revised {
        let to = format!("{}#at--revision", address::procedure(&procedure.id));
        sheet.push(
            None,
            vec![
                Cell::text(approval.effective.clone()),
                Cell::link(address::link(address::FRONT, &to), procedure.title.clone()),
                Cell::text(approval.letter.clone()),
                Cell::text(approval.reason.clone()),
            ],
        );
    }
    sheet
}
