//! What a replay is given and what it gives: the stops of a route, and the moves and faults on it.

use super::fault::Fault;
use crate::model::{Act, Place, State, Verb};
use std::collections::{BTreeMap, BTreeSet};

/// One step of a route.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Stop {
    /// Its id, for the paths of faults.
    pub step: String,
    /// What it does.
    pub acts: Vec<Act>,
    /// Which energies it needs off, where it says so itself.
    pub needs_off: Option<Vec<String>>,
    /// What a procedure that begins here expects.
    pub enters: Option<Entry>,
    /// Where the work may go on; empty where only to the next stop.
    pub next: Vec<Onward>,
    /// Where the step is written.
    pub place: Place,
}

/// Where the work goes on after a stop of the route.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Onward {
    /// At another stop, by its number; a number past the last one is the end.
    Leg(usize),
    /// Nowhere: the job ends here, with whatever then stands open.
    Stop,
}

/// What stands open where a job ends before its route does.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Halt {
    /// The leg after which it ends.
    pub leg: usize,
    /// The items that are not at an end of their life, with the states in which units of each may stand and the
    /// most units that do, over all ways that lead here.
    pub open: BTreeMap<String, BTreeMap<State, u32>>,
}

/// The beginning of a procedure that is carried out in place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// The procedure.
    pub procedure: String,
    /// What it expects.
    pub expects: BTreeMap<String, State>,
    /// Where it is carried out.
    pub place: Place,
}

/// One move of a replay.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Moved {
    /// The leg of the route.
    pub leg: usize,
    /// The item.
    pub item: String,
    /// What was done; nothing for a setting that an isolation loses.
    pub verb: Option<Verb>,
    /// Before.
    pub from: State,
    /// After.
    pub to: State,
    /// How many.
    pub count: u32,
}

/// What came of a replay.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Replay {
    /// What is wrong.
    pub faults: Vec<Fault>,
    /// Every move of the way that skips nothing, in order.
    pub moves: Vec<Moved>,
    /// Where the job may end early, in the order of the route.
    pub halts: Vec<Halt>,
    pub(super) touched: BTreeSet<String>,
}

impl Replay {
    /// Whether any way touches an item.
    pub fn touches(&self, item: &str) -> bool {
        self.touched.contains(item)
    }

    /// The moves of one leg.
    pub fn on_leg(&self, leg: usize) -> impl Iterator<Item = &Moved> {
        self.moves.iter().filter(move |moved| moved.leg == leg)
    }
}
