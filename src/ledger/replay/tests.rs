//! Common practice of the trade, played through: what is taken off goes back, in the right order.

use super::*;
use crate::ledger::Onward;
use crate::model::{Fastening, Sort, Verb, What};

fn item(kind: Kind, id: &str) -> Item {
    Item::bare(kind, id, Place::default())
}

fn garage() -> BTreeMap<String, Item> {
    let thing = |what, id: &str| Item::new(what, id, Place::default());
    let supply = thing(What::Energy { loses: vec!["clock".into()] }, "supply");
    let lining = thing(What::Panel { of: None, hides: vec!["plug".into()] }, "lining");
    let screws = Fastening { count: 9, holds: Some("lining".into()), ..Fastening::of(Sort::Fastener) };
    let screws = thing(What::Fastening(screws), "screws");
    let plug = item(Kind::Connector, "plug");
    let feed = item(Kind::Conductor, "feed");
    let clock = item(Kind::Setting, "clock");
    [supply, lining, screws, plug, feed, clock].into_iter().map(|item| (item.id.clone(), item)).collect()
}

/// One stop for each line, `verb item` or `verb item count`; several acts of a stop are divided by `;`.
fn stops(lines: &[&str]) -> Vec<Stop> {
    let acts = |line: &str| {
        line.split(';')
            .map(|part| {
                let words: Vec<&str> = part.split_whitespace().collect();
                Act {
                    verb: Verb::of(words[0]).unwrap(),
                    item: words[1].to_owned(),
                    count: words.get(2).map(|count| count.parse().unwrap()),
                    place: Place::default(),
                }
            })
            .collect()
    };
    lines.iter().map(|line| Stop { step: (*line).to_owned(), acts: acts(line), ..Stop::default() }).collect()
}

const WHOLE_JOB: [&str; 13] = [
    "isolate supply",
    "secure supply",
    "prove-off supply",
    "remove screws",
    "take-off lining",
    "unplug plug",
    "plug-in plug",
    "put-back lining",
    "refit screws",
    "tighten screws",
    "restore supply",
    "test feed",
    "re-teach clock",
];

fn run(stops: &[Stop]) -> Vec<Fault> {
    replay(&garage(), stops, &BTreeMap::new(), &BTreeMap::new()).faults
}

fn without(line: &str) -> Vec<Fault> {
    let lines: Vec<&str> = WHOLE_JOB.into_iter().filter(|known| *known != line).collect();
    run(&stops(&lines))
}

#[test]
fn a_whole_job_is_clean() {
    assert_eq!(run(&stops(&WHOLE_JOB)), []);
}

#[test]
fn every_line_but_the_optional_ones_is_needed() {
    // Securing is LED-11, a rule of its own; a test of a whole conductor changes nothing.
    for line in WHOLE_JOB.into_iter().filter(|line| *line != "secure supply" && *line != "test feed") {
        assert_ne!(without(line), [], "{line}");
    }
}

#[test]
fn screws_that_stay_out_are_reported_with_their_history() {
    let lines: Vec<&str> =
        WHOLE_JOB.into_iter().filter(|line| !line.ends_with("screws") || *line == "remove screws").collect();
    let faults = run(&stops(&lines));
    let [Fault::Open { item, state, count, trail, .. }] = faults.as_slice() else { panic!("{faults:?}") };
    assert_eq!((item.as_str(), *state, *count, trail.len()), ("screws", State::Out, 9, 1));
}

#[test]
fn counts_must_agree() {
    let mut lines = WHOLE_JOB;
    lines[8] = "refit screws 8";
    let faults = run(&stops(&lines));
    assert!(
        faults.iter().any(|fault| matches!(fault, Fault::Open { count: 1, state: State::Out, .. })),
        "{faults:?}"
    );
    lines[8] = "refit screws 10";
    let faults = run(&stops(&lines));
    assert!(
        faults.iter().any(|fault| matches!(fault, Fault::TooMany { wanted: 10, ready: 9, .. })),
        "{faults:?}"
    );
}

#[test]
fn order_matters() {
    for (first, second, found) in
        [(3, 4, "Held"), (7, 8, "TooEarly"), (4, 5, "Hidden"), (6, 7, "Hidden"), (6, 10, "NotOff")]
    {
        let mut lines = WHOLE_JOB;
        lines.swap(first, second);
        let faults = run(&stops(&lines));
        assert!(faults.iter().any(|fault| format!("{fault:?}").starts_with(found)), "{found}: {faults:?}");
    }
}

#[test]
fn nothing_comes_back_on_in_a_step_that_needs_it_off() {
    let mut lines = WHOLE_JOB;
    lines[6] = "restore supply; plug-in plug";
    lines[10] = "test feed";
    let faults = run(&stops(&lines));
    assert!(matches!(faults.as_slice(), [Fault::NotOff { state: State::On, .. }]), "{faults:?}");
}

#[test]
fn plugging_a_new_connector_in_needs_the_supply_off_too() {
    let mut lines = WHOLE_JOB;
    lines[6] = "renew plug";
    assert_eq!(run(&stops(&lines)), []);
    (lines[6], lines[7], lines[8], lines[9], lines[10]) =
        ("restore supply", "renew plug", "put-back lining", "refit screws", "tighten screws");
    let faults = run(&stops(&lines));
    assert!(matches!(faults.as_slice(), [Fault::NotOff { verb: Verb::Renew, .. }]), "{faults:?}");
}

