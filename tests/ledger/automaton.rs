//! The independent checker: one plain automaton for each unit of each thing, written from the table of lives
//! in the source format and from the rules' sentences, apart from the product's replay.
//!
//! Where the table leaves something open, this is how it is read here:
//! - a test of a tested conductor keeps it tested, as a test of a whole one keeps it whole;
//! - a piece is let in over sleeves that were slid on before as well as into a bare cut, since each of its
//!   two joints needs one;
//! - a barrel joint may be looked over before its test, since looking over is optional everywhere;
//! - of units that stand ready in several states, those go first whose state comes first in the life;
//! - plugging a new connector in is plugging in;
//! - a barrel under a shield insulates the core, so that the shield may be closed over it without a sleeve on the
//!   core; the shield has to be closed and covered all the same.

use crate::job::{Deed, Job, Thing};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

/// Something wrong: the rule, the thing, and the step and deed, or the state in which it is left.
pub type Verdict = (&'static str, String, String);

/// The lives, as the format prints them: each row a kind, its states in order, its arrows, its ends.
const LIVES: [(&str, &str, &str, &str); 8] = [
    (
        "energy",
        "on isolated secured proved-off",
        "on>isolate>isolated isolated>secure>secured isolated>prove-off>proved-off \
         secured>prove-off>proved-off isolated>restore>on secured>restore>on proved-off>restore>on",
        "on",
    ),
    ("panel", "on off", "on>take-off>off off>put-back>on off>renew>on", "on"),
    (
        "fastener",
        "tight slack out fitted",
        "tight>slacken>slack tight>remove>out slack>remove>out out>refit>fitted out>renew>fitted \
         slack>tighten>tight fitted>tighten>tight out>fasten>tight",
        "tight",
    ),
    ("connector", "in out", "in>unplug>out out>plug-in>in out>renew>in", "in"),
    (
        "conductor",
        "whole cut sleeved joined looked-over closed tested capped new",
        "whole>cut>cut cut>sleeve-on>sleeved sleeved>join>joined joined>look-over>looked-over \
         joined>shrink>closed looked-over>shrink>closed closed>test>tested cut>cap>capped \
         whole>run-new>new cut>run-new>new new>test>tested cut>insert>joined sleeved>insert>joined \
         whole>test>whole tested>test>tested",
        "whole tested capped",
    ),
    (
        "shielded conductor",
        "whole cut sleeved joined looked-over core-covered shield-closed closed tested capped new",
        "whole>cut>cut cut>sleeve-on>sleeved sleeved>join>joined joined>look-over>looked-over \
         joined>cover-core>core-covered looked-over>cover-core>core-covered \
         core-covered>close-shield>shield-closed shield-closed>shrink>closed closed>test>tested \
         cut>cap>capped whole>run-new>new cut>run-new>new new>test>tested \
         cut>insert>joined sleeved>insert>joined whole>test>whole tested>test>tested",
        "whole tested capped",
    ),
    ("aid", "away placed", "away>place>placed placed>take-away>away", "away"),
    ("setting", "kept lost", "lost>re-teach>kept kept>note-down>kept", "kept"),
];
const BARREL: &str = "cut>join>joined joined>test>tested looked-over>test>tested";
const BARREL_IN_SHIELD: &str = "joined>close-shield>shield-closed looked-over>close-shield>shield-closed";

struct Life {
    states: Vec<&'static str>,
    arrows: Vec<(&'static str, &'static str, &'static str)>,
    ends: Vec<&'static str>,
}

/// Every life by kind, without and with a barrel.
static READ: LazyLock<BTreeMap<(&str, bool), Life>> = LazyLock::new(|| {
    let both = |row| [false, true].map(|barrel| (row, barrel));
    LIVES.iter().flat_map(both).map(|(row, barrel)| ((row.0, barrel), read(row, barrel))).collect()
});

fn read(row: &(&'static str, &'static str, &'static str, &'static str), barrel: bool) -> Life {
    let more = match (barrel, row.0) {
        (false, _) => "",
        (true, "shielded conductor") => BARREL_IN_SHIELD,
        (true, _) => BARREL,
    };
    let arrow = |text: &'static str| {
        let mut parts = text.split('>');
        (parts.next().unwrap(), parts.next().unwrap(), parts.next().unwrap())
    };
    Life {
        states: row.1.split(' ').collect(),
        arrows: row.2.split_whitespace().chain(more.split_whitespace()).map(arrow).collect(),
        ends: row.3.split(' ').collect(),
    }
}

fn life(thing: &Thing) -> &'static Life {
    let kind = match thing.kind {
        _ if thing.fastens() => "fastener",
        "conductor" if thing.shield => "shielded conductor",
        kind => kind,
    };
    &READ[&(kind, thing.barrel)]
}

