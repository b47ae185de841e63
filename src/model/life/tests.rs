//! The table of lives, held against the lives of the handbook.

use super::*;

/// Everything that may become of an item.
fn fates() -> Vec<Fate> {
    let actions = [Action::Join, Action::Insert, Action::Replace, Action::Cap];
    let actions = actions.into_iter().map(Some).chain([None]);
    actions.flat_map(|action| [false, true].map(|renewed| Fate { renewed, action })).collect()
}

#[test]
fn every_verb_and_state_has_one_word_of_its_own() {
    for row in VERBS {
        assert_eq!((Verb::of(row.word), row.verb.word()), (Some(row.verb), row.word));
        assert_eq!(row.verb as usize, VERBS.iter().position(|known| known.word == row.word).unwrap());
    }
    for (state, word) in STATES {
        assert_eq!((State::of(word), state.word()), (Some(*state), *word));
    }
}

#[test]
fn every_verb_has_its_words_and_does_something() {
    for row in VERBS {
        assert!(!row.done.is_empty() && !row.column.is_empty(), "{}", row.word);
        assert_eq!(row.title.matches("{}").count(), 1, "{}", row.title);
        assert!(row.arrows.iter().any(|arrow| !arrow.brought), "{}", row.word);
        assert!(row.arrows.iter().all(|arrow| !arrow.lives.is_empty()), "{}", row.word);
    }
}

#[test]
fn a_verb_leads_from_a_state_to_one_other() {
    for life in Life::ALL {
        let moves: Vec<Move> = life.moves().collect();
        for go in &moves {
            let alike = moves.iter().filter(|other| (other.from, other.verb) == (go.from, go.verb));
            assert_eq!(alike.count(), 1, "{life:?} {go:?}");
        }
    }
}

#[test]
fn every_open_state_has_a_lawful_way_to_an_end() {
    for (life, fate) in Life::ALL.into_iter().flat_map(|life| fates().into_iter().map(move |f| (life, f))) {
        for state in life.states() {
            let mut at = state;
            for verb in life.lacks(state, fate) {
                at = life.after(at, verb).unwrap_or_else(|| panic!("{life:?} {state:?}: {verb:?}"));
            }
            assert!(life.ends().contains(&at), "{life:?} {state:?} {fate:?} ends {at:?}");
        }
    }
}

#[test]
fn an_end_lacks_nothing_and_an_open_state_something() {
    for life in Life::ALL {
        for state in life.states() {
            let lacks = life.lacks(state, Fate::default());
            assert_eq!(lacks.is_empty(), life.ends().contains(&state), "{life:?} {state:?}");
        }
        assert!(life.ends().contains(&life.start()), "{life:?}");
    }
}

/// What is done with a conductor decides which verbs a whole loom may be given for it.
#[test]
fn a_verb_belongs_to_what_is_done_with_a_conductor() {
    let by = |action| Fate { renewed: false, action: Some(action) };
    for (life, action, words) in [
        (Conductor, Action::Join, "cut sleeve-on join look-over shrink test"),
        (Conductor, Action::Insert, "cut sleeve-on insert look-over shrink test"),
        (Conductor, Action::Cap, "cut cap"),
        (Conductor, Action::Replace, "cut test run-new"),
        (Barrel, Action::Join, "cut join look-over test"),
        (Shielded, Action::Join, "cut sleeve-on join look-over cover-core close-shield shrink test"),
    ] {
        let taken = VERBS.iter().map(|row| row.verb).filter(|verb| life.takes(*verb, by(action)));
        assert_eq!(taken.map(Verb::word).collect::<Vec<_>>().join(" "), words, "{life:?} {action:?}");
    }
}

/// The words of what is lacking.
fn lacks(life: Life, state: State, fate: Fate) -> String {
    let words: Vec<&str> = life.lacks(state, fate).into_iter().map(Verb::word).collect();
    words.join(" ")
}

