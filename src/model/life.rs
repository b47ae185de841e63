//! The lives of items, as one table: every verb with its words, and for each life the moves that it makes.
//! The replay, findings, strips, proposals and cards ask here, so that a new verb is one row of the table.

use super::{Action, Kind};
use Life::{Aid, Barrel, Conductor, Connector, Energy, Fastening, Panel, Setting, Shielded, ShieldedBarrel};
use When::{Always, By, Kept, Never, Renewed};

/// The life that an item leads: that of its kind, and for a conductor that of its cable and its join.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Life {
    /// A supply, a spring, a pressure: what is made safe.
    Energy,
    /// What comes off whole.
    Panel,
    /// What is driven, clipped or tied, and counted.
    Fastening,
    /// What is plugged.
    Connector,
    /// A wire whose joint a sleeve insulates.
    Conductor,
    /// A wire whose barrel insulates itself.
    Barrel,
    /// A cable with a shield: its core is joined and covered, then its shield is closed over that.
    Shielded,
    /// A cable with a shield whose core is joined in a barrel, so that the core needs no sleeve of its own.
    ShieldedBarrel,
    /// What is placed for the work alone.
    Aid,
    /// What a control unit remembers.
    Setting,
}

/// Every conductor.
const WIRES: &[Life] = &[Conductor, Barrel, Shielded, ShieldedBarrel];
/// Conductors that no sleeve has to close.
const BARRELS: &[Life] = &[Barrel];
/// Conductors on which a sleeve must be before they are joined.
const SLEEVED: &[Life] = &[Conductor, Shielded, ShieldedBarrel];
/// Conductors without a shield.
const PLAIN: &[Life] = &[Conductor, Barrel];
/// Conductors with a shield.
const SHIELDS: &[Life] = &[Shielded, ShieldedBarrel];

/// When a move is the one to propose from its state. A move on a condition that holds comes before one that
/// is always right.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum When {
    /// Where nothing more fitting is.
    Always,
    /// Where the old one serves again.
    Kept,
    /// Where a new one goes in.
    Renewed,
    /// Where this is to be done with the conductor.
    By(Action),
    /// It is lawful, and never proposed.
    Never,
}

/// A move of a verb in some lives.
#[derive(Debug)]
struct Arrow {
    lives: &'static [Life],
    from: State,
    to: State,
    when: When,
    /// Whether every declared energy must be off while it is done.
    dead: bool,
    /// Whether it is done with heat.
    hot: bool,
    /// Whether nobody does it to the item by hand: another item's verb brings it about.
    brought: bool,
    /// The line of a proposed step by which the move is seen to be done.
    seen: Option<&'static str>,
}

const fn arrow(lives: &'static [Life], from: State, to: State, when: When) -> Arrow {
    Arrow { lives, from, to, when, dead: false, hot: false, brought: false, seen: None }
}

impl Arrow {
    const fn dead(self) -> Arrow {
        Arrow { dead: true, ..self }
    }

    const fn hot(self) -> Arrow {
        Arrow { hot: true, ..self }
    }

    const fn brought(self) -> Arrow {
        Arrow { brought: true, ..self }
    }

    const fn seen(self, line: &'static str) -> Arrow {
        Arrow { seen: Some(line), ..self }
    }
}

/// A row of the table.
#[derive(Debug)]
struct Row {
    verb: Verb,
    word: &'static str,
    done: &'static str,
    column: &'static str,
    title: &'static str,
    arrows: &'static [Arrow],
}

/// Makes the enumeration and its table from one list, so that no verb is in one of them alone.
macro_rules! verbs {
    ($($verb:ident $word:literal, $done:literal, $column:literal, $title:literal, [$($arrow:expr),* $(,)?];)*) => {
        /// What is done to an item.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        #[allow(missing_docs, reason = "each is the verb it names")]
        pub enum Verb { $($verb),* }

        static VERBS: &[Row] = &[$(Row {
            verb: Verb::$verb, word: $word, done: $done, column: $column, title: $title, arrows: &[$($arrow),*],
        }),*];
    };
}

/// Makes the enumeration of states and their words from one list, in the order in which lives pass them.
macro_rules! states {
    ($($state:ident $word:literal),* $(,)?) => {
        /// Where an item stands in its life.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        #[allow(missing_docs, reason = "each is the state it names")]
        pub enum State { $($state),* }

        static STATES: &[(State, &str)] = &[$((State::$state, $word)),*];
    };
}

