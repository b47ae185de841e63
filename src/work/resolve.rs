//! What references lead to, for inputs, rules and pages alike: while values are worked and afterwards, each is
//! looked up here.

use super::row::{OpenRow, RowKey};
use super::{Worked, WorkedTable, WorkedValue, stock};
use crate::finding::{nearest, write};
use crate::model::{Item, Line, Procedure, Reference, Scheme, Stage, Step, Store, Stores, Vehicle};
use crate::parse::Parsed;
use crate::phrase::{Phrase, phrase};
use crate::quantity::Quantity;
use crate::workings::{Outcome, Refusal, Sleeve, Value};
use std::collections::BTreeMap;

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
    pub message: Phrase,
    /// What was probably meant.
    pub help: Option<Phrase>,
}

impl From<Refusal> for Missing {
    fn from(refusal: Refusal) -> Missing {
        Missing { message: refusal.message, help: refusal.help }
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
    /// The quantity of a swept row.
    Swept(&'a Quantity),
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

/// What there is to look references up in.
pub(super) trait Known {
    /// What was written.
    fn parsed(&self) -> &Parsed;
    /// The ids of a procedure's values, worked or not.
    fn ids(&self, procedure: &str) -> Vec<&str>;
    /// Whether a procedure has a value, worked or not.
    fn has(&self, procedure: &str, id: &str) -> bool;
    /// A value that is worked, and its procedure.
    fn value(&self, procedure: &str, id: &str) -> Option<(&str, &WorkedValue)>;
    /// A table that is worked, and its id.
    fn table(&self, id: &str) -> Option<(&str, &WorkedTable)>;
    /// The items that a procedure may speak of.
    fn items(&self, procedure: &str) -> Option<&BTreeMap<String, Item>>;
    /// The row that is being worked, where one is.
    fn row(&self) -> Option<&OpenRow>;
}

impl Known for Worked {
    fn parsed(&self) -> &Parsed {
        &self.parsed
    }

    fn ids(&self, procedure: &str) -> Vec<&str> {
        let values = self.procedures.get(procedure).map(|known| known.values.as_slice()).unwrap_or_default();
        values.iter().map(|value| value.id.as_str()).collect()
    }

    fn has(&self, procedure: &str, id: &str) -> bool {
        Known::value(self, procedure, id).is_some()
    }

    fn value(&self, procedure: &str, id: &str) -> Option<(&str, &WorkedValue)> {
        let (owner, known) = self.procedures.get_key_value(procedure)?;
        Some((owner, known.value(id)?))
    }

    fn table(&self, id: &str) -> Option<(&str, &WorkedTable)> {
        self.tables.get_key_value(id).map(|(id, table)| (id.as_str(), table.as_ref()))
    }

    fn items(&self, procedure: &str) -> Option<&BTreeMap<String, Item>> {
        self.procedures.get(procedure).map(|known| known.items.as_ref())
    }

    fn row(&self) -> Option<&OpenRow> {
        None
    }
}

impl Worked {
    /// What a reference leads to.
    ///
    /// # Errors
    /// When it leads nowhere; says the nearest.
    pub fn resolve<'a>(&'a self, scope: Scope<'_>, reference: &Reference) -> Result<Resolved<'a>, Missing> {
        resolve(self, scope, reference)
    }
}

/// What a reference leads to in what is known.
pub(super) fn resolve<'a>(
    known: &'a impl Known,
    scope: Scope<'_>,
    reference: &Reference,
) -> Result<Resolved<'a>, Missing> {
    let parsed = known.parsed();
    match reference.scheme {
        Scheme::Value => resolve_value(known, scope, reference),
        Scheme::Table => {
            let ids = || parsed.tables().keys().map(String::as_str);
            let id = &reference.id;
            let none = || absent(phrase!("there is no table `{id}`", id = id), id, ids());
            let table = parsed.tables().get(id).ok_or_else(none)?;
            match (&reference.inner, known.table(&reference.id)) {
                (Some(_), Some((id, worked))) => {
                    let (row, column, cell) = find_cell(worked, reference)?;
                    Ok(Resolved::Cell(id, row, column, cell))
                }
                _ => Ok(Resolved::Table(table)),
            }
        }
        Scheme::Vehicle => {
            let ids = parsed.vehicles().keys().map(String::as_str);
            let found = parsed.vehicles().get(&reference.id);
            Ok(Resolved::Vehicle(found.ok_or_else(|| {
                let id = &reference.id;
                absent(phrase!("there is no vehicle `{id}`", id = id), id, ids)
            })?))
        }
        Scheme::Item => resolve_item(known, scope, reference),
        Scheme::Procedure => {
            let procedure = procedure(parsed, &reference.id)?;
            let Some(inner) = &reference.inner else { return Ok(Resolved::Procedure(procedure, None)) };
            let ids = procedure.stages.iter().map(|stage| stage.id.as_str());
            let stage = procedure
                .stage(inner)
                .ok_or_else(|| absent(phrase!("there is no stage `{id}`", id = inner), inner, ids))?;
            Ok(Resolved::Procedure(procedure, Some(stage)))
        }
        Scheme::Step => resolve_step(parsed, scope, reference),
        Scheme::Figure => {
            let ids = parsed.figures().keys().map(String::as_str);
            let found = parsed.figures().get_key_value(&reference.id);
            let (name, figure) = found.ok_or_else(|| {
                let id = &reference.id;
                absent(phrase!("there is no figure `{id}`", id = id), id, ids)
            })?;
            Ok(Resolved::Figure(name, figure))
        }
        Scheme::Row => resolve_row(known, reference),
        _ => {
            let (line, field) = line(parsed.stores(), reference)?;
            Ok(Resolved::Line(line, field.map(str::to_owned)))
        }
    }
}

fn procedure<'a>(parsed: &'a Parsed, id: &str) -> Result<&'a Procedure, Missing> {
    let ids = parsed.procedures().keys().map(String::as_str);
    let found = parsed.procedures().get(id);
    found.ok_or_else(|| absent(phrase!("there is no procedure `{id}`", id = id), id, ids).into())
}

