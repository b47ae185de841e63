//! The ways through a route: where choices part them, and where they come together again.

use super::book::Book;
use super::fault::Trail;
use super::record::{Onward, Stop};
use std::collections::BTreeMap;

/// One way through the route so far.
#[derive(Clone, Debug)]
pub(super) struct Way {
    pub(super) book: Book,
    pub(super) trails: BTreeMap<String, Vec<Trail>>,
    pub(super) path: Vec<String>,
    /// Whether it is the way that skips nothing.
    pub(super) main: bool,
}

/// Hands a way to every stop that may follow; whether the job may end here too.
pub(super) fn onward(waiting: &mut [Vec<Way>], way: &Way, leg: usize, stop: &Stop) -> bool {
    let plain = [Onward::Leg(leg + 1)];
    let next: &[Onward] = if stop.next.is_empty() { &plain } else { &stop.next };
    let target = |to: &Onward| match to {
        Onward::Leg(target) => Some(*target),
        Onward::Stop => None,
    };
    let main = next.iter().filter_map(target).min();
    let mut ends = false;
    for target in next.iter().map(target) {
        let Some(target) = target else {
            ends = true;
            continue;
        };
        let mut way = way.clone();
        way.main = way.main && Some(target) == main;
        if next.len() > 1 {
            way.path.push(format!("{} → {}", stop.step, if target == leg + 1 { "next" } else { "ahead" }));
        }
        if let Some(ways) = waiting.get_mut(target.max(leg + 1)) {
            ways.push(way);
        }
    }
    ends
}

/// One way for each book; the way that skips nothing stays.
pub(super) fn merge(ways: Vec<Way>) -> Vec<Way> {
    let mut kept: Vec<Way> = Vec::new();
    for way in ways {
        match kept.iter_mut().find(|known| known.book == way.book) {
            Some(known) if way.main => *known = way,
            Some(_) => {}
            None => kept.push(way),
        }
    }
    kept
}
