//! VAL-05: one thing, one value over the whole manual.

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink};
use crate::model::{Item, Torque, Verb};
use crate::parse::span;
use crate::quantity::Quantity;
use std::collections::{BTreeMap, BTreeSet};

/// The rule VAL-05.
pub(super) struct Val05;

static PAGE: Page = Page {
    code: Code("VAL-05"),
    severity: Severity::Error,
    rule: "one thing, one value over the whole manual",
    why: "Of two figures for one screw, one is wrong, and the reader who finds both trusts neither.",
    source: "common practice of single sourcing",
    fails: "# lining-screws has torque: 2.5 N·m in the vehicle's file\nTighten the screws to 3 N·m.",
    passes: "Tighten the screws from the middle outward.     # the step shows the declared torque",
};

impl Rule for Val05 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        disagree(reading, sink);
        for read in &reading.procedures {
            for (_, leg, step) in read.own_legs() {
                let torques: Vec<(&Item, &Quantity)> = leg
                    .stop
                    .acts
                    .iter()
                    .filter(|act| matches!(act.verb, Verb::Tighten | Verb::Fasten))
                    .filter_map(|act| read.known.items.get(&act.item))
                    .filter_map(|item| match &item.torque {
                        Some(Torque::Figure(torque)) => Some((item, torque)),
                        _ => None,
                    })
                    .collect();
                let Some((item, torque)) = torques.first() else { continue };
                for passage in read.of_step(step).filter(|passage| passage.role.instructs()) {
                    for number in &passage.numbers {
                        let (Some(said), Some((first, last))) = (&number.quantity, number.words(passage))
                        else {
                            continue;
                        };
                        let other = |(_, torque): &(&Item, &Quantity)| {
                            said.in_unit(torque.unit)
                                .is_ok_and(|said| (said - torque.value).abs() > 0.02 * torque.value)
                        };
                        if torques.iter().all(other) {
                            let headline = format!("`{}` takes {torque}, and the text says {said}", item.id);
                            let finding = read.at(
                                PAGE.finding(headline),
                                passage.place(first, last),
                                "another figure",
                                Some(step),
                            );
                            let declared = item.said.get("torque").copied().unwrap_or(item.place);
                            sink.push(
                                finding
                                    .label(span(declared), "declared here")
                                    .help("leave the figure out: the step shows the declared one"),
                            );
                        }
                    }
                }
            }
        }
    }
}

/// Two procedures for one vehicle that declare one id in two ways.
fn disagree(reading: &Reading<'_>, sink: &mut Sink) {
    let mut first: BTreeMap<(&str, &str), (&str, &Item)> = BTreeMap::new();
    for read in &reading.procedures {
        let mut told: BTreeSet<(&str, &str)> = BTreeSet::new();
        for applies in &read.procedure.applies_to {
            for (id, item) in &read.procedure.items {
                let Some((owner, known)) = first.get(&(applies.vehicle.as_str(), id.as_str())) else {
                    first.insert((&applies.vehicle, id), (&read.procedure.id, item));
                    continue;
                };
                let keys = item.said.keys().filter(|key| known.said.contains_key(*key));
                for key in keys.filter(|key| said(item, key) != said(known, key)) {
                    if !told.insert((id, key)) {
                        continue;
                    }
                    let at = |item: &Item| item.said.get(key).copied().unwrap_or(item.place);
                    let headline = format!("`{id}` has another `{key}` in `{owner}`");
                    let finding = read.at(PAGE.finding(headline), at(item), "one thing has one value", None);
                    sink.push(
                        finding
                            .label(span(at(known)), "declared here")
                            .help(format!("declare `{id}` once, in vehicles/{}.yaml", applies.vehicle)),
                    );
                }
            }
        }
    }
}

/// What an item says under a key that holds for the thing itself, and not for one procedure's work on it.
fn said(item: &Item, key: &str) -> Option<String> {
    Some(match key {
        "of" => format!("{:?}", item.of),
        "count" => item.count.to_string(),
        "holds" => format!("{:?}", item.holds),
        "hides" => format!("{:?}", item.hides),
        "loses" => format!("{:?}", item.loses),
        "safety" => item.safety.to_string(),
        "torque" => format!("{:?}", item.torque),
        "angle" => format!("{:?}", item.angle),
        "ways" => format!("{:?}", item.ways),
        "lock" => format!("{:?}", item.lock),
        "carries" => format!("{:?}", item.carries),
        "colour" => format!("{:?}", item.colour),
        _ => return None,
    })
}