/// The state of every unit of every thing.
type Shop = BTreeMap<String, Vec<&'static str>>;

/// Everything that is wrong with a job that starts with all things whole.
pub fn judge(job: &Job) -> BTreeSet<Verdict> {
    let mut shop: Shop = BTreeMap::new();
    for thing in job.things.values() {
        shop.insert(thing.id.clone(), vec![life(thing).states[0]; thing.count]);
    }
    let mut wrong = BTreeSet::new();
    for (number, step) in job.steps.iter().enumerate() {
        let live_before = live(job, &shop);
        for (place, deed) in step.iter().enumerate() {
            let thing = &job.things[&deed.item];
            if needs_off(deed, thing) {
                for energy in live_before.iter().chain(&live(job, &shop)) {
                    wrong.insert(("LED-03", energy.clone(), format!("step {number}")));
                }
            }
            let here = format!("step {number} deed {place}");
            for (code, item) in order(job, &shop, deed, thing) {
                wrong.insert((code, item, here.clone()));
            }
            if !go(&mut shop, thing, deed) {
                wrong.insert(("LED-10", deed.item.clone(), here));
            } else if deed.verb == "isolate" {
                for setting in &thing.loses {
                    shop.insert(setting.clone(), vec!["lost"]);
                }
            }
        }
    }
    wrong.extend(job.things.values().flat_map(|thing| left(&shop, thing)));
    wrong
}

/// Whether a deed cuts, joins, caps, runs new, plugs or unplugs.
fn needs_off(deed: &Deed, thing: &Thing) -> bool {
    match thing.kind {
        "connector" => true,
        "conductor" => ["cut", "join", "insert", "cap", "run-new"].contains(&deed.verb),
        _ => false,
    }
}

/// The energies that must be proved off and are not.
fn live(job: &Job, shop: &Shop) -> Vec<String> {
    let energies = job.things.values().filter(|thing| thing.kind == "energy").map(|thing| &thing.id);
    let needed = energies.filter(|id| job.needs_off.as_ref().is_none_or(|named| named.contains(id)));
    needed.filter(|id| shop[*id][0] != "proved-off").cloned().collect()
}

/// What panels say to a deed.
fn order(job: &Job, shop: &Shop, deed: &Deed, thing: &Thing) -> Vec<(&'static str, String)> {
    let mut wrong = Vec::new();
    if job.hiding(&thing.id).any(|panel| shop[&panel.id][0] != "off") {
        wrong.push(("LED-05", thing.id.clone()));
    }
    if deed.verb == "take-off"
        && job.holding(&thing.id).any(|by| shop[&by.id].iter().any(|unit| *unit != "out"))
    {
        wrong.push(("LED-12", thing.id.clone()));
    }
    let goes_in = ["refit", "renew", "fasten", "tighten"].contains(&deed.verb);
    let held = thing.holds.as_ref().filter(|_| goes_in);
    if held.is_some_and(|panel| shop[panel][0] != "on") {
        wrong.push(("LED-12", thing.id.clone()));
    }
    wrong
}

/// Moves the units of a thing; nothing moves where too few stand ready.
fn go(shop: &mut Shop, thing: &Thing, deed: &Deed) -> bool {
    let life = life(thing);
    let units = shop.get_mut(&thing.id).unwrap();
    let wanted = deed.count.unwrap_or(thing.count);
    let to = |from: &str| life.arrows.iter().find(|arrow| arrow.0 == from && arrow.1 == deed.verb);
    let age = |unit: &&str| life.states.iter().position(|state| state == unit);
    units.sort_by_key(age);
    let ready = units.iter().filter(|unit| to(unit).is_some()).count();
    if ready < wanted {
        return false;
    }
    let moved: Vec<&'static str> = {
        let mut left = wanted;
        let one = |unit: &&'static str| match to(unit) {
            Some(arrow) if left > 0 => {
                left -= 1;
                arrow.2
            }
            _ => *unit,
        };
        units.iter().map(one).collect()
    };
    *units = moved;
    true
}

/// What is left of a thing in states that are no end.
fn left(shop: &Shop, thing: &Thing) -> BTreeSet<Verdict> {
    let code = match thing.kind {
        "energy" => "LED-03",
        "connector" => "LED-02",
        "conductor" => "LED-04",
        "aid" => "LED-06",
        "setting" => "LED-07",
        _ => "LED-01",
    };
    let ends = &life(thing).ends;
    let open = shop[&thing.id].iter().filter(|unit| !ends.contains(unit));
    let mut tally: BTreeMap<&str, usize> = BTreeMap::new();
    for unit in open {
        *tally.entry(unit).or_default() += 1;
    }
    tally.into_iter().map(|(state, count)| (code, thing.id.clone(), format!("{count} {state}"))).collect()
}
