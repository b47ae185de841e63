//! Random garages, and random jobs in them that follow the rules, drawn from a tape of numbers: an empty tape
//! draws the smallest garage, so that a failing case shrinks.

use crate::job::{Deed, Job, Thing};
use std::collections::BTreeMap;

/// Numbers to draw from; nought when they are used up.
pub struct Tape<'a> {
    numbers: &'a [u16],
}

impl<'a> Tape<'a> {
    pub fn new(numbers: &'a [u16]) -> Tape<'a> {
        Tape { numbers }
    }

    /// A number below `limit`.
    pub fn below(&mut self, limit: usize) -> usize {
        let Some((first, rest)) = self.numbers.split_first() else { return 0 };
        self.numbers = rest;
        usize::from(*first) % limit.max(1)
    }

    /// True once in `times`, or false when the tape is used up.
    pub fn once_in(&mut self, times: usize) -> bool {
        self.below(times) == times - 1
    }
}

/// What is to be done to each thing, in order.
pub type Plans = BTreeMap<String, Vec<Deed>>;

/// A garage and the lives of its things in this job.
pub fn garage(tape: &mut Tape<'_>) -> (BTreeMap<String, Thing>, Plans, Option<Vec<String>>) {
    let mut things = BTreeMap::new();
    let panels = tape.below(4);
    for number in 0..panels {
        let mut panel = Thing::new("panel", &format!("panel-{number}"));
        for holder in 0..tape.below(3) {
            let kind = ["fastener", "clip", "tie", "grommet"][tape.below(4)];
            let mut by = Thing::new(kind, &format!("hold-{number}-{holder}"));
            by.count = 1 + tape.below(6);
            by.holds = Some(panel.id.clone());
            things.insert(by.id.clone(), by);
        }
        panel.hides = Vec::new();
        things.insert(panel.id.clone(), panel);
    }
    for (kind, most) in
        [("fastener", 3), ("connector", 3), ("conductor", 4), ("aid", 3), ("setting", 3), ("energy", 3)]
    {
        for number in 0..tape.below(most + 1) {
            let mut thing = Thing::new(kind, &format!("{kind}-{number}"));
            if kind == "fastener" {
                thing.count = 1 + tape.below(6);
            }
            thing.barrel = kind == "conductor" && tape.once_in(4);
            thing.shield = kind == "conductor" && tape.once_in(3);
            things.insert(thing.id.clone(), thing);
        }
    }
    hide(&mut things, panels, tape);
    let settings: Vec<String> = of_kind(&things, "setting");
    for energy in of_kind(&things, "energy") {
        let loses: Vec<String> = settings.iter().filter(|_| tape.once_in(2)).cloned().collect();
        things.get_mut(&energy).unwrap().loses = loses;
    }
    let (plans, needs_off) = plans(&things, panels, tape);
    (things, plans, needs_off)
}

fn of_kind(things: &BTreeMap<String, Thing>, kind: &str) -> Vec<String> {
    things.values().filter(|thing| thing.kind == kind).map(|thing| thing.id.clone()).collect()
}

/// Panels hide what stands behind them; a panel behind another brings what holds it along, or not.
fn hide(things: &mut BTreeMap<String, Thing>, panels: usize, tape: &mut Tape<'_>) {
    for id in things.keys().cloned().collect::<Vec<_>>() {
        let thing = &things[&id];
        // A panel stands behind one of a lower number, and so does what holds it.
        let own = thing.holds.as_ref().unwrap_or(&id);
        let limit = own.strip_prefix("panel-").map_or(panels, |number| number.parse().unwrap());
        if ["energy", "setting"].contains(&thing.kind) || limit == 0 || !tape.once_in(2) {
            continue;
        }
        let panel = format!("panel-{}", tape.below(limit));
        things.get_mut(&panel).unwrap().hides.push(id);
    }
}

/// Which things this job touches, and how; what stands behind a panel brings that panel's life with it.
fn plans(
    things: &BTreeMap<String, Thing>,
    panels: usize,
    tape: &mut Tape<'_>,
) -> (Plans, Option<Vec<String>>) {
    let mut plans = Plans::new();
    for thing in things.values().filter(|thing| thing.holds.is_none()) {
        let words = match thing.kind {
            "fastener" => fastening(tape.below(4), tape),
            "connector" => connector(tape),
            "conductor" => conductor(thing, tape),
            "aid" => ["", "place take-away", "place take-away place take-away"][tape.below(3)].to_owned(),
            _ => continue,
        };
        plans.insert(thing.id.clone(), deeds(thing, &words, tape));
    }
    for number in (0..panels).rev() {
        let panel = &things[&format!("panel-{number}")];
        let busy = panel.hides.iter().any(|id| plans.get(id).is_some_and(|plan| !plan.is_empty()));
        let off = busy || tape.once_in(2);
        let words = ["", "take-off put-back", "take-off renew"][usize::from(off) * (1 + tape.below(2))];
        plans.insert(panel.id.clone(), deeds(panel, words, tape));
        for by in things.values().filter(|by| by.holds.as_ref() == Some(&panel.id)) {
            let depth = if off { 2 + tape.below(2) } else { tape.below(2) };
            let words = fastening(depth, tape);
            plans.insert(by.id.clone(), deeds(by, &words, tape));
        }
    }
    let needs_off = energies(things, &mut plans, tape);
    (plans, needs_off)
}

fn fastening(depth: usize, tape: &mut Tape<'_>) -> String {
    let slacken = if tape.once_in(3) { "slacken " } else { "" };
    match depth {
        0 => String::new(),
        1 => "slacken tighten".to_owned(),
        2 => format!("{slacken}remove {} tighten", ["refit", "renew"][tape.below(2)]),
        _ => format!("{slacken}remove fasten"),
    }
}

fn connector(tape: &mut Tape<'_>) -> String {
    let once = |tape: &mut Tape<'_>| format!("unplug {}", ["plug-in", "renew"][usize::from(tape.once_in(4))]);
    match tape.below(3) {
        0 => String::new(),
        1 => once(tape),
        _ => format!("{} {}", once(tape), once(tape)),
    }
}

fn conductor(thing: &Thing, tape: &mut Tape<'_>) -> String {
    let look = ["look-over ", ""][tape.below(2)];
    let again = if tape.once_in(4) { " test" } else { "" };
    // A barrel insulates what it joins, but no shield over it.
    let bare = thing.barrel && !thing.shield;
    let shrink = if bare && tape.once_in(2) { "" } else { "shrink " };
    let sleeve = if bare && tape.once_in(2) { "" } else { "sleeve-on " };
    let core = if thing.barrel && tape.once_in(2) { "" } else { "cover-core " };
    let look = if thing.shield { format!("{look}{core}close-shield ") } else { look.to_owned() };
    match tape.below(8) {
        0 => String::new(),
        1 => "test".to_owned(),
        2 => "cut cap".to_owned(),
        3 => format!("run-new test{again}"),
        4 => format!("cut run-new test{again}"),
        5 => format!("cut {}insert {look}{shrink}test{again}", ["", "sleeve-on "][tape.below(2)]),
        _ => format!("cut {sleeve}join {look}{shrink}test{again}"),
    }
}

/// Energies are isolated where the work needs it, and settings re-taught where that loses them.
fn energies(things: &BTreeMap<String, Thing>, plans: &mut Plans, tape: &mut Tape<'_>) -> Option<Vec<String>> {
    let all = of_kind(things, "energy");
    let some: Vec<String> = all.iter().filter(|_| tape.once_in(2)).cloned().collect();
    let named = tape.once_in(3).then_some(some);
    let electric = plans.iter().any(|(id, plan)| plan.iter().any(|deed| needs_off(&things[id], deed)));
    for id in &all {
        let needed = electric && named.as_ref().is_none_or(|named| named.contains(id));
        let secure = if tape.once_in(3) { "" } else { "secure " };
        let words = match (needed || tape.once_in(3), needed || tape.once_in(2)) {
            (false, _) => String::new(),
            (true, true) => format!("isolate {secure}prove-off restore"),
            (true, false) => format!("isolate {secure}restore"),
        };
        plans.insert(id.clone(), deeds(&things[id], &words, tape));
    }
    for id in of_kind(things, "setting") {
        let lost = all.iter().any(|energy| things[energy].loses.contains(&id) && !plans[energy].is_empty());
        let words = [["", "note-down"], ["re-teach", "note-down re-teach"]];
        let words = words[usize::from(lost)][tape.below(2)];
        plans.insert(id.clone(), deeds(&things[&id], words, tape));
    }
    named
}

/// Whether a deed of a legal life may be done only with the energies off.
pub fn needs_off(thing: &Thing, deed: &Deed) -> bool {
    let verbs = ["cut", "join", "insert", "cap", "run-new", "unplug", "plug-in"];
    verbs.contains(&deed.verb) || thing.kind == "connector"
}

/// The deeds of some words; a verb may take several goes where there are several of the thing.
fn deeds(thing: &Thing, words: &str, tape: &mut Tape<'_>) -> Vec<Deed> {
    let mut deeds = Vec::new();
    for word in words.split_whitespace() {
        let verb = VERBS.iter().find(|verb| **verb == word).expect("a verb");
        let mut goes = vec![None];
        if thing.count > 1 && tape.once_in(3) {
            let first = 1 + tape.below(thing.count - 1);
            goes = vec![Some(first), Some(thing.count - first)];
        }
        deeds.extend(goes.into_iter().map(|count| Deed { verb, item: thing.id.clone(), count }));
    }
    deeds
}

const VERBS: [&str; 29] = [
    "isolate",
    "secure",
    "prove-off",
    "restore",
    "take-off",
    "put-back",
    "renew",
    "slacken",
    "remove",
    "refit",
    "tighten",
    "fasten",
    "unplug",
    "plug-in",
    "cut",
    "sleeve-on",
    "join",
    "look-over",
    "cover-core",
    "close-shield",
    "shrink",
    "test",
    "cap",
    "run-new",
    "insert",
    "place",
    "take-away",
    "re-teach",
    "note-down",
];

/// A job in a garage of its own.
pub fn job(tape: &mut Tape<'_>) -> Job {
    let (things, plans, needs_off) = garage(tape);
    crate::schedule::schedule(things, plans, needs_off, tape)
}
