//! How the ledger's faults are said: the item's history, with every place that belongs to it.

use super::rule::Page;
use crate::finding::{Finding, Sink, Span};
use crate::ledger::{Fault, Trail};
use crate::model::{Item, Kind, Place, State, Verb};
use crate::parse::span;
use crate::work::{Worked, WorkedProcedure};

/// One procedure's fault, with what is needed to speak of it.
pub(crate) struct Said<'a> {
    /// The manual.
    pub(crate) worked: &'a Worked,
    /// The procedure whose replay it is.
    pub(crate) id: &'a str,
    /// What was worked for it.
    pub(crate) procedure: &'a WorkedProcedure,
    /// The fault.
    pub(crate) fault: &'a Fault,
}

/// Every fault of every replay. A fault that a carried-out procedure has on its own is said there alone.
pub(crate) fn faults(worked: &Worked) -> impl Iterator<Item = Said<'_>> {
    worked.procedures().iter().flat_map(move |(id, procedure)| {
        procedure
            .replay
            .faults
            .iter()
            .filter(move |fault| !said_elsewhere(worked, id, procedure, fault))
            .map(move |fault| Said { worked, id, procedure, fault })
    })
}

/// Reports every item of some kinds that does not end as it must, as a finding of a rule.
pub(crate) fn left_open(worked: &Worked, page: &Page, fits: impl Fn(Kind) -> bool, sink: &mut Sink) {
    for said in faults(worked) {
        let open = matches!(said.fault, Fault::Open { .. } | Fault::NotLeft { .. });
        if open && said.item().is_some_and(|item| fits(item.kind())) {
            said.open(|headline| page.finding(headline)).into_iter().for_each(|finding| sink.push(finding));
        }
    }
}

fn said_elsewhere(worked: &Worked, id: &str, procedure: &WorkedProcedure, fault: &Fault) -> bool {
    let place = place_of(fault);
    let own = worked.parsed().procedures().get(id).is_some_and(|known| known.place.file == place.file);
    if own {
        return false;
    }
    let carried = procedure.route.legs.iter().filter(|leg| leg.depth > 0).map(|leg| &leg.procedure);
    let mut seen: Vec<&String> = Vec::new();
    for other in carried {
        if seen.contains(&other) {
            continue;
        }
        seen.push(other);
        let Some(other) = worked.procedures().get(other) else { continue };
        let same = |known: &Fault| {
            std::mem::discriminant(known) == std::mem::discriminant(fault)
                && place_of(known) == place
                && item_of(known) == item_of(fault)
        };
        if other.replay.faults.iter().any(same) {
            return true;
        }
    }
    false
}

/// The item that a fault is about.
pub(crate) fn item_of(fault: &Fault) -> &str {
    match fault {
        Fault::Open { item, .. }
        | Fault::NotLeft { item, .. }
        | Fault::Illegal { item, .. }
        | Fault::TooMany { item, .. }
        | Fault::Unknown { item, .. }
        | Fault::Hidden { item, .. }
        | Fault::NotAsExpected { item, .. } => item,
        Fault::NotOff { energy, .. } => energy,
        Fault::Held { panel, .. } | Fault::TooEarly { panel, .. } => panel,
        Fault::TooManyWays { .. } => "",
    }
}

/// Whether a fault is a sleeve that has no way on any more, which has a rule of its own.
pub(crate) fn sleeve_too_late(said: &Said<'_>) -> bool {
    let Fault::Illegal { verb, state, .. } = said.fault else { return false };
    let conductor = said.item().is_some_and(|item| item.kind() == Kind::Conductor);
    let closed = matches!(state, State::Joined | State::LookedOver | State::Closed | State::Tested);
    conductor && (*verb == Verb::Join && *state == State::Cut || *verb == Verb::SleeveOn && closed)
}

/// Where a fault is to be seen.
fn place_of(fault: &Fault) -> Place {
    match fault {
        Fault::Open { trail, .. } => opened(trail).map_or(Place::default(), |entry| entry.place),
        Fault::NotLeft { place, .. }
        | Fault::Illegal { place, .. }
        | Fault::TooMany { place, .. }
        | Fault::Unknown { place, .. }
        | Fault::NotOff { place, .. }
        | Fault::Hidden { place, .. }
        | Fault::Held { place, .. }
        | Fault::TooEarly { place, .. }
        | Fault::NotAsExpected { place, .. }
        | Fault::TooManyWays { place } => *place,
    }
}

/// Where an item was last opened: the first entry after the whole of it was last closed.
fn opened(trail: &[Trail]) -> Option<&Trail> {
    let whole = trail.iter().map(|entry| entry.count).max().unwrap_or(0);
    let closed = trail.iter().rposition(|entry| closes(entry.verb) && entry.count == whole);
    trail.get(closed.map_or(0, |at| at + 1)).or(trail.last())
}

