//! What would close a ledger: the verbs that bring everything left open to an end, what was opened last first.

use super::{Fault, Replay};
use crate::model::{Fate, Item, Kind, State, Verb};
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// One verb of a proposal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Closing {
    /// The item.
    pub item: String,
    /// What is to be done to it.
    pub verb: Verb,
    /// To how many of it, where not to all.
    pub count: Option<u32>,
    /// The leg of the route that closes its way: a panel goes back over it, or a supply comes on that it needs
    /// off. Nothing where it may be done at the end.
    pub before: Option<usize>,
}

impl Closing {
    /// The line of a step that does it: `- fasten: {item: lining-screws, count: 4}`.
    pub fn line(&self) -> String {
        let (verb, item) = (self.verb.word(), &self.item);
        match self.count {
            None => format!("- {verb}: {item}"),
            Some(count) => format!("- {verb}: {{item: {item}, count: {count}}}"),
        }
    }
}

/// The verbs that close what a replay leaves open: first those that must be done before an earlier leg, and
/// for each leg in reverse order of opening. Settings come last, since most are taught with everything else in
/// place. `fate` says what becomes of each item.
pub fn propose(
    items: &BTreeMap<String, Item>,
    replay: &Replay,
    fate: impl Fn(&Item) -> Fate,
) -> Vec<Closing> {
    let mut open: Vec<(&Item, BTreeMap<State, u32>)> = items
        .values()
        .map(|item| (item, left_open(replay, &item.id)))
        .filter(|(_, tally)| !tally.is_empty())
        .collect();
    open.sort_by_key(|(item, _)| (item.kind() == Kind::Setting, Reverse(opened(replay, item))));
    let limits = limits(items, replay, &open);
    let mut closings: Vec<Closing> = Vec::new();
    for (item, tally) in &open {
        let before = limits.get(&item.id).copied();
        closings.extend(closings_of(item, tally, fate(item)).into_iter().map(|it| Closing { before, ..it }));
    }
    closings.sort_by_key(|closing| closing.before.unwrap_or(usize::MAX));
    closings
}

/// The legs before which open items must be closed. What stands behind a panel that is itself open must be
/// closed before that panel.
fn limits(
    items: &BTreeMap<String, Item>,
    replay: &Replay,
    open: &[(&Item, BTreeMap<State, u32>)],
) -> BTreeMap<String, usize> {
    let mut limits: BTreeMap<String, usize> = BTreeMap::new();
    for (item, _) in open {
        let electric = matches!(item.kind(), Kind::Connector | Kind::Conductor);
        let closes =
            |other: &Item| other.hides().contains(&item.id) || electric && other.kind() == Kind::Energy;
        let mut later = replay.moves.iter().skip(opened(replay, item).unwrap_or(0));
        let closing = later.find(|moved| moved.to == State::On && items.get(&moved.item).is_some_and(closes));
        if let Some(moved) = closing {
            limits.insert(item.id.clone(), moved.leg);
        }
    }
    // Panels behind panels: once for each open item is as deep as they can stand.
    for _ in open {
        for (panel, _) in open {
            let Some(limit) = limits.get(&panel.id).copied() else { continue };
            for hidden in panel.hides() {
                let known = limits.entry(hidden.clone()).or_insert(limit);
                *known = limit.min(*known);
            }
        }
    }
    limits
}

/// In which states units of an item are left on the first way that leaves any.
fn left_open(replay: &Replay, id: &str) -> BTreeMap<State, u32> {
    let mut tally = BTreeMap::new();
    let mut first = None;
    for fault in &replay.faults {
        if let Fault::Open { item, state, count, path, .. } = fault
            && item == id
            && *first.get_or_insert(path) == path
        {
            tally.insert(*state, *count);
        }
    }
    tally
}

/// When an item was opened: the number of the move by which it last left an end of its life. What was open
/// from the start comes before everything.
fn opened(replay: &Replay, item: &Item) -> Option<usize> {
    let ends = item.life().ends();
    replay
        .moves
        .iter()
        .rposition(|moved| moved.item == item.id && ends.contains(&moved.from) && !ends.contains(&moved.to))
}

