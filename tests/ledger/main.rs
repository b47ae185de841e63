//! The ledger under random work: a job that follows the rules is clean, and one slip in it that changes how
//! something ends or the order of its life is found under the right code. An independent checker judges every
//! case as well, and the two must agree to the step and the deed.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "tests read and write files")]

mod automaton;
mod folder;
mod garage;
mod job;
mod mutation;
mod product;
mod schedule;
#[path = "../workbench/mod.rs"]
mod workbench;

use benchleaf::ledger::Onward;
use garage::Tape;
use job::Job;
use mutation::{slipped, slips};
use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use std::cell::{Cell, RefCell};
use std::collections::{BTreeMap, BTreeSet};

/// The slips that must be found, at least.
const SLIPS: usize = 10_000;

/// Runs a property over many tapes, the same on every run.
fn over_tapes(cases: u32, property: impl Fn(&[u16]) -> Result<(), TestCaseError>) {
    let config = Config { cases, failure_persistence: None, ..Config::default() };
    let mut runner = TestRunner::new_with_rng(config, TestRng::deterministic_rng(RngAlgorithm::ChaCha));
    let tapes = proptest::collection::vec(any::<u16>(), 0..400);
    runner.run(&tapes, |tape| property(&tape)).unwrap_or_else(|error| panic!("{error}"));
}

#[test]
fn a_job_that_follows_the_rules_is_clean() {
    let (jobs, deeds) = (Cell::new(0), Cell::new(0));
    over_tapes(3_000, |tape| {
        let job = garage::job(&mut Tape::new(tape));
        prop_assert_eq!(automaton::judge(&job), BTreeSet::new(), "{:#?}", job);
        prop_assert_eq!(product::judge(&job), BTreeSet::new(), "{:#?}", job);
        jobs.set(jobs.get() + 1);
        deeds.set(deeds.get() + job.spots().len());
        Ok(())
    });
    assert!(
        deeds.get() > 10 * jobs.get(),
        "{} deeds in {} jobs are too few to mean anything",
        deeds.get(),
        jobs.get()
    );
}

#[test]
fn every_slip_that_matters_is_found_under_the_right_code() {
    let (found, neutral) = (Cell::new(0), Cell::new(0));
    let codes: RefCell<BTreeMap<&str, usize>> = RefCell::default();
    over_tapes(200, |numbers| {
        let mut tape = Tape::new(numbers);
        let job = garage::job(&mut tape);
        for slip in slips(&job, &mut tape) {
            let wrong = slipped(&job, slip);
            let expected = automaton::judge(&wrong);
            prop_assert_eq!(&product::judge(&wrong), &expected, "{:?} in {:#?}", slip, job);
            let tally = if expected.is_empty() { &neutral } else { &found };
            tally.set(tally.get() + 1);
            let once: BTreeSet<&str> = expected.iter().map(|verdict| verdict.0).collect();
            once.into_iter().for_each(|code| *codes.borrow_mut().entry(code).or_default() += 1);
        }
        Ok(())
    });
    assert!(found.get() >= SLIPS, "only {} slips matter, {} do not", found.get(), neutral.get());
    for code in ["LED-01", "LED-02", "LED-03", "LED-04", "LED-05", "LED-06", "LED-07", "LED-10", "LED-12"] {
        let cases = codes.borrow().get(code).copied().unwrap_or(0);
        assert!(cases >= 100, "{code} is tried {cases} times only");
    }
}

/// What the ledger alone cannot know: deeds that a life may do without. Anything else that is left out or
/// done twice must show.
#[test]
fn only_what_a_life_may_do_without_goes_unnoticed() {
    let optional =
        ["look-over", "secure", "prove-off", "note-down", "slacken", "sleeve-on", "shrink", "test"];
    // Without its new wire, the old one is tested as it is; and a new one may be run beside one left whole.
    let may_go = |job: &Job, deed: &job::Deed| {
        let renewed = |other: &job::Deed| other.item == deed.item && other.verb == "run-new";
        // A barrel insulates the core under a shield too.
        let core = deed.verb == "cover-core" && job.things[&deed.item].barrel;
        optional.contains(&deed.verb)
            || core
            || ["cut", "run-new"].contains(&deed.verb) && job.steps.iter().flatten().any(renewed)
    };
    over_tapes(200, |numbers| {
        let mut tape = Tape::new(numbers);
        let job = garage::job(&mut tape);
        let spots = job.spots();
        for slip in slips(&job, &mut tape) {
            let deed = match slip {
                mutation::Slip::LeftOut(deed) | mutation::Slip::Twice(deed, _) => deed,
                mutation::Slip::Swapped(..) => continue,
            };
            let (step, place) = spots[deed];
            let deed = &job.steps[step][place];
            if product::judge(&slipped(&job, slip)).is_empty() {
                prop_assert!(may_go(&job, deed), "{:?} of {:?} is not found", slip, deed);
            }
        }
        Ok(())
    });
}