fn resolve_value<'a>(
    known: &'a impl Known,
    scope: Scope<'_>,
    reference: &Reference,
) -> Result<Resolved<'a>, Missing> {
    if let Some(row) = known.row() {
        let ids = row.plans.iter().map(|plan| plan.id.as_str());
        let value = row.values.get(&reference.id);
        let value = value.ok_or_else(|| no_value_of_table(&reference.id, ids))?;
        return answer(&row.table, value, reference);
    }
    let here = match scope {
        Scope::Procedure(procedure) => procedure,
        Scope::Manual => "",
    };
    let found = owner(known, here, reference).and_then(|(owner, id)| known.value(&owner, &id));
    let Some((owner, value)) = found else {
        let id = wanted(reference);
        return Err(absent(phrase!("there is no value `{id}`", id = id), &id, known.ids(here)).into());
    };
    answer(owner, value, reference)
}

/// The output of a value that a reference means, or why there is none.
fn answer<'a>(
    owner: &'a str,
    value: &'a WorkedValue,
    reference: &Reference,
) -> Result<Resolved<'a>, Missing> {
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

/// What the row that is being worked stands for.
fn resolve_row<'a>(known: &'a impl Known, reference: &Reference) -> Result<Resolved<'a>, Missing> {
    let Some(row) = known.row() else {
        let message = phrase!("`{reference}` serves inside a table only", reference = reference.to_string());
        return Err(Missing { message, help: None });
    };
    let (RowKey::Line { key, .. } | RowKey::At { key, .. }) = &row.key;
    if *key != reference.id {
        let message = phrase!("the rows of this table are `{key}`, not `{id}`", key = key, id = reference.id);
        return Err(Missing { message, help: Some(write(&format!("row:{key}"))) });
    }
    match &row.key {
        RowKey::At { at, .. } => Ok(Resolved::Swept(at)),
        RowKey::Line { store, id, .. } => {
            let line = known.parsed().stores().get(*store, id);
            let line = line.ok_or_else(|| Refusal::of(no_line(*store, id)))?;
            let field = field(line, reference)?;
            Ok(Resolved::Line(line, field.map(str::to_owned)))
        }
    }
}

