//! ELE-10: a joint is looked over before its sleeve closes.

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink};
use crate::model::State;
use crate::parse::span;
use crate::phrase::phrase;

/// The rule ELE-10.
pub(super) struct Ele10;

static PAGE: Page = Page {
    code: Code("ELE-10"),
    severity: Severity::Warning,
    rule: "a joint is looked over before its sleeve closes",
    why: "Under the sleeve nobody sees a cold joint, a stray strand or a burnt jacket any more.",
    source: "NASA-STD-8739.4 (from memory); common practice",
    fails: "- join: tail-feed\n- shrink: tail-feed",
    passes: "- join: tail-feed\n- look-over: tail-feed\n- shrink: tail-feed",
};

impl Rule for Ele10 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn of_the_whole(&self) -> bool {
        true
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for read in &reading.procedures {
            for moved in &read.known.replay.moves {
                let closed = matches!(moved.to, State::Closed | State::CoreCovered | State::ShieldClosed);
                let unseen = closed && moved.from == State::Joined;
                let Some(leg) = read.known.route.legs.get(moved.leg).filter(|leg| unseen && leg.depth == 0)
                else {
                    continue;
                };
                let act =
                    leg.stop.acts.iter().find(|act| act.item == moved.item && Some(act.verb) == moved.verb);
                let Some(act) = act else { continue };
                let headline =
                    phrase!("the joint of `{item}` is closed without a look at it", item = moved.item);
                let finding = PAGE.finding(headline).at(span(act.place), phrase!("closed here"));
                sink.push(
                    finding
                        .help(phrase!("add `- look-over: {item}` in a step before it", item = moved.item))
                        .in_procedure(&read.procedure.id)
                        .in_step(&leg.step),
                );
            }
        }
    }
}
