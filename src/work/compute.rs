//! The order of work: every value after those that it builds on, whatever order they were written in. A
//! circle is printed; a refused value is a gap for those that build on it, reported once.

use super::conductors::{self, Plans};
use super::cuts;
use super::inputs;
use super::items::Items;
use super::resolve::{self, Scope};
use super::{
    Origin, Row, Work, Worked, WorkedProcedure, WorkedTable, WorkedValue, items, kit, route, stock, tables,
};
use crate::finding::{Code, Finding, Sink, nearest};
use crate::ledger::{Replay, replay};
use crate::model::{Given, Input, Item, NamedValue, Place, Reference, Scheme, Table, Written};
use crate::parse::{Parsed, span};
use crate::workings::{self, Offered, Refusal, Stock, Value};
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Values that build on one another in a longer row than this are refused: each takes a frame of the stack.
const LONGEST_ROW: usize = 200;

/// Works everything.
pub(super) fn all(parsed: Parsed, sink: &mut Sink) -> Worked {
    let mut merged = BTreeMap::new();
    let mut plans = BTreeMap::new();
    let mut garage = items::Garage::default();
    for (id, procedure) in &parsed.procedures {
        let items = garage.merged(&parsed, procedure, sink);
        plans.insert(id.clone(), conductors::plan(&parsed, procedure, &items));
        merged.insert(id.clone(), items);
    }
    let stock = stock::stock(&parsed.stores);
    let tables = work_tables(&parsed, &plans, &stock, sink);
    let values = work_values(&parsed, &plans, &stock, &tables, sink);
    let routes = walk(&parsed, &merged, sink);
    let procedures = assemble(&merged, &plans, values, routes);
    let mut worked = Worked { parsed, procedures, tables };
    cuts::lay_out(&mut worked);
    kit::gather(&mut worked);
    worked
}

/// Every table, with the values that it builds on.
fn work_tables(parsed: &Parsed, plans: &BTreeMap<String, Plans>, stock: &Stock, sink: &mut Sink) -> Tables {
    let mut solver = Solver::new(parsed, plans, stock, &Tables::new());
    for id in parsed.tables.keys() {
        solver.table(id, sink);
    }
    solver.tables
}

/// The values of every procedure, side by side: packing a bundle is most of the work of a manual. A value of
/// another procedure is worked again where it is used, which gives the same and reports the same.
fn work_values(
    parsed: &Parsed,
    plans: &BTreeMap<String, Plans>,
    stock: &Stock,
    tables: &Tables,
    sink: &mut Sink,
) -> BTreeMap<String, BTreeMap<String, WorkedValue>> {
    let worked: Vec<_> = plans
        .par_iter()
        .map(|(procedure, plan)| {
            let mut found = Sink::new();
            let mut solver = Solver::new(parsed, plans, stock, tables);
            for plan in &plan.values {
                solver.value(procedure, &plan.value.id, &mut found);
            }
            (procedure.clone(), solver.values.remove(procedure).unwrap_or_default(), found)
        })
        .collect();
    let mut values = BTreeMap::new();
    for (procedure, own, found) in worked {
        sink.take(found);
        values.insert(procedure, own);
    }
    values
}

/// Routes and replays, in parallel; a procedure with parameters is replayed for every word of each, and the
/// first stands for the pages.
fn walk(
    parsed: &Parsed,
    merged: &BTreeMap<String, Items>,
    sink: &mut Sink,
) -> BTreeMap<String, (route::Route, Replay)> {
    let walked: Vec<_> = parsed
        .procedures
        .par_iter()
        .map(|(id, procedure)| {
            let mut found = Sink::new();
            let items = merged.get(id).cloned().unwrap_or_default();
            let mut first: Option<(route::Route, Replay)> = None;
            for given in ways(&procedure.parameters) {
                let mut route = route::lay(parsed, procedure, &given, &mut found);
                // Without its vehicle nothing that it touches is known, which is said once.
                route.broken |=
                    procedure.applies_to.iter().any(|a| !parsed.vehicles.contains_key(&a.vehicle));
                let mut known = Arc::clone(&items);
                borrow(merged, &route, &mut known);
                if !route.broken {
                    route.mend(&known, &mut found);
                }
                let mut replay = replay(&known, &route.stops(), &procedure.expects, &procedure.leaves);
                if route.broken {
                    replay.faults.clear();
                }
                match &mut first {
                    None => first = Some((route, replay)),
                    Some((_, kept)) => kept.faults.extend(replay.faults),
                }
            }
            (id.clone(), first.unwrap_or_default(), found)
        })
        .collect();
    let mut routes = BTreeMap::new();
    for (id, walked, found) in walked {
        for finding in found.into_sorted() {
            sink.push(finding.in_procedure(&id));
        }
        routes.insert(id, walked);
    }
    routes
}