const COUNTED: &str = "check: counted";
const LOCKED: &str = "check: The lock has engaged";
const DROP: &str = "record: {ask: Drop under load, unit: mV}";
const THROUGH: &str = "record: {ask: Resistance of core and of shield end to end, unit: Ω}";

// A row: the verb and its word; how it reads once it is done; its column in a strip; the title of a step
// that does it, in which {} is the item; its moves.
verbs! {
    Isolate "isolate", "isolated", "isolated", "Isolate the {}", [
        arrow(&[Energy], State::On, State::Isolated, Never),
        arrow(&[Setting], State::Kept, State::Lost, Never).brought()];
    Secure "secure", "secured", "secured", "Secure the {} against re-closing", [
        arrow(&[Energy], State::Isolated, State::Secured, Never)];
    ProveOff "prove-off", "proved off", "proved off", "Prove the {} off", [
        arrow(&[Energy], State::Isolated, State::ProvedOff, Never),
        arrow(&[Energy], State::Secured, State::ProvedOff, Never)];
    Restore "restore", "restored", "restored", "Restore the {}", [
        arrow(&[Energy], State::Isolated, State::On, Always),
        arrow(&[Energy], State::Secured, State::On, Always),
        arrow(&[Energy], State::ProvedOff, State::On, Always)];
    TakeOff "take-off", "taken off", "off", "Take off the {}", [
        arrow(&[Panel], State::On, State::Off, Never)];
    PutBack "put-back", "put back", "back", "Put back the {}", [
        arrow(&[Panel], State::Off, State::On, Kept)];
    Renew "renew", "renewed", "renewed", "Renew the {}", [
        arrow(&[Panel], State::Off, State::On, Renewed),
        arrow(&[Fastening], State::Out, State::Fitted, Renewed).seen(COUNTED),
        arrow(&[Connector], State::Out, State::In, Renewed).dead().seen(LOCKED)];
    Slacken "slacken", "slackened", "slack", "Slacken the {}", [
        arrow(&[Fastening], State::Tight, State::Slack, Never)];
    Remove "remove", "taken out", "out", "Remove the {}", [
        arrow(&[Fastening], State::Tight, State::Out, Never),
        arrow(&[Fastening], State::Slack, State::Out, Never)];
    Refit "refit", "refitted", "back", "Refit the {}", [
        arrow(&[Fastening], State::Out, State::Fitted, Never)];
    Tighten "tighten", "tightened", "tight", "Tighten the {}", [
        arrow(&[Fastening], State::Slack, State::Tight, Always).seen(COUNTED),
        arrow(&[Fastening], State::Fitted, State::Tight, Always).seen(COUNTED)];
    Fasten "fasten", "fastened", "fastened", "Fasten the {}", [
        arrow(&[Fastening], State::Out, State::Tight, Kept).seen(COUNTED)];
    Unplug "unplug", "unplugged", "out", "Unplug the {}", [
        arrow(&[Connector], State::In, State::Out, Never).dead()];
    PlugIn "plug-in", "plugged in", "in", "Plug in the {}", [
        arrow(&[Connector], State::Out, State::In, Kept).dead().seen(LOCKED)];
    Cut "cut", "cut", "cut", "Cut the {} back", [
        arrow(WIRES, State::Whole, State::Cut, Never).dead()];
    SleeveOn "sleeve-on", "sleeved", "sleeved", "Slide the sleeve onto the {}", [
        arrow(SLEEVED, State::Cut, State::Sleeved, Always),
        arrow(BARRELS, State::Cut, State::Sleeved, Never)];
    Join "join", "joined", "joined", "Join the {}", [
        arrow(WIRES, State::Sleeved, State::Joined, Always).dead(),
        arrow(BARRELS, State::Cut, State::Joined, Always).dead()];
    Insert "insert", "pieced out", "joined", "Let a new piece into the {}", [
        arrow(WIRES, State::Sleeved, State::Joined, By(Action::Insert)).dead(),
        arrow(SLEEVED, State::Cut, State::Joined, Never).dead(),
        arrow(BARRELS, State::Cut, State::Joined, By(Action::Insert)).dead()];
    LookOver "look-over", "looked over", "looked over", "Look over the {} at its joint", [
        arrow(WIRES, State::Joined, State::LookedOver, Always)];
    CoverCore "cover-core", "covered over its core", "core covered", "Shrink the inner sleeve over the core of the {}", [
        arrow(SHIELDS, State::Joined, State::CoreCovered, Never).hot(),
        arrow(&[Shielded], State::LookedOver, State::CoreCovered, Always).hot(),
        arrow(&[ShieldedBarrel], State::LookedOver, State::CoreCovered, Never).hot()];
    CloseShield "close-shield", "closed at its shield", "shield closed", "Close the shield of the {} all round", [
        arrow(SHIELDS, State::CoreCovered, State::ShieldClosed, Always),
        arrow(&[ShieldedBarrel], State::Joined, State::ShieldClosed, Never),
        arrow(&[ShieldedBarrel], State::LookedOver, State::ShieldClosed, Always)];
    Shrink "shrink", "closed with its sleeve", "closed", "Shrink the sleeve on the {}", [
        arrow(PLAIN, State::Joined, State::Closed, Never).hot(),
        arrow(&[Conductor], State::LookedOver, State::Closed, Always).hot(),
        arrow(BARRELS, State::LookedOver, State::Closed, Never).hot(),
        arrow(SHIELDS, State::ShieldClosed, State::Closed, Always).hot()];
    Test "test", "tested", "tested", "Test the {}", [
        arrow(PLAIN, State::Closed, State::Tested, Always).seen(DROP),
        arrow(SHIELDS, State::Closed, State::Tested, Always).seen(THROUGH),
        arrow(PLAIN, State::New, State::Tested, Always).seen(DROP),
        arrow(SHIELDS, State::New, State::Tested, Always).seen(THROUGH),
        arrow(BARRELS, State::Joined, State::Tested, Never),
        arrow(BARRELS, State::LookedOver, State::Tested, Always).seen(DROP),
        arrow(WIRES, State::Whole, State::Whole, Never),
        arrow(WIRES, State::Tested, State::Tested, Never)];
    Cap "cap", "capped", "capped", "Cap the {}", [
        arrow(WIRES, State::Cut, State::Capped, By(Action::Cap)).dead()];
    RunNew "run-new", "run new", "new", "Run a new wire for the {}", [
        arrow(WIRES, State::Whole, State::New, Never).dead(),
        arrow(WIRES, State::Cut, State::New, By(Action::Replace)).dead()];
    Place "place", "placed", "placed", "Place the {}", [
        arrow(&[Aid], State::Away, State::Placed, Never)];
    TakeAway "take-away", "taken away", "away", "Take away the {}", [
        arrow(&[Aid], State::Placed, State::Away, Always)];
    ReTeach "re-teach", "taught again", "taught", "Re-teach the {}", [
        arrow(&[Setting], State::Lost, State::Kept, Always)];
    NoteDown "note-down", "noted down", "noted", "Note down the {}", [
        arrow(&[Setting], State::Kept, State::Kept, Never)];
}

