//! The lives of items: which states each kind passes, and which verb leads from one to the next.

use super::Kind;

/// What is done to an item.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs, reason = "each is the verb it names")]
pub enum Verb {
    Isolate,
    Secure,
    ProveOff,
    Restore,
    TakeOff,
    PutBack,
    Renew,
    Slacken,
    Remove,
    Refit,
    Tighten,
    Fasten,
    Unplug,
    PlugIn,
    Cut,
    SleeveOn,
    Join,
    LookOver,
    Shrink,
    Test,
    Cap,
    RunNew,
    Insert,
    Place,
    TakeAway,
    ReTeach,
    NoteDown,
}

const VERBS: [(&str, Verb); 27] = [
    ("isolate", Verb::Isolate),
    ("secure", Verb::Secure),
    ("prove-off", Verb::ProveOff),
    ("restore", Verb::Restore),
    ("take-off", Verb::TakeOff),
    ("put-back", Verb::PutBack),
    ("renew", Verb::Renew),
    ("slacken", Verb::Slacken),
    ("remove", Verb::Remove),
    ("refit", Verb::Refit),
    ("tighten", Verb::Tighten),
    ("fasten", Verb::Fasten),
    ("unplug", Verb::Unplug),
    ("plug-in", Verb::PlugIn),
    ("cut", Verb::Cut),
    ("sleeve-on", Verb::SleeveOn),
    ("join", Verb::Join),
    ("look-over", Verb::LookOver),
    ("shrink", Verb::Shrink),
    ("test", Verb::Test),
    ("cap", Verb::Cap),
    ("run-new", Verb::RunNew),
    ("insert", Verb::Insert),
    ("place", Verb::Place),
    ("take-away", Verb::TakeAway),
    ("re-teach", Verb::ReTeach),
    ("note-down", Verb::NoteDown),
];

impl Verb {
    /// The verb of a word.
    pub fn of(word: &str) -> Option<Verb> {
        VERBS.iter().find(|(known, _)| *known == word).map(|(_, verb)| *verb)
    }

    /// The word of a verb.
    pub fn word(self) -> &'static str {
        VERBS.iter().find(|(_, verb)| *verb == self).map_or("", |(word, _)| word)
    }

    /// All words.
    pub fn words() -> impl Iterator<Item = &'static str> {
        VERBS.iter().map(|(word, _)| *word)
    }

    /// Whether a step that does this needs every declared energy off.
    pub fn needs_off(self) -> bool {
        matches!(
            self,
            Verb::Cut | Verb::Join | Verb::Cap | Verb::RunNew | Verb::Insert | Verb::Unplug | Verb::PlugIn
        )
    }
}

/// Where an item stands in its life.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs, reason = "each is the state it names")]
pub enum State {
    On,
    Isolated,
    Secured,
    ProvedOff,
    Off,
    Tight,
    Slack,
    Out,
    Fitted,
    In,
    Whole,
    Cut,
    Sleeved,
    Joined,
    LookedOver,
    Closed,
    Tested,
    Capped,
    New,
    Away,
    Placed,
    Kept,
    Lost,
}

const STATES: [(&str, State); 23] = [
    ("on", State::On),
    ("isolated", State::Isolated),
    ("secured", State::Secured),
    ("proved-off", State::ProvedOff),
    ("off", State::Off),
    ("tight", State::Tight),
    ("slack", State::Slack),
    ("out", State::Out),
    ("fitted", State::Fitted),
    ("in", State::In),
    ("whole", State::Whole),
    ("cut", State::Cut),
    ("sleeved", State::Sleeved),
    ("joined", State::Joined),
    ("looked-over", State::LookedOver),
    ("closed", State::Closed),
    ("tested", State::Tested),
    ("capped", State::Capped),
    ("new", State::New),
    ("away", State::Away),
    ("placed", State::Placed),
    ("kept", State::Kept),
    ("lost", State::Lost),
];

impl State {
    /// The state of a word.
    pub fn of(word: &str) -> Option<State> {
        STATES.iter().find(|(known, _)| *known == word).map(|(_, state)| *state)
    }

    /// All words.
    pub fn words() -> impl Iterator<Item = &'static str> {
        STATES.iter().map(|(word, _)| *word)
    }

    /// The word of a state.
    pub fn word(self) -> &'static str {
        STATES.iter().find(|(_, state)| *state == self).map_or("", |(word, _)| word)
    }
}

/// One arrow of a life.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Move {
    /// Before.
    pub from: State,
    /// What is done.
    pub verb: Verb,
    /// After.
    pub to: State,
}

const fn step(from: State, verb: Verb, to: State) -> Move {
    Move { from, verb, to }
}

