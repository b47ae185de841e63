//! LED-11: an isolation is secured against re-closing.

use crate::check::reading::Read;
use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink};
use crate::ledger::Moved;
use crate::model::{Kind, Place, State, Verb};
use crate::parse::span;
use crate::phrase::{Phrase, phrase};

/// The rule LED-11.
pub(super) struct Led11;

static PAGE: Page = Page {
    code: Code("LED-11"),
    severity: Severity::Warning,
    rule: "an isolation is secured against re-closing",
    why: "A clamp that lies beside its post finds it again when somebody closes the bonnet, or a colleague needs the radio.",
    source: "common practice of lock and tag; HSE guidance on isolation (from memory)",
    fails: "- isolate: supply\n…\n- prove-off: supply",
    passes: "- isolate: supply\n…\n- secure: supply      # a guard over the clamp, with a tag\n…\n- prove-off: supply",
};

impl Rule for Led11 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for read in &reading.procedures {
            let moves = &read.known.replay.moves;
            let left = |moved: &&Moved| {
                moved.from == State::Isolated
                    && moved.verb.is_some_and(|verb| verb != Verb::Secure)
                    && read.known.items.get(&moved.item).is_some_and(|item| item.kind() == Kind::Energy)
            };
            for moved in moves.iter().filter(left) {
                let before = |known: &&Moved| {
                    known.leg <= moved.leg && known.item == moved.item && known.verb == Some(Verb::Isolate)
                };
                let isolated = moves.iter().rfind(before).and_then(|known| place(read, known));
                let own = isolated.filter(|(_, own, _)| *own);
                let Some((at, true, step)) = own.or_else(|| place(read, moved)) else { continue };
                let name = read.known.items.get(&moved.item).map_or("", |item| item.name.as_str());
                let headline =
                    phrase!("`{item}` ({name}) is isolated and not secured", item = moved.item, name = name);
                let mut finding = PAGE
                    .finding(headline)
                    .at(span(at), phrase!("it can close again after this"))
                    .help(phrase!("add `- secure: {item}` in a step after the isolation", item = moved.item))
                    .in_procedure(&read.procedure.id)
                    .in_step(step);
                if let (Some(verb), Some((end, ..))) = (moved.verb, place(read, moved))
                    && end != at
                {
                    let done = Phrase::bare(verb.done());
                    finding = finding.label(span(end), phrase!("{done} here, still unsecured", done = done));
                }
                sink.push(finding);
            }
        }
    }
}

/// Where a move is written, whether that is the procedure's own step, and that step.
fn place<'r>(read: &'r Read<'_>, moved: &Moved) -> Option<(Place, bool, &'r str)> {
    let leg = read.known.route.legs.get(moved.leg)?;
    let act = leg.stop.acts.iter().find(|act| act.item == moved.item && Some(act.verb) == moved.verb)?;
    Some((act.place, leg.depth == 0, &leg.step))
}
