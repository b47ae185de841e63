//! What references lead to, for inputs, rules and pages alike.

use super::{Worked, WorkedTable, WorkedValue, inputs};
use crate::finding::nearest;
use crate::model::{Item, Line, Procedure, Reference, Scheme, Stage, Step, Store, Stores, Vehicle};
use crate::phrase::Phrase;
use crate::workings::{self, Declaration, Offered, Outcome, Refusal, Value};

/// Where a reference stands: what `value:`, `step:` and `item:` mean there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Scope<'a> {
    /// In a procedure.
    Procedure(&'a str),
    /// Outside any procedure.
    Manual,
}

/// Why a reference leads nowhere.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Missing {
    /// What is not there, in a sentence.
    pub message: String,
    /// What was probably meant.
    pub help: Option<String>,
}

impl From<Refusal> for Missing {
    fn from(refusal: Refusal) -> Missing {
        Missing { message: refusal.message.to_string(), help: refusal.help.map(|help| help.to_string()) }
    }
}

/// What a reference leads to.
#[derive(Debug)]
pub enum Resolved<'a> {
    /// An output of a value: its owner, the value, the output's name, what it is.
    Value(&'a str, &'a WorkedValue, &'static str, &'a Value),
    /// A value that has no figure, and why.
    Refused(&'a str, &'a WorkedValue, Phrase),
    /// A table.
    Table(&'a crate::model::Table),
    /// A cell: the table's id, the row's id, the column, what it shows or why there is nothing.
    Cell(&'a str, &'a str, &'a super::Column, &'a Result<Value, Phrase>),
    /// A line of the stores, and the field of it that is meant.
    Line(&'a Line, Option<String>),
    /// A vehicle.
    Vehicle(&'a Vehicle),
    /// An item.
    Item(&'a Item),
    /// A procedure, and the stage of it that is meant.
    Procedure(&'a Procedure, Option<&'a Stage>),
    /// A step, and whose it is.
    Step(&'a Procedure, &'a Step),
    /// A file under figures/.
    Figure(&'a str, &'a crate::parse::FigureFile),
}

impl Worked {
    /// What a reference leads to.
    ///
    /// # Errors
    /// When it leads nowhere; says the nearest.
    pub fn resolve<'a>(&'a self, scope: Scope<'_>, reference: &Reference) -> Result<Resolved<'a>, Missing> {
        let parsed = &self.parsed;
        match reference.scheme {
            Scheme::Value => self.resolve_value(scope, reference),
            Scheme::Table => {
                let known = || parsed.tables.keys().map(String::as_str);
                let table = parsed
                    .tables
                    .get(&reference.id)
                    .ok_or_else(|| absent("table", &reference.id, known()))?;
                match (&reference.inner, self.tables.get_key_value(&reference.id)) {
                    (Some(_), Some((id, worked))) => {
                        let (row, column, cell) = find_cell(worked, reference)?;
                        Ok(Resolved::Cell(id, row, column, cell))
                    }
                    _ => Ok(Resolved::Table(table)),
                }
            }
            Scheme::Vehicle => {
                let known = parsed.vehicles.keys().map(String::as_str);
                let found = parsed.vehicles.get(&reference.id);
                Ok(Resolved::Vehicle(found.ok_or_else(|| absent("vehicle", &reference.id, known))?))
            }
            Scheme::Item => self.resolve_item(scope, reference),
            Scheme::Procedure => {
                let procedure = self.procedure(&reference.id)?;
                let Some(inner) = &reference.inner else { return Ok(Resolved::Procedure(procedure, None)) };
                let known = procedure.stages.iter().map(|stage| stage.id.as_str());
                let stage = procedure.stage(inner).ok_or_else(|| absent("stage", inner, known))?;
                Ok(Resolved::Procedure(procedure, Some(stage)))
            }
            Scheme::Step => self.resolve_step(scope, reference),
            Scheme::Figure => {
                let known = parsed.figures.keys().map(String::as_str);
                let found = parsed.figures.get_key_value(&reference.id);
                let (name, figure) = found.ok_or_else(|| absent("figure", &reference.id, known))?;
                Ok(Resolved::Figure(name, figure))
            }
            Scheme::Row => {
                let message = format!("`{reference}` serves inside a table only");
                Err(Missing { message, help: None })
            }
            _ => {
                let line = store_line(&parsed.stores, reference)?;
                if let Some(field) = &reference.field
                    && line.figure(field).is_none()
                {
                    return Err(inputs::no_field(line, field).into());
                }
                Ok(Resolved::Line(line, reference.field.clone()))
            }
        }
    }

    fn procedure(&self, id: &str) -> Result<&Procedure, Missing> {
        let known = self.parsed.procedures.keys().map(String::as_str);
        self.parsed.procedures.get(id).ok_or_else(|| absent("procedure", id, known).into())
    }

    fn resolve_value<'a>(&'a self, scope: Scope<'_>, reference: &Reference) -> Result<Resolved<'a>, Missing> {
        let here = match scope {
            Scope::Procedure(procedure) => procedure,
            Scope::Manual => "",
        };
        let has = |owner: &str, id: &str| {
            self.procedures.get(owner).is_some_and(|procedure| procedure.value(id).is_some())
        };
        let found = owner(here, reference, has).and_then(|(owner, id)| {
            let (owner, procedure) = self.procedures.get_key_value(&owner)?;
            Some((owner.as_str(), procedure.value(&id)?))
        });
        let Some((owner, value)) = found else {
            let own =
                self.procedures.get(here).map(|procedure| procedure.values.as_slice()).unwrap_or_default();
            let known = own.iter().map(|value| value.id.as_str());
            return Err(absent("value", &wanted(reference), known).into());
        };
        match &value.result {
            Ok(work) => {
                let (name, shown) = output(&value.working, &work.outcome, reference)?;
                Ok(Resolved::Value(owner, value, name, shown))
            }
            Err(refusals) => {
                let reasons = refusals.iter().map(|refusal| refusal.message.clone()).collect();
                Ok(Resolved::Refused(owner, value, Phrase::list(reasons, "; ")))
            }
        }
    }

    fn resolve_item<'a>(&'a self, scope: Scope<'_>, reference: &Reference) -> Result<Resolved<'a>, Missing> {
        let id = &reference.id;
        if let Scope::Procedure(procedure) = scope
            && let Some(item) = self.procedures.get(procedure).and_then(|procedure| procedure.items.get(id))
        {
            return Ok(Resolved::Item(item));
        }
        let vehicles = || self.parsed.vehicles.values().flat_map(|vehicle| &vehicle.items);
        if let Some((_, item)) = vehicles().find(|(known, _)| *known == id) {
            return Ok(Resolved::Item(item));
        }
        let own = match scope {
            Scope::Procedure(procedure) => self.procedures.get(procedure),
            Scope::Manual => None,
        };
        let own = own.into_iter().flat_map(|procedure| procedure.items.keys());
        Err(absent("item", id, own.chain(vehicles().map(|(id, _)| id)).map(String::as_str)).into())
    }

    fn resolve_step<'a>(&'a self, scope: Scope<'_>, reference: &Reference) -> Result<Resolved<'a>, Missing> {
        let (owner, id) = match (&reference.inner, scope) {
            (Some(inner), _) => (reference.id.as_str(), inner),
            (None, Scope::Procedure(procedure)) => (procedure, &reference.id),
            (None, Scope::Manual) => {
                let message = format!("`{reference}` does not say whose step it is");
                return Err(Missing { message, help: Some("write `step:PROCEDURE/STEP`".to_owned()) });
            }
        };
        let procedure = self.procedure(owner)?;
        let known = procedure.steps().map(|step| step.id.as_str());
        let step = procedure.step(id).ok_or_else(|| absent("step", id, known))?;
        Ok(Resolved::Step(procedure, step))
    }
}

/// Whose value a reference names, and its id there: the own procedure's (a conductor's own values stand
/// behind a slash), else that of the procedure before the slash.
pub(super) fn owner(
    here: &str,
    reference: &Reference,
    has: impl Fn(&str, &str) -> bool,
) -> Option<(String, String)> {
    let own = wanted(reference);
    if has(here, &own) {
        return Some((here.to_owned(), own));
    }
    let inner = reference.inner.as_ref()?;
    has(&reference.id, inner).then(|| (reference.id.clone(), inner.clone()))
}

/// The id of a value as a reference writes it.
pub(super) fn wanted(reference: &Reference) -> String {
    match &reference.inner {
        Some(inner) => format!("{}/{inner}", reference.id),
        None => reference.id.clone(),
    }
}

/// The refusal of an id that is not there, with the nearest.
pub(super) fn absent<'a>(noun: &str, id: &str, known: impl IntoIterator<Item = &'a str>) -> Refusal {
    let near = nearest(id, known);
    let refusal = Refusal::of(format!("there is no {noun} `{id}`"));
    match near {
        Some(near) => refusal.help(format!("write `{near}`")),
        None => refusal,
    }
}

/// The output that a reference's field names; without one the first that is a number, else the first.
pub(super) fn output<'o>(
    working: &str,
    outcome: &'o Outcome,
    reference: &Reference,
) -> Result<(&'static str, &'o Value), Refusal> {
    let found = match &reference.field {
        Some(field) => outcome.outputs.iter().find(|(name, _)| name == field),
        None => {
            let number = |(_, value): &&(&'static str, Value)| matches!(value, Value::Number { .. });
            outcome.outputs.iter().find(number).or(outcome.outputs.first())
        }
    };
    match found {
        Some((name, value)) => Ok((name, value)),
        None => {
            let field = reference.field.as_deref().unwrap_or_default();
            let known = outcome.outputs.iter().map(|(name, _)| *name);
            Err(absent(&format!("output of `{working}`"), field, known))
        }
    }
}

type Cell<'t> = (&'t str, &'t super::Column, &'t Result<Value, Phrase>);

fn find_cell<'t>(table: &'t WorkedTable, reference: &Reference) -> Result<Cell<'t>, Refusal> {
    let wanted = reference.inner.as_deref().unwrap_or_default();
    let row = table
        .rows
        .iter()
        .find(|row| row.id == wanted)
        .ok_or_else(|| absent("row", wanted, table.rows.iter().map(|row| row.id.as_str())))?;
    let mut columns = table.columns.iter().zip(&row.cells);
    let found = match &reference.field {
        Some(field) => columns.find(|(column, _)| column.output == *field),
        None => columns.next(),
    };
    let (column, cell) = found.ok_or_else(|| {
        let field = reference.field.as_deref().unwrap_or_default();
        absent("column", field, table.columns.iter().map(|column| column.output.as_str()))
    })?;
    Ok((&row.id, column, cell))
}