/// The ways of the source format's table of lives.
#[test]
fn what_becomes_of_an_item_chooses_its_way() {
    let plain = Fate::default();
    let renewed = Fate { renewed: true, action: None };
    let by = |action| Fate { renewed: false, action: Some(action) };
    for (life, state, fate, words) in [
        (Fastening, State::Out, plain, "fasten"),
        (Fastening, State::Out, renewed, "renew tighten"),
        (Fastening, State::Slack, renewed, "tighten"),
        (Panel, State::Off, plain, "put-back"),
        (Panel, State::Off, renewed, "renew"),
        (Connector, State::Out, plain, "plug-in"),
        (Connector, State::Out, renewed, "renew"),
        (Conductor, State::Cut, plain, "sleeve-on join look-over shrink test"),
        (Conductor, State::Cut, by(Action::Insert), "sleeve-on insert look-over shrink test"),
        (Conductor, State::Cut, by(Action::Cap), "cap"),
        (Conductor, State::Cut, by(Action::Replace), "run-new test"),
        (Conductor, State::Sleeved, by(Action::Cap), "join look-over shrink test"),
        (Barrel, State::Cut, plain, "join look-over test"),
        (Barrel, State::Cut, by(Action::Insert), "insert look-over test"),
        (Shielded, State::Cut, plain, "sleeve-on join look-over cover-core close-shield shrink test"),
        (ShieldedBarrel, State::Cut, plain, "sleeve-on join look-over close-shield shrink test"),
        (Energy, State::Secured, plain, "restore"),
        (Setting, State::Lost, plain, "re-teach"),
        (Aid, State::Placed, plain, "take-away"),
    ] {
        assert_eq!(lacks(life, state, fate), words, "{life:?} {state:?} {fate:?}");
    }
}

#[test]
fn a_shield_closes_between_its_core_and_its_sleeve() {
    for (from, verb, to) in [
        (State::Joined, Verb::CoverCore, Some(State::CoreCovered)),
        (State::LookedOver, Verb::CoverCore, Some(State::CoreCovered)),
        (State::CoreCovered, Verb::Shrink, None),
        (State::LookedOver, Verb::Shrink, None),
        (State::Joined, Verb::Shrink, None),
        (State::LookedOver, Verb::CloseShield, None),
        (State::CoreCovered, Verb::CloseShield, Some(State::ShieldClosed)),
        (State::ShieldClosed, Verb::Shrink, Some(State::Closed)),
    ] {
        assert_eq!(Shielded.after(from, verb), to, "{from:?} {verb:?}");
    }
    assert!(PLAIN.iter().all(|life| life.after(State::LookedOver, Verb::CoverCore).is_none()));
}

#[test]
fn energies_are_off_for_what_opens_a_circuit() {
    let off = |life: Life, words: &str| {
        let needs = Verb::words().filter(|word| Verb::of(word).is_some_and(|verb| life.needs_off(verb)));
        assert_eq!(needs.collect::<Vec<_>>().join(" "), words, "{life:?}");
    };
    off(Connector, "renew unplug plug-in");
    WIRES.iter().for_each(|life| off(*life, "cut join insert cap run-new"));
    off(Panel, "");
    off(Fastening, "");
}

#[test]
fn the_old_one_goes_in_again_only_where_a_new_one_could() {
    for (life, words) in [(Fastening, "refit fasten"), (Panel, "put-back"), (Connector, "plug-in"), (Aid, "")]
    {
        let again = Verb::words().filter(|word| Verb::of(word).is_some_and(|verb| life.reuses(verb)));
        let again = again.collect::<Vec<_>>().join(" ");
        assert_eq!(again, words, "{life:?}: LED-08 takes these verbs for a second use of what serves once");
    }
}

#[test]
fn an_isolation_loses_a_setting_and_nobody_does_it_by_hand() {
    assert_eq!(Setting.brought(State::Kept, Verb::Isolate), Some(State::Lost));
    assert_eq!(Setting.after(State::Kept, Verb::Isolate), None);
    assert_eq!((Setting.done(Verb::Isolate), Energy.done(Verb::Isolate)), ("lost", "isolated"));
    assert!(Setting.closes(Verb::NoteDown) && !Setting.closes(Verb::Isolate));
}
