//! The states of all items at one moment.

use crate::model::{Item, State, Verb};
use std::collections::BTreeMap;

/// How many of an item stand in which state.
pub(super) type Tally = BTreeMap<State, u32>;

/// The states of the items that were touched; everything else stands as it was found.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Book {
    states: BTreeMap<String, Tally>,
}

/// What came of a verb.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Outcome {
    /// The units that moved: from, to, how many.
    Moved(Vec<(State, State, u32)>),
    /// No unit stands in a state that the verb knows; holds the state that stands in the way.
    Illegal(State),
    /// More are asked for than stand ready.
    TooMany { wanted: u32, ready: u32 },
}

impl Book {
    /// The states in which units of an item stand, each with how many.
    pub fn tally(&self, item: &Item) -> BTreeMap<State, u32> {
        match self.states.get(&item.id) {
            Some(tally) => tally.clone(),
            None => BTreeMap::from([(item.life().start(), item.count())]),
        }
    }

    /// Whether every unit of an item stands in one state.
    pub fn all_in(&self, item: &Item, state: State) -> bool {
        match self.states.get(&item.id) {
            Some(tally) => tally.keys().all(|known| *known == state),
            None => item.life().start() == state,
        }
    }

    /// Puts every unit of an item into one state.
    pub(super) fn set(&mut self, item: &Item, state: State) {
        self.states.insert(item.id.clone(), BTreeMap::from([(state, item.count())]));
    }

    /// Does a verb to all units of an item, or to `count` of them.
    pub(super) fn act(&mut self, item: &Item, verb: Verb, count: Option<u32>) -> Outcome {
        let mut tally = self.tally(item);
        let steps: Vec<(State, State, u32)> = tally
            .iter()
            .filter_map(|(from, number)| Some((*from, item.life().after(*from, verb)?, *number)))
            .collect();
        let ready: u32 = steps.iter().map(|(_, _, number)| number).sum();
        if ready == 0 || (count.is_none() && steps.len() < tally.len()) {
            let stuck = tally.keys().find(|state| item.life().after(**state, verb).is_none());
            return Outcome::Illegal(stuck.copied().unwrap_or(item.life().start()));
        }
        let mut left = count.unwrap_or(ready);
        if left > ready {
            return Outcome::TooMany { wanted: left, ready };
        }
        let mut moved = Vec::new();
        for (from, to, number) in steps {
            let going = number.min(left);
            if going == 0 {
                continue;
            }
            left -= going;
            if let Some(here) = tally.get_mut(&from) {
                *here -= going;
            }
            *tally.entry(to).or_insert(0) += going;
            moved.push((from, to, going));
        }
        tally.retain(|_, number| *number > 0);
        self.states.insert(item.id.clone(), tally);
        Outcome::Moved(moved)
    }
}
