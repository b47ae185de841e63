//! Everything that follows from what was written, in the order in which it builds on each other: items, plans, tables,
//! values, routes, cuts, kits.

use super::bounds::Beyond;
use super::items::{self, Items};
use super::joint::{self, Plans, Schedule};
use super::solver::{Ground, Solver, Tables, Values};
use super::{Route, Worked, WorkedProcedure, WorkedValue, cuts, kit, stock, walk};
use crate::finding::Sink;
use crate::ledger::Replay;
use crate::model::Item;
use crate::parse::Parsed;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::sync::Arc;

/// Works everything.
pub(super) fn all(parsed: Parsed, sink: &mut Sink) -> Worked {
    let mut merged = BTreeMap::new();
    let mut plans = BTreeMap::new();
    let mut garage = items::Garage::default();
    for (id, procedure) in parsed.procedures() {
        let items = garage.merged(&parsed, procedure, sink);
        plans.insert(id.clone(), joint::plan(&parsed, procedure, &items));
        merged.insert(id.clone(), items);
    }
    let stock = stock::stock(parsed.stores());
    let beyond = Beyond::of(&parsed, &plans, sink);
    let ground = Ground { parsed: &parsed, plans: &plans, stock: &stock, beyond: &beyond };
    let tables = work_tables(&ground, sink);
    let values = work_values(&ground, &tables, sink);
    let routes = walk::all(&parsed, &merged, sink);
    let procedures = assemble(&merged, &plans, values, routes);
    let mut worked = Worked { parsed, procedures, tables };
    cuts::lay_out(&mut worked);
    kit::gather(&mut worked);
    worked
}

/// Every table, with the values that it builds on.
fn work_tables(ground: &Ground<'_>, sink: &mut Sink) -> Tables {
    let none = Values::new();
    let mut solver = Solver::new(ground, &Tables::new(), &none);
    for id in ground.parsed.tables().keys() {
        solver.table(id, sink);
    }
    solver.into_tables()
}

/// The values of every procedure, side by side: packing a bundle is most of the work of a manual. Those that other
/// procedures use are worked before, so that a thousand users work them once; where they stand they are worked
/// again, which gives the same and reports the same.
fn work_values(ground: &Ground<'_>, tables: &Tables, sink: &mut Sink) -> Values {
    let none = Values::new();
    let mut solver = Solver::new(ground, tables, &none);
    for (procedure, id) in solver.used_elsewhere() {
        solver.value(&procedure, &id, sink);
    }
    let shared = solver.into_all();
    let worked: Vec<_> = ground
        .plans
        .par_iter()
        .map(|(procedure, plan)| {
            let mut found = Sink::new();
            let mut solver = Solver::new(ground, tables, &shared).at_home(procedure);
            for plan in plan.values() {
                solver.value(procedure, &plan.id, &mut found);
            }
            (procedure.clone(), solver.into_values(procedure), found)
        })
        .collect();
    let mut values = Values::new();
    for (procedure, own, found) in worked {
        sink.take(found);
        values.insert(procedure, own);
    }
    values
}

fn assemble(
    merged: &BTreeMap<String, Items>,
    plans: &BTreeMap<String, Plans>,
    mut values: Values,
    mut routes: BTreeMap<String, (Route, Replay)>,
) -> BTreeMap<String, WorkedProcedure> {
    let mut procedures = BTreeMap::new();
    for (id, items) in merged {
        let mut items = Arc::clone(items);
        let mut done = values.remove(id).unwrap_or_default();
        let (route, replay) = routes.remove(id).unwrap_or_default();
        // Pages name the items of procedures that are carried out here too.
        walk::borrow(merged, &route, &mut items);
        let order = plans.get(id).map(Plans::values).unwrap_or_default();
        let values: Vec<WorkedValue> = order.iter().filter_map(|plan| done.remove(&plan.id)).collect();
        let schedule = schedule(plans.get(id), &items);
        let kit = kit::Kit::default();
        procedures.insert(id.clone(), WorkedProcedure { items, values, schedule, kit, route, replay });
    }
    procedures
}

/// The schedule of what was planned. A conductor that its procedure does not know is left out.
fn schedule(plans: Option<&Plans>, items: &BTreeMap<String, Item>) -> Schedule {
    let repairs = plans.into_iter().flat_map(|plans| &plans.repairs);
    Schedule { joints: repairs.filter(|repair| items.contains_key(&repair.conductor)).cloned().collect() }
}