/// Verbs that bring an item to the end of its life.
fn closes(verb: Verb) -> bool {
    matches!(
        verb,
        Verb::Tighten
            | Verb::Fasten
            | Verb::PutBack
            | Verb::PlugIn
            | Verb::Restore
            | Verb::Test
            | Verb::Cap
            | Verb::TakeAway
            | Verb::ReTeach
    )
}

/// How a verb reads once it is done.
pub(crate) fn past(verb: Verb) -> &'static str {
    match verb {
        Verb::Isolate => "isolated",
        Verb::Secure => "secured",
        Verb::ProveOff => "proved off",
        Verb::Restore => "restored",
        Verb::TakeOff => "taken off",
        Verb::PutBack => "put back",
        Verb::Renew => "renewed",
        Verb::Slacken => "slackened",
        Verb::Remove => "removed",
        Verb::Refit => "refitted",
        Verb::Tighten => "tightened",
        Verb::Fasten => "fastened",
        Verb::Unplug => "unplugged",
        Verb::PlugIn => "plugged in",
        Verb::Cut => "cut",
        Verb::SleeveOn => "sleeved",
        Verb::Join => "joined",
        Verb::LookOver => "looked over",
        Verb::Shrink => "closed with its sleeve",
        Verb::Test => "tested",
        Verb::Cap => "capped",
        Verb::RunNew => "run new",
        Verb::Insert => "let in",
        Verb::Place => "placed",
        Verb::TakeAway => "taken away",
        Verb::ReTeach => "re-taught",
        Verb::NoteDown => "noted down",
    }
}

/// What an item still lacks in a state: the verbs on its way to an end.
pub(crate) fn lacks(kind: Kind, state: State) -> &'static [Verb] {
    match (kind, state) {
        (Kind::Energy, _) => &[Verb::Restore],
        (Kind::Panel, _) => &[Verb::PutBack],
        (Kind::Connector, _) => &[Verb::PlugIn],
        (Kind::Aid, _) => &[Verb::TakeAway],
        (Kind::Setting, _) => &[Verb::ReTeach],
        (Kind::Conductor, State::Cut) => &[Verb::SleeveOn, Verb::Join, Verb::Shrink, Verb::Test],
        (Kind::Conductor, State::Sleeved) => &[Verb::Join, Verb::Shrink, Verb::Test],
        (Kind::Conductor, State::Joined | State::LookedOver) => &[Verb::Shrink, Verb::Test],
        (Kind::Conductor, _) => &[Verb::Test],
        (_, State::Out) => &[Verb::Refit, Verb::Tighten],
        (_, _) => &[Verb::Tighten],
    }
}

/// The columns of a kind's strip, each with the verbs that fill it.
fn columns(kind: Kind) -> &'static [(&'static str, &'static [Verb])] {
    match kind {
        Kind::Energy => &[
            ("isolated", &[Verb::Isolate]),
            ("proved off", &[Verb::ProveOff]),
            ("restored", &[Verb::Restore]),
        ],
        Kind::Panel => &[("off", &[Verb::TakeOff]), ("back", &[Verb::PutBack, Verb::Renew])],
        Kind::Connector => &[("out", &[Verb::Unplug]), ("in", &[Verb::PlugIn, Verb::Renew])],
        Kind::Conductor => &[
            ("cut", &[Verb::Cut]),
            ("joined or new", &[Verb::Join, Verb::Insert, Verb::RunNew]),
            ("closed", &[Verb::Shrink, Verb::Cap]),
            ("tested", &[Verb::Test]),
        ],
        Kind::Aid => &[("placed", &[Verb::Place]), ("away", &[Verb::TakeAway])],
        Kind::Setting => &[("lost", &[Verb::Isolate]), ("taught", &[Verb::ReTeach])],
        _ => &[
            ("out", &[Verb::Remove, Verb::Slacken]),
            ("back", &[Verb::Refit, Verb::Renew, Verb::Fasten]),
            ("tight", &[Verb::Tighten, Verb::Fasten]),
        ],
    }
}

