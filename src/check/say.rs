//! How the ledger's faults are said: the item's history, with every place that belongs to it.

use super::rule::Page;
use crate::finding::{Finding, Sink, Span, Words};
use crate::ledger::{Closing, Fault, Trail, closings_of};
use crate::model::{Fate, Item, Kind, Life, Place, State, Verb};
use crate::parse::span;
use crate::phrase::{Phrase, phrase};
use crate::work::{Worked, WorkedProcedure};
use std::collections::BTreeMap;

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
    let place = place_of(procedure, fault);
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
                && place_of(other, known) == place
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
    let Some(item) = said.item().filter(|item| item.kind() == Kind::Conductor) else { return false };
    // From here on a joint is in the sleeve's way.
    let closed = *state >= State::Joined
        && *state <= State::Tested
        && item.life().states().any(|known| known == *state);
    *verb == Verb::Join && *state == State::Cut || *verb == Verb::SleeveOn && closed
}

/// Where a fault is to be seen.
fn place_of(procedure: &WorkedProcedure, fault: &Fault) -> Place {
    match fault {
        Fault::Open { item, trail, .. } => {
            let life = procedure.items.get(item).map(|item| item.life());
            let since = life.map_or(trail.as_slice(), |life| since_opened(life, trail));
            since.first().map_or(Place::default(), |entry| entry.place)
        }
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

/// What was done to an item since it was last opened: everything after the whole of it was last closed.
fn since_opened(life: Life, trail: &[Trail]) -> &[Trail] {
    let whole = trail.iter().map(|entry| entry.count).max().unwrap_or(0);
    let closed = trail.iter().rposition(|entry| life.closes(entry.verb) && entry.count == whole);
    match trail.get(closed.map_or(0, |at| at + 1)..) {
        Some(since) if !since.is_empty() => since,
        _ => trail.get(trail.len().saturating_sub(1)..).unwrap_or_default(),
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
    pub(crate) fn step(&self, leg: usize) -> Phrase {
        let Some(leg) = self.procedure.route.legs.get(leg) else { return phrase!("the end") };
        let number = self
            .worked
            .parsed()
            .procedures()
            .get(&leg.procedure)
            .and_then(|procedure| procedure.step(&leg.step))
            .map_or(0, |step| step.number);
        if leg.procedure == self.id {
            phrase!("step {number}", number = number)
        } else {
            phrase!("step {number} of {procedure}", number = number, procedure = leg.procedure)
        }
    }

    /// Where the procedure ends: the heading of its last step.
    pub(crate) fn end(&self) -> Option<Span> {
        let procedure = self.worked.parsed().procedures().get(self.id)?;
        procedure.steps().last().map(|step| span(step.place))
    }

    /// A finding at an act, in its procedure and step.
    pub(crate) fn at(&self, finding: Finding, place: Place, leg: usize, note: impl Into<Words>) -> Finding {
        let finding = finding.at(span(place), note).in_procedure(self.id);
        match self.procedure.route.legs.get(leg) {
            Some(leg) => finding.in_step(&leg.step),
            None => finding,
        }
    }

    /// A finding at an act that needs an energy off, with what was done to the energy.
    pub(crate) fn needs_off(&self, finding: Finding, place: Place, leg: usize, trail: &[Trail]) -> Finding {
        self.history(self.at(finding, place, leg, phrase!("this needs it off")), trail, None)
    }

    /// Adds the history of an item as labels.
    pub(crate) fn history(&self, mut finding: Finding, trail: &[Trail], not: Option<Place>) -> Finding {
        for entry in trail.iter().filter(|entry| Some(entry.place) != not) {
            finding = finding.label(span(entry.place), self.happened(entry));
        }
        finding
    }

    /// What happened to the item: `taken out here, step 4`.
    fn happened(&self, entry: &Trail) -> Phrase {
        let done = self.item().map_or(entry.verb.done(), |item| item.life().done(entry.verb));
        phrase!("{done} here, {step}", done = Phrase::bare(done), step = self.step(entry.leg))
    }

    /// The item's own strip: what was done to it since it was opened, and what is still blank, as on a job card
    /// (`lining-screws ×9 │ out, step 4 │ fastened —`).
    pub(crate) fn strip(&self, item: &Item, trail: &[Trail], lacks: &[Verb]) -> Phrase {
        let count = |count: u32| if count > 1 { format!(" ×{count}") } else { String::new() };
        let mut strip = vec![Phrase::verbatim(format!("{}{}", item.id, count(item.count())))];
        for entry in since_opened(item.life(), trail) {
            let some =
                if entry.count == item.count() { String::new() } else { format!(" ×{}", entry.count) };
            let column = Phrase::bare(item.life().column(entry.verb));
            strip.push(phrase!(
                "{column}{some}, {step}",
                column = column,
                some = some,
                step = self.step(entry.leg)
            ));
        }
        let column = |verb: &Verb| Phrase::bare(item.life().column(*verb));
        strip.extend(lacks.iter().map(|verb| phrase!("{column} —", column = column(verb))));
        Phrase::list(strip, " │ ")
    }

    /// The finding of an item that is left open: where it was opened, what became of it, what it lacks.
    pub(crate) fn open(&self, finding: impl Fn(Phrase) -> Finding) -> Option<Finding> {
        match self.fault {
            Fault::Open { item, state, trail, path, count } => {
                let item = self.procedure.items.get(item)?;
                let tally = BTreeMap::from([(*state, *count)]);
                let closings = closings_of(item, &tally, Fate::of(item, self.worked.parsed().stores()));
                let since = since_opened(item.life(), trail);
                let headline = self.left(item, *count, since, &closings, path);
                let first = since.first()?;
                let lacks: Vec<Verb> = closings.iter().map(|closing| closing.verb).collect();
                let finding = finding(headline).detail(self.strip(item, trail, &lacks));
                let mut finding = self.at(finding, first.place, first.leg, self.happened(first));
                finding = self.history(finding, since.get(1..).unwrap_or_default(), None);
                if let (Some(end), Some(verb)) = (self.end(), lacks.first()) {
                    let never =
                        phrase!("the procedure ends here; never {done}", done = Phrase::bare(verb.done()));
                    finding = finding.label(end, never);
                }
                Some(finding.help(self.way_on(item, &closings)))
            }
            Fault::NotLeft { item, state, trail, wanted, place } => {
                let item = self.procedure.items.get(item)?;
                let headline = phrase!(
                    "{things} left `{state}`, and the procedure says `{wanted}`",
                    things = are(&capital(&item.in_sentence()), item.count()),
                    state = state.word(),
                    wanted = wanted.word()
                );
                let finding = finding(headline).detail(self.strip(item, trail, &[]));
                let finding = finding.at(span(*place), phrase!("said here")).in_procedure(self.id);
                let help = phrase!(
                    "bring it to `{wanted}`, or write `{item}: {state}`",
                    wanted = wanted.word(),
                    item = item.id,
                    state = state.word()
                );
                Some(self.history(finding, trail, None).help(help))
            }
            _ => None,
        }
    }

    /// `Lining screws are taken out in step 4 and never fastened`.
    fn left(
        &self,
        item: &Item,
        count: u32,
        since: &[Trail],
        closings: &[Closing],
        path: &[String],
    ) -> Phrase {
        let things = if count == item.count() {
            are(&capital(&item.in_sentence()), count)
        } else {
            part_of(count, item)
        };
        let told = |entry: &Trail| {
            let done = Phrase::bare(item.life().done(entry.verb));
            phrase!("{done} in {step}", done = done, step = self.step(entry.leg))
        };
        let mut told: Vec<Phrase> =
            since.first().into_iter().chain(since.get(1..).and_then(<[Trail]>::last)).map(told).collect();
        let never = |closing: &Closing| phrase!("never {done}", done = Phrase::bare(closing.verb.done()));
        told.extend(closings.first().map(never));
        let last = told.pop().unwrap_or_default();
        let told = Phrase::list(told, ", ");
        let left = phrase!("{things} {told} and {last}", things = things, told = told, last = last);
        match path {
            [] => left,
            path => phrase!("{left}, on the way {way}", left = left, way = path.join(", ")),
        }
    }

    /// What to write. A procedure that leaves an energy off for others leaves what that energy loses lost.
    fn way_on(&self, item: &Item, closings: &[Closing]) -> Phrase {
        let leaves = self.worked.parsed().procedures().get(self.id).map(|procedure| &procedure.leaves);
        let off = |energy: &&String| {
            let known = self.procedure.items.get(*energy);
            known.is_some_and(|energy| energy.loses().contains(&item.id))
        };
        if let Some(energy) = leaves.and_then(|leaves| leaves.keys().find(off)) {
            return phrase!(
                "it leaves `{energy}` off for who carries it out, so add `{id}: lost` to its `leaves`, and `- re-teach: {id}` where `{energy}` is restored",
                energy = energy,
                id = item.id
            );
        }
        let mut lines = closings.iter().map(|closing| Phrase::verbatim(format!("`{}`", closing.line())));
        let first = lines.next().unwrap_or_default();
        let lines = lines
            .fold(first, |before, after| phrase!("{before}, then {after}", before = before, after = after));
        phrase!("add {lines}", lines = lines)
    }
}

/// A subject with the verb of its number.
pub(crate) fn are(subject: &str, count: u32) -> Phrase {
    match count {
        1 => phrase!("{thing} is", thing = subject),
        _ => phrase!("{things} are", things = subject),
    }
}

/// Some of an item's units with the verb of their number.
fn part_of(count: u32, item: &Item) -> Phrase {
    let (all, things) = (item.count(), item.in_sentence());
    match count {
        1 => phrase!("{count} of the {all} {things} is", count = count, all = all, things = things),
        _ => phrase!("{count} of the {all} {things} are", count = count, all = all, things = things),
    }
}

/// A text that begins a sentence.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
