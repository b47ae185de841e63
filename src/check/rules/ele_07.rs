//! ELE-07: no soldered or crimped joint where the loom flexes.

use crate::check::joints::made;
use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink};
use crate::parse::span;
use crate::phrase::phrase;

/// The rule ELE-07.
pub(super) struct Ele07;

static PAGE: Page = Page {
    code: Code("ELE-07"),
    severity: Severity::Error,
    rule: "no soldered or crimped joint where the loom flexes",
    why: "Strands break where stiff meets supple: a joint in a door hinge is open again after a winter.",
    source: "NASA workmanship 4.07; common practice",
    fails: "conductors:\n  tail-feed: {action: join, place: flex}",
    passes: "conductors:\n  tail-feed: {action: replace}      # or the joint lies in the rigid zone: `place: dry`",
};

impl Rule for Ele07 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for read in &reading.procedures {
            for made in made(read).iter().filter(|made| made.place() == "flex") {
                let headline = phrase!("`{item}` is joined where the loom flexes", item = made.item.id);
                let at = made.joint.join.place.as_ref().map_or(made.joint.place, |(_, place)| *place);
                let finding = read.at(PAGE.finding(headline), at, phrase!("it flexes here"), None);
                let finding = if at == made.joint.place {
                    finding
                } else {
                    finding.label(span(made.joint.place), phrase!("joined in this procedure"))
                };
                sink.push(
                    finding.help(phrase!(
                        "move the joint to a place that lies still, or write `action: replace`"
                    )),
                );
            }
        }
    }
}
