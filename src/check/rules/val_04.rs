//! VAL-04: a measured acceptance has a range, and says what to do outside it.

use crate::check::passage::Role;
use crate::check::reading::Read;
use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink};
use crate::model::{Amount, Check, Step};
use crate::phrase::phrase;

/// The rule VAL-04.
pub(super) struct Val04;

static PAGE: Page = Page {
    code: Code("VAL-04"),
    severity: Severity::Warning,
    rule: "a measured acceptance has a range, and says what to do outside it",
    why: "A reading of 4.9 V where \"5 V\" is wanted is right to one reader and wrong to the next, and a bad reading without a way on ends the job in guesswork.",
    source: "DOE-STD-1029-92: limits come with the corrective action",
    fails: "check: {measure: Drop under load, accept: 0.2 V}",
    passes: "check: {measure: Drop under load, accept: 0 V to 0.2 V, otherwise: step:re-join-it}",
};

impl Rule for Val04 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for read in &reading.procedures {
            for step in read.procedure.steps() {
                match &step.check {
                    Some(Check::Measured { accept, otherwise, place, measure }) => {
                        if otherwise.is_none() {
                            let headline = phrase!(
                                "`{measure}` does not say what to do outside its range",
                                measure = measure
                            );
                            let finding = read.at(
                                PAGE.finding(headline),
                                *place,
                                phrase!("no way on from here"),
                                Some(step),
                            );
                            sink.push(
                                finding.help(phrase!("add `otherwise: step:…`, or what to do in words")),
                            );
                        }
                        if let (Some(Amount::Quantity(least)), Some(Amount::Quantity(greatest))) =
                            (&accept.least, &accept.greatest)
                            && least == greatest
                            && least.tolerance.is_none()
                        {
                            let headline =
                                phrase!("`{measure}` accepts one figure and no range", measure = measure);
                            let finding = read.at(
                                PAGE.finding(headline),
                                *place,
                                phrase!("no reading is exact"),
                                Some(step),
                            );
                            sink.push(finding.help(phrase!(
                                "write for example `accept: at most {least}`, or `accept: at least {least}`",
                                least = least
                            )));
                        }
                    }
                    Some(Check::Text(..)) => in_words(reading, read, step, sink),
                    Some(Check::Counted(_)) | None => {}
                }
            }
        }
    }
}

/// A check in words that holds a reading.
fn in_words(reading: &Reading<'_>, read: &Read<'_>, step: &Step, sink: &mut Sink) {
    for passage in read.of_step(step).filter(|passage| passage.role == Role::Check) {
        for number in &passage.numbers {
            let Some(quantity) = number.quantity.as_ref().filter(|known| !known.dimension().is_plain())
            else {
                continue;
            };
            let Some((first, last)) = passage.words_of(number) else { continue };
            // `the 12 V supply` is a name; `12 V` at the end, or before `at the stud`, is a reading.
            let next = passage.words.get(number.last + 1).map(|word| passage.lower(word));
            let reads =
                last.after != ' ' || next.is_none_or(|next| reading.words.after_figures.contains(next));
            if reads {
                let headline =
                    phrase!("the check reads {quantity} in words, without a range", quantity = quantity);
                let finding =
                    read.at(PAGE.finding(headline), passage.place(first, last), "a reading", Some(step));
                sink.push(finding.help(phrase!(
                    "write `{line}`",
                    line = "check: {measure: …, accept: … to …, otherwise: step:…}"
                )));
            }
        }
    }
}
