//! The figures of a procedure's page, numbered in the order of its steps: files, and drawings of workings.

use crate::drawings::{self, Face, Filled, Labels, Sketch, for_working};
use crate::model::{Connector, Item, Procedure, Prose, Reference, Scheme, Step, Store};
use crate::page::view::Drawing;
use crate::page::view::shown;
use crate::page::{Manual, address};
use crate::parse::Seen;
use crate::work::{Origin, Resolved, Role, Scope, Work, WorkedProcedure, WorkedValue, service};
use crate::workings::Service;
use std::collections::BTreeMap;

/// Most drawings of workings on one card: a card is read at a glance.
const MOST_DRAWINGS: usize = 2;

/// Most cavities of a connector that are drawn in one row; the format does not say how many rows it has.
const MOST_IN_A_ROW: u32 = 4;

/// A figure of a step.
#[derive(Clone, Debug)]
enum Figure {
    /// A file and its alternative, where the step writes one.
    File(String, Option<String>),
    /// The drawing of a value: its owner and id.
    Worked(String, String),
}

/// All figures of a procedure.
#[derive(Clone, Debug, Default)]
pub struct Figures {
    /// By step: number and figure.
    steps: BTreeMap<String, Vec<(u32, Figure)>>,
    /// The number of each file, where it stands first.
    files: BTreeMap<String, u32>,
}

impl Figures {
    /// Numbers a procedure's figures.
    pub fn number_all(manual: &Manual<'_>, procedure: &Procedure) -> Figures {
        let mut all = Figures::default();
        let mut last = 0;
        for step in procedure.steps() {
            let files = step.figures.iter().map(|(name, alt, _)| Figure::File(name.clone(), alt.clone()));
            let drawn = drawn(manual, &procedure.id, step);
            for figure in files.chain(drawn) {
                last += 1;
                if let Figure::File(name, _) = &figure {
                    all.files.entry(name.clone()).or_insert(last);
                }
                all.steps.entry(step.id.clone()).or_default().push((last, figure));
            }
        }
        all
    }

    /// The number of a file that a step shows.
    pub fn number(&self, file: &str) -> Option<u32> {
        self.files.get(file).copied()
    }

    /// The anchor of a figure.
    pub fn anchor(number: u32) -> String {
        format!("figure--{number}")
    }

    /// The figures of a step, ready to be set.
    pub fn of(&self, manual: &Manual<'_>, here: &str, step: &str) -> Vec<Drawing> {
        let figures = self.steps.get(step).map(Vec::as_slice).unwrap_or_default();
        figures.iter().filter_map(|(number, figure)| set(manual, here, *number, figure)).collect()
    }
}

/// The values that a step's text names and that make a drawing, each once.
fn drawn(manual: &Manual<'_>, procedure: &str, step: &Step) -> Vec<Figure> {
    let mut found: Vec<(String, String)> = Vec::new();
    for reference in references(&[&step.title, &step.prose]) {
        let scope = Scope::Procedure(procedure);
        let Ok(Resolved::Value(owner, value, ..)) = manual.worked.resolve(scope, &reference) else {
            continue;
        };
        let key = (owner.to_owned(), value.id.clone());
        if found.len() < MOST_DRAWINGS && !found.contains(&key) && for_working(&value.working).is_some() {
            found.push(key);
        }
    }
    found.into_iter().map(|(owner, id)| Figure::Worked(owner, id)).collect()
}

/// The references to values in pieces of prose.
pub fn references(pieces: &[&Prose]) -> Vec<Reference> {
    let seen = pieces.iter().flat_map(|piece| Seen::all(piece));
    seen.map(|seen| seen.reference).filter(|reference| reference.scheme == Scheme::Value).collect()
}

fn set(manual: &Manual<'_>, here: &str, number: u32, figure: &Figure) -> Option<Drawing> {
    let id = Some(Figures::anchor(number));
    match figure {
        Figure::File(name, alt) => {
            let file = manual.worked.parsed().figures().get(name);
            let alt = alt.clone().or_else(|| file.and_then(|file| file.title.clone())).unwrap_or_default();
            Some(Drawing {
                id,
                number: Some(number),
                src: Some(address::link(here, &address::figure(name))),
                caption: alt.clone(),
                alt,
                ..Drawing::default()
            })
        }
        Figure::Worked(owner, value) => {
            let value = manual.worked.procedures().get(owner)?.value(value)?;
            let prefix = format!("drawing--{number}");
            draw(manual, owner, value, &prefix).map(|drawing| Drawing { id, number: Some(number), ..drawing })
        }
    }
}

/// The drawing of a worked value, where it makes one.
pub fn draw(manual: &Manual<'_>, owner: &str, value: &WorkedValue, prefix: &str) -> Option<Drawing> {
    let Work { given, outcome } = value.result.as_ref().ok()?;
    let labels = Labels {
        language: manual.theme.speaker(),
        prefix: prefix.to_owned(),
        wires: wires(manual, owner, value),
        colours: colours(manual, owner, value),
        services: services(manual, value),
    };
    for_working(&value.working)?.draw(given, outcome, &labels).map(drawing)
}

