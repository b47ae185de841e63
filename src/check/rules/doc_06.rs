//! DOC-06: a released page holds no mark of work to do.

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink};
use crate::model::Status;
use crate::phrase::phrase;

/// The rule DOC-06.
pub(super) struct Doc06;

static PAGE: Page = Page {
    code: Code("DOC-06"),
    severity: Severity::Warning,
    rule: "a released page holds no mark of work to do",
    why: "Whoever meets a mark at an open vehicle must decide alone what its writer had left open.",
    source: "common practice",
    fails: "Tighten the nut to ??? (TODO ask the maker).",
    passes: "Tighten the nut to the maker's torque.",
};

impl Rule for Doc06 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for read in reading.procedures.iter().filter(|read| read.procedure.status == Status::Released) {
            for passage in &read.passages {
                for (first, last, mark) in passage.marks_of_work(&reading.words.to_do) {
                    let headline =
                        phrase!("a mark of work to do stands in a released page: \"{mark}\"", mark = mark);
                    let place = passage.between(first, last);
                    let finding =
                        read.at(PAGE.finding(headline), place, phrase!("not yet done"), passage.step);
                    sink.push(finding.help(phrase!("do what it asks for, or set `status: draft`; a note among writers goes between `<!--` and `-->`")));
                }
            }
        }
    }
}