/// Items that only a procedure declares which is carried out here.
fn borrow(merged: &BTreeMap<String, Items>, route: &route::Route, items: &mut Items) {
    let mut seen: Vec<&str> = Vec::new();
    for leg in route.legs.iter().filter(|leg| leg.depth > 0) {
        if seen.contains(&leg.procedure.as_str()) {
            continue;
        }
        seen.push(&leg.procedure);
        let Some(others) = merged.get(&leg.procedure) else { continue };
        let missing: Vec<&Item> =
            others.iter().filter(|(id, _)| !items.contains_key(*id)).map(|(_, item)| item).collect();
        if !missing.is_empty() {
            let items = Arc::make_mut(items);
            items.extend(missing.into_iter().map(|item| (item.id.clone(), item.clone())));
        }
    }
}

/// Every way to give words to parameters; at most 64 of them.
fn ways(parameters: &BTreeMap<String, Vec<String>>) -> Vec<Given> {
    let mut ways = vec![Given::new()];
    for (name, words) in parameters {
        ways = ways
            .into_iter()
            .flat_map(|way| {
                words.iter().map(move |word| {
                    let mut way = way.clone();
                    way.insert(name.clone(), word.clone());
                    way
                })
            })
            .take(64)
            .collect();
    }
    ways
}

fn assemble(
    merged: &BTreeMap<String, Items>,
    plans: &BTreeMap<String, Plans>,
    mut values: BTreeMap<String, BTreeMap<String, WorkedValue>>,
    mut routes: BTreeMap<String, (route::Route, Replay)>,
) -> BTreeMap<String, WorkedProcedure> {
    let mut procedures = BTreeMap::new();
    for (id, items) in merged {
        let mut items = Arc::clone(items);
        let mut done = values.remove(id).unwrap_or_default();
        let (route, replay) = routes.remove(id).unwrap_or_default();
        // Pages name the items of procedures that are carried out here too.
        borrow(merged, &route, &mut items);
        let order = plans.get(id).map(|plans| plans.values.as_slice()).unwrap_or_default();
        let values: Vec<WorkedValue> = order.iter().filter_map(|plan| done.remove(&plan.value.id)).collect();
        let schedule = conductors::schedule(plans.get(id), &items, &values);
        let kit = kit::Kit::default();
        procedures.insert(id.clone(), WorkedProcedure { items, values, schedule, kit, route, replay });
    }
    procedures
}

/// Tables that are worked, shared between those who work values.
type Tables = BTreeMap<String, Arc<WorkedTable>>;

/// The values and tables that are being worked.
pub(super) struct Solver<'a> {
    pub(super) parsed: &'a Parsed,
    plans: &'a BTreeMap<String, Plans>,
    stock: &'a Stock,
    values: BTreeMap<String, BTreeMap<String, WorkedValue>>,
    tables: Tables,
    /// What is being worked, from the outermost in.
    chain: Vec<String>,
}

