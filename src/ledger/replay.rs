//! The replay itself: every way through a route, from the first step to the last.

use super::book::{Book, Outcome};
use super::fault::{Fault, Trail};
use super::record::{Entry, Halt, Moved, Replay, Stop};
use super::way::{Way, merge, onward};
use crate::model::{Act, Item, Kind, Place, State};
use std::collections::{BTreeMap, BTreeSet};

/// Most ways that are held apart at one step. Ways that leave everything in the same state are merged, so
/// that only choices which differ in what they leave open count.
const MOST_WAYS: usize = 256;

/// Replays a route over items, from the states that `expects` gives to those that `leaves` gives.
pub fn replay(
    items: &BTreeMap<String, Item>,
    stops: &[Stop],
    expects: &BTreeMap<String, (State, Place)>,
    leaves: &BTreeMap<String, (State, Place)>,
) -> Replay {
    let mut run = Run {
        items,
        faults: BTreeSet::new(),
        moves: Vec::new(),
        halts: Vec::new(),
        touched: BTreeSet::new(),
    };
    let mut waiting: Vec<Vec<Way>> = vec![Vec::new(); stops.len() + 1];
    let start = Way { book: run.start(expects), trails: BTreeMap::new(), path: Vec::new(), main: true };
    if let Some(first) = waiting.first_mut() {
        first.push(start);
    }
    for (leg, stop) in stops.iter().enumerate() {
        let ways = waiting.get_mut(leg).map(std::mem::take).unwrap_or_default();
        for mut way in merge(ways) {
            run.stop(&mut way, leg, stop);
            if onward(&mut waiting, &way, leg, stop) {
                run.halt(&way, leg);
            }
        }
        if waiting.get(leg + 1).is_some_and(|ways| ways.len() > MOST_WAYS) {
            run.faults.insert(Fault::TooManyWays { place: stop.place });
            break;
        }
    }
    for way in waiting.last_mut().map(std::mem::take).map(merge).unwrap_or_default() {
        run.end(&way, expects, leaves);
    }
    Replay {
        faults: run.faults.into_iter().collect(),
        moves: run.moves,
        halts: run.halts,
        touched: run.touched,
    }
}

struct Run<'a> {
    items: &'a BTreeMap<String, Item>,
    faults: BTreeSet<Fault>,
    moves: Vec<Moved>,
    halts: Vec<Halt>,
    touched: BTreeSet<String>,
}

