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

/// Hands a way to every stop that may follow, all of which lie ahead; whether the job may end here too.
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
        if let Some(ways) = waiting.get_mut(target) {
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

#[cfg(test)]
mod tests {
    use super::*;

    fn way(path: &str, main: bool) -> Way {
        Way { book: Book::default(), trails: BTreeMap::new(), path: vec![path.to_owned()], main }
    }

    #[test]
    fn of_ways_that_leave_the_same_the_main_one_stays() {
        for (first, second, kept) in [(true, false, "one"), (false, true, "other"), (false, false, "one")] {
            let merged = merge(vec![way("one", first), way("other", second)]);
            assert_eq!(merged.len(), 1);
            assert_eq!((merged[0].path[0].as_str(), merged[0].main), (kept, first || second));
        }
    }

    /// Which ways wait at the stops one to four after the first: their last word, and whether each is the main one.
    fn handed(main: bool, next: Vec<Onward>) -> (Vec<Vec<(String, bool)>>, bool) {
        let mut waiting = vec![Vec::new(); 5];
        let stop = Stop { step: "look".to_owned(), next, ..Stop::default() };
        let ends = onward(&mut waiting, &way("start", main), 0, &stop);
        let last = |way: &Way| (way.path.last().cloned().unwrap_or_default(), way.main);
        (waiting[1..].iter().map(|ways| ways.iter().map(last).collect()).collect(), ends)
    }

    #[test]
    fn a_stop_hands_its_way_to_each_that_may_follow() {
        let at = |word: &str, main: bool| vec![(word.to_owned(), main)];
        let none = Vec::new;
        assert_eq!(handed(true, Vec::new()), (vec![at("start", true), none(), none(), none()], false));
        assert_eq!(
            handed(true, vec![Onward::Leg(2)]),
            (vec![none(), at("start", true), none(), none()], false)
        );
        let both = vec![Onward::Leg(3), Onward::Leg(1)];
        let (next, ahead) = ("look → next", "look → ahead");
        assert_eq!(
            handed(true, both.clone()),
            (vec![at(next, true), none(), at(ahead, false), none()], false)
        );
        // What left the main way does not come back to it.
        assert_eq!(handed(false, both), (vec![at(next, false), none(), at(ahead, false), none()], false));
        let ending = vec![Onward::Stop, Onward::Leg(2)];
        assert_eq!(handed(true, ending), (vec![none(), at(ahead, true), none(), none()], true));
    }
}