/// The verbs that bring the units of one item from their states to an end, each once, for as many units as
/// still need it.
pub fn closings_of(item: &Item, tally: &BTreeMap<State, u32>, fate: Fate) -> Vec<Closing> {
    let mut closings: Vec<Closing> = Vec::new();
    let mut counts: Vec<u32> = Vec::new();
    // Units with the longest way first, so that none is tightened for all before the others are in.
    let mut ways: Vec<(Vec<Verb>, u32)> =
        tally.iter().map(|(state, number)| (item.life().lacks(*state, fate), *number)).collect();
    ways.sort_by_key(|(verbs, _)| Reverse(verbs.len()));
    for (verbs, number) in ways {
        for verb in verbs {
            match closings.iter().position(|known| known.verb == verb) {
                Some(at) => counts.iter_mut().skip(at).take(1).for_each(|count| *count += number),
                None => {
                    closings.push(Closing { item: item.id.clone(), verb, count: None, before: None });
                    counts.push(number);
                }
            }
        }
    }
    for (closing, count) in closings.iter_mut().zip(counts) {
        closing.count = (count != item.count()).then_some(count);
    }
    closings
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ledger::{Stop, replay};
    use crate::model::{Act, Fastening, Place, Sort, What};

    fn garage() -> BTreeMap<String, Item> {
        let item = |kind, id: &str| Item::bare(kind, id, Place::default());
        let thing = |what, id: &str| Item::new(what, id, Place::default());
        let supply = thing(What::Energy { loses: vec!["clock".into()] }, "supply");
        let hides = vec!["plug".into(), "feed".into()];
        let lining = thing(What::Panel { of: None, hides }, "lining");
        let holds = |sort, count| Fastening { count, holds: Some("lining".into()), ..Fastening::of(sort) };
        let screws = thing(What::Fastening(holds(Sort::Fastener, 9)), "screws");
        let rivets = thing(What::Fastening(holds(Sort::Clip, 1)), "rivets");
        let rest = [(Kind::Connector, "plug"), (Kind::Conductor, "feed"), (Kind::Setting, "clock")];
        let rest = rest.map(|(kind, id)| item(kind, id));
        [supply, lining, screws, rivets].into_iter().chain(rest).map(|item| (item.id.clone(), item)).collect()
    }

    fn stop(verb: Verb, item: &str, count: Option<u32>) -> Stop {
        let act = Act { verb, item: item.to_owned(), count, place: Place::default() };
        Stop { acts: vec![act], ..Stop::default() }
    }

    fn stops(lines: &[&str]) -> Vec<Stop> {
        let one = |line: &&str| {
            let words: Vec<&str> = line.split(' ').collect();
            stop(Verb::of(words[0]).unwrap(), words[1], words.get(2).map(|count| count.parse().unwrap()))
        };
        lines.iter().map(one).collect()
    }

    const OPENING: [&str; 8] = [
        "isolate supply",
        "secure supply",
        "prove-off supply",
        "remove screws",
        "remove rivets",
        "take-off lining",
        "unplug plug",
        "cut feed",
    ];

    /// Opens, proposes, closes as proposed, and replays the whole.
    fn closed(items: &BTreeMap<String, Item>, mut route: Vec<Stop>) -> (Vec<String>, Vec<Fault>) {
        let none = BTreeMap::new();
        let first = replay(items, &route, &none, &none);
        let proposed = propose(items, &first, |item| Fate { renewed: item.id == "rivets", action: None });
        let said = proposed.iter().map(|it| {
            let count = it.count.map_or_else(String::new, |count| format!(" {count}"));
            format!("{} {}{count}", it.verb.word(), it.item)
        });
        let said = said.collect();
        route.extend(proposed.iter().map(|it| stop(it.verb, &it.item, it.count)));
        (said, replay(items, &route, &none, &none).faults)
    }

    #[test]
    fn what_was_opened_last_is_closed_first() {
        let (said, faults) = closed(&garage(), stops(&OPENING));
        let wanted = [
            "sleeve-on feed",
            "join feed",
            "look-over feed",
            "shrink feed",
            "test feed",
            "plug-in plug",
            "put-back lining",
            "renew rivets",
            "tighten rivets",
            "fasten screws",
            "restore supply",
            "re-teach clock",
        ];
        assert_eq!(said, wanted);
        assert_eq!(faults, []);
    }

    #[test]
    fn every_beginning_of_an_opening_is_closed() {
        for length in 0..=OPENING.len() {
            let (said, faults) = closed(&garage(), stops(&OPENING[..length]));
            assert_eq!(faults, [], "{said:?}");
            assert_eq!(said.is_empty(), length == 0);
        }
    }

    #[test]
    fn units_at_different_points_each_get_their_own_way() {
        let mut lines = OPENING.to_vec();
        lines.extend(["plug-in plug", "cap feed", "put-back lining", "refit screws 5", "tighten screws 2"]);
        let (said, faults) = closed(&garage(), stops(&lines));
        assert_eq!(said[2..4], ["fasten screws 4", "tighten screws 3"], "{said:?}");
        assert_eq!(faults, []);
    }

    #[test]
    fn what_a_later_leg_shuts_in_comes_before_it() {
        let mut lines = OPENING.to_vec();
        lines.extend(["cap feed", "put-back lining", "restore supply"]);
        let none = BTreeMap::new();
        let proposed =
            propose(&garage(), &replay(&garage(), &stops(&lines), &none, &none), |_| Fate::default());
        let places: Vec<(&str, Option<usize>)> =
            proposed.iter().map(|it| (it.item.as_str(), it.before)).collect();
        assert_eq!(places, [("plug", Some(9)), ("rivets", None), ("screws", None), ("clock", None)]);
    }

    #[test]
    fn nothing_is_proposed_where_nothing_is_open() {
        assert_eq!(
            closed(&garage(), stops(&["isolate supply", "restore supply", "re-teach clock"])).0.len(),
            0
        );
    }

    #[test]
    fn what_stands_behind_two_panels_is_closed_before_the_outer_one_goes_back() {
        let panel = |id: &str, hidden: &str| {
            Item::new(What::Panel { of: None, hides: vec![hidden.to_owned()] }, id, Place::default())
        };
        let plug = |id: &str| Item::bare(Kind::Connector, id, Place::default());
        let items = [panel("lid", "tray"), panel("tray", "plug"), plug("plug"), plug("other")];
        let items: BTreeMap<String, Item> = items.into_iter().map(|item| (item.id.clone(), item)).collect();
        let route = stops(&["take-off lid", "take-off tray", "unplug plug", "unplug other", "put-back lid"]);
        let none = BTreeMap::new();
        let proposed = propose(&items, &replay(&items, &route, &none, &none), |_| Fate::default());
        let places: Vec<(&str, Option<usize>)> =
            proposed.iter().map(|it| (it.item.as_str(), it.before)).collect();
        assert_eq!(places, [("plug", Some(4)), ("tray", Some(4)), ("other", None)]);
    }
}
