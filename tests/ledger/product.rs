//! The same job as the product sees it: its items and stops, and what its replay finds, in the checker's
//! words.

use crate::automaton::Verdict;
use crate::job::{Job, Thing};
use benchleaf::ledger::{Closing, Fault, Stop, replay};
use benchleaf::model::{Act, Item, Kind, Method, Place, State, Verb, What};
use std::collections::{BTreeMap, BTreeSet};

pub type States = BTreeMap<String, (State, Place)>;

/// Everything that the replay finds wrong.
pub fn judge(job: &Job) -> BTreeSet<Verdict> {
    judge_stops(job, &stops(job), &States::new(), &States::new())
}

/// Everything that the replay of some stops finds wrong.
pub fn judge_stops(job: &Job, stops: &[Stop], expects: &States, leaves: &States) -> BTreeSet<Verdict> {
    let items = items(job);
    replay(&items, stops, expects, leaves).faults.iter().map(|fault| verdict(&items, fault)).collect()
}

/// The things as items.
pub fn items(job: &Job) -> BTreeMap<String, Item> {
    job.things.values().map(|thing| (thing.id.clone(), item(thing))).collect()
}

fn item(thing: &Thing) -> Item {
    let kind = Kind::ALL.into_iter().find(|kind| kind.noun() == thing.kind).expect("a kind");
    let mut item = Item::bare(kind, &thing.id, Place::default());
    match &mut item.what {
        What::Energy { loses } => loses.clone_from(&thing.loses),
        What::Panel { hides, .. } => hides.clone_from(&thing.hides),
        What::Fastening(fastening) => {
            fastening.count = u32::try_from(thing.count).unwrap();
            fastening.holds.clone_from(&thing.holds);
        }
        What::Conductor(conductor) => {
            conductor.shielded = thing.shield;
            conductor.join.by = thing.barrel.then(|| (Method::Barrel, Place::default()));
        }
        What::Aid { count } => *count = u32::try_from(thing.count).unwrap(),
        What::Connector(_) | What::Setting => {}
    }
    item
}

/// The steps as stops. An act's place holds its number in its step.
pub fn stops(job: &Job) -> Vec<Stop> {
    let stop = |(number, deeds): (usize, &Vec<crate::job::Deed>)| Stop {
        step: format!("step-{number}"),
        acts: deeds
            .iter()
            .zip(0..)
            .map(|(deed, start)| Act {
                verb: Verb::of(deed.verb).expect("a verb"),
                item: deed.item.clone(),
                count: deed.count.map(|count| u32::try_from(count).unwrap()),
                place: Place { file: 0, start, end: start },
            })
            .collect(),
        needs_off: job.needs_off.clone(),
        ..Stop::default()
    };
    job.steps.iter().enumerate().map(stop).collect()
}

/// A proposed deed as a stop.
pub fn stop(closing: &Closing, job: &Job) -> Stop {
    let Closing { item, verb, count, .. } = closing;
    let act = Act { verb: *verb, item: item.clone(), count: *count, place: Place::default() };
    Stop { acts: vec![act], needs_off: job.needs_off.clone(), ..Stop::default() }
}

fn verdict(items: &BTreeMap<String, Item>, fault: &Fault) -> Verdict {
    let at = |leg: &usize, place: &Place| format!("step {leg} deed {}", place.start);
    match fault {
        Fault::Open { item, state, count, .. } => {
            let code = match items[item].kind() {
                Kind::Energy => "LED-03",
                Kind::Connector => "LED-02",
                Kind::Conductor => "LED-04",
                Kind::Aid => "LED-06",
                Kind::Setting => "LED-07",
                _ => "LED-01",
            };
            (code, item.clone(), format!("{count} {}", state.word()))
        }
        Fault::Illegal { item, place, leg, .. } | Fault::TooMany { item, place, leg, .. } => {
            ("LED-10", item.clone(), at(leg, place))
        }
        Fault::NotOff { energy, leg, .. } => ("LED-03", energy.clone(), format!("step {leg}")),
        Fault::Hidden { item, place, leg, .. } => ("LED-05", item.clone(), at(leg, place)),
        Fault::Held { panel, place, leg, .. } => ("LED-12", panel.clone(), at(leg, place)),
        Fault::TooEarly { by, place, leg, .. } => ("LED-12", by.clone(), at(leg, place)),
        other => ("unexpected", String::new(), format!("{other:?}")),
    }
}
