//! ELE-01: a sleeve is slid on before the joint closes its way.

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::say::{faults, sleeve_too_late};
use crate::finding::{Code, Severity, Sink};
use crate::ledger::Fault;
use crate::model::{State, Verb};
use crate::parse::span;
use crate::phrase::phrase;

/// The rule ELE-01.
pub(super) struct Ele01;

static PAGE: Page = Page {
    code: Code("ELE-01"),
    severity: Severity::Error,
    rule: "a sleeve is slid on before the joint closes its way",
    why: "Over a finished joint no sleeve goes on: the joint is cut open again, and the wire is shorter for it.",
    source: "NASA-STD-8739.4 (from memory); practitioners' accounts of sleeves forgotten before the iron",
    fails: "- cut: tail-feed\n- join: tail-feed\n- sleeve-on: tail-feed",
    passes: "- cut: tail-feed\n- sleeve-on: tail-feed\n- join: tail-feed",
};

impl Rule for Ele01 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn of_the_whole(&self) -> bool {
        true
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for said in faults(reading.worked).filter(sleeve_too_late) {
            let Fault::Illegal { item, verb, place, leg, trail, .. } = said.fault else { continue };
            let (headline, note) = match verb {
                Verb::Join => (
                    phrase!("{item} is joined with no sleeve on it", item = said.name(item)),
                    phrase!("this closes the way"),
                ),
                _ => (
                    phrase!("the sleeve of {item} comes after its joint", item = said.name(item)),
                    phrase!("no way on any more"),
                ),
            };
            let finding = said.at(PAGE.finding(headline), *place, *leg, note);
            sink.push(said.history(finding, trail, Some(*place)).help(phrase!(
                "add `- sleeve-on: {item}` before the joint, or say `by: barrel`",
                item = item
            )));
        }
        for read in &reading.procedures {
            for moved in &read.known.replay.moves {
                let Some(leg) = read.known.route.legs.get(moved.leg).filter(|leg| leg.depth == 0) else {
                    continue;
                };
                let Some(item) = read.known.items.get(&moved.item) else { continue };
                // The procedure's `join-as` stands in its conductors already.
                if moved.verb != Some(Verb::Insert) || moved.from != State::Cut || item.is_barrel() {
                    continue;
                }
                let act = leg.stop.acts.iter().find(|act| act.item == moved.item && act.verb == Verb::Insert);
                let Some(act) = act else { continue };
                let headline = phrase!("a piece is let into `{item}` with no sleeve on it", item = item.id);
                let finding = PAGE.finding(headline).at(span(act.place), phrase!("this closes the way"));
                sink.push(
                    finding
                        .help(phrase!("add `- sleeve-on: {item}` before it", item = item.id))
                        .in_procedure(&read.procedure.id)
                        .in_step(&leg.step),
                );
            }
        }
    }
}