/// Where a value is worked: what `value:` and `row:` mean there.
#[derive(Clone, Copy)]
pub(super) enum Here<'r> {
    Procedure(&'r str),
    Row { table: &'r Table, row: &'r tables::RowKey, values: &'r [WorkedValue] },
}

impl<'a> Solver<'a> {
    fn new(
        parsed: &'a Parsed,
        plans: &'a BTreeMap<String, Plans>,
        stock: &'a Stock,
        tables: &Tables,
    ) -> Solver<'a> {
        Solver { parsed, plans, stock, values: BTreeMap::new(), tables: tables.clone(), chain: Vec::new() }
    }

    /// Works a value of a procedure, unless it is worked already.
    fn value(&mut self, procedure: &str, id: &str, sink: &mut Sink) {
        if self.values.get(procedure).is_some_and(|values| values.contains_key(id)) {
            return;
        }
        let plans = self.plans;
        let Some(plan) = plans.get(procedure).and_then(|plans| plans.get(id)) else { return };
        let name = format!("value:{procedure}/{id}");
        if self.circle(&name, plan.value.place, sink) {
            return;
        }
        self.chain.push(name);
        let worked = match &plan.pick {
            Some((whole, index)) => {
                self.value(procedure, whole, sink);
                picked(&plan.value, self.values.get(procedure).and_then(|values| values.get(whole)), *index)
            }
            None => self.work(&plan.value, plan.strict, Here::Procedure(procedure), sink),
        };
        self.chain.pop();
        self.values.entry(procedure.to_owned()).or_default().insert(id.to_owned(), worked);
    }

    /// Works a table, unless it is worked already.
    fn table(&mut self, id: &str, sink: &mut Sink) {
        if self.tables.contains_key(id) {
            return;
        }
        let Some(table) = self.parsed.tables.get(id) else { return };
        let name = format!("table:{id}");
        if self.circle(&name, table.place, sink) {
            return;
        }
        self.chain.push(name);
        let worked = tables::work(self, table, sink);
        self.chain.pop();
        self.tables.insert(id.to_owned(), Arc::new(worked));
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

    /// Works one value. `strict` says that a refusal is an error and not only a gap.
    pub(super) fn work(
        &mut self,
        value: &NamedValue,
        strict: bool,
        here: Here<'_>,
        sink: &mut Sink,
    ) -> WorkedValue {
        let mut worked = WorkedValue {
            id: value.id.clone(),
            working: value.working.0.clone(),
            origins: value.inputs.iter().map(|input| (input.name.clone(), origin(&input.written))).collect(),
            result: Err(Vec::new()),
            written: strict,
            place: value.place,
        };
        let Some(working) = workings::find(&value.working.0) else {
            sink.push(unknown_working(value));
            worked.result = Err(vec![Refusal::of(format!("there is no working `{}`", value.working.0))]);
            return worked;
        };
        let declaration = working.declaration();
        let mut offered = BTreeMap::new();
        let mut refusals = Vec::new();
        // A refusal that was reported where it arose is a gap here and no second finding.
        let mut reported = Vec::new();
        for input in &value.inputs {
            match self.offer(declaration, input, &input.written, here, sink) {
                Ok(offer) => {
                    offered.insert(input.name.clone(), offer);
                }
                Err(Gap::Refused(refusal)) => {
                    refusals.push(Refusal { input: Some(input.name.clone()), ..refusal })
                }
                Err(Gap::Reported(refusal)) => reported.push(refusal),
            }
        }
        if reported.is_empty() && refusals.is_empty() {
            worked.result = Work::of(working, &offered, self.stock);
        } else {
            worked.result = Err(refusals.iter().cloned().chain(reported.iter().cloned()).collect());
        }
        if let (Err(all), true, true) = (&worked.result, strict, reported.is_empty()) {
            for refusal in all {
                sink.push(refused(value, refusal, here));
            }
        }
        worked
    }

    /// What an input offers, references looked up.
    fn offer(
        &mut self,
        declaration: &'static workings::Declaration,
        input: &Input,
        written: &Written,
        here: Here<'_>,
        sink: &mut Sink,
    ) -> Result<Offered, Gap> {
        match written {
            Written::Text(text) => {
                inputs::offer_text(&self.parsed.stores, declaration, &input.name, text).map_err(Gap::Refused)
            }
            Written::List(all) => {
                let offers: Result<Vec<Offered>, Gap> =
                    all.iter().map(|(one, _)| self.offer(declaration, input, one, here, sink)).collect();
                Ok(Offered::List(offers?))
            }
            Written::Reference(reference) => self.refer(declaration, reference, here, sink),
        }
    }

    fn refer(
        &mut self,
        declaration: &'static workings::Declaration,
        reference: &Reference,
        here: Here<'_>,
        sink: &mut Sink,
    ) -> Result<Offered, Gap> {
        match reference.scheme {
            Scheme::Value => self.refer_value(reference, here, sink),
            Scheme::Table => {
                self.table(&reference.id, sink);
                let table = match self.tables.get(&reference.id) {
                    Some(table) => table,
                    None if self.parsed.tables.contains_key(&reference.id) => {
                        return Err(Gap::Reported(Refusal::of("it builds on itself")));
                    }
                    None => {
                        let known = self.parsed.tables.keys().map(String::as_str);
                        return Err(Gap::Refused(resolve::absent("table", &reference.id, known)));
                    }
                };
                let cell = resolve::cell(table, reference).map_err(Gap::Refused)?;
                match cell {
                    Ok(value) => Ok(as_offer(value)),
                    Err(reason) => {
                        Err(Gap::Refused(Refusal::of(format!("`{reference}` has no figure: {reason}"))))
                    }
                }
            }
            Scheme::Row => match here {
                Here::Row { row, .. } => tables::refer(self.parsed, row, reference).map_err(Gap::Refused),
                Here::Procedure(_) => {
                    Err(Gap::Refused(Refusal::of(format!("`{reference}` serves inside a table only"))))
                }
            },
            Scheme::Item | Scheme::Procedure | Scheme::Step | Scheme::Figure | Scheme::Vehicle => {
                Err(Gap::Refused(Refusal::of(format!("`{reference}` is no figure"))))
            }
            _ => resolve::offer_reference(&self.parsed.stores, declaration, reference).map_err(Gap::Refused),
        }
    }

    fn refer_value(
        &mut self,
        reference: &Reference,
        here: Here<'_>,
        sink: &mut Sink,
    ) -> Result<Offered, Gap> {
        if let Here::Row { table, values, .. } = here {
            let found = values.iter().find(|value| value.id == reference.id);
            return match found {
                Some(value) => output(value, reference),
                None => {
                    let later = table.values.iter().any(|value| value.id == reference.id);
                    let known = table.values.iter().map(|value| value.id.as_str());
                    let refusal = resolve::absent("value of this table", &reference.id, known);
                    let circle = Refusal::of(format!("`{}` builds on itself", reference.id));
                    Err(Gap::Refused(if later { circle } else { refusal }))
                }
            };
        }
        let Here::Procedure(procedure) = here else {
            return Err(Gap::Refused(Refusal::of(format!("`{reference}` is not known here"))));
        };
        let plans = self.plans;
        let (owner, id) = resolve::owner(procedure, reference, |owner, id| {
            plans.get(owner).is_some_and(|plans| plans.get(id).is_some())
        })
        .ok_or_else(|| {
            let own = plans.get(procedure).map(|plans| plans.values.as_slice()).unwrap_or_default();
            let known = own.iter().map(|plan| plan.value.id.as_str());
            let wanted = resolve::wanted(reference);
            Gap::Refused(resolve::absent("value", &wanted, known))
        })?;
        self.value(&owner, &id, sink);
        match self.values.get(&owner).and_then(|values| values.get(&id)) {
            Some(value) => output(value, reference),
            None => Err(Gap::Reported(Refusal::of(format!("`{reference}` builds on itself")))),
        }
    }
}

/// One place of a value's lists, as a value of its own: what is no list it shares.
fn picked(value: &NamedValue, whole: Option<&WorkedValue>, index: usize) -> WorkedValue {
    let result = match whole.map(|whole| &whole.result) {
        Some(Ok(work)) => {
            let mut outcome = work.outcome.clone();
            for (_, output) in &mut outcome.outputs {
                if let Value::List(all) = output
                    && let Some(one) = all.get(index)
                {
                    *output = one.clone();
                }
            }
            // What every conductor shares stands with the whole; the place of this one comes first.
            outcome.outputs.retain(|(name, _)| whole_list(&work.outcome, name));
            Ok(Work { given: work.given.clone(), outcome })
        }
        Some(Err(refusals)) => Err(refusals.clone()),
        None => Err(Vec::new()),
    };
    let origins = whole.map(|whole| whole.origins.clone()).unwrap_or_default();
    let working = value.working.0.clone();
    WorkedValue { id: value.id.clone(), working, origins, result, written: false, place: value.place }
}

fn whole_list(outcome: &workings::Outcome, name: &str) -> bool {
    outcome.outputs.iter().any(|(known, value)| *known == name && matches!(value, Value::List(_)))
}

/// Why an input has nothing to offer.
enum Gap {
    /// Not reported yet.
    Refused(Refusal),
    /// Reported where it arose.
    Reported(Refusal),
}

/// The output of a worked value that a reference names.
fn output(value: &WorkedValue, reference: &Reference) -> Result<Offered, Gap> {
    let Ok(work) = &value.result else {
        return Err(Gap::Reported(Refusal::of(format!("`{reference}` has no figure"))));
    };
    resolve::output(&value.working, &work.outcome, reference)
        .map(|(_, value)| as_offer(value))
        .map_err(Gap::Refused)
}

fn as_offer(value: &Value) -> Offered {
    match value {
        Value::Number { value, unit } => Offered::Quantity(crate::quantity::Quantity::new(*value, unit)),
        Value::Text(text) => Offered::Text(text.clone()),
        Value::Words(words) => Offered::Text(words.to_string()),
        Value::Unlimited => Offered::Text("unlimited".to_owned()),
        Value::List(all) => Offered::List(all.iter().map(as_offer).collect()),
        Value::Positions(circles) => {
            let mm = crate::quantity::unit("mm").unwrap_or(&crate::quantity::ONE);
            let diameter =
                |circle: &workings::Circle| Offered::Quantity(crate::quantity::Quantity::new(circle.d, mm));
            Offered::List(circles.iter().map(diameter).collect())
        }
    }
}

fn origin(written: &Written) -> Origin {
    match written {
        Written::Text(text) => Origin::Written(text.clone()),
        Written::Reference(reference) => Origin::Reference(reference.clone()),
        Written::List(all) => Origin::List(all.iter().map(|(one, _)| origin(one)).collect()),
    }
}

fn unknown_working(value: &NamedValue) -> Finding {
    let names = workings::register().iter().map(|working| working.declaration().name);
    let near = nearest(&value.working.0, names);
    Finding::error(Code("VAL-06"), format!("there is no working `{}`", value.working.0))
        .at(span(value.working.1), "not known")
        .help(near.map_or_else(
            || "`benchleaf reckon --list` shows them".to_owned(),
            |near| format!("write `{near}`"),
        ))
}

/// The finding of a refused value, at the input that is to blame.
fn refused(value: &NamedValue, refusal: &Refusal, here: Here<'_>) -> Finding {
    let input = refusal.input.as_ref().and_then(|name| value.inputs.iter().find(|input| input.name == *name));
    let known = workings::find(&value.working.0).map(|working| working.declaration());
    let unknown = input.is_some_and(|input| {
        known.is_some_and(|declaration| !declaration.open && declaration.input(&input.name).is_none())
    });
    let place = input.map_or(value.place, |input| if unknown { input.key } else { input.place });
    let fits_none = value.working.0 == "sleeve" && refusal.input.is_none();
    let code = match refusal.form {
        true => "VAL-02",
        false if fits_none => "ELE-05",
        false => "VAL-06",
    };
    let finding = Finding::error(Code(code), format!("`{}` is not worked: {}", value.id, refusal.message))
        .at(span(place), format!("the working `{}` refuses", value.working.0))
        .help_if(refusal.help.as_ref().map(ToString::to_string));
    match here {
        Here::Procedure(procedure) => finding.in_procedure(procedure),
        Here::Row { .. } => finding,
    }
}

/// A row's values for the table that is being worked; a refusal is the row's gap and no finding, unless the
/// input itself cannot be read.
pub(super) fn row(
    solver: &mut Solver<'_>,
    table: &Table,
    key: &tables::RowKey,
    order: &[&NamedValue],
    sink: &mut Sink,
) -> Row {
    let mut values: Vec<WorkedValue> = Vec::new();
    for value in order {
        let here = Here::Row { table, row: key, values: &values };
        let worked = solver.work(value, false, here, sink);
        values.push(worked);
    }
    tables::row(table, key, values)
}

/// The scope of a value's references on pages and in rules.
impl<'a> From<&'a str> for Scope<'a> {
    fn from(procedure: &'a str) -> Scope<'a> {
        Scope::Procedure(procedure)
    }
}