states! {
    On "on", Isolated "isolated", Secured "secured", ProvedOff "proved-off", Off "off",
    Tight "tight", Slack "slack", Out "out", Fitted "fitted", In "in",
    Whole "whole", Cut "cut", Sleeved "sleeved", Joined "joined", LookedOver "looked-over",
    CoreCovered "core-covered", ShieldClosed "shield-closed", Closed "closed", Tested "tested",
    Capped "capped", New "new", Away "away", Placed "placed", Kept "kept", Lost "lost",
}

impl Verb {
    /// The verb of a word.
    pub fn of(word: &str) -> Option<Verb> {
        VERBS.iter().find(|row| row.word == word).map(|row| row.verb)
    }

    /// All words.
    pub fn words() -> impl Iterator<Item = &'static str> {
        VERBS.iter().map(|row| row.word)
    }

    /// The word of a verb.
    pub fn word(self) -> &'static str {
        self.row().map_or("", |row| row.word)
    }

    /// How it reads once it is done: `taken out`.
    pub fn done(self) -> &'static str {
        self.row().map_or("", |row| row.done)
    }

    /// The title of a step that does it to something with a name: `Fasten the lining screws`.
    pub fn title(self, name: &str) -> String {
        self.row().map_or_else(String::new, |row| row.title.replace("{}", name))
    }

    /// Whether it brings an item of any life to a state.
    pub fn leads_to(self, state: State) -> bool {
        self.arrows().iter().any(|arrow| arrow.to == state && arrow.from != state && !arrow.brought)
    }

    fn row(self) -> Option<&'static Row> {
        VERBS.get(self as usize)
    }

    fn arrows(self) -> &'static [Arrow] {
        self.row().map_or(&[], |row| row.arrows)
    }
}

