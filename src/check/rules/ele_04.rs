//! ELE-04: each join states method, size, strip, relief and test.

use crate::check::joints::{Made, made, some};
use crate::check::reading::Read;
use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink};
use crate::ledger::Moved;
use crate::model::{Action, Kind, State, Verb};
use crate::phrase::{Phrase, phrase};
use crate::work::{Joint, Role};

/// The rule ELE-04.
pub(super) struct Ele04;

static PAGE: Page = Page {
    code: Code("ELE-04"),
    severity: Severity::Warning,
    rule: "each join states method, size, strip, relief and test",
    why: "A joint that says only \"join\" is made in as many ways as there are technicians. What holds the loom still on both sides decides how long it lasts.",
    source: "NASA-STD-8739.4, 19 (from memory)",
    fails: "conductors:\n  tail-feed: {action: join}      # no word of how, of which cable, or what relieves it",
    passes: "join-as: {by: lap, from: polyolefin-3to1}\nconductors:\n  tail-feed: {of: loom-075, action: join}\n\nA tie on each side is the strain relief of the joint.",
};

impl Rule for Ele04 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn of_the_whole(&self) -> bool {
        true
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for read in &reading.procedures {
            let joints: Vec<Made<'_>> = made(read)
                .into_iter()
                .filter(|made| !matches!(made.joint.kind.as_str(), "pyrotechnic" | "high-voltage" | "fibre"))
                .collect();
            for (lacks, what, help) in ASPECTS {
                let lacking: Vec<&Made<'_>> =
                    joints.iter().filter(|made| lacks(reading, read, made)).collect();
                tell(read, &lacking, what, help, sink);
            }
            if let Some(first) = joints.first().filter(|_| !relieved(reading, read)) {
                let help = phrase!("say what holds the loom on each side of the joint");
                tell(read, &[first], phrase!("what relieves it of strain"), help, sink);
            }
        }
    }
}

/// Whether a joint lacks something that each must say for itself.
type Lacks = fn(&Reading<'_>, &Read<'_>, &Made<'_>) -> bool;

const ASPECTS: [(Lacks, Phrase, Phrase); 5] = [
    (
        no_method,
        phrase!("how it is joined"),
        phrase!("add `join-as:` with `by: lap`, or `by:` to the conductor"),
    ),
    (
        no_size,
        phrase!("the size of its wire"),
        phrase!("add `of:` with a cable whose stores line has its `size`"),
    ),
    (
        no_strip,
        phrase!("how far it is stripped"),
        phrase!("state the conductor's diameter in the stores, or `lap`"),
    ),
    (
        no_removed,
        phrase!("how much its piece replaces"),
        phrase!("add `removed: … mm`: the length taken out; `length` is that of the whole wire"),
    ),
    (
        no_test,
        phrase!("how it is tested"),
        phrase!("add a step that does `- test: …`, with a measured check"),
    ),
];

fn no_method(_: &Reading<'_>, _: &Read<'_>, made: &Made<'_>) -> bool {
    made.joint.join.by.is_none() && made.joint.kind != "coax"
}

fn no_size(reading: &Reading<'_>, _: &Read<'_>, made: &Made<'_>) -> bool {
    let line = made.cable(reading.worked);
    line.is_none_or(|line| line.figure("size").is_none() && line.figure("core").is_none())
}

fn no_strip(_: &Reading<'_>, read: &Read<'_>, made: &Made<'_>) -> bool {
    let strip = made.joint.joint.as_ref().map_or(Role::Joint, Joint::strip);
    let known = made.value(read, strip);
    made.item.of().is_some() && known.is_none_or(|value| value.result.is_err())
}

fn no_removed(_: &Reading<'_>, _: &Read<'_>, made: &Made<'_>) -> bool {
    made.joint.action == Action::Insert && made.joint.join.removed.is_none()
}

fn no_test(_: &Reading<'_>, read: &Read<'_>, made: &Made<'_>) -> bool {
    let tested = |moved: &Moved| moved.item == made.item.id && moved.verb == Some(Verb::Test);
    !read.known.replay.moves.iter().any(tested)
}

/// Whether the text speaks of a relief, or ties and clips of the loom itself are closed.
fn relieved(reading: &Reading<'_>, read: &Read<'_>) -> bool {
    let ties = |moved: &Moved| {
        let item = read.known.items.get(&moved.item);
        let holds = item.is_some_and(|item| matches!(item.kind(), Kind::Tie | Kind::Clip));
        holds && moved.to == State::Tight && item.is_some_and(|item| item.holds().is_none())
    };
    read.holds(&reading.words.relief) || read.known.replay.moves.iter().any(ties)
}

fn tell(read: &Read<'_>, lacking: &[&Made<'_>], what: Phrase, help: Phrase, sink: &mut Sink) {
    let Some(first) = lacking.first() else { return };
    let ids = some(lacking.iter().map(|made| made.item.id.as_str()));
    let finding = PAGE.finding(phrase!("the join of {ids} does not say {what}", ids = ids, what = what));
    sink.push(read.at(finding, first.joint.place, phrase!("joined in this procedure"), None).help(help));
}
