//! Source → [`Parsed`]: YAML, Markdown and references become the model's nouns. Never says no: what cannot
//! be read is left out and reported, and reading goes on.

mod acceptance;
mod body;
mod fields;
mod figures;
mod files;
mod forms;
mod front;
mod headings;
mod items;
mod looms;
mod lost;
mod prose;
mod releases;
mod scalars;
mod shop;
mod step;
mod stores;
mod tables;
mod unseen;
mod values;
mod yaml;
mod yaml_fault;

use crate::finding::{FileId, Finding, Sink, Span};
use crate::model::{Limits, Place, Procedure, Release, Shop, Stores, Table, Vehicle};
use crate::source::{Source, SourceFile};
use rayon::prelude::*;
use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

pub use lost::Lost;

pub use prose::{Seen, read_prose};

/// A manual as read: everything that could be, and nothing judged beyond its form.
#[derive(Debug)]
pub struct Parsed {
    shop: Shop,
    stores: Stores,
    vehicles: BTreeMap<String, Vehicle>,
    procedures: BTreeMap<String, Procedure>,
    tables: BTreeMap<String, Table>,
    figures: BTreeMap<String, FigureFile>,
    releases: BTreeMap<String, Release>,
    dress: BTreeMap<String, DressFile>,
    lost: Lost,
}

impl Parsed {
    /// The shop.
    pub fn shop(&self) -> &Shop {
        &self.shop
    }

    /// Its stores.
    pub fn stores(&self) -> &Stores {
        &self.stores
    }

    /// Vehicles by id.
    pub fn vehicles(&self) -> &BTreeMap<String, Vehicle> {
        &self.vehicles
    }

    /// Procedures by id.
    pub fn procedures(&self) -> &BTreeMap<String, Procedure> {
        &self.procedures
    }

    /// Tables by id.
    pub fn tables(&self) -> &BTreeMap<String, Table> {
        &self.tables
    }

    /// Figures by their path below `figures/`.
    pub fn figures(&self) -> &BTreeMap<String, FigureFile> {
        &self.figures
    }

    /// What was published last, by procedure.
    pub fn releases(&self) -> &BTreeMap<String, Release> {
        &self.releases
    }

    /// The shop's own templates, styles and labels by their path below `dress/`.
    pub fn dress(&self) -> &BTreeMap<String, DressFile> {
        &self.dress
    }

    /// What could not be read at all.
    pub fn lost(&self) -> &Lost {
        &self.lost
    }
}

/// A file under figures/.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FigureFile {
    /// Its number in the source.
    pub file: FileId,
    /// The title inside an SVG, which is its text alternative.
    pub title: Option<String>,
    /// Whether it can be drawn; what cannot was reported, and nothing more is said of it.
    pub sound: bool,
}

/// A file under dress/.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DressFile {
    /// Its number in the source.
    pub file: FileId,
    /// Its text.
    pub text: String,
}

/// The stretch of source that a place stands for.
pub fn span(place: Place) -> Span {
    let wide = |at: u32| usize::try_from(at).unwrap_or(usize::MAX);
    Span::new(FileId(place.file), wide(place.start), wide(place.end))
}

