//! What the walk says of each step.

use super::prose;
use super::ways::{self, Ask};
use crate::ledger::{Halt, Moved, Stop, replay};
use crate::model::{
    Acceptance, Act, Amount, Check, Item, Message, Otherwise, Procedure, State, Status, Step, Turn, Use,
};
use crate::work::{Leg, Scope, Worked, WorkedProcedure};
use std::collections::BTreeMap;
use std::fmt::Write as _;

/// A step of the walk.
pub(super) struct Card {
    /// Its id, after its procedure's where it is carried out in place.
    pub(super) id: String,
    /// Its title.
    pub(super) title: String,
    /// How long it should take.
    pub(super) minutes: Option<f64>,
    /// What is printed for it.
    pub(super) text: String,
    /// What is asked at its end.
    pub(super) asks: Vec<Ask>,
    /// The leg after it on the way that skips nothing.
    pub(super) next: usize,
}

/// What a walk goes over.
pub(super) trait Ground {
    /// The card of the last leg of a path, with everything as that path leaves it; none past the last leg.
    fn card(&self, path: &[usize]) -> Option<Card>;

    /// What a leg is called where a way leads to it.
    fn called(&self, leg: usize) -> String;
}

/// The states of the items that were moved, or that the procedure expects in another than their first.
type Standing = BTreeMap<String, BTreeMap<State, u32>>;

/// What is printed before the first step.
pub(super) fn heading(procedure: &Procedure) -> String {
    let mut text = format!("{}\n{}\n", procedure.title, procedure.summary);
    if procedure.skill.is_gated() {
        text.push_str("Only for licensed people, with the maker's instruction.\n");
    }
    if procedure.status != Status::Released {
        let _ = writeln!(text, "This procedure is {}.", procedure.status.word());
    }
    text
}

/// A procedure's route, with those of procedures that are carried out in place.
pub(super) struct Walkthrough<'a> {
    /// The manual.
    pub(super) worked: &'a Worked,
    /// The procedure as written.
    pub(super) procedure: &'a Procedure,
    /// What follows for it.
    pub(super) known: &'a WorkedProcedure,
}

impl Walkthrough<'_> {
    fn step(&self, leg: &Leg) -> Option<&Step> {
        self.worked.parsed().procedures().get(&leg.procedure)?.step(&leg.step)
    }

    /// The moves of a path as it was taken, by its legs in order. The replay of the route follows every way at once
    /// and no rework; this one follows the reader.
    fn moves(&self, path: &[usize]) -> Vec<Moved> {
        let legs = path.iter().filter_map(|at| self.known.route.legs.get(*at));
        let stops: Vec<Stop> = legs.map(|leg| Stop { next: Vec::new(), ..leg.stop.clone() }).collect();
        replay(&self.known.items, &stops, &self.procedure.expects, &self.procedure.leaves).moves
    }
}

impl Ground for Walkthrough<'_> {
    fn card(&self, path: &[usize]) -> Option<Card> {
        let (at, before) = path.split_last()?;
        let route = &self.known.route;
        let leg = route.legs.get(*at)?;
        let step = self.step(leg)?;
        let mut moves = self.moves(path);
        let mut standing = found(self.procedure, self.known);
        moves.iter().for_each(|moved| apply(&mut standing, self.known, moved));
        moves.retain(|moved| moved.leg == before.len());
        let mut text = String::new();
        let own = before.iter().rev().filter_map(|at| route.legs.get(*at)).find(|leg| leg.depth == 0);
        if leg.depth == 0 && own.is_none_or(|own| own.stage != leg.stage) {
            let title =
                self.procedure.stage(&leg.stage).map_or(leg.stage.as_str(), |stage| stage.title.as_str());
            let _ = write!(text, "\n== {title} ==\n");
        }
        let view = View {
            worked: self.worked,
            procedure: self.procedure,
            known: self.known,
            moves: &moves,
            at: *at,
            again: before.contains(at),
            leg,
            step,
        };
        text.push_str(&view.text());
        text.push_str(&line("open", &open(self.known, &standing)));
        let rest = route.legs.iter().skip(at + 1);
        let minutes = rest.map(|leg| self.step(leg).and_then(|step| step.minutes).unwrap_or(0.0));
        // The sum of nothing is minus nought, which a nought that is added takes away.
        let ahead: f64 = minutes.sum::<f64>() + 0.0;
        if ahead > 0.0 {
            text.push_str(&line("ahead", &format!("about {:.0} min", ahead.ceil())));
        }
        let id = if leg.depth == 0 { leg.step.clone() } else { format!("{}/{}", leg.procedure, leg.step) };
        Some(Card {
            id,
            title: step.heading.clone(),
            minutes: step.minutes,
            text,
            asks: ways::asks(self.worked, route, *at),
            next: ways::plain(leg, *at),
        })
    }

    fn called(&self, leg: usize) -> String {
        let known = self.known.route.legs.get(leg).and_then(|leg| Some((leg, self.step(leg)?)));
        known.map_or_else(String::new, |(leg, step)| {
            format!("step {}, {}", number(self.procedure, leg, step), step.heading)
        })
    }
}

