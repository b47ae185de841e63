//! The order of work: every value after those that it builds on, whatever order they were written in. A
//! circle is printed; a refused value is a gap for those that build on it, reported once.

use super::bounds::Beyond;
use super::joint::{Pick, Plan, Plans, Taken};
use super::offer::{self, Gap};
use super::resolve::{self, Known, Scope};
use super::row::{OpenRow, RowKey};
use super::tables;
use super::{Origin, Work, WorkedTable, WorkedValue};
use crate::finding::{Code, Finding, Sink, nearest, write};
use crate::model::{Item, Place, Reference, Scheme, Table};
use crate::parse::{Parsed, span};
use crate::phrase::phrase;
use crate::workings::{self, Offered, Refusal, Stock, Value};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// Values that build on one another in a longer row than this are refused: each takes a frame of the stack.
const LONGEST_ROW: usize = 200;

/// Tables that are worked, shared between those who work values.
pub(super) type Tables = BTreeMap<String, Arc<WorkedTable>>;

/// Values that are worked, by procedure and id.
pub(super) type Values = BTreeMap<String, BTreeMap<String, WorkedValue>>;

/// What all that is worked stands on.
#[derive(Clone, Copy)]
pub(super) struct Ground<'a> {
    pub(super) parsed: &'a Parsed,
    pub(super) plans: &'a BTreeMap<String, Plans>,
    pub(super) stock: &'a Stock,
    pub(super) beyond: &'a Beyond,
}

/// Shows every reference that is taken.
fn gather(taken: &Taken, show: &mut impl FnMut(&Reference)) {
    match taken {
        Taken::Refer(reference) => show(reference),
        Taken::All(all) => all.iter().for_each(|one| gather(one, show)),
        Taken::Text(_) | Taken::Figure(_) | Taken::Lines(..) => {}
    }
}

/// The values and tables that are being worked.
pub(super) struct Solver<'a> {
    ground: Ground<'a>,
    values: Values,
    tables: Tables,
    /// Values that are worked already, of use to all but those at home with them.
    shared: &'a Values,
    /// The procedure whose values are worked for their own sake.
    home: Option<&'a str>,
    /// The row of a table that is being worked, where one is.
    row: Option<OpenRow>,
    /// What is being worked, from the outermost in.
    chain: Vec<String>,
}

