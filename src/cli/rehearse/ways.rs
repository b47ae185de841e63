//! Where a walk may go on: the alternatives at each leg of a route, and the legs that they lead to.

use crate::ledger::Onward;
use crate::model::{Check, Otherwise, Step, Turn};
use crate::work::{Leg, Route, Worked};

/// A question at the end of a leg: which way the work goes on.
pub(super) struct Ask {
    /// The leg whose step asks; what it carries out is gone through before.
    pub(super) owner: usize,
    /// The ways, in the order in which they are written.
    pub(super) ways: Vec<Way>,
    /// Whether one of them must be taken; else the work may go on as if nothing were asked.
    pub(super) must: bool,
}

/// One way on.
pub(super) struct Way {
    /// When it is taken.
    pub(super) when: String,
    /// Where it leads.
    pub(super) to: To,
}

/// Where a way leads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum To {
    /// To a leg of the route.
    Leg(usize),
    /// The job ends.
    End,
    /// To a step that this route does not go through.
    Nowhere,
}

/// What is asked at the end of a leg: by its own step, and by those that carry it out and end with it, from the
/// inside out.
pub(super) fn asks(worked: &Worked, route: &Route, at: usize) -> Vec<Ask> {
    let mut asks = Vec::new();
    let Some(deepest) = route.legs.get(at).map(|leg| leg.depth) else { return asks };
    let mut depth = deepest + 1;
    for (owner, leg) in route.legs.iter().enumerate().take(at + 1).rev() {
        if leg.depth >= depth || last(route, owner) != at {
            continue;
        }
        depth = leg.depth;
        let procedure = worked.parsed().procedures().get(&leg.procedure);
        let Some(step) = procedure.and_then(|procedure| procedure.step(&leg.step)) else { continue };
        let turns = turns(step);
        if !turns.is_empty() {
            let way = |(when, turn): (String, &Turn)| Way { when, to: target(route, owner, turn) };
            let ways = turns.into_iter().map(way).collect();
            asks.push(Ask { owner, ways, must: step.choose.len() > 1 });
        }
    }
    asks
}

/// The branches of a step, each with when it is taken.
fn turns(step: &Step) -> Vec<(String, &Turn)> {
    let chosen = step.choose.iter().map(|choice| (choice.when.clone(), &choice.then));
    let check = match &step.check {
        Some(Check::Measured { measure, otherwise: Some((otherwise, _)), .. }) => {
            otherwise.turn().map(|turn| (format!("{measure} is not as it must be"), turn))
        }
        _ => None,
    };
    let late =
        step.within.as_ref().and_then(|(_, otherwise, _)| otherwise.as_ref()).and_then(Otherwise::turn);
    let late = late.map(|turn| ("The time has run out".to_owned(), turn));
    chosen.chain(check).chain(late).collect()
}

/// The leg that ends what a leg carries out; the leg itself where it carries nothing out.
fn last(route: &Route, owner: usize) -> usize {
    let Some(depth) = route.legs.get(owner).map(|leg| leg.depth) else { return owner };
    owner + route.legs.iter().skip(owner + 1).take_while(|leg| leg.depth > depth).count()
}

/// Where a branch of a leg's step leads.
fn target(route: &Route, owner: usize, turn: &Turn) -> To {
    let (Turn::Step(id), Some(own)) = (turn, route.legs.get(owner)) else { return To::End };
    // The legs of the same run of the procedure lie between the nearest that carry it out.
    let outside = |leg: &Leg| leg.depth < own.depth;
    let before = route.legs.iter().take(owner).rposition(outside).map_or(0, |at| at + 1);
    let run =
        route.legs.iter().enumerate().skip(before).take_while(|(at, leg)| *at <= owner || !outside(leg));
    let mut steps = run.filter(|(_, leg)| leg.depth == own.depth && leg.procedure == own.procedure);
    steps.find(|(_, leg)| leg.step == *id).map_or(To::Nowhere, |(at, _)| To::Leg(at))
}

/// The leg after one, on the way that skips nothing.
pub(super) fn plain(leg: &Leg, at: usize) -> usize {
    let legs = leg.stop.next.iter().filter_map(|to| match to {
        Onward::Leg(leg) => Some(*leg),
        Onward::Stop => None,
    });
    legs.min().unwrap_or(at + 1)
}