/// How the items stand before the first step.
fn found(procedure: &Procedure, known: &WorkedProcedure) -> Standing {
    let expected = procedure.expects.iter();
    expected
        .filter_map(|(id, (state, _))| {
            Some((id.clone(), BTreeMap::from([(*state, known.items.get(id)?.count())])))
        })
        .collect()
}

fn apply(standing: &mut Standing, known: &WorkedProcedure, moved: &Moved) {
    let count = known.items.get(&moved.item).map_or(moved.count, |item| item.count());
    let tally = standing.entry(moved.item.clone()).or_insert_with(|| BTreeMap::from([(moved.from, count)]));
    if let Some(left) = tally.get_mut(&moved.from) {
        *left = left.saturating_sub(moved.count);
    }
    *tally.entry(moved.to).or_insert(0) += moved.count;
    tally.retain(|_, number| *number > 0);
}

/// The loose ends: everything that does not stand as it must in the end.
fn open(known: &WorkedProcedure, standing: &Standing) -> String {
    let mut ends = Vec::new();
    for (id, tally) in standing {
        let Some(item) = known.items.get(id) else { continue };
        for (state, number) in tally.iter().filter(|(state, _)| !item.life().ends().contains(state)) {
            let some = if *number == item.count() { String::new() } else { format!("{number} of ") };
            ends.push(format!("{some}{} {}", name(item), state.word()));
        }
    }
    if ends.is_empty() { "nothing".to_owned() } else { ends.join("; ") }
}

fn name(item: &Item) -> String {
    if item.name.is_empty() { item.id.clone() } else { item.label() }
}

/// A line of a card: what it is, then what there is.
fn line(word: &str, text: &str) -> String {
    format!("   {word:<9} {text}\n")
}

/// `4`, or `4 > isolate-supply 2` for a step that is carried out in place.
fn number(procedure: &Procedure, leg: &Leg, step: &Step) -> String {
    if leg.depth == 0 {
        return step.number.to_string();
    }
    let top = procedure.step(&leg.top).map_or(0, |step| step.number);
    format!("{top} > {} {}", leg.procedure, step.number)
}

struct View<'a> {
    worked: &'a Worked,
    procedure: &'a Procedure,
    known: &'a WorkedProcedure,
    /// What this leg moves.
    moves: &'a [Moved],
    at: usize,
    /// Whether the leg is gone through once more.
    again: bool,
    leg: &'a Leg,
    step: &'a Step,
}