const ENERGY: &[Move] = &[
    step(State::On, Verb::Isolate, State::Isolated),
    step(State::Isolated, Verb::Secure, State::Secured),
    step(State::Isolated, Verb::ProveOff, State::ProvedOff),
    step(State::Secured, Verb::ProveOff, State::ProvedOff),
    step(State::Isolated, Verb::Restore, State::On),
    step(State::Secured, Verb::Restore, State::On),
    step(State::ProvedOff, Verb::Restore, State::On),
];
const PANEL: &[Move] = &[
    step(State::On, Verb::TakeOff, State::Off),
    step(State::Off, Verb::PutBack, State::On),
    step(State::Off, Verb::Renew, State::On),
];
const FASTENER: &[Move] = &[
    step(State::Tight, Verb::Slacken, State::Slack),
    step(State::Tight, Verb::Remove, State::Out),
    step(State::Slack, Verb::Remove, State::Out),
    step(State::Out, Verb::Refit, State::Fitted),
    step(State::Out, Verb::Renew, State::Fitted),
    step(State::Slack, Verb::Tighten, State::Tight),
    step(State::Fitted, Verb::Tighten, State::Tight),
    step(State::Out, Verb::Fasten, State::Tight),
];
const CONNECTOR: &[Move] = &[
    step(State::In, Verb::Unplug, State::Out),
    step(State::Out, Verb::PlugIn, State::In),
    step(State::Out, Verb::Renew, State::In),
];
const CONDUCTOR: &[Move] = &[
    step(State::Whole, Verb::Cut, State::Cut),
    step(State::Cut, Verb::SleeveOn, State::Sleeved),
    step(State::Sleeved, Verb::Join, State::Joined),
    step(State::Joined, Verb::LookOver, State::LookedOver),
    step(State::Joined, Verb::Shrink, State::Closed),
    step(State::LookedOver, Verb::Shrink, State::Closed),
    step(State::Closed, Verb::Test, State::Tested),
    step(State::Cut, Verb::Cap, State::Capped),
    step(State::Whole, Verb::RunNew, State::New),
    step(State::Cut, Verb::RunNew, State::New),
    step(State::New, Verb::Test, State::Tested),
    step(State::Cut, Verb::Insert, State::Joined),
    step(State::Sleeved, Verb::Insert, State::Joined),
    step(State::Whole, Verb::Test, State::Whole),
    step(State::Tested, Verb::Test, State::Tested),
];
/// A barrel join insulates itself, so it needs no sleeve before and none closed after.
const BARREL: &[Move] = &[
    step(State::Cut, Verb::Join, State::Joined),
    step(State::Joined, Verb::Test, State::Tested),
    step(State::LookedOver, Verb::Test, State::Tested),
];
const AID: &[Move] =
    &[step(State::Away, Verb::Place, State::Placed), step(State::Placed, Verb::TakeAway, State::Away)];
const SETTING: &[Move] =
    &[step(State::Lost, Verb::ReTeach, State::Kept), step(State::Kept, Verb::NoteDown, State::Kept)];

impl Kind {
    /// The arrows of its life.
    pub fn moves(self) -> &'static [Move] {
        match self {
            Kind::Energy => ENERGY,
            Kind::Panel => PANEL,
            Kind::Fastener | Kind::Clip | Kind::Tie | Kind::Grommet => FASTENER,
            Kind::Connector => CONNECTOR,
            Kind::Conductor => CONDUCTOR,
            Kind::Aid => AID,
            Kind::Setting => SETTING,
        }
    }

    /// Where a verb leads from a state; `barrel` says that a conductor's join insulates itself.
    pub fn after(self, from: State, verb: Verb, barrel: bool) -> Option<State> {
        let more = if barrel && self == Kind::Conductor { BARREL } else { &[] };
        self.moves().iter().chain(more).find(|go| go.from == from && go.verb == verb).map(|go| go.to)
    }

    /// Where its life begins, unless a procedure expects otherwise.
    pub fn start(self) -> State {
        match self {
            Kind::Energy | Kind::Panel => State::On,
            Kind::Fastener | Kind::Clip | Kind::Tie | Kind::Grommet => State::Tight,
            Kind::Connector => State::In,
            Kind::Conductor => State::Whole,
            Kind::Aid => State::Away,
            Kind::Setting => State::Kept,
        }
    }

    /// The states in which it may be left.
    pub fn ends(self) -> &'static [State] {
        match self {
            Kind::Energy | Kind::Panel => &[State::On],
            Kind::Fastener | Kind::Clip | Kind::Tie | Kind::Grommet => &[State::Tight],
            Kind::Connector => &[State::In],
            Kind::Conductor => &[State::Whole, State::Tested, State::Capped],
            Kind::Aid => &[State::Away],
            Kind::Setting => &[State::Kept],
        }
    }

    /// Whether a state belongs to its life.
    pub fn knows(self, state: State) -> bool {
        self.start() == state || self.moves().iter().any(|go| go.from == state || go.to == state)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_verb_and_state_has_one_word() {
        for (word, verb) in VERBS {
            assert_eq!((Verb::of(word), verb.word()), (Some(verb), word));
        }
        for (word, state) in STATES {
            assert_eq!((State::of(word), state.word()), (Some(state), word));
        }
    }

    #[test]
    fn every_open_state_has_a_way_to_an_end() {
        for kind in Kind::ALL {
            for go in kind.moves() {
                let mut reached = vec![go.to];
                let mut index = 0;
                while let Some(state) = reached.get(index).copied() {
                    for next in kind.moves().iter().filter(|next| next.from == state) {
                        if !reached.contains(&next.to) {
                            reached.push(next.to);
                        }
                    }
                    index += 1;
                }
                assert!(reached.iter().any(|state| kind.ends().contains(state)), "{kind:?} {go:?}");
            }
        }
    }
}
