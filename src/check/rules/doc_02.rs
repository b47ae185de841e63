//! DOC-02: what changed since its last release has a new revision.

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink};
use crate::model::{comes_before, next_letter};
use crate::parse::span;
use crate::phrase::phrase;

/// The rule DOC-02.
pub(super) struct Doc02;

static PAGE: Page = Page {
    code: Code("DOC-02"),
    severity: Severity::Error,
    rule: "what changed since its last release has a new revision",
    why: "Two sheets with the same letter and different steps cannot be told apart at the vehicle.",
    source: "ISO 9001:2015, 7.5.3, control of changes (from memory)",
    fails: "# releases.yaml holds {letter: A, hash: …} of another text\nrevision: {letter: A, effective: 2026-01-05, approved-by: Workshop lead, reason: First issue}",
    passes: "# releases.yaml holds {letter: A, hash: …} of another text\nrevision: {letter: B, effective: 2026-02-02, approved-by: Workshop lead, reason: Second screw added}",
};

impl Rule for Doc02 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for read in &reading.procedures {
            let procedure = read.procedure;
            let Some(release) = reading.worked.parsed().releases().get(&procedure.id) else { continue };
            let Some(revision) = &procedure.revision else { continue };
            let (now, then) = (&revision.letter, &release.letter);
            let headline = if comes_before(now, then) {
                phrase!(
                    "`{procedure}` goes back from the released letter {then} to {now}",
                    procedure = procedure.id,
                    then = then,
                    now = now
                )
            } else if now == then && release.is_changed() {
                phrase!(
                    "`{procedure}` has changed since letter {then} was released, and is still {now}",
                    procedure = procedure.id,
                    then = then,
                    now = now
                )
            } else {
                continue;
            };
            let help = match next_letter(then) {
                Some(next) => phrase!("write `letter: {next}`, with its date and what changed", next = next),
                None => phrase!("write a letter after {then}, with its date and what changed", then = then),
            };
            sink.push(
                read.at(PAGE.finding(headline), revision.place, phrase!("this revision"), None)
                    .label(
                        span(release.place),
                        phrase!("letter {then} was released as another text", then = then),
                    )
                    .help(help),
            );
        }
    }
}