/// Reads a manual.
pub(crate) fn parse(source: &Source, sink: &mut Sink) -> Parsed {
    let mut parsed = Parsed {
        shop: shop::read(source, sink),
        stores: Stores::default(),
        vehicles: BTreeMap::new(),
        procedures: BTreeMap::new(),
        tables: BTreeMap::new(),
        figures: BTreeMap::new(),
        releases: BTreeMap::new(),
        dress: BTreeMap::new(),
        lost: Lost::default(),
    };
    let mut record = None;
    let (mut tables, mut named, mut cells) = (Vec::new(), BTreeSet::new(), tables::Cells::default());
    let limits = parsed.shop.limits;
    let numbered: Vec<(FileId, &SourceFile)> = source.iter().collect();
    // Procedures are most of a manual and know nothing of one another, so they are read side by side.
    let mut procedures: BTreeMap<FileId, (Option<Procedure>, Sink)> = numbered
        .par_iter()
        .filter(|(_, file)| files::kind(&file.path) == files::Kind::Procedure)
        .map(|(id, file)| {
            let mut found = Sink::new();
            let text = files::admit(*id, file, files::Kind::Procedure, &limits, &mut found);
            let procedure = text.and_then(|text| front::read(*id, &text, &mut found));
            (*id, (procedure, found))
        })
        .collect();
    parsed.figures = figures::read(&numbered, &limits, sink);
    for (id, file) in numbered {
        figures::check_path(&file.path, id, sink);
        let kind = files::kind(&file.path);
        if kind == files::Kind::Figure {
            continue;
        }
        if kind == files::Kind::Procedure {
            let Some((procedure, found)) = procedures.remove(&id) else { continue };
            sink.take(found);
            match procedure {
                Some(procedure) => {
                    let id = procedure.id.clone();
                    keep(&mut parsed.procedures, id, procedure, "procedure", |p| p.place, sink);
                }
                None => parsed.lost.procedure(&file.path, file.text().unwrap_or_default()),
            }
            continue;
        }
        if kind == files::Kind::Loom {
            tables.push((id, file));
        }
        let mut found = Sink::new();
        if kind == files::Kind::Table {
            match read_table((id, file), &limits, &mut cells, &mut found) {
                Some(table) => {
                    keep(&mut parsed.tables, table.id.clone(), table, "table", |t| t.place, &mut found);
                }
                None => parsed.lost.shared = true,
            }
        } else {
            read_file(source, (id, file), kind, &mut parsed, &mut record, &mut named, &mut found);
        }
        parsed.lost.note(kind, id, &found);
        sink.take(found);
    }
    for (id, file) in tables {
        looms::unnamed(id, &file.path, &named, sink);
    }
    if let Some((id, text)) = record {
        parsed.releases = releases::read(source, &parsed.procedures, id, &text, sink);
    }
    files::count_procedures(parsed.procedures.len(), &limits, sink);
    parsed
}

/// Reads a table, unless all tables up to it hold more than the shop allows.
fn read_table(
    (id, file): (FileId, &SourceFile),
    limits: &Limits,
    cells: &mut tables::Cells,
    sink: &mut Sink,
) -> Option<Table> {
    let text = files::admit(id, file, files::Kind::Table, limits, sink)?;
    yaml::cut_short(id, &text, 0, text.len(), sink);
    let table = tables::read(id, &text, sink)?;
    cells.admit(&table, limits, sink).then_some(table)
}

/// Reads a file that is neither procedure nor table into the manual.
fn read_file<'s>(
    source: &'s Source,
    (id, file): (FileId, &'s SourceFile),
    kind: files::Kind,
    parsed: &mut Parsed,
    record: &mut Option<(FileId, Cow<'s, str>)>,
    named: &mut BTreeSet<FileId>,
    sink: &mut Sink,
) {
    let Some(text) = files::admit(id, file, kind, &parsed.shop.limits, sink) else { return };
    if matches!(kind, files::Kind::Store(_) | files::Kind::Vehicle) {
        yaml::cut_short(id, &text, 0, text.len(), sink);
    }
    match kind {
        files::Kind::Store(store) => stores::read(store, id, &text, &mut parsed.stores, sink),
        files::Kind::Vehicle => {
            if let Some(vehicle) = items::read_vehicle(source, id, file, &text, named, sink) {
                keep(&mut parsed.vehicles, vehicle.id.clone(), vehicle, "vehicle", |v| v.place, sink);
            }
        }
        files::Kind::Dress => {
            let name = file.path.trim_start_matches("dress/").to_owned();
            parsed.dress.insert(name, DressFile { file: id, text: text.into_owned() });
        }
        // It speaks of procedures, and so is read once they are.
        files::Kind::Releases => *record = Some((id, text)),
        _ => {}
    }
}

/// Keeps a thing under its id; a second one of the same id is a finding.
fn keep<T>(
    map: &mut BTreeMap<String, T>,
    id: String,
    thing: T,
    noun: &str,
    place_of: impl Fn(&T) -> Place,
    sink: &mut Sink,
) {
    if let Some(first) = map.get(&id) {
        sink.push(
            Finding::error(fields::FORM, format!("the {noun} `{id}` is declared twice"))
                .at(span(place_of(&thing)), "declared again here")
                .label(span(place_of(first)), "declared first here")
                .help("give one of the two another id"),
        );
        return;
    }
    map.insert(id, thing);
}

#[cfg(test)]
mod tests;
