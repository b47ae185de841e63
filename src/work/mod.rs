//! Parsed → [`Worked`]: items merged, values and tables computed, joins laid out, kit gathered, procedures
//! replayed. Never says no: a refused value is a gap and a finding.

mod bounds;
mod compute;
mod cuts;
mod items;
mod joint;
mod kit;
mod offer;
mod overlong;
mod resolve;
mod route;
mod row;
mod solver;
mod stock;
mod tables;
mod target;
#[cfg(test)]
mod tests;
mod touches;
mod walk;

use crate::finding::Sink;
use crate::ledger::Replay;
use crate::model::{Item, Kind, Place, Reference};
use crate::parse::Parsed;
use crate::phrase::Phrase;
use crate::quantity::Quantity;
use crate::workings::{Given, Offered, Outcome, Refusal, Stock, Value, Working, settle};
use std::collections::BTreeMap;
use std::sync::Arc;

pub use joint::{Coax, Joint, Part, Repair, Role, Schedule, Shared, Wire};
pub use kit::{Kit, KitLine};
pub use offer::{from_stores as offer_reference, text as offer_text};
pub use resolve::{Missing, Resolved, Scope};
pub use route::{Leg, Route};
pub use stock::{service, stock};
pub use touches::{Influence, Touched};

/// A manual with everything computed that follows from what was written.
#[derive(Debug)]
pub struct Worked {
    parsed: Parsed,
    procedures: BTreeMap<String, WorkedProcedure>,
    tables: BTreeMap<String, Arc<WorkedTable>>,
}

impl Worked {
    /// What was written.
    pub fn parsed(&self) -> &Parsed {
        &self.parsed
    }

    /// By procedure: everything that follows for it.
    pub fn procedures(&self) -> &BTreeMap<String, WorkedProcedure> {
        &self.procedures
    }

    /// By table: its rows.
    pub fn tables(&self) -> &BTreeMap<String, Arc<WorkedTable>> {
        &self.tables
    }
}

/// What follows for one procedure.
#[derive(Debug)]
pub struct WorkedProcedure {
    /// Its items and its vehicle's, merged, by id.
    pub items: Arc<BTreeMap<String, Item>>,
    /// Its values: first those written, then those of its conductors (`tail-feed/sleeve`).
    pub values: Vec<WorkedValue>,
    /// What is done with each conductor.
    pub schedule: Schedule,
    /// What to lay out before starting.
    pub kit: Kit,
    /// The steps in the order of work, with those of procedures carried out in place.
    pub route: Route,
    /// The replay of that route.
    pub replay: Replay,
}

impl WorkedProcedure {
    /// A value by its id.
    pub fn value(&self, id: &str) -> Option<&WorkedValue> {
        self.values.iter().find(|value| value.id == id)
    }

    /// The value that plays a part in the repair of a conductor.
    pub fn part(&self, conductor: &str, role: Role) -> Option<&WorkedValue> {
        let part = Part::Of(conductor.to_owned(), role);
        self.values.iter().find(|value| value.part.as_ref() == Some(&part))
    }

    /// The items of a kind that its route touches, sorted by id.
    pub fn touched(&self, kind: Kind) -> impl Iterator<Item = &Item> {
        self.items.values().filter(move |item| item.kind() == kind && self.replay.touches(&item.id))
    }
}

/// A value, worked or refused.
#[derive(Debug)]
pub struct WorkedValue {
    /// Its id within its procedure or table row.
    pub id: String,
    /// The part that it plays in a repair; none where a person wrote it.
    pub part: Option<Part>,
    /// The working's name.
    pub working: String,
    /// Where each written input came from, in the order written.
    pub origins: Vec<(String, Origin)>,
    /// What it gave, or why it gave nothing.
    pub result: Result<Work, Vec<Refusal>>,
    /// Whether a person wrote it; one that follows from a conductor is not an error where it refuses.
    pub written: bool,
    /// Where it was written.
    pub place: Place,
}

/// A working's settled inputs and what it gave.
#[derive(Debug)]
pub struct Work {
    /// The inputs.
    pub given: Given,
    /// The outputs.
    pub outcome: Outcome,
}

impl Work {
    /// Settles what is offered and works it.
    ///
    /// # Errors
    /// When an input is refused, every refusal; else the refusal of the working itself.
    pub fn of(
        working: &'static dyn Working,
        offered: &BTreeMap<String, Offered>,
        stock: &Stock,
    ) -> Result<Work, Vec<Refusal>> {
        let given = settle(working.declaration(), offered, stock)?;
        match working.work(&given) {
            Ok(outcome) => Ok(Work { given, outcome }),
            Err(refusal) => Err(vec![refusal]),
        }
    }
}

/// Where an input came from.
#[derive(Clone, Debug, PartialEq)]
pub enum Origin {
    /// Written in place, as its author put it.
    Written(String),
    /// Taken from elsewhere.
    Reference(Reference),
    /// Several, each from its own place.
    List(Vec<Origin>),
}

/// A table, worked.
#[derive(Debug)]
pub struct WorkedTable {
    /// Its columns after the row's own.
    pub columns: Vec<Column>,
    /// Its rows.
    pub rows: Vec<Row>,
}

/// A column: an output of one of the table's values.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Column {
    /// The value's id.
    pub value: String,
    /// The output's name.
    pub output: String,
    /// The working that it comes from.
    pub working: String,
}

/// A row of a table.
#[derive(Debug)]
pub struct Row {
    /// The stores line's id, or the swept quantity as text.
    pub id: String,
    /// What people call it.
    pub label: String,
    /// The swept quantity, where the rows are a sweep.
    pub at: Option<Quantity>,
    /// One cell for each column: what it shows, or the reason why there is nothing.
    pub cells: Vec<Result<Value, Phrase>>,
    /// The row's values.
    pub values: Vec<WorkedValue>,
}

/// Works a manual.
pub(crate) fn work(parsed: Parsed, sink: &mut Sink) -> Worked {
    compute::all(parsed, sink)
}
