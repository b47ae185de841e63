//! VAL-05: one thing, one value over the whole manual.

use crate::check::reading::{Read, Reading};
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink};
use crate::model::{Item, State, Torque};
use crate::parse::span;
use crate::phrase::phrase;
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
        for read in &reading.procedures {
            disagree(reading, read, sink);
            in_words(read, sink);
        }
    }
}

/// A torque in the text of a step that tightens, other than the declared one.
fn in_words(read: &Read<'_>, sink: &mut Sink) {
    for (_, leg, step) in read.own_legs() {
        let tightened = leg.stop.acts.iter().filter(|act| act.verb.leads_to(State::Tight));
        let torques: Vec<(&Item, &Quantity)> = tightened
            .filter_map(|act| read.known.items.get(&act.item))
            .filter_map(|item| match item.torque() {
                Some(Torque::Figure(torque)) => Some((item, torque)),
                _ => None,
            })
            .collect();
        let Some((item, torque)) = torques.first() else { continue };
        for passage in read.of_step(step).filter(|passage| passage.role.instructs()) {
            for number in &passage.numbers {
                let Some(said) = &number.quantity else { continue };
                let Some((first, last)) = passage.words_of(number) else { continue };
                if !torques.iter().all(|(_, torque)| differs(said, torque)) {
                    continue;
                }
                let headline = phrase!(
                    "`{item}` takes {torque}, and the text says {said}",
                    item = item.id,
                    torque = torque,
                    said = said
                );
                let place = passage.place(first, last);
                let declared = item.said.get("torque").copied().unwrap_or(item.place);
                sink.push(
                    read.at(PAGE.finding(headline), place, phrase!("another figure"), Some(step))
                        .label(span(declared), phrase!("declared here"))
                        .help(phrase!("leave the figure out: the step shows the declared one")),
                );
            }
        }
    }
}

/// Whether a quantity is a torque, and more than a slip of rounding away from another.
fn differs(said: &Quantity, torque: &Quantity) -> bool {
    said.in_unit(torque.unit).is_ok_and(|said| (said - torque.value).abs() > 0.02 * torque.value)
}

/// A procedure and those that it carries out, which declare one id in two ways: there it is one thing.
fn disagree(reading: &Reading<'_>, read: &Read<'_>, sink: &mut Sink) {
    let carried: BTreeSet<&str> = read
        .known
        .route
        .legs
        .iter()
        .filter(|leg| leg.procedure != read.procedure.id)
        .map(|leg| leg.procedure.as_str())
        .collect();
    let others = carried.into_iter().filter_map(|id| reading.worked.parsed().procedures().get(id));
    let mut first: BTreeMap<&str, (&str, &Item)> = BTreeMap::new();
    for owner in std::iter::once(read.procedure).chain(others) {
        for (id, item) in &owner.items {
            let (other, known) = *first.entry(id).or_insert((&owner.id, item));
            // What people call a thing and how they go round it may differ from one procedure to the next.
            let own = ["name", "order"];
            let both =
                item.said.keys().filter(|key| known.said.contains_key(*key) && !own.contains(&key.as_str()));
            for key in both.filter(|key| item.says(key) != known.says(key)) {
                let at = |item: &Item| item.said.get(key).copied().unwrap_or(item.place);
                let headline = phrase!(
                    "`{id}` has one `{key}` in `{other}` and another in `{owner}`",
                    id = id,
                    key = key,
                    other = other,
                    owner = owner.id
                );
                let finding =
                    read.at(PAGE.finding(headline), at(known), phrase!("one thing has one value"), None);
                sink.push(
                    finding
                        .label(span(at(item)), phrase!("the other"))
                        .help(phrase!("declare `{id}` once, in the vehicle's file", id = id)),
                );
            }
        }
    }
}