/// The cell of a table that a reference names.
pub(super) fn cell<'t>(
    table: &'t WorkedTable,
    reference: &Reference,
) -> Result<&'t Result<Value, Phrase>, Refusal> {
    if reference.inner.is_none() {
        return Err(Refusal::of(format!("`{reference}` is a whole table"))
            .help(format!("name a cell: `{reference}/ROW.COLUMN`")));
    }
    find_cell(table, reference).map(|(_, _, cell)| cell)
}

fn store_line<'a>(stores: &'a Stores, reference: &Reference) -> Result<&'a Line, Refusal> {
    let store = reference
        .scheme
        .store()
        .ok_or_else(|| Refusal::of(format!("`{reference}` names no table of the stores")))?;
    stores.get(store, &reference.id).ok_or_else(|| absent(store.noun(), &reference.id, stores.ids(store)))
}

/// What a reference into the stores offers to a working. A cable where a diameter is wanted is its conductor
/// in `joint`, its outside elsewhere.
pub fn offer_reference(
    stores: &Stores,
    declaration: &Declaration,
    reference: &Reference,
) -> Result<Offered, Refusal> {
    let line = store_line(stores, reference)?;
    if let (Store::Sleeves, Some(size)) = (line.store, &reference.inner) {
        let sizes: Vec<workings::Sleeve> =
            super::stock::sleeves(line).into_iter().filter(|sleeve| sleeve.id == *size).collect();
        if sizes.is_empty() {
            return Err(Refusal::of(format!("the range `{}` has no size `{size}`", line.id)));
        }
        return Ok(Offered::Sleeves(sizes));
    }
    match &reference.field {
        Some(field) => inputs::field(line, field),
        None if line.store == Store::Cables && declaration.name == "joint" => {
            inputs::field(line, "conductor")
        }
        None => inputs::whole_line(line),
    }
}