fn resolve_item<'a>(
    known: &'a impl Known,
    scope: Scope<'_>,
    reference: &Reference,
) -> Result<Resolved<'a>, Missing> {
    let id = &reference.id;
    let own = match scope {
        Scope::Procedure(procedure) => known.items(procedure),
        Scope::Manual => None,
    };
    if let Some(item) = own.and_then(|items| items.get(id)) {
        return Ok(Resolved::Item(item));
    }
    let vehicles = || known.parsed().vehicles().values().flat_map(|vehicle| &vehicle.items);
    if let Some((_, item)) = vehicles().find(|(known, _)| *known == id) {
        return Ok(Resolved::Item(item));
    }
    let own = own.into_iter().flat_map(BTreeMap::keys);
    let known = own.chain(vehicles().map(|(id, _)| id)).map(String::as_str);
    Err(absent(phrase!("there is no item `{id}`", id = id), id, known).into())
}

fn resolve_step<'a>(
    parsed: &'a Parsed,
    scope: Scope<'_>,
    reference: &Reference,
) -> Result<Resolved<'a>, Missing> {
    let (owner, id) = match (&reference.inner, scope) {
        (Some(inner), _) => (reference.id.as_str(), inner),
        (None, Scope::Procedure(procedure)) => (procedure, &reference.id),
        (None, Scope::Manual) => {
            let message =
                phrase!("`{reference}` does not say whose step it is", reference = reference.to_string());
            return Err(Missing { message, help: Some(write("step:PROCEDURE/STEP")) });
        }
    };
    let procedure = procedure(parsed, owner)?;
    let ids = procedure.steps().map(|step| step.id.as_str());
    let step =
        procedure.step(id).ok_or_else(|| absent(phrase!("there is no step `{id}`", id = id), id, ids))?;
    Ok(Resolved::Step(procedure, step))
}

/// Whose value a reference names, and its id there: the own procedure's (a conductor's own values stand
/// behind a slash), else that of the procedure before the slash.
pub(super) fn owner(known: &impl Known, here: &str, reference: &Reference) -> Option<(String, String)> {
    let own = wanted(reference);
    if known.has(here, &own) {
        return Some((here.to_owned(), own));
    }
    let inner = reference.inner.as_ref()?;
    known.has(&reference.id, inner).then(|| (reference.id.clone(), inner.clone()))
}

/// The id of a value as a reference writes it.
fn wanted(reference: &Reference) -> String {
    match &reference.inner {
        Some(inner) => format!("{}/{inner}", reference.id),
        None => reference.id.clone(),
    }
}

/// The refusal of an id that is not there, with the nearest; where none is near, with the first that there are.
pub(super) fn absent<'a>(sentence: Phrase, id: &str, known: impl IntoIterator<Item = &'a str>) -> Refusal {
    let refusal = Refusal::of(sentence);
    let known: Vec<&str> = known.into_iter().collect();
    if let Some(near) = nearest(id, known.iter().copied()) {
        return refusal.help(write(near));
    }
    let first: Vec<String> = known.iter().take(SHOWN).map(|id| format!("`{id}`")).collect();
    match first.is_empty() {
        true => refusal,
        false => refusal.help(phrase!("write one that there is, such as {near}", near = first.join(", "))),
    }
}

/// How many ids are shown where none is near the one that was written.
const SHOWN: usize = 3;

/// A line that a file of the stores does not have.
pub(super) fn no_line(store: Store, id: &str) -> Phrase {
    phrase!("`stores/{file}.yaml` has no line `{id}`", file = store.file(), id = id)
}

/// The refusal of a value that a table does not have.
pub(super) fn no_value_of_table<'a>(id: &str, known: impl IntoIterator<Item = &'a str>) -> Refusal {
    absent(phrase!("there is no value `{id}` in this table", id = id), id, known)
}

