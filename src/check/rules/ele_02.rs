//! ELE-02: joints in one bundle are staggered or say why not; pairs are restored (an error).

use crate::check::joints::{Made, made, some};
use crate::check::passage;
use crate::check::reading::Read;
use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::words::holds;
use crate::finding::{Code, Severity, Sink};
use crate::model::{Item, Kind, Scheme};
use crate::phrase::{Phrase, phrase};
use crate::work::{Resolved, Role, Scope};
use std::collections::BTreeMap;

/// The rule ELE-02.
pub(super) struct Ele02;

static PAGE: Page = Page {
    code: Code("ELE-02"),
    severity: Severity::Warning,
    rule: "joints in one bundle are staggered or say why not; pairs are restored (an error)",
    why: "Joints side by side make a knot that no cover closes over, and that rubs. A pair that stays untwisted works on the bench and fails on the road.",
    source: "NASA workmanship 4.07: splices are staggered",
    fails: "conductors:\n  tail-feed: {action: join, from: no-such-size}   # its place among the others cannot be worked out\n  plate-feed: {action: join}",
    passes: "conductors:\n  tail-feed: {action: join}\n  plate-feed: {action: join}",
};

impl Rule for Ele02 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn of_the_whole(&self) -> bool {
        true
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for read in &reading.procedures {
            let joints = made(read);
            if joints.is_empty() {
                continue;
            }
            staggered(reading, read, &joints, sink);
            let pair = |made: &&Made<'_>| matches!(made.joint.kind.as_str(), "pair" | "data");
            for made in joints.iter().filter(pair).filter(|_| !says(read, &reading.words.twist)) {
                let headline = phrase!(
                    "`{item}` is joined and no step that works on it restores the twist of a pair",
                    item = made.item.id
                );
                let mut finding = PAGE.finding(headline);
                finding.severity = Severity::Error;
                let finding = read.at(finding, made.joint.place, phrase!("joined in this procedure"), None);
                sink.push(finding.help(phrase!(
                    "add a check or a record of the untwisted length, against the maker's limit"
                )));
            }
        }
    }
}

/// Joints of one loom, or behind one panel, have places of their own along it.
fn staggered(reading: &Reading<'_>, read: &Read<'_>, joints: &[Made<'_>], sink: &mut Sink) {
    let seen = read.passages.iter().flat_map(|passage| &passage.seen);
    let cited = seen.filter(|seen| seen.reference.scheme == Scheme::Value).any(|seen| {
        let found = reading.worked.resolve(Scope::Procedure(&read.procedure.id), &seen.reference);
        matches!(found, Ok(Resolved::Value(_, value, ..)) if value.working == "stagger")
    });
    if cited {
        return;
    }
    let mut bundles: BTreeMap<Bundle<'_>, Vec<&Made<'_>>> = BTreeMap::new();
    for made in joints {
        if let Some(bundle) = bundle(reading, read, &made.item.id) {
            bundles.entry(bundle).or_default().push(made);
        }
    }
    for (bundle, all) in bundles.into_iter().filter(|(_, all)| all.len() > 1) {
        let lost =
            |made: &&&Made<'_>| made.value(read, Role::Offset).is_none_or(|value| value.result.is_err());
        let lost: Vec<&Made<'_>> = all.iter().filter(lost).copied().collect();
        let Some(first) = lost.first() else { continue };
        let ids = some(lost.iter().map(|made| made.item.id.as_str()));
        let headline = phrase!(
            "{all} joints lie in {bundle} and {ids} has no place of its own along it",
            all = all.len(),
            bundle = bundle.told(),
            ids = ids
        );
        let finding = read.at(PAGE.finding(headline), first.joint.place, phrase!("not staggered"), None);
        let reason = first.value(read, Role::Offset).and_then(|value| value.result.as_ref().err());
        let help = phrase!(
            "work it out: `{line}`, and name it in the step that cuts",
            line = "values: {places: {working: stagger, …}}"
        );
        sink.push(finding.help(match reason.and_then(|all| all.first()) {
            Some(refusal) => phrase!("{help} ({reason})", help = help, reason = refusal.message),
            None => help,
        }));
    }
}

/// Where conductors run side by side.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Bundle<'r> {
    /// A loom of the vehicle.
    Loom(&'r str),
    /// Behind a panel.
    Behind(&'r str),
}

impl Bundle<'_> {
    fn told(self) -> Phrase {
        match self {
            Bundle::Loom(loom) => phrase!("the loom `{loom}`", loom = loom),
            Bundle::Behind(panel) => phrase!("the bundle behind `{panel}`", panel = panel),
        }
    }
}

/// The loom that a conductor belongs to, or the panel that hides it.
fn bundle<'r>(reading: &'r Reading<'_>, read: &'r Read<'_>, conductor: &str) -> Option<Bundle<'r>> {
    let vehicles = read.procedure.applies_to.iter();
    let vehicles = vehicles.filter_map(|applies| reading.worked.parsed().vehicles().get(&applies.vehicle));
    for vehicle in vehicles {
        for (loom, members) in &vehicle.looms {
            if members.iter().any(|member| member == conductor) {
                return Some(Bundle::Loom(loom));
            }
        }
    }
    let hides = |item: &&Item| item.kind() == Kind::Panel && item.hides().iter().any(|id| id == conductor);
    read.known.items.values().find(hides).map(|panel| Bundle::Behind(&panel.id))
}

/// Whether a check or a record speaks of a thing.
fn says(read: &Read<'_>, stems: &[&str]) -> bool {
    let counts = |role: passage::Role| matches!(role, passage::Role::Check | passage::Role::Record);
    read.passages.iter().any(|passage| counts(passage.role) && holds(passage.all_lower(), stems))
}
