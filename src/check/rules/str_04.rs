//! STR-04: positive wording.

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::words::Marks;
use crate::finding::{Code, Severity, Sink};
use crate::phrase::phrase;

/// The rule STR-04.
pub(super) struct Str04;

static PAGE: Page = Page {
    code: Code("STR-04"),
    severity: Severity::Advice,
    rule: "positive wording",
    why: "\"Do not leave the clamp loose\" says what is wrong and not what is right, and is misread more often.",
    source: "Jones 1966, as cited by guides for procedure writers",
    fails: "Do not let the sleeve touch the iron.",
    passes: "Keep the sleeve clear of the iron.",
};

impl Rule for Str04 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for read in &reading.procedures {
            for passage in read
                .passages
                .iter()
                .filter(|passage| passage.role.instructs() && passage.marks.any_of(Marks::NEGATIVE))
            {
                for sentence in &passage.sentences {
                    let lowers = passage.lowers(sentence);
                    for (at, length) in reading.words.negative.find(&lowers) {
                        let all = passage.of_sentence(sentence);
                        let (Some(first), Some(last)) = (all.get(at), all.get(at + length - 1)) else {
                            continue;
                        };
                        let headline =
                            phrase!("negative wording: \"{words}\"", words = passage.quote(first, last));
                        let finding = read.at(
                            PAGE.finding(headline),
                            passage.place(first, last),
                            phrase!("what then?"),
                            passage.step,
                        );
                        sink.push(finding.help(reading.words.help("positive", &[])));
                    }
                }
            }
        }
    }
}