impl State {
    /// The state of a word.
    pub fn of(word: &str) -> Option<State> {
        STATES.iter().find(|(_, known)| *known == word).map(|(state, _)| *state)
    }

    /// All words.
    pub fn words() -> impl Iterator<Item = &'static str> {
        STATES.iter().map(|(_, word)| *word)
    }

    /// The word of a state.
    pub fn word(self) -> &'static str {
        STATES.get(self as usize).map_or("", |(_, word)| *word)
    }
}

/// One move of a life.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Move {
    /// Before.
    pub from: State,
    /// What is done.
    pub verb: Verb,
    /// After.
    pub to: State,
}

/// What is to become of an item, as far as its way to an end depends on it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Fate {
    /// Whether a new one goes in.
    pub renewed: bool,
    /// What is done with a conductor; joined where nothing is said.
    pub action: Option<Action>,
}

impl Life {
    /// All lives.
    pub const ALL: [Life; 10] =
        [Energy, Panel, Fastening, Connector, Conductor, Barrel, Shielded, ShieldedBarrel, Aid, Setting];

    /// The life of a kind; for a conductor that of a plain wire whose joint takes a sleeve.
    pub fn of(kind: Kind) -> Life {
        match kind {
            Kind::Energy => Energy,
            Kind::Panel => Panel,
            Kind::Fastener | Kind::Clip | Kind::Tie | Kind::Grommet => Fastening,
            Kind::Connector => Connector,
            Kind::Conductor => Conductor,
            Kind::Aid => Aid,
            Kind::Setting => Setting,
        }
    }

    /// The life of a conductor, by whether its cable has a shield and whether it is joined in a barrel.
    pub fn conductor(shielded: bool, barrel: bool) -> Life {
        match (shielded, barrel) {
            (false, false) => Conductor,
            (false, true) => Barrel,
            (true, false) => Shielded,
            (true, true) => ShieldedBarrel,
        }
    }

