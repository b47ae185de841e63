//! LED-10: an item is moved only along its life.

use crate::check::reading::{Read, Reading};
use crate::check::rule::{Page, Rule};
use crate::check::say::{capital, faults, sleeve_too_late};
use crate::finding::{Code, Finding, Severity, Sink};
use crate::ledger::Fault;
use crate::model::{Use, Verb};
use crate::parse::span;
use crate::phrase::{Phrase, phrase};
use crate::work::Worked;
use std::collections::BTreeSet;

/// The rule LED-10.
pub(super) struct Led10;

static PAGE: Page = Page {
    code: Code("LED-10"),
    severity: Severity::Error,
    rule: "an item is moved only along its life: refitting what was never removed, cutting twice",
    why: "A verb that does not fit tells of a step that is missing, or of two that changed places.",
    source: "common practice",
    fails: "- refit: lining-screws   # never removed",
    passes: "- remove: lining-screws\n…\n- refit: lining-screws",
};

impl Rule for Led10 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        let unmet = unmet(reading.worked);
        for said in faults(reading.worked).filter(|said| !sleeve_too_late(said)) {
            let finding = match said.fault {
                Fault::Illegal { item, verb, state, place, leg, trail } => {
                    let Some(known) = said.item() else { continue };
                    let carried = said.procedure.route.legs.get(*leg).map_or("", |leg| &leg.procedure);
                    if unmet.contains(&(said.id, carried, item)) {
                        continue;
                    }
                    let before = trail.last().map_or_else(
                        || phrase!("and nothing was done before"),
                        |last| {
                            let done = Phrase::bare(known.life().done(last.verb));
                            phrase!("after it was {done} in {step}", done = done, step = said.step(last.leg))
                        },
                    );
                    let headline = phrase!(
                        "{things} cannot be {done} in {step}: `{item}` is `{state}`, {before}",
                        things = capital(&known.in_sentence()),
                        done = Phrase::bare(verb.done()),
                        step = said.step(*leg),
                        item = known.id,
                        state = state.word(),
                        before = before
                    );
                    let finding = PAGE.finding(headline).detail(said.strip(known, trail, &[]));
                    let finding = said.at(finding, *place, *leg, phrase!("this verb does not fit here"));
                    said.history(finding, trail, Some(*place)).help_if(way_out(&said, item, *state))
                }
                Fault::TooMany { item, verb, wanted, ready, place, leg } => {
                    let headline = phrase!(
                        "{wanted} of {item} are {done} here, and {ready} can be",
                        wanted = wanted,
                        item = said.name(item),
                        done = Phrase::bare(verb.done()),
                        ready = ready
                    );
                    said.at(PAGE.finding(headline), *place, *leg, phrase!("more than there are"))
                }
                Fault::Unknown { item, place, leg } => unknown(&said, item, *place, *leg),
                Fault::NotAsExpected { procedure, item, wanted, state, place, leg } => {
                    let headline = phrase!(
                        "`{procedure}` expects {item} `{wanted}` and it is `{state}`",
                        procedure = procedure,
                        item = said.name(item),
                        wanted = wanted.word(),
                        state = state.word()
                    );
                    said.at(PAGE.finding(headline), *place, *leg, phrase!("carried out here")).help(phrase!(
                        "bring `{item}` to `{wanted}` before",
                        item = item,
                        wanted = wanted.word()
                    ))
                }
                Fault::TooManyWays { place } => PAGE
                    .finding(phrase!("this procedure has more ways through it than can be replayed"))
                    .at(span(*place), phrase!("the limit is passed here"))
                    .help(phrase!("close what a choice opens before the next choice, or split the procedure"))
                    .in_procedure(said.id),
                _ => continue,
            };
            sink.push(finding);
        }
        for read in &reading.procedures {
            threads(reading, read, sink);
        }
    }
}

/// What procedures that are carried out expect and do not find: the replay, the procedure, the item. That its verbs
/// do not fit there only follows.
fn unmet(worked: &Worked) -> BTreeSet<(&str, &str, &str)> {
    let expected = faults(worked).filter_map(|said| match said.fault {
        Fault::NotAsExpected { procedure, item, .. } => Some((said.id, procedure.as_str(), item.as_str())),
        _ => None,
    });
    expected.collect()
}

/// A braid that is a tube goes over a whole cable only: what closes a shield with one is threaded on with the
/// sleeves, while the ends are apart.
fn threads(reading: &Reading<'_>, read: &Read<'_>, sink: &mut Sink) {
    let stores = reading.worked.parsed().stores();
    let tube =
        |used: &&Use| stores.get(used.store, &used.id).is_some_and(|line| line.text("form") == Some("tube"));
    let mut threaded: BTreeSet<(&str, &str)> = BTreeSet::new();
    for (_, leg, step) in read.own_legs() {
        for used in step.consumables.iter().filter(tube) {
            for act in &leg.stop.acts {
                if act.verb == Verb::SleeveOn {
                    threaded.insert((&act.item, &used.id));
                }
                if act.verb == Verb::CloseShield && !threaded.contains(&(act.item.as_str(), used.id.as_str()))
                {
                    let headline = phrase!(
                        "`{tube}` is a tube and was not threaded onto `{item}`",
                        tube = used.id,
                        item = act.item
                    );
                    let note = phrase!("it cannot go on here");
                    let finding = read.at(PAGE.finding(headline), used.place, note, Some(step));
                    sink.push(finding.help(phrase!(
                        "name `{tube}` in the step with `sleeve-on: {item}`, where it is threaded on",
                        tube = used.id,
                        item = act.item
                    )));
                }
            }
        }
    }
}

/// The verbs that fit an item in its state.
fn way_out(said: &crate::check::say::Said<'_>, item: &str, state: crate::model::State) -> Option<Phrase> {
    let life = said.procedure.items.get(item)?.life();
    let verbs: Vec<String> =
        life.moves().filter(|go| go.from == state).map(|go| format!("`{}`", go.verb.word())).collect();
    (!verbs.is_empty()).then(|| {
        phrase!("while it is `{state}` it takes {verbs}", state = state.word(), verbs = verbs.join(", "))
    })
}

/// An id that no vehicle and no procedure declares, and that is near none that they do.
fn unknown(
    said: &crate::check::say::Said<'_>,
    item: &str,
    place: crate::model::Place,
    leg: usize,
) -> Finding {
    let finding = Finding::error(Code("DOC-03"), phrase!("there is no item `{item}`", item = item));
    said.at(finding, place, leg, phrase!("declared neither by a vehicle nor by the procedure"))
        .help(phrase!("declare it in the vehicle's file, or under `items`"))
}