#[test]
fn a_choice_is_judged_on_both_of_its_ways() {
    over_tapes(1_000, |numbers| {
        let mut tape = Tape::new(numbers);
        let job = garage::job(&mut tape);
        prop_assume!(job.steps.len() > 2);
        let at = tape.below(job.steps.len() - 2);
        let target = at + 2 + tape.below(job.steps.len() - at - 2);
        let mut stops = product::stops(&job);
        stops[at].next = vec![Onward::Leg(at + 1), Onward::Leg(target)];
        let mut short = job.clone();
        short.steps[at + 1..target].iter_mut().for_each(Vec::clear);
        let mut expected = automaton::judge(&job);
        expected.extend(automaton::judge(&short));
        let none = product::States::new();
        let found = product::judge_stops(&job, &stops, &none, &none);
        prop_assert_eq!(found, expected, "from {} to {} in {:#?}", at, target, job);
        Ok(())
    });
}

/// A job cut in two: the first part leaves what the second expects.
#[test]
fn what_one_procedure_leaves_another_may_expect() {
    over_tapes(1_000, |numbers| {
        let mut tape = Tape::new(numbers);
        let job = garage::job(&mut tape);
        let at = tape.below(job.steps.len() + 1);
        let first = Job { steps: job.steps[..at].to_vec(), ..job.clone() };
        let second = Job { steps: job.steps[at..].to_vec(), ..job.clone() };
        let mut left = product::States::new();
        for (_, item, said) in automaton::judge(&first) {
            let (count, state) = said.split_once(' ').unwrap();
            // Only what stands in one state as a whole can be handed over.
            prop_assume!(count.parse() == Ok(job.things[&item].count));
            let state = benchleaf::model::State::of(state).unwrap();
            left.insert(item, (state, benchleaf::model::Place::default()));
        }
        let none = product::States::new();
        let (one, other) = (product::stops(&first), product::stops(&second));
        prop_assert_eq!(product::judge_stops(&job, &one, &none, &left), BTreeSet::new(), "{:#?}", first);
        prop_assert_eq!(product::judge_stops(&job, &other, &left, &none), BTreeSet::new(), "{:#?}", second);
        Ok(())
    });
}

/// A job broken off anywhere: what is proposed for it, done at its end, closes everything in a legal order.
#[test]
fn what_is_proposed_closes_a_job_that_was_broken_off() {
    let proposed = Cell::new(0);
    over_tapes(1_000, |numbers| {
        let mut tape = Tape::new(numbers);
        let mut job = garage::job(&mut tape);
        job.steps.truncate(tape.below(job.steps.len() + 1));
        let (items, none) = (product::items(&job), product::States::new());
        let mut stops = product::stops(&job);
        let open = benchleaf::ledger::replay(&items, &stops, &none, &none);
        let closings = benchleaf::ledger::propose(&items, &open, |item| benchleaf::model::Fate {
            renewed: item.id.len() % 2 == 0,
            action: None,
        });
        proposed.set(proposed.get() + closings.len());
        for closing in &closings {
            stops.push(product::stop(closing, &job));
        }
        let found = product::judge_stops(&job, &stops, &none, &none);
        prop_assert_eq!(found, BTreeSet::new(), "{:?} after {:#?}", closings, job);
        Ok(())
    });
    assert!(proposed.get() > 1_000, "{} deeds are too few to mean anything", proposed.get());
}

/// Through the whole pipeline, from files: the findings of each procedure, by code and item.
#[test]
fn the_whole_inspection_finds_the_same() {
    let cases = RefCell::new(Vec::new());
    over_tapes(60, |numbers| {
        let mut tape = Tape::new(numbers);
        let job = garage::job(&mut tape);
        let slips = slips(&job, &mut tape);
        let mut kept = vec![job.clone()];
        for _ in 0..6.min(slips.len()) {
            kept.push(slipped(&job, slips[tape.below(slips.len())]));
        }
        cases.borrow_mut().push(kept);
        Ok(())
    });
    let garages = cases.into_inner();
    let found = folder::inspected(&garages);
    let mut tried = 0;
    for (garage, jobs) in garages.iter().enumerate() {
        for (number, job) in jobs.iter().enumerate() {
            let judged = automaton::judge(job).into_iter().filter(|verdict| verdict.0 != "LED-07");
            let expected: BTreeSet<(String, String)> =
                judged.map(|(code, item, _)| (code.to_owned(), item)).collect();
            let id = folder::procedure(garage, number);
            let found = found.get(&id).cloned().unwrap_or_default();
            let missed: Vec<_> = expected.difference(&found.plain).collect();
            assert!(missed.iter().all(|fault| found.own.contains(fault)), "{missed:?} of {id}: {job:#?}");
            let more: Vec<_> = found.plain.difference(&expected).collect();
            assert!(more.is_empty(), "{more:?} of {id}: {job:#?}");
            tried += 1;
        }
    }
    assert!(tried > 200, "{tried} procedures are too few");
}
