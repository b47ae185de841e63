//! The figures of a procedure's page, numbered in the order of its steps: files, and drawings of workings.

use crate::drawings::{Labels, for_working};
use crate::model::{Procedure, Prose, Reference, Scheme, Step};
use crate::page::view::Drawing;
use crate::page::{Manual, address};
use crate::parse::Seen;
use crate::work::{Resolved, Scope, Work, WorkedValue};
use std::collections::BTreeMap;

/// Most drawings of workings on one card: a card is read at a glance.
const MOST_DRAWINGS: usize = 2;

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
            let file = manual.worked.parsed.figures.get(name);
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
            let value = manual.worked.procedures.get(owner)?.value(value)?;
            let prefix = format!("drawing--{number}");
            draw(manual, owner, value, &prefix).map(|drawing| Drawing { id, number: Some(number), ..drawing })
        }
    }
}

/// The drawing of a worked value, where it makes one.
pub fn draw(manual: &Manual<'_>, owner: &str, value: &WorkedValue, prefix: &str) -> Option<Drawing> {
    let Work { given, outcome } = value.result.as_ref().ok()?;
    let labels = Labels { prefix: prefix.to_owned(), wires: wires(manual, owner, value) };
    let sketch = for_working(&value.working)?.draw(given, outcome, &labels)?;
    Some(Drawing {
        svg: Some(sketch.svg),
        narrow: Some(sketch.narrow),
        caption: format!("{}.", sketch.title.trim_end_matches('.')),
        callouts: sketch.callouts,
        ..Drawing::default()
    })
}

/// The names of the wires of a value: those of the conductor that it belongs to.
fn wires(manual: &Manual<'_>, owner: &str, value: &WorkedValue) -> Vec<String> {
    let conductor = value.id.split_once('/').map(|(conductor, _)| conductor);
    let items = manual.worked.procedures.get(owner).map(|procedure| &procedure.items);
    let item = items.zip(conductor).and_then(|(items, id)| items.get(id));
    match item {
        Some(item) => vec![item.name.clone(), item.name.clone()],
        None => Vec::new(),
    }
}