    /// The lives that items of a kind may lead.
    pub fn all_of(kind: Kind) -> &'static [Life] {
        match Life::of(kind) {
            Energy => &[Energy],
            Panel => &[Panel],
            Fastening => &[Fastening],
            Connector => &[Connector],
            Conductor | Barrel | Shielded | ShieldedBarrel => WIRES,
            Aid => &[Aid],
            Setting => &[Setting],
        }
    }

    /// Where it begins, unless a procedure expects otherwise.
    pub fn start(self) -> State {
        match self {
            Energy | Panel => State::On,
            Fastening => State::Tight,
            Connector => State::In,
            Conductor | Barrel | Shielded | ShieldedBarrel => State::Whole,
            Aid => State::Away,
            Setting => State::Kept,
        }
    }

    /// The states in which an item may be left.
    pub fn ends(self) -> &'static [State] {
        match self {
            Energy | Panel => &[State::On],
            Fastening => &[State::Tight],
            Connector => &[State::In],
            Conductor | Barrel | Shielded | ShieldedBarrel => &[State::Whole, State::Tested, State::Capped],
            Aid => &[State::Away],
            Setting => &[State::Kept],
        }
    }

    /// Its arrows, each with its verb.
    fn arrows(self) -> impl Iterator<Item = (Verb, &'static Arrow)> {
        let own = move |arrow: &&Arrow| arrow.lives.contains(&self);
        VERBS.iter().flat_map(move |row| row.arrows.iter().filter(own).map(|arrow| (row.verb, arrow)))
    }

    fn arrows_by(self, verb: Verb) -> impl Iterator<Item = &'static Arrow> {
        verb.arrows().iter().filter(move |arrow| arrow.lives.contains(&self))
    }

    /// The moves that are made by hand.
    pub fn moves(self) -> impl Iterator<Item = Move> {
        let by_hand = self.arrows().filter(|(_, arrow)| !arrow.brought);
        by_hand.map(|(verb, arrow)| Move { from: arrow.from, verb, to: arrow.to })
    }

    /// The states that it passes.
    pub fn states(self) -> impl Iterator<Item = State> {
        let passes = move |state: &State| {
            self.start() == *state
                || self.arrows().any(|(_, arrow)| arrow.from == *state || arrow.to == *state)
        };
        STATES.iter().map(|(state, _)| *state).filter(passes)
    }

    /// Where a verb leads from a state.
    pub fn after(self, from: State, verb: Verb) -> Option<State> {
        self.arrows_by(verb).find(|arrow| arrow.from == from && !arrow.brought).map(|arrow| arrow.to)
    }

    /// Where another item's verb brings it from a state: an isolation loses a setting.
    pub fn brought(self, from: State, verb: Verb) -> Option<State> {
        self.arrows_by(verb).find(|arrow| arrow.from == from && arrow.brought).map(|arrow| arrow.to)
    }

    /// Whether a verb may be done to it only while every declared energy is off.
    pub fn needs_off(self, verb: Verb) -> bool {
        self.arrows_by(verb).any(|arrow| arrow.dead)
    }

    /// Whether a verb is done to it with heat.
    pub fn heats(self, verb: Verb) -> bool {
        self.arrows_by(verb).any(|arrow| arrow.hot)
    }

    /// Whether a verb brings it to an end.
    pub fn closes(self, verb: Verb) -> bool {
        self.arrows_by(verb).any(|arrow| self.ends().contains(&arrow.to))
    }

    /// Whether a verb puts the old one in again where a new one could go in.
    pub fn reuses(self, verb: Verb) -> bool {
        let renewed = |from: State| self.after(from, Verb::Renew).is_some();
        let moves = |arrow: &&Arrow| arrow.from != arrow.to;
        verb != Verb::Renew && self.arrows_by(verb).filter(moves).any(|arrow| renewed(arrow.from))
    }

    /// How a verb reads once it has happened to it: `taken out`; what is brought about reads as its state.
    pub fn done(self, verb: Verb) -> &'static str {
        let brought = self.arrows_by(verb).find(|arrow| arrow.brought);
        brought.map_or(verb.done(), |arrow| arrow.to.word())
    }

    /// The column of a verb in its strip.
    pub fn column(self, verb: Verb) -> &'static str {
        let brought = self.arrows_by(verb).find(|arrow| arrow.brought);
        brought.map_or(verb.row().map_or("", |row| row.column), |arrow| arrow.to.word())
    }

    /// The line of a step that shows a verb to be done, where there is one.
    pub fn seen(self, verb: Verb) -> Option<&'static str> {
        self.arrows_by(verb).find_map(|arrow| arrow.seen)
    }

    /// Whether a verb is part of what is done to it on the way to an end, from its opening on: a conductor that
    /// is to be joined is cut, sleeved, joined, looked over, closed and tested, and neither capped nor run new.
    pub fn takes(self, verb: Verb, fate: Fate) -> bool {
        let opens = self.after(self.start(), verb).filter(|to| !self.ends().contains(to));
        let to_run_new = fate.action == Some(Action::Replace);
        match opens {
            Some(State::New) => to_run_new,
            Some(_) => true,
            None => self.lacks(State::Cut, fate).contains(&verb),
        }
    }

    /// What is lacking in a state: the verbs from it to an end, in order; none where it is an end.
    pub fn lacks(self, state: State, fate: Fate) -> Vec<Verb> {
        let mut lacks = Vec::new();
        let mut at = state;
        // No way is longer than the table; a circle in it is a fault that a test finds.
        while !self.ends().contains(&at) && lacks.len() < VERBS.len() {
            let Some((verb, to)) = self.onward(at, fate) else { break };
            lacks.push(verb);
            at = to;
        }
        lacks
    }

    /// The move to propose from a state.
    fn onward(self, from: State, fate: Fate) -> Option<(Verb, State)> {
        let fits = |when: When| match when {
            Kept => !fate.renewed,
            Renewed => fate.renewed,
            By(action) => fate.action == Some(action),
            Always | Never => false,
        };
        let here = || self.arrows().filter(|(_, arrow)| arrow.from == from);
        let chosen = here().find(|(_, arrow)| fits(arrow.when));
        let chosen = chosen.or_else(|| here().find(|(_, arrow)| arrow.when == Always));
        chosen.map(|(verb, arrow)| (verb, arrow.to))
    }
}

#[cfg(test)]
mod tests;