/// A finished drawing as pages show it.
fn drawing(sketch: Sketch) -> Drawing {
    Drawing {
        svg: Some(sketch.svg),
        narrow: Some(sketch.narrow),
        caption: format!("{}.", sketch.title.trim_end_matches('.')),
        callouts: sketch.callouts,
        ..Drawing::default()
    }
}

/// The names of the wires of a value, with the letters of their colours: the conductor that it belongs to; for
/// a value over several conductors theirs; for one over cables of the stores the cables'.
fn wires(manual: &Manual<'_>, owner: &str, value: &WorkedValue) -> Vec<String> {
    let Some(procedure) = manual.worked.procedures().get(owner) else { return Vec::new() };
    let name = |id: &str| {
        let item = procedure.items.get(id)?;
        let letters = item.colour().map_or_else(String::new, |letters| format!(" {letters}"));
        Some(format!("{}{letters}", item.name))
    };
    let part = value.part.as_ref().filter(|part| part.role() != Some(Role::Offset));
    if let Some(own) = part.and_then(|part| name(part.conductor()?)) {
        return vec![own.clone(), own];
    }
    let stores = manual.worked.parsed().stores();
    let named = |reference: &&Reference| match reference.scheme {
        Scheme::Value => name(&reference.id),
        Scheme::Line(Store::Cables) => stores.get(Store::Cables, &reference.id).map(|line| line.name.clone()),
        _ => None,
    };
    let list = if value.working == "stagger" { "finished" } else { "diameters" };
    let all = value.origin(list).map(Origin::references).unwrap_or_default();
    all.iter().map(|reference| named(reference).unwrap_or_default()).collect()
}

/// The colours of a stagger's wires, in its order.
fn colours(manual: &Manual<'_>, owner: &str, value: &WorkedValue) -> Vec<String> {
    let Some(procedure) = manual.worked.procedures().get(owner) else { return Vec::new() };
    let finished = value.origin("finished").filter(|_| value.working == "stagger");
    let all = finished.map(Origin::references).unwrap_or_default();
    let colour = |id: &str| procedure.items.get(id).and_then(|item| item.colour().map(str::to_owned));
    all.iter().map(|reference| colour(&reference.id).unwrap_or_default()).collect()
}

/// The services of the stores, for drawings over a band.
fn services(manual: &Manual<'_>, value: &WorkedValue) -> Vec<Service> {
    let lines = manual.worked.parsed().stores().lines(Store::Services);
    lines.filter(|_| value.working == "line-joint").filter_map(service).collect()
}

/// The faces of the connectors in which a procedure's conductors end, where their ways are known.
pub fn faces(manual: &Manual<'_>, subject: &str) -> Vec<Drawing> {
    let Some(worked) = manual.worked.procedures().get(subject) else { return Vec::new() };
    let connectors = worked.items.values().filter_map(|item| Some((item, item.connector()?)));
    connectors.filter_map(|(item, connector)| connector_face(manual, worked, item, connector)).collect()
}

/// One of them: every wire that is known to end in it. One that none of the procedure's wires ends in is not
/// drawn.
fn connector_face(
    manual: &Manual<'_>,
    worked: &WorkedProcedure,
    named: &Item,
    connector: &Connector,
) -> Option<Drawing> {
    let mut filled = Vec::new();
    for (item, conductor) in worked.items.values().filter_map(|item| Some((item, item.conductor()?))) {
        let ends = conductor.ends.iter().zip(&conductor.ways);
        let here = ends.filter(|(end, _)| end.as_deref() == Some(named.id.as_str()));
        for way in here.filter_map(|(_, way)| way.clone()) {
            filled.push(Filled {
                way,
                wire: item.name.clone(),
                colour: conductor.colour.clone(),
                colour_words: item.colour().map(|letters| shown::colour_words(manual, letters)),
                worked: worked.replay.touches(&item.id),
            });
        }
    }
    if !filled.iter().any(|filled| filled.worked) {
        return None;
    }
    // A single way has no order to show.
    let ways = connector.ways.filter(|ways| *ways > 1)?;
    let rows = if ways > MOST_IN_A_ROW { 2 } else { 1 };
    let lock = connector.lock.as_deref().map(|lock| shown::word(manual, lock));
    let face = Face { name: named.name.clone(), ways, rows, lock, filled };
    let labels = Labels {
        language: manual.theme.speaker(),
        prefix: format!("face--{}", named.id),
        ..Labels::default()
    };
    let sketch = drawings::face(&face, &labels)?;
    Some(Drawing { id: Some(format!("face--{}--figure", named.id)), ..drawing(sketch) })
}
