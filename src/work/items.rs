//! The items of a procedure: its vehicles', overlaid with what it says of them itself. Two declarations of
//! one id must agree.

use crate::finding::{Code, Finding, Sink, nearest};
use crate::model::{Action, FromLoom, Item, Procedure, Store, Stores, What};
use crate::parse::{Parsed, span};
use std::collections::BTreeMap;
use std::sync::Arc;

/// Items by id. Most procedures of a vehicle speak of the same, so that they share them.
pub(super) type Items = Arc<BTreeMap<String, Item>>;

/// The items of vehicles, by the vehicles' ids.
#[derive(Default)]
pub(super) struct Garage {
    known: BTreeMap<Vec<String>, Items>,
}

impl Garage {
    /// The items that a procedure may speak of.
    pub(super) fn merged(&mut self, parsed: &Parsed, procedure: &Procedure, sink: &mut Sink) -> Items {
        let vehicles: Vec<String> =
            procedure.applies_to.iter().map(|applies| applies.vehicle.clone()).collect();
        let shared = self.known.entry(vehicles).or_insert_with_key(|vehicles| {
            let mut items: BTreeMap<String, Item> = BTreeMap::new();
            for vehicle in vehicles.iter().filter_map(|id| parsed.vehicles().get(id)) {
                for (id, item) in &vehicle.items {
                    items.entry(id.clone()).or_insert_with(|| item.clone());
                }
            }
            shields(parsed.stores(), &mut items);
            Arc::new(items)
        });
        let mut items = Arc::clone(shared);
        let by = procedure.join_as.by;
        if procedure.loom.is_none() && procedure.items.is_empty() && by.is_none() {
            groups(procedure, &items, sink);
            return items;
        }
        let own = Arc::make_mut(&mut items);
        take_loom(parsed, procedure, own, sink);
        for (id, item) in &procedure.items {
            let both =
                own.get(id).map_or_else(|| item.clone(), |known| overlay(known, item, procedure, sink));
            own.insert(id.clone(), both);
        }
        // A conductor that does not say how it is joined is joined as the procedure says.
        for item in own.values_mut() {
            if let What::Conductor(conductor) = &mut item.what
                && conductor.join.by.is_none()
            {
                conductor.join.by = by;
            }
        }
        shields(parsed.stores(), own);
        groups(procedure, own, sink);
        items
    }
}

/// A group is of items that are there, under an id that none of them has.
fn groups(procedure: &Procedure, items: &BTreeMap<String, Item>, sink: &mut Sink) {
    for (id, group) in &procedure.groups {
        if let Some(item) = items.get(id) {
            sink.push(
                Finding::error(Code("VAL-05"), format!("`{id}` is a group and a {}", item.kind().noun()))
                    .at(span(group.place), "declared as a group here")
                    .label(span(item.place), format!("declared as a {} here", item.kind().noun()))
                    .help("an id names one thing: give the group another id")
                    .in_procedure(&procedure.id),
            );
        }
        for (member, place) in group.items.iter().filter(|(member, _)| !items.contains_key(member)) {
            sink.push(
                Finding::error(Code("DOC-03"), format!("there is no item `{member}`"))
                    .at(span(*place), "declared neither by a vehicle nor by the procedure")
                    .help_if(
                        nearest(member, items.keys().map(String::as_str))
                            .map(|near| format!("write `{near}`")),
                    )
                    .in_procedure(&procedure.id),
            );
        }
    }
}

/// Whether each conductor's cable has a shield: a shield is a layer of its own in its life.
fn shields(stores: &Stores, items: &mut BTreeMap<String, Item>) {
    for item in items.values_mut() {
        if let What::Conductor(conductor) = &mut item.what {
            let cable = conductor.of.as_deref().and_then(|of| stores.get(Store::Cables, of));
            let kind = cable.and_then(|cable| cable.text("kind"));
            conductor.shielded = matches!(kind, Some("coax" | "shielded"));
        }
    }
}

/// Conductors that a procedure takes from a loom are there to be joined, unless it says otherwise.
fn take_loom(parsed: &Parsed, procedure: &Procedure, items: &mut BTreeMap<String, Item>, sink: &mut Sink) {
    let Some(FromLoom { loom, place, which }) = &procedure.loom else { return };
    let vehicles =
        || procedure.applies_to.iter().filter_map(|applies| parsed.vehicles().get(&applies.vehicle));
    let Some(members) = vehicles().find_map(|vehicle| vehicle.looms.get(loom)) else {
        let known = vehicles().flat_map(|vehicle| vehicle.looms.keys()).map(String::as_str);
        sink.push(
            Finding::error(Code("DOC-03"), format!("no vehicle of `{}` has a loom `{loom}`", procedure.id))
                .at(span(*place), "not declared")
                .help_if(nearest(loom, known).map(|near| format!("write `{near}`")))
                .in_procedure(&procedure.id),
        );
        return;
    };
    for (id, place) in which.iter().filter(|(id, _)| !members.contains(id)) {
        let near = nearest(id, members.iter().map(String::as_str));
        sink.push(
            Finding::error(Code("DOC-03"), format!("the loom `{loom}` has no conductor `{id}`"))
                .at(span(*place), "not in its table")
                .help_if(near.map(|near| format!("write `{near}`")))
                .in_procedure(&procedure.id),
        );
    }
    for id in members {
        let chosen = which.iter().find(|(known, _)| known == id);
        if let Some(What::Conductor(conductor)) = items.get_mut(id).map(|item| &mut item.what)
            && (which.is_empty() || chosen.is_some())
        {
            let at = chosen.map_or(*place, |(_, place)| *place);
            conductor.action = conductor.action.or(Some((Action::Join, at)));
        }
    }
}

/// What both say: the procedure's own words where the vehicle has none.
fn overlay(known: &Item, own: &Item, procedure: &Procedure, sink: &mut Sink) -> Item {
    if known.kind() != own.kind() {
        let (one, other) = (known.kind().noun(), own.kind().noun());
        sink.push(
            Finding::error(Code("VAL-05"), format!("`{}` is a {one} and a {other}", own.id))
                .at(span(own.place), format!("declared as a {other} here"))
                .label(span(known.place), format!("declared as a {one} here"))
                .help("an id names one thing: give one of the two another id")
                .in_procedure(&procedure.id),
        );
        return known.clone();
    }
    for key in own.said.keys().filter(|key| known.said.contains_key(*key)) {
        if known.says(key) != own.says(key) {
            let here = own.said.get(key).copied().unwrap_or(own.place);
            let there = known.said.get(key).copied().unwrap_or(known.place);
            sink.push(
                Finding::error(
                    Code("VAL-05"),
                    format!("two declarations of `{}` disagree on its `{key}`", own.id),
                )
                .at(span(here), "one thing has one value")
                .label(span(there), "declared here")
                .help(format!("leave `{key}` out here: the vehicle's file says it once for all"))
                .in_procedure(&procedure.id),
            );
        }
    }
    let mut both = known.clone();
    for key in own.said.keys().filter(|key| !known.said.contains_key(*key)) {
        both.take(own, key);
    }
    if let (What::Conductor(both), Some(own)) = (&mut both.what, own.conductor()) {
        both.with(own);
    }
    both
}