#[test]
fn a_choice_that_skips_the_refit_is_found_on_its_path() {
    let mut stops = stops(&WHOLE_JOB);
    stops[7].next = vec![Onward::Leg(8), Onward::Leg(10)];
    let faults = run(&stops);
    let [Fault::Open { item, path, .. }] = faults.as_slice() else { panic!("{faults:?}") };
    assert_eq!(item, "screws");
    assert_eq!(path, &["put-back lining → ahead"]);
}

#[test]
fn a_job_that_may_end_early_is_replayed_to_there_and_says_what_stands_open() {
    let mut stops = stops(&WHOLE_JOB);
    let none = BTreeMap::new();
    assert_eq!(replay(&garage(), &stops, &none, &none).halts, []);
    // After the plug is pulled, and again once everything is back.
    let pulled = WHOLE_JOB.iter().position(|line| *line == "unplug plug").unwrap();
    stops[pulled].next = vec![Onward::Leg(pulled + 1), Onward::Stop];
    let last = stops.len() - 1;
    stops[last].next = vec![Onward::Leg(last + 1), Onward::Stop];
    let replay = replay(&garage(), &stops, &none, &none);
    assert_eq!(replay.faults, run(&stops[..0]), "an early end is an end");
    let said: Vec<(usize, Vec<String>)> = replay
        .halts
        .iter()
        .map(|halt| {
            let open = halt.open.iter().map(|(id, states)| {
                let states: Vec<String> =
                    states.iter().map(|(state, n)| format!("{n} {}", state.word())).collect();
                format!("{id} {}", states.join(" "))
            });
            (halt.leg, open.collect())
        })
        .collect();
    let open = ["clock 1 lost", "lining 1 off", "plug 1 out", "screws 9 out", "supply 1 proved-off"];
    assert_eq!(said, [(pulled, open.map(str::to_owned).to_vec()), (last, Vec::new())]);
}

/// Two ways that come together again: what follows is told as moves of the way that skips nothing, though the other
/// one, which jumps ahead, comes there first.
#[test]
fn where_ways_come_together_the_one_that_skips_nothing_goes_on() {
    let mut items = garage();
    items.insert("lamp".to_owned(), item(Kind::Aid, "lamp"));
    let lines = ["place lamp", "take-away lamp", "place lamp", "take-away lamp", "note-down clock"];
    for skips in [false, true] {
        let mut route = stops(&lines);
        if skips {
            route[1].next = vec![Onward::Leg(2), Onward::Leg(4)];
        }
        let replay = replay(&items, &route, &BTreeMap::new(), &BTreeMap::new());
        assert_eq!(replay.faults, []);
        let moved: Vec<usize> = (0..lines.len()).map(|leg| replay.on_leg(leg).count()).collect();
        assert_eq!(moved, [1, 1, 1, 1, 1], "each move once, whether a way skips some or not");
    }
}

#[test]
fn an_early_end_says_what_stands_open_on_any_way_to_it() {
    let mut items = garage();
    items.insert("lamp".to_owned(), item(Kind::Aid, "lamp"));
    let mut route = stops(&["isolate supply", "place lamp", "slacken screws 2", "note-down clock"]);
    route[0].next = vec![Onward::Leg(1), Onward::Leg(2)];
    route[2].next = vec![Onward::Leg(3), Onward::Stop];
    let halts = replay(&items, &route, &BTreeMap::new(), &BTreeMap::new()).halts;
    let [halt] = halts.as_slice() else { panic!("{halts:?}") };
    let open: Vec<&str> = halt.open.keys().map(String::as_str).collect();
    assert_eq!(open, ["clock", "lamp", "screws", "supply"], "the lamp stands there on one of two ways");
    assert_eq!(halt.open["screws"], BTreeMap::from([(State::Slack, 2)]));
}

#[test]
fn what_a_procedure_expects_and_leaves_is_held_against_it() {
    let off = BTreeMap::from([("supply".to_owned(), (State::ProvedOff, Place::default()))]);
    let none = BTreeMap::new();
    let isolate = stops(&WHOLE_JOB[..3]);
    let clock = |faults: Vec<Fault>| {
        faults
            .into_iter()
            .filter(|f| !matches!(f, Fault::Open { item, .. } if item == "clock"))
            .collect::<Vec<_>>()
    };
    assert_eq!(clock(replay(&garage(), &isolate, &none, &off).faults), []);
    assert_eq!(clock(replay(&garage(), &isolate[..2], &none, &off).faults).len(), 1);
    let restore = stops(&["restore supply"]);
    assert_eq!(replay(&garage(), &restore, &off, &none).faults, []);
    assert_eq!(replay(&garage(), &[], &off, &none).faults, []);
}

#[test]
fn choices_without_end_are_cut_off() {
    // Each choice leaves an aid in place or not, and so doubles the ways: eight make the 256 that are held apart.
    for (choices, is_cut) in [(8, false), (9, true), (12, true)] {
        let mut items = garage();
        let mut route = Vec::new();
        for number in 0..choices {
            let id = format!("aid-{number}");
            items.insert(id.clone(), item(Kind::Aid, &id));
            let mut skip = Stop { step: format!("s{number}"), ..Stop::default() };
            skip.next = vec![Onward::Leg(route.len() + 1), Onward::Leg(route.len() + 2)];
            route.push(skip);
            route.extend(stops(&[&format!("place {id}")]));
        }
        let faults = replay(&items, &route, &BTreeMap::new(), &BTreeMap::new()).faults;
        let cut = faults.iter().any(|fault| matches!(fault, Fault::TooManyWays { .. }));
        assert_eq!(cut, is_cut, "{choices}");
    }
}