impl<'a> Solver<'a> {
    /// One to whom these tables and values are known already.
    pub(super) fn new(ground: &Ground<'a>, tables: &Tables, shared: &'a Values) -> Solver<'a> {
        Solver {
            ground: *ground,
            values: Values::new(),
            tables: tables.clone(),
            shared,
            home: None,
            row: None,
            chain: Vec::new(),
        }
    }

    /// The same, for the values of one procedure.
    pub(super) fn at_home(self, procedure: &'a str) -> Solver<'a> {
        Solver { home: Some(procedure), ..self }
    }

    /// The values that another procedure than their own takes, as procedure and id.
    pub(super) fn used_elsewhere(&self) -> BTreeSet<(String, String)> {
        let mut used = BTreeSet::new();
        for (here, plans) in self.ground.plans {
            for feed in plans.values().iter().flat_map(|plan| &plan.feeds) {
                gather(&feed.taken, &mut |reference| {
                    let owner = resolve::owner(self, here, reference);
                    if let Some(owner) = owner.filter(|(procedure, _)| procedure != here)
                        && reference.scheme == Scheme::Value
                    {
                        used.insert(owner);
                    }
                });
            }
        }
        used
    }

    /// Whether a value of another procedure than that at home is known already.
    fn is_shared(&self, procedure: &str, id: &str) -> bool {
        self.home != Some(procedure)
            && self.shared.get(procedure).is_some_and(|values| values.contains_key(id))
    }

    /// The tables that were worked.
    pub(super) fn into_tables(self) -> Tables {
        self.tables
    }

    /// All values that were worked.
    pub(super) fn into_all(self) -> Values {
        self.values
    }

    /// The values of a procedure that were worked.
    pub(super) fn into_values(mut self, procedure: &str) -> BTreeMap<String, WorkedValue> {
        self.values.remove(procedure).unwrap_or_default()
    }

    /// Works a value of a procedure, unless it is worked already.
    pub(super) fn value(&mut self, procedure: &str, id: &str, sink: &mut Sink) {
        let known = self.values.get(procedure).is_some_and(|values| values.contains_key(id));
        if known || self.is_shared(procedure, id) {
            return;
        }
        let plans = self.ground.plans;
        let Some(plan) = plans.get(procedure).and_then(|plans| plans.get(id)) else { return };
        let name = format!("value:{procedure}/{id}");
        if self.circle(&name, plan.place, sink) {
            return;
        }
        self.chain.push(name);
        let worked = match &plan.pick {
            Some(pick) => {
                let whole = pick.whole.to_string();
                self.value(procedure, &whole, sink);
                picked(plan, pick, Known::value(self, procedure, &whole).map(|(_, whole)| whole))
            }
            None if self.ground.beyond.has(procedure, id) => unworked(plan),
            None => self.work(plan, Scope::Procedure(procedure), sink),
        };
        self.chain.pop();
        self.values.entry(procedure.to_owned()).or_default().insert(id.to_owned(), worked);
    }

    /// Works a table, unless it is worked already.
    pub(super) fn table(&mut self, id: &str, sink: &mut Sink) {
        if self.tables.contains_key(id) {
            return;
        }
        let Some(table) = self.ground.parsed.tables().get(id) else { return };
        let name = format!("table:{id}");
        if self.circle(&name, table.place, sink) {
            return;
        }
        self.chain.push(name);
        let columns = tables::columns(table, sink);
        // A refusal is the row's gap and no finding.
        let plans: Arc<[Plan]> = table.values.iter().map(|value| Plan::written(value, false)).collect();
        let mut rows = Vec::new();
        for key in tables::keys(self.ground.parsed, table, sink) {
            let values = self.row(table, &plans, &key, sink);
            rows.push(tables::row(table, &key, values));
        }
        tables::check_plot(table, &columns, sink);
        self.chain.pop();
        self.tables.insert(id.to_owned(), Arc::new(WorkedTable { columns, rows }));
    }

    /// The values of one row, as far as they could be worked. Working them may lead to another table's rows.
    fn row(&mut self, table: &Table, plans: &Arc<[Plan]>, key: &RowKey, sink: &mut Sink) -> Vec<WorkedValue> {
        let row = OpenRow {
            table: table.id.clone(),
            plans: Arc::clone(plans),
            key: key.clone(),
            values: BTreeMap::new(),
        };
        let outer = self.row.replace(row);
        for plan in plans.iter() {
            self.row_value(&plan.id, sink);
        }
        let row = std::mem::replace(&mut self.row, outer);
        let mut worked = row.map(|row| row.values).unwrap_or_default();
        plans.iter().filter_map(|plan| worked.remove(&plan.id)).collect()
    }

    /// Works a value of the row, unless it is worked already.
    fn row_value(&mut self, id: &str, sink: &mut Sink) {
        let Some(row) = self.row.as_ref().filter(|row| !row.values.contains_key(id)) else { return };
        let plans = Arc::clone(&row.plans);
        let Some(plan) = plans.iter().find(|plan| plan.id == id) else { return };
        let name = format!("value:{}/{id}", row.table);
        if self.circle(&name, plan.place, sink) {
            return;
        }
        self.chain.push(name);
        let worked = if self.ground.beyond.has_in_table(&row.table, id) {
            unworked(plan)
        } else {
            self.work(plan, Scope::Manual, sink)
        };
        self.chain.pop();
        if let Some(row) = &mut self.row {
            row.values.insert(id.to_owned(), worked);
        }
    }

    /// Whether a thing builds on itself; says so, with the circle.
    fn circle(&self, name: &str, place: Place, sink: &mut Sink) -> bool {
        if let Some(at) = self.chain.iter().position(|known| known == name) {
            let mut ring: Vec<&str> = self.chain.iter().skip(at).map(String::as_str).collect();
            ring.push(name);
            sink.push(
                Finding::error(
                    Code("VAL-06"),
                    format!("values build on one another in a circle: {}", ring.join(" → ")),
                )
                .at(span(place), "one of the circle")
                .help("write one of them as a figure"),
            );
            return true;
        }
        if self.chain.len() >= LONGEST_ROW {
            let headline = format!("values build on one another in a row of more than {LONGEST_ROW}");
            sink.push(Finding::error(Code("VAL-06"), headline).at(span(place), "the limit is passed here"));
            return true;
        }
        false
    }

    /// Works one value.
    fn work(&mut self, plan: &Plan, scope: Scope<'_>, sink: &mut Sink) -> WorkedValue {
        let mut worked = unworked(plan);
        let Some(working) = workings::find(&plan.working.0) else {
            sink.push(unknown_working(plan));
            worked.result =
                Err(vec![Refusal::of(phrase!("there is no working `{name}`", name = plan.working.0))]);
            return worked;
        };
        let declaration = working.declaration();
        let mut offered = BTreeMap::new();
        let mut refusals = Vec::new();
        // A refusal that was reported where it arose is a gap here and no second finding.
        let mut reported = Vec::new();
        for feed in &plan.feeds {
            match self.offer(declaration, &feed.name, &feed.taken, scope, sink) {
                Ok(offer) => {
                    offered.insert(feed.name.clone(), offer);
                }
                Err(Gap::Refused(refusal)) => {
                    refusals.push(Refusal { input: Some(feed.name.clone()), ..refusal });
                }
                Err(Gap::Reported(refusal)) => reported.push(refusal),
            }
        }
        if reported.is_empty() && refusals.is_empty() {
            worked.result = Work::of(working, &offered, self.ground.stock);
        } else {
            worked.result = Err(refusals.iter().cloned().chain(reported.iter().cloned()).collect());
        }
        if let (Err(all), true, true) = (&worked.result, plan.strict, reported.is_empty()) {
            for refusal in all {
                sink.push(refused(plan, refusal, scope));
            }
        }
        worked
    }

    /// What an input offers, references looked up.
    fn offer(
        &mut self,
        declaration: &'static workings::Declaration,
        input: &str,
        taken: &Taken,
        scope: Scope<'_>,
        sink: &mut Sink,
    ) -> Result<Offered, Gap> {
        let stores = self.ground.parsed.stores();
        match taken {
            Taken::Text(text) => offer::text(stores, declaration, input, text).map_err(Gap::Refused),
            Taken::Figure(quantity) => Ok(Offered::Quantity(quantity.clone())),
            Taken::Lines(store, ids) => {
                offer::lines(stores, *store, input, ids.iter().map(String::as_str)).map_err(Gap::Refused)
            }
            Taken::All(all) => {
                let offers: Result<Vec<Offered>, Gap> =
                    all.iter().map(|one| self.offer(declaration, input, one, scope, sink)).collect();
                Ok(Offered::List(offers?))
            }
            Taken::Refer(reference) => {
                self.reach(scope, reference, sink)?;
                offer::reference(self, scope, reference)
            }
        }
    }

    /// Works what a reference leads to, where that has to be worked first.
    fn reach(&mut self, scope: Scope<'_>, reference: &Reference, sink: &mut Sink) -> Result<(), Gap> {
        let circle = || {
            let reference = reference.to_string();
            Gap::Reported(Refusal::of(phrase!("`{reference}` builds on itself", reference = reference)))
        };
        match (reference.scheme, &self.row, scope) {
            (Scheme::Value, Some(row), _) if row.plans.iter().any(|plan| plan.id == reference.id) => {
                self.row_value(&reference.id, sink);
                let worked = self.row.as_ref().and_then(|row| row.values.get(&reference.id));
                worked.map(|_| ()).ok_or_else(circle)
            }
            (Scheme::Value, None, Scope::Procedure(here)) => {
                let Some((owner, id)) = resolve::owner(self, here, reference) else { return Ok(()) };
                self.value(&owner, &id, sink);
                Known::value(self, &owner, &id).map(|_| ()).ok_or_else(circle)
            }
            (Scheme::Table, ..) if self.ground.parsed.tables().contains_key(&reference.id) => {
                self.table(&reference.id, sink);
                self.tables.get(&reference.id).map(|_| ()).ok_or_else(circle)
            }
            _ => Ok(()),
        }
    }
}

