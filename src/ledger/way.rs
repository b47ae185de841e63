//! The ways through a route: where choices part them, and where they come together again.

use super::book::Book;
use super::fault::Trail;
use super::record::Stop;
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

/// Hands a way to every stop that may follow.
pub(super) fn onward(waiting: &mut [Vec<Way>], way: &Way, leg: usize, stop: &Stop) {
    let plain = [leg + 1];
    let next: &[usize] = if stop.next.is_empty() { &plain } else { &stop.next };
    let main = next.iter().min().copied();
    for target in next {
        let mut way = way.clone();
        way.main = way.main && Some(*target) == main;
        if next.len() > 1 {
            way.path.push(format!("{} → {}", stop.step, if *target == leg + 1 { "next" } else { "ahead" }));
        }
        if let Some(ways) = waiting.get_mut((*target).max(leg + 1)) {
            ways.push(way);
        }
    }
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
