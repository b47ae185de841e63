//! SAF-10: no signal word in prose or headings.

use crate::check::passage::Role;
use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::signal::{loud, message};
use crate::check::words::Marks;
use crate::finding::{Code, Severity, Sink};
use crate::phrase::phrase;

/// The rule SAF-10.
pub(super) struct Saf10;

static PAGE: Page = Page {
    code: Code("SAF-10"),
    severity: Severity::Warning,
    rule: "no signal word in prose or headings",
    why: "A signal word is a promise of a frame with hazard, consequence and avoidance. In running text it wears out.",
    source: "ANSI Z535.6 (from memory)",
    fails: "### WARNING hot nozzle",
    passes: "### Shrink the sleeve       # messages: [hot-air]",
};

impl Rule for Saf10 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for read in &reading.procedures {
            for passage in read
                .passages
                .iter()
                .filter(|passage| speaks(passage.role) && passage.marks.any_of(Marks::SIGNAL))
            {
                for sentence in &passage.sentences {
                    let begins = message(reading.words, passage, sentence);
                    let found = match begins {
                        // In a step's text SAF-02 speaks of it.
                        Some(_) if passage.role == Role::Step => continue,
                        Some(found) => Some(found),
                        None => loud(reading.words, passage, sentence),
                    };
                    let Some((first, last)) = found else { continue };
                    let headline = phrase!(
                        "a signal word stands in the text: \"{words}\"",
                        words = passage.quote(&first, &last)
                    );
                    let finding = read.at(
                        PAGE.finding(headline),
                        passage.place(&first, &last),
                        phrase!("a signal word"),
                        passage.step,
                    );
                    sink.push(finding.help(reading.words.help("signal-word", &[])));
                }
            }
        }
    }
}

fn speaks(role: Role) -> bool {
    !matches!(role, Role::Record | Role::Choice)
}