impl View<'_> {
    fn text(&self) -> String {
        let mut text = format!("\n{}. {}\n", number(self.procedure, self.leg, self.step), self.step.heading);
        if self.again {
            text.push_str(&line("rework", "this step is gone through once more"));
        }
        if let Some(carried) = &self.step.carry_out {
            let run = self.worked.parsed().procedures().get(&carried.procedure);
            let title = run.map_or(carried.procedure.as_str(), |run| run.title.as_str());
            let stage = carried.stage.as_ref().map_or_else(String::new, |stage| format!(", stage {stage}"));
            text.push_str(&line("carry out", &format!("{title}{stage}")));
        }
        // A blank line ends a card, so paragraphs follow one another without one.
        let scope = Scope::Procedure(&self.leg.procedure);
        for said in prose::lines(self.worked, scope, &self.step.prose) {
            let _ = writeln!(text, "   {said}");
        }
        for (word, hazard) in self.hazards() {
            text.push_str(&line(&word.to_uppercase(), &hazard));
        }
        let tools: Vec<String> = self.step.tools.iter().map(|tool| self.called(tool)).collect();
        if !tools.is_empty() {
            text.push_str(&line("tools", &tools.join(", ")));
        }
        for act in &self.leg.stop.acts {
            text.push_str(&line("does", &self.act(act)));
        }
        if let Some((time, ..)) = &self.step.wait {
            text.push_str(&line("wait", &time.to_string()));
        }
        if let Some((time, ..)) = &self.step.within {
            text.push_str(&line("within", &time.to_string()));
        }
        if let Some(check) = &self.step.check {
            text.push_str(&line("check", &self.check(check)));
        }
        for (number, choice) in (1..).zip(&self.step.choose) {
            text.push_str(&line("choose", &format!("{number} {}: {}", choice.when, self.turn(&choice.then))));
        }
        if let Some(halt) = self.known.replay.halts.iter().find(|halt| halt.leg == self.at) {
            text.push_str(&line("if ended", &self.open(halt)));
        }
        text
    }

    /// What stands open if the job ends here.
    fn open(&self, halt: &Halt) -> String {
        let states = |(id, states): (&String, &BTreeMap<State, u32>)| {
            let name = self.known.items.get(id).map_or_else(|| id.clone(), name);
            let states: Vec<&str> = states.keys().map(|state| state.word()).collect();
            format!("{name} {}", states.join(" or "))
        };
        let open: Vec<String> = halt.open.iter().map(states).collect();
        if open.is_empty() {
            "nothing stands open".to_owned()
        } else {
            format!("{} stand open", open.join(", "))
        }
    }

    /// What a line of the stores is called; its id, where the stores do not have it.
    fn called(&self, needed: &Use) -> String {
        let line = self.worked.parsed().stores().get(needed.store, &needed.id);
        line.map_or_else(|| needed.id.clone(), |line| line.name.clone())
    }

    /// Signal word and hazard, the gravest first.
    fn hazards(&self) -> Vec<(String, String)> {
        let text = |line: &crate::model::Line, key: &str| line.text(key).unwrap_or_default().to_owned();
        let lines = self.worked.hazards_of(self.step).into_iter();
        let stored = lines.map(|line| (text(line, "word"), text(line, "hazard"), text(line, "avoid")));
        let full = self.step.messages.iter().filter_map(|message| match message {
            Message::Full { word, hazard, avoid, .. } => Some((word.clone(), hazard.clone(), avoid.clone())),
            Message::Hazard(..) => None,
        });
        let rank =
            |word: &str| ["danger", "warning", "caution", "notice"].iter().position(|known| *known == word);
        let mut all: Vec<(String, String, String)> = stored.chain(full).collect();
        all.sort_by_key(|(word, ..)| rank(word));
        let one = |(word, hazard, avoid): (String, String, String)| {
            (word, format!("{}: {}", hazard.trim_end_matches('.'), avoid.trim_end_matches('.')))
        };
        all.into_iter().map(one).collect()
    }

    fn act(&self, act: &Act) -> String {
        let item = self.known.items.get(&act.item);
        let what = item.map_or_else(|| act.item.clone(), Item::in_sentence);
        let all = item.map_or(1, Item::count);
        let some = match act.count.unwrap_or(all) {
            count if count < all => format!(" ({count} of {all})"),
            1 => String::new(),
            count => format!(" ({count})"),
        };
        let moved = self.moves.iter().any(|moved| moved.item == act.item && moved.verb == Some(act.verb));
        // What rework finds as it shall be is not done again.
        let already = if self.again && !moved { " (stands so already)" } else { "" };
        format!("{}{some}{already}", act.verb.title(&what))
    }

    fn check(&self, check: &Check) -> String {
        match check {
            Check::Text(text, _) => text.clone(),
            Check::Counted(_) => {
                let fastens = |moved: &&Moved| {
                    self.known.items.get(&moved.item).is_some_and(|item| item.kind().is_fastening())
                };
                let moved = self.moves.iter().filter(fastens);
                // Each of them is counted once, however often it is moved in this step.
                let mut counts: BTreeMap<&str, u32> = BTreeMap::new();
                for moved in moved {
                    let known = counts.entry(&moved.item).or_insert(0);
                    *known = (*known).max(moved.count);
                }
                format!("count {}", counts.values().sum::<u32>())
            }
            Check::Measured { measure, accept, otherwise, .. } => {
                let otherwise = otherwise.as_ref().map_or_else(String::new, |(otherwise, _)| {
                    format!("; otherwise {}", self.otherwise(otherwise))
                });
                format!("{measure}: {}{otherwise}", self.accept(accept))
            }
        }
    }

    /// The readings that a check accepts, as far as its limits have figures.
    fn accept(&self, accept: &Acceptance) -> String {
        let scope = Scope::Procedure(&self.leg.procedure);
        let shown = |limit: &Amount| {
            let amount = self.worked.amount(scope, limit);
            amount.map_or_else(|| "a figure that is not there".to_owned(), |amount| amount.to_string())
        };
        match (accept.least.as_ref().map(shown), accept.greatest.as_ref().map(shown)) {
            (Some(least), Some(greatest)) if least == greatest => least,
            (Some(least), Some(greatest)) => format!("{least} to {greatest}"),
            (Some(least), None) => format!("at least {least}"),
            (None, Some(greatest)) => format!("at most {greatest}"),
            (None, None) => String::new(),
        }
    }

    fn otherwise(&self, otherwise: &Otherwise) -> String {
        match otherwise {
            Otherwise::Turn(turn) => self.turn(turn),
            Otherwise::Words(words) => words.clone(),
        }
    }

    fn turn(&self, turn: &Turn) -> String {
        match turn {
            Turn::Step(id) => self.target(id),
            Turn::Stop => "the job ends here".to_owned(),
        }
    }

    /// A step of the procedure that this one stands in.
    fn target(&self, id: &str) -> String {
        let procedure = self.worked.parsed().procedures().get(&self.leg.procedure);
        let step = procedure.and_then(|procedure| procedure.step(id));
        step.map_or_else(|| id.to_owned(), |step| format!("step {}", step.number))
    }
}