/// The refusal of an output that a working does not have.
pub(super) fn no_output<'a>(working: &str, id: &str, known: impl IntoIterator<Item = &'a str>) -> Refusal {
    absent(phrase!("`{working}` has no output `{id}`", working = working, id = id), id, known)
}

/// How a reference names a line of the stores.
pub(super) fn name_of(line: &Line) -> String {
    format!("{}:{}", line.store.declaration().scheme.unwrap_or(line.store.file()), line.id)
}

/// The output that a reference's field names; without one the first that is a number, else the first.
fn output<'o>(
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
            Err(no_output(working, field, known))
        }
    }
}

type Cell<'t> = (&'t str, &'t super::Column, &'t Result<Value, Phrase>);

fn find_cell<'t>(table: &'t WorkedTable, reference: &Reference) -> Result<Cell<'t>, Refusal> {
    let wanted = reference.inner.as_deref().unwrap_or_default();
    let row = table.rows.iter().find(|row| row.id == wanted).ok_or_else(|| {
        let known = table.rows.iter().map(|row| row.id.as_str());
        absent(phrase!("there is no row `{id}`", id = wanted), wanted, known)
    })?;
    let mut columns = table.columns.iter().zip(&row.cells);
    let found = match &reference.field {
        Some(field) => columns.find(|(column, _)| column.output == *field),
        None => columns.next(),
    };
    let (column, cell) = found.ok_or_else(|| {
        let field = reference.field.as_deref().unwrap_or_default();
        let known = table.columns.iter().map(|column| column.output.as_str());
        absent(phrase!("there is no column `{id}`", id = field), field, known)
    })?;
    Ok((&row.id, column, cell))
}

/// The line of the stores that a reference names, and the field of it.
pub(super) fn line<'s, 'r>(
    stores: &'s Stores,
    reference: &'r Reference,
) -> Result<(&'s Line, Option<&'r str>), Refusal> {
    let store = reference.scheme.store().ok_or_else(|| {
        let reference = reference.to_string();
        Refusal::of(phrase!("`{reference}` names no file of the stores", reference = reference))
    })?;
    let line = stores
        .get(store, &reference.id)
        .ok_or_else(|| absent(no_line(store, &reference.id), &reference.id, stores.ids(store)))?;
    if let (Store::Sleeves, Some(inner)) = (store, &reference.inner) {
        size(line, inner)?;
    }
    Ok((line, field(line, reference)?))
}

/// The field of a line that a reference names.
fn field<'r>(line: &Line, reference: &'r Reference) -> Result<Option<&'r str>, Refusal> {
    match &reference.field {
        Some(field) if line.figure(field).is_none() => Err(no_field(line, field)),
        field => Ok(field.as_deref()),
    }
}

/// A size of a range of sleeves.
pub(super) fn size(line: &Line, size: &str) -> Result<Sleeve, Refusal> {
    let sizes = stock::sleeves(line);
    let found = sizes.iter().find(|sleeve| sleeve.id == *size).cloned();
    found.ok_or_else(|| {
        let near = nearest(size, sizes.iter().map(|sleeve| sleeve.id.as_str()));
        let refusal =
            Refusal::of(phrase!("the range `{range}` has no size `{size}`", range = line.id, size = size));
        match near {
            Some(near) => refusal.help(write(&format!("{}/{near}", line.id))),
            None => refusal,
        }
    })
}

/// The refusal of a field that a line does not have.
pub(super) fn no_field(line: &Line, key: &str) -> Refusal {
    let refusal = Refusal::of(phrase!("`{line}` has no `{key}`", line = name_of(line), key = key));
    let known = line.figures.keys().map(String::as_str);
    if line.store.declaration().keys.iter().any(|known| known.name == key) {
        return refusal.help(phrase!("state it in stores/{file}.yaml", file = line.store.file()));
    }
    match nearest(key, known) {
        Some(near) => refusal.help(write(&format!(".{near}"))),
        None => refusal,
    }
}

/// The scope of a value's references on pages and in rules.
impl<'a> From<&'a str> for Scope<'a> {
    fn from(procedure: &'a str) -> Scope<'a> {
        Scope::Procedure(procedure)
    }
}