impl Said<'_> {
    /// The item that the fault is about.
    pub(crate) fn item(&self) -> Option<&Item> {
        self.procedure.items.get(item_of(self.fault))
    }

    /// An item's id with what people call it: `` `lining-screws` (Lining screws ×9) ``.
    pub(crate) fn name(&self, id: &str) -> String {
        self.procedure
            .items
            .get(id)
            .map_or_else(|| format!("`{id}`"), |item| format!("`{id}` ({})", item.label()))
    }

    /// The step of a leg, for people: `step 4`, or `step 4 of door-lining` where it is another procedure's.
    pub(crate) fn step(&self, leg: usize) -> String {
        let Some(leg) = self.procedure.route.legs.get(leg) else { return "the end".to_owned() };
        let number = self
            .worked
            .parsed()
            .procedures()
            .get(&leg.procedure)
            .and_then(|procedure| procedure.step(&leg.step))
            .map_or(0, |step| step.number);
        if leg.procedure == self.id {
            format!("step {number}")
        } else {
            format!("step {number} of {}", leg.procedure)
        }
    }

    /// Where the procedure ends: the heading of its last step.
    pub(crate) fn end(&self) -> Option<Span> {
        let procedure = self.worked.parsed().procedures().get(self.id)?;
        procedure.steps().last().map(|step| span(step.place))
    }

    /// A finding at an act, in its procedure and step.
    pub(crate) fn at(&self, finding: Finding, place: Place, leg: usize, note: &str) -> Finding {
        let finding = finding.at(span(place), note).in_procedure(self.id);
        match self.procedure.route.legs.get(leg) {
            Some(leg) => finding.in_step(&leg.step),
            None => finding,
        }
    }

    /// Adds the history of an item as labels.
    pub(crate) fn history(&self, mut finding: Finding, trail: &[Trail], not: Option<Place>) -> Finding {
        for entry in trail.iter().filter(|entry| Some(entry.place) != not) {
            finding = finding
                .label(span(entry.place), format!("{} here, {}", past(entry.verb), self.step(entry.leg)));
        }
        finding
    }

    /// The item's own strip: how far it came on its way, and what is still blank, as on a job card
    /// (`lining-screws ×9 │ out, step 4 │ back — │ tight —`).
    fn strip(&self, id: &str, trail: &[Trail]) -> String {
        let Some(item) = self.procedure.items.get(id) else { return id.to_owned() };
        let count = if item.count() > 1 { format!(" ×{}", item.count()) } else { String::new() };
        let open = opened(trail).and_then(|first| trail.iter().position(|entry| entry == first)).unwrap_or(0);
        let mut strip = format!("{id}{count}");
        for (label, verbs) in columns(item.kind()) {
            let entry = trail.iter().skip(open).rfind(|entry| verbs.contains(&entry.verb));
            match entry {
                Some(entry) => strip.push_str(&format!(" │ {label}, {}", self.step(entry.leg))),
                None => strip.push_str(&format!(" │ {label} —")),
            }
        }
        strip
    }

    /// The finding of an item that is left open: where it was opened, what became of it, what it lacks.
    pub(crate) fn open(&self, finding: impl Fn(String) -> Finding) -> Option<Finding> {
        let (item, state, trail, path, count) = match self.fault {
            Fault::Open { item, state, trail, path, count } => (item, *state, trail, path.as_slice(), *count),
            Fault::NotLeft { item, state, trail, wanted, place } => {
                let headline = format!(
                    "{} ends {} and the procedure says that it leaves it {}",
                    self.name(item),
                    state.word(),
                    wanted.word()
                );
                let finding = finding(headline).at(span(*place), "said here").in_procedure(self.id);
                return Some(self.history(finding, trail, None));
            }
            _ => return None,
        };
        let kind = self.procedure.items.get(item)?.kind();
        let lacks = lacks(kind, state);
        let some = self.procedure.items.get(item).filter(|item| item.count() != count && item.count() > 1);
        let some = some.map_or_else(String::new, |item| format!("{count} of {} ", item.count()));
        let on_path =
            if path.is_empty() { String::new() } else { format!(" (on the way {})", path.join(", ")) };
        let name = self.procedure.items.get(item).map_or(item.as_str(), |item| item.name.as_str());
        let headline = format!("{}: {some}{name} left {}{on_path}", self.strip(item, trail), state.word());
        let first = opened(trail)?;
        let note = format!("{} here, {}", past(first.verb), self.step(first.leg));
        let mut finding = self.at(finding(headline), first.place, first.leg, &note);
        let later = trail.iter().skip_while(|entry| entry.place != first.place).skip(1);
        for entry in later {
            finding = finding
                .label(span(entry.place), format!("{} here, {}", past(entry.verb), self.step(entry.leg)));
        }
        if let (Some(end), Some(verb)) = (self.end(), lacks.first()) {
            finding = finding.label(end, format!("the procedure ends here; never {}", past(*verb)));
        }
        let lines: Vec<String> = lacks.iter().map(|verb| format!("`- {}: {item}`", verb.word())).collect();
        Some(finding.help(format!("add {}", lines.join(", then "))))
    }
}
