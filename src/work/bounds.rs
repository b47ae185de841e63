//! How much a manual asks to be searched for. An arrangement of wires takes a thousand times as long as any other
//! value, and a line of source can ask for one, so that the shop has a limit for all of them together.

use super::joint::{Plan, Plans, Taken};
use crate::finding::{Code, Finding, Sink};
use crate::model::{Rows, Table};
use crate::parse::{Parsed, span};
use crate::workings;
use std::collections::{BTreeMap, BTreeSet};

/// Outputs that hold a figure for each of several things; a test holds every working to them.
const LISTS: &[&str] = &["offsets", "positions", "trim-far", "trim-near", "untwisted"];
/// Up to so many wires an arrangement is found at once.
const AT_ONCE: usize = 4;

/// Values that are not worked, because those before them ask for all that the shop allows.
#[derive(Debug, Default)]
pub(super) struct Beyond {
    of_procedures: BTreeSet<(String, String)>,
    of_tables: BTreeSet<(String, String)>,
}

impl Beyond {
    /// Those of a manual, tables first, all in the order of their ids; says once where the limit is passed.
    pub(super) fn of(parsed: &Parsed, plans: &BTreeMap<String, Plans>, sink: &mut Sink) -> Beyond {
        let mut beyond = Beyond::default();
        let mut count = Count { wires: 0, limit: parsed.shop().limits.wires, passed: false };
        for (id, table) in parsed.tables() {
            for value in &table.values {
                if !count.admit(&Plan::written(value, false), rows(table), sink) {
                    beyond.of_tables.insert((id.clone(), value.id.clone()));
                }
            }
        }
        for (id, plans) in plans {
            // What follows from a repair stands in as many words as it takes wires.
            for plan in plans.values().iter().filter(|plan| plan.strict) {
                if !count.admit(plan, 1, sink) {
                    beyond.of_procedures.insert((id.clone(), plan.id.clone()));
                }
            }
        }
        beyond
    }

    /// Whether a value of a procedure is among them.
    pub(super) fn has(&self, procedure: &str, id: &str) -> bool {
        !self.of_procedures.is_empty() && self.of_procedures.contains(&(procedure.to_owned(), id.to_owned()))
    }

    /// Whether a value of the rows of a table is among them.
    pub(super) fn has_in_table(&self, table: &str, id: &str) -> bool {
        !self.of_tables.is_empty() && self.of_tables.contains(&(table.to_owned(), id.to_owned()))
    }
}

/// The wires that were counted so far.
struct Count {
    wires: u64,
    limit: u64,
    passed: bool,
}

impl Count {
    fn admit(&mut self, plan: &Plan, times: usize, sink: &mut Sink) -> bool {
        let wires = searched(plan);
        if wires == 0 {
            return true;
        }
        let all = u64::try_from(wires.saturating_mul(times)).unwrap_or(u64::MAX);
        self.wires = self.wires.saturating_add(all);
        let within = self.wires <= self.limit;
        if !within && !self.passed {
            let headline = format!(
                "with this value the bundles of the manual hold {} wires, and the limit is {}",
                self.wires, self.limit
            );
            sink.push(
                Finding::error(Code("SRC-02"), headline)
                    .at(span(plan.place), "this bundle and those after it are not worked")
                    .help("raise `limits.wires` in shop.yaml"),
            );
        }
        self.passed |= !within;
        within
    }
}

fn rows(table: &Table) -> usize {
    match &table.rows {
        Rows::Ids(_, ids) => ids.len(),
        Rows::Sweep(_, at, _) => at.len(),
    }
}

/// The wires for which a value searches an arrangement; none where there is nothing to search.
fn searched(plan: &Plan) -> usize {
    let Some(input) = workings::find(&plan.working.0).and_then(|working| working.packs()) else { return 0 };
    let feeds = plan.feeds.iter().filter(|feed| feed.name == input);
    let wires = feeds.map(|feed| entries(&feed.taken)).max().unwrap_or(0);
    if wires > AT_ONCE { wires } else { 0 }
}

/// How many things an input names; a text may name several, between commas.
fn entries(taken: &Taken) -> usize {
    match taken {
        Taken::Text(text) => text.split(',').count(),
        Taken::All(all) => all.iter().map(entries).sum(),
        Taken::Lines(_, ids) => ids.len(),
        Taken::Refer(reference) if reference.field.as_deref().is_some_and(|field| LISTS.contains(&field)) => {
            // As many as a bundle may have.
            workings::MOST_WIRES
        }
        Taken::Figure(_) | Taken::Refer(_) => 1,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workings::{Offered, Stock, Value, settle};

    #[test]
    fn no_working_answers_with_a_list_of_figures_that_is_not_counted() {
        let mut met = BTreeSet::new();
        for working in workings::register() {
            let declaration = working.declaration();
            let given = declaration.example.given.iter();
            let offered = given.map(|(name, text)| ((*name).to_owned(), Offered::Text((*text).to_owned())));
            // Some examples take lines of the stores, which answer with no list.
            let Ok(given) = settle(declaration, &offered.collect(), &Stock::default()) else { continue };
            let Ok(outcome) = working.work(&given) else { continue };
            for (name, value) in &outcome.outputs {
                let figures = |all: &Vec<Value>| all.iter().any(|one| one.as_number().is_some());
                if matches!(value, Value::Positions(_)) || matches!(value, Value::List(all) if figures(all)) {
                    assert!(LISTS.contains(name), "{}: {name}", declaration.name);
                    met.insert(*name);
                }
            }
        }
        assert!(met.contains("positions") && met.contains("offsets"), "{met:?}");
    }
}
