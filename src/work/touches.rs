//! What a change of one line of the stores touches: every value that was worked from it, directly or through
//! others, and every table's row.

use super::{Origin, Resolved, Row, Scope, Worked, WorkedValue};
use crate::model::{Item, Reference, Scheme, Store};
use std::collections::{BTreeMap, BTreeSet};

/// What was worked from what, over a whole manual.
#[derive(Debug)]
pub struct Influence<'a> {
    worked: &'a Worked,
    /// By each thing, what was worked from it directly.
    used: BTreeMap<Node<'a>, Vec<Node<'a>>>,
}

/// What a line of the stores goes into.
#[derive(Debug, Default)]
pub struct Touched<'a> {
    /// Values with their procedures, in order.
    pub values: Vec<(&'a str, &'a WorkedValue)>,
    /// Rows with their tables.
    pub rows: Vec<(&'a str, &'a Row)>,
    /// Items that are made of it, with the procedures that touch them.
    pub items: Vec<(&'a str, &'a Item)>,
}

/// What a value can be worked from, or be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Node<'a> {
    /// A line of the stores.
    Line(Store, &'a str),
    /// All cables together: a size is needed of all there are, and a line that fits better changes the answer.
    Cables,
    /// A value and its procedure.
    Value(&'a str, &'a str),
    /// A row and its table.
    Row(&'a str, &'a str),
}

/// The stores that a table's rows may name.
const ROWS: [Store; 4] = [Store::Cables, Store::Sleeves, Store::Fasteners, Store::Tools];

impl<'a> Influence<'a> {
    /// Gathers it from a manual.
    pub fn of(worked: &'a Worked) -> Influence<'a> {
        let mut all = Influence { worked, used: BTreeMap::new() };
        for (owner, procedure) in &worked.procedures {
            for value in &procedure.values {
                let node = Node::Value(owner, &value.id);
                all.takes(value, node);
                for reference in value.references() {
                    all.refers(Scope::Procedure(owner), reference, node);
                }
            }
        }
        for (id, table) in &worked.tables {
            for row in &table.rows {
                let node = Node::Row(id, &row.id);
                let named =
                    ROWS.into_iter().filter(|store| worked.parsed.stores().get(*store, &row.id).is_some());
                named
                    .filter(|_| row.at.is_none())
                    .for_each(|store| all.add(Node::Line(store, &row.id), node));
                for value in &row.values {
                    all.takes(value, node);
                    // A row's own values are the row.
                    let outside = value.references().into_iter().filter(|one| one.scheme != Scheme::Value);
                    outside.for_each(|reference| all.refers(Scope::Manual, reference, node));
                }
            }
        }
        all
    }

    fn add(&mut self, from: Node<'a>, to: Node<'a>) {
        self.used.entry(from).or_default().push(to);
    }

    /// A reference that something was worked from.
    fn refers(&mut self, scope: Scope<'_>, reference: &Reference, to: Node<'a>) {
        let from = match self.worked.resolve(scope, reference) {
            Ok(Resolved::Value(owner, value, ..) | Resolved::Refused(owner, value, _)) => {
                Node::Value(owner, &value.id)
            }
            Ok(Resolved::Cell(table, row, ..)) => Node::Row(table, row),
            Ok(Resolved::Line(line, _)) => Node::Line(line.store, &line.id),
            _ => return,
        };
        self.add(from, to);
    }

    /// What a value took from the stores whatever way it was named: the ranges that it chose from, services, a
    /// cable, or a cable of all there are.
    fn takes(&mut self, value: &'a WorkedValue, to: Node<'a>) {
        let Ok(work) = &value.result else { return };
        let given = &work.given;
        for name in given.declaration().inputs.iter().map(|input| input.name) {
            let ranges: BTreeSet<&str> =
                given.sleeves(name).iter().map(|sleeve| sleeve.range.as_str()).collect();
            ranges.into_iter().for_each(|range| self.add(Node::Line(Store::Sleeves, range), to));
            for service in given.services(name) {
                self.add(Node::Line(Store::Services, &service.id), to);
            }
            if let Some(cable) = given.cable(name) {
                self.add(Node::Line(Store::Cables, &cable.id), to);
            }
        }
        if work.outcome.get("size-needed").is_some() {
            self.add(Node::Cables, to);
        }
    }

    /// How many values of each procedure a change of a line would touch.
    pub fn values_touched(&self, store: Store, id: &str) -> BTreeMap<&'a str, u64> {
        let mut counts = BTreeMap::new();
        for node in self.reached(store, id) {
            if let Node::Value(owner, _) = node {
                *counts.entry(owner).or_insert(0) += 1;
            }
        }
        counts
    }

    /// Everything that was worked from a line, directly or through others.
    fn reached(&self, store: Store, id: &str) -> BTreeSet<Node<'a>> {
        let line = self.worked.parsed.stores().get(store, id);
        let mut open: Vec<Node<'a>> = line.map(|line| Node::Line(store, &line.id)).into_iter().collect();
        if store == Store::Cables {
            open.push(Node::Cables);
        }
        let mut touched = BTreeSet::new();
        while let Some(node) = open.pop() {
            if touched.insert(node) {
                open.extend(self.used.get(&node).into_iter().flatten());
            }
        }
        touched
    }

    /// What a change of a line would touch.
    pub fn touched_by(&self, store: Store, id: &str) -> Touched<'a> {
        let touched = self.reached(store, id);
        let mut all = Touched::default();
        for (owner, procedure) in &self.worked.procedures {
            let values = procedure.values.iter();
            let values = values.filter(|value| touched.contains(&Node::Value(owner, &value.id)));
            all.values.extend(values.map(|value| (owner.as_str(), value)));
            let made_of = |item: &&Item| item.of() == Some(id) && procedure.replay.touches(&item.id);
            all.items.extend(procedure.items.values().filter(made_of).map(|item| (owner.as_str(), item)));
        }
        for (table, worked) in &self.worked.tables {
            let rows = worked.rows.iter().filter(|row| touched.contains(&Node::Row(table, &row.id)));
            all.rows.extend(rows.map(|row| (table.as_str(), row)));
        }
        all
    }
}

impl WorkedValue {
    /// Where an input came from; none where it was left out.
    pub fn origin(&self, input: &str) -> Option<&Origin> {
        self.origins.iter().find(|(known, _)| known == input).map(|(_, origin)| origin)
    }

    /// Every reference that it was worked from.
    pub fn references(&self) -> Vec<&Reference> {
        self.origins.iter().flat_map(|(_, origin)| origin.references()).collect()
    }
}

impl Origin {
    /// The references in it, in order.
    pub fn references(&self) -> Vec<&Reference> {
        match self {
            Origin::Reference(reference) => vec![reference],
            Origin::List(all) => all.iter().flat_map(Origin::references).collect(),
            Origin::Written(_) => Vec::new(),
        }
    }
}