impl Run<'_> {
    fn start(&self, expects: &BTreeMap<String, (State, Place)>) -> Book {
        let mut book = Book::default();
        for (id, (state, _)) in expects {
            if let Some(item) = self.items.get(id) {
                book.set(item, *state);
            }
        }
        book
    }

    fn stop(&mut self, way: &mut Way, leg: usize, stop: &Stop) {
        if let Some(entry) = &stop.enters {
            self.enter(way, leg, entry);
        }
        let mut told = Vec::new();
        if let Some(first) = stop.acts.iter().find(|act| self.needs_off(act)) {
            self.energies_off(way, leg, stop, first, &mut told);
        }
        for act in &stop.acts {
            if self.needs_off(act) {
                self.energies_off(way, leg, stop, act, &mut told);
            }
            self.act(way, leg, act);
        }
    }

    fn enter(&mut self, way: &Way, leg: usize, entry: &Entry) {
        for (id, wanted) in &entry.expects {
            let Some(item) = self.items.get(id) else { continue };
            if !way.book.all_in(item, *wanted) {
                let state = first_other(&way.book, item, *wanted);
                self.faults.insert(Fault::NotAsExpected {
                    procedure: entry.procedure.clone(),
                    item: id.clone(),
                    wanted: *wanted,
                    state,
                    place: entry.place,
                    leg,
                });
            }
        }
    }

    /// Whether an act needs energies off.
    fn needs_off(&self, act: &Act) -> bool {
        self.items.get(&act.item).is_some_and(|item| item.life().needs_off(act.verb))
    }

    /// A step that cuts, joins, caps, runs new, plugs or unplugs needs every energy off, or those it names,
    /// before it begins; and none may come back on before the last act that needs it off.
    fn energies_off(&mut self, way: &Way, leg: usize, stop: &Stop, act: &Act, told: &mut Vec<String>) {
        for energy in self.items.values().filter(|item| item.kind() == Kind::Energy) {
            let needed = stop.needs_off.as_ref().is_none_or(|named| named.contains(&energy.id));
            if needed && !told.contains(&energy.id) && !way.book.all_in(energy, State::ProvedOff) {
                told.push(energy.id.clone());
                self.faults.insert(Fault::NotOff {
                    energy: energy.id.clone(),
                    state: first_other(&way.book, energy, State::ProvedOff),
                    verb: act.verb,
                    place: act.place,
                    leg,
                    trail: trail(way, &energy.id),
                });
            }
        }
    }

    fn act(&mut self, way: &mut Way, leg: usize, act: &Act) {
        let Some(item) = self.items.get(&act.item) else {
            self.faults.insert(Fault::Unknown { item: act.item.clone(), place: act.place, leg });
            return;
        };
        self.touched.insert(item.id.clone());
        self.order(way, leg, act, item);
        match way.book.act(item, act.verb, act.count) {
            Outcome::Illegal(state) => {
                self.faults.insert(Fault::Illegal {
                    item: item.id.clone(),
                    verb: act.verb,
                    state,
                    place: act.place,
                    leg,
                    trail: trail(way, &item.id),
                });
            }
            Outcome::TooMany { wanted, ready } => {
                self.faults.insert(Fault::TooMany {
                    item: item.id.clone(),
                    verb: act.verb,
                    wanted,
                    ready,
                    place: act.place,
                    leg,
                });
            }
            Outcome::Moved(moved) => {
                let count = moved.iter().map(|(_, _, count)| count).sum();
                let entry = Trail { verb: act.verb, count, place: act.place, leg };
                way.trails.entry(item.id.clone()).or_default().push(entry);
                if way.main {
                    for (from, to, count) in moved {
                        let verb = Some(act.verb);
                        self.moves.push(Moved { leg, item: item.id.clone(), verb, from, to, count });
                    }
                }
                self.lose(way, leg, act, item);
            }
        }
    }

    /// What an isolation loses.
    fn lose(&mut self, way: &mut Way, leg: usize, act: &Act, energy: &Item) {
        for id in energy.loses() {
            let Some(setting) = self.items.get(id) else { continue };
            let from = way.book.tally(setting).into_keys().next().unwrap_or(setting.life().start());
            let Some(to) = setting.life().brought(from, act.verb) else { continue };
            way.book.set(setting, to);
            self.touched.insert(id.clone());
            let entry = Trail { verb: act.verb, count: 1, place: act.place, leg };
            way.trails.entry(id.clone()).or_default().push(entry);
            if way.main {
                self.moves.push(Moved { leg, item: id.clone(), verb: None, from, to, count: 1 });
            }
        }
    }

    /// Whether a panel stands in the way of what is done, or what holds it does.
    fn order(&mut self, way: &Way, leg: usize, act: &Act, item: &Item) {
        for panel in self.items.values().filter(|panel| panel.hides().contains(&item.id)) {
            if !way.book.all_in(panel, State::Off) {
                self.faults.insert(Fault::Hidden {
                    item: item.id.clone(),
                    panel: panel.id.clone(),
                    place: act.place,
                    leg,
                    trail: trail(way, &panel.id),
                });
            }
        }
        let holds = |item: &&Item| item.kind().is_fastening() && item.holds() == Some(act.item.as_str());
        if item.life().after(State::On, act.verb) == Some(State::Off) {
            for by in self.items.values().filter(holds).filter(|by| !way.book.all_in(by, State::Out)) {
                let (panel, by) = (item.id.clone(), by.id.clone());
                self.faults.insert(Fault::Held { panel, by, place: act.place, leg });
            }
        }
        let goes_in = act.verb.leads_to(State::Fitted) || act.verb.leads_to(State::Tight);
        let held = item.holds().and_then(|panel| self.items.get(panel));
        if let (true, true, Some(panel)) = (item.kind().is_fastening(), goes_in, held)
            && !way.book.all_in(panel, State::On)
        {
            self.faults.insert(Fault::TooEarly {
                panel: panel.id.clone(),
                by: item.id.clone(),
                place: act.place,
                leg,
                trail: trail(way, &panel.id),
            });
        }
    }

    /// Notes what stands open where a job ends after a leg, over all ways that end there.
    fn halt(&mut self, way: &Way, leg: usize) {
        if self.halts.last().is_none_or(|halt| halt.leg != leg) {
            self.halts.push(Halt { leg, open: BTreeMap::new() });
        }
        let Some(halt) = self.halts.last_mut() else { return };
        for item in self.items.values() {
            for (state, count) in way.book.tally(item) {
                if !item.life().ends().contains(&state) {
                    let known = halt.open.entry(item.id.clone()).or_default().entry(state).or_insert(0);
                    *known = count.max(*known);
                }
            }
        }
    }

    /// The end rule: everything as its kind must, as `leaves` says, or untouched.
    fn end(
        &mut self,
        way: &Way,
        expects: &BTreeMap<String, (State, Place)>,
        leaves: &BTreeMap<String, (State, Place)>,
    ) {
        for item in self.items.values() {
            let tally = way.book.tally(item);
            if let Some((wanted, place)) = leaves.get(&item.id) {
                if !way.book.all_in(item, *wanted) {
                    self.faults.insert(Fault::NotLeft {
                        item: item.id.clone(),
                        wanted: *wanted,
                        state: first_other(&way.book, item, *wanted),
                        place: *place,
                        trail: trail(way, &item.id),
                    });
                }
                continue;
            }
            if expects.contains_key(&item.id) && !way.trails.contains_key(&item.id) {
                continue;
            }
            for (state, count) in tally {
                if !item.life().ends().contains(&state) {
                    self.faults.insert(Fault::Open {
                        item: item.id.clone(),
                        state,
                        count,
                        trail: trail(way, &item.id),
                        path: way.path.clone(),
                    });
                }
            }
        }
    }
}

fn trail(way: &Way, item: &str) -> Vec<Trail> {
    way.trails.get(item).cloned().unwrap_or_default()
}

/// The first state in which a unit of an item stands that is not the wanted one.
fn first_other(book: &Book, item: &Item, wanted: State) -> State {
    book.tally(item).into_keys().find(|state| *state != wanted).unwrap_or(wanted)
}

#[cfg(test)]
mod tests;
