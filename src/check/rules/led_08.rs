//! LED-08: single-use fasteners, clips and seals are renewed, never refitted.

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink};
use crate::parse::span;
use crate::phrase::{Phrase, phrase};

/// The rule LED-08.
pub(super) struct Led08;

static PAGE: Page = Page {
    code: Code("LED-08"),
    severity: Severity::Error,
    rule: "single-use fasteners, clips and seals are renewed, never refitted",
    why: "What holds once has spent its grip: a locking nut turns loose, a rivet falls out, a seal lets water to the plug.",
    source: "common practice; the `reuse` of the stores line says which they are",
    fails: "- remove: lining-rivets    # reuse: never\n- refit: lining-rivets\n- tighten: lining-rivets",
    passes: "- remove: lining-rivets\n- renew: lining-rivets\n- tighten: lining-rivets",
};

impl Rule for Led08 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for read in &reading.procedures {
            for (step, act, item) in read.acts() {
                let Some(item) = item.filter(|item| item.life().reuses(act.verb)) else { continue };
                let Some(line) = item.serves_once(reading.worked.parsed().stores()) else { continue };
                let headline = phrase!(
                    "`{item}` ({name}) serves once and is {done} here",
                    item = item.id,
                    name = item.label(),
                    done = Phrase::bare(act.verb.done())
                );
                let note = phrase!("used a second time here");
                let finding = read.at(PAGE.finding(headline), act.place, note, Some(step));
                let help = match item.kind().is_fastening() {
                    true => phrase!("write `- renew: {item}`, then `- tighten: {item}`", item = item.id),
                    false => phrase!("write `- renew: {item}`", item = item.id),
                };
                sink.push(
                    finding
                        .label(span(line.place), phrase!("its stores line says `reuse: never`"))
                        .help(help),
                );
            }
        }
    }
}