/// What is worked so far.
impl Known for Solver<'_> {
    fn parsed(&self) -> &Parsed {
        self.ground.parsed
    }

    fn ids(&self, procedure: &str) -> Vec<&str> {
        let plans = self.ground.plans.get(procedure).map(Plans::values).unwrap_or_default();
        plans.iter().map(|plan| plan.id.as_str()).collect()
    }

    fn has(&self, procedure: &str, id: &str) -> bool {
        self.ground.plans.get(procedure).is_some_and(|plans| plans.get(id).is_some())
    }

    fn items(&self, _: &str) -> Option<&BTreeMap<String, Item>> {
        // An item is no figure, so that no value builds on one.
        None
    }

    fn value(&self, procedure: &str, id: &str) -> Option<(&str, &WorkedValue)> {
        let own = if self.is_shared(procedure, id) { self.shared } else { &self.values };
        let (owner, values) = own.get_key_value(procedure)?;
        Some((owner, values.get(id)?))
    }

    fn table(&self, id: &str) -> Option<(&str, &WorkedTable)> {
        self.tables.get_key_value(id).map(|(id, table)| (id.as_str(), table.as_ref()))
    }

    fn row(&self) -> Option<&OpenRow> {
        self.row.as_ref()
    }
}

/// A value before it is worked; it stays so where a limit of the shop is passed, which is reported once.
fn unworked(plan: &Plan) -> WorkedValue {
    WorkedValue {
        id: plan.id.clone(),
        part: plan.part.clone(),
        working: plan.working.0.clone(),
        origins: plan.feeds.iter().map(|feed| (feed.name.clone(), origin(&feed.taken))).collect(),
        result: Err(Vec::new()),
        written: plan.strict,
        place: plan.place,
    }
}

/// Some places of a value's lists, as a value of its own: what is no list it shares.
fn picked(plan: &Plan, pick: &Pick, whole: Option<&WorkedValue>) -> WorkedValue {
    let result = match whole.map(|whole| &whole.result) {
        Some(Ok(work)) => {
            let mut outcome = work.outcome.clone();
            // What every conductor shares stands with the whole; the place of this one comes first.
            let each = |output: &Value| matches!(output, Value::List(all) if all.len() == pick.of);
            outcome.outputs.retain(|(_, output)| each(output));
            for (_, output) in &mut outcome.outputs {
                let Value::List(all) = output else { continue };
                let own: Vec<Value> =
                    pick.places.iter().filter_map(|place| all.get(*place).cloned()).collect();
                *output = match own.as_slice() {
                    [one] => one.clone(),
                    _ => Value::List(own),
                };
            }
            Ok(Work { given: work.given.clone(), outcome })
        }
        Some(Err(refusals)) => Err(refusals.clone()),
        None => Err(Vec::new()),
    };
    WorkedValue {
        id: plan.id.clone(),
        part: plan.part.clone(),
        working: plan.working.0.clone(),
        origins: whole.map(|whole| whole.origins.clone()).unwrap_or_default(),
        result,
        written: false,
        place: plan.place,
    }
}

/// Where an input comes from, as pages tell it.
fn origin(taken: &Taken) -> Origin {
    match taken {
        Taken::Text(text) => Origin::Written(text.clone()),
        Taken::Figure(quantity) => Origin::Written(quantity.to_string()),
        Taken::Lines(_, ids) => Origin::Written(ids.join(",")),
        Taken::Refer(reference) => Origin::Reference(reference.clone()),
        Taken::All(all) => Origin::List(all.iter().map(origin).collect()),
    }
}

fn unknown_working(plan: &Plan) -> Finding {
    let names = workings::register().iter().map(|working| working.declaration().name);
    let near = nearest(&plan.working.0, names);
    Finding::error(Code("VAL-06"), phrase!("there is no working `{working}`", working = plan.working.0))
        .at(span(plan.working.1), phrase!("not known"))
        .help(near.map_or_else(|| phrase!("`benchleaf reckon --list` shows them"), write))
}

/// The finding of a refused value, at the input that is to blame.
fn refused(plan: &Plan, refusal: &Refusal, scope: Scope<'_>) -> Finding {
    let feed = refusal.input.as_ref().and_then(|name| plan.feeds.iter().find(|feed| feed.name == *name));
    let known = workings::find(&plan.working.0).map(|working| working.declaration());
    let unknown = feed.is_some_and(|feed| {
        known.is_some_and(|declaration| !declaration.open && declaration.input(&feed.name).is_none())
    });
    let place = feed.map_or(plan.place, |feed| if unknown { feed.key } else { feed.place });
    let code = if refusal.form { "VAL-02" } else { "VAL-06" };
    let headline = phrase!("`{value}` is not worked: {reason}", value = plan.id, reason = refusal.message);
    let finding = Finding::error(Code(code), headline)
        .at(span(place), phrase!("the working `{working}` refuses", working = plan.working.0))
        .help_if(refusal.help.clone());
    match scope {
        Scope::Procedure(procedure) => finding.in_procedure(procedure),
        Scope::Manual => finding,
    }
}
