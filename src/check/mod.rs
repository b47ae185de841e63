//! Worked → [`Checked`]: every rule over everything, so that one fault hides no other. The only stage that
//! says no, and it says everything it has to say at once.

mod draft;
mod handbook;
mod joints;
mod numbers;
mod passage;
mod reading;
mod rule;
pub mod rules;
mod say;
mod signal;
mod token;
mod tokens;
mod words;

use crate::finding::{Code, FileId, Finding, Severity, Sink};
use crate::model::Waiver;
use crate::source::Source;
use crate::work::Worked;
use rayon::prelude::*;
use std::collections::BTreeMap;

pub use handbook::{handbook, why};
pub use reading::Reading;
pub use rule::{Page, Rule};

/// A manual that no rule refuses. Only [`check`] makes one.
#[derive(Debug)]
pub struct Checked {
    /// The manual.
    pub worked: Worked,
    /// What was found and does not block: warnings and advice that nobody waived.
    pub findings: Vec<Finding>,
    /// Every waiver, with its procedure and, where it stands at one, its step.
    pub waivers: Vec<Waived>,
    /// The bytes of each figure, by its path below `figures/`.
    pub figures: BTreeMap<String, Vec<u8>>,
}

/// A waiver with where it holds.
#[derive(Clone, Debug)]
pub struct Waived {
    /// The procedure.
    pub procedure: String,
    /// The step; none where the whole procedure waives it.
    pub step: Option<String>,
    /// What is waived, why and by whom.
    pub waiver: Waiver,
}

/// A manual that is not bound, with everything that was found.
#[derive(Debug)]
pub struct Rejected {
    /// All findings, sorted.
    pub findings: Vec<Finding>,
}

/// Checks a manual. What the stages before found stands in `sink`.
///
/// # Errors
/// When anything blocks binding: every finding, waived ones left out.
pub fn check(worked: Worked, source: &Source, mut sink: Sink) -> Result<Checked, Rejected> {
    for found in examine(&worked) {
        found.into_sorted().into_iter().for_each(|finding| sink.push(finding));
    }
    let waivers = waivers(&worked);
    let blocked = sink.has_errors();
    let mut findings = cut(sink.into_sorted());
    findings.retain(|finding| finding.severity == Severity::Error || !waived(finding, &waivers));
    if blocked {
        return Err(Rejected { findings });
    }
    let figures = worked
        .parsed
        .figures
        .iter()
        .filter_map(|(name, figure)| Some((name.clone(), source.file(figure.file)?.bytes()?.to_vec())))
        .collect();
    Ok(Checked { worked, findings, waivers, figures })
}

/// Most findings that are shown of one file. Past that nobody reads on, and each costs a look through the file.
const MOST_OF_A_FILE: usize = 200;

/// Keeps the first findings of each file, and says how many more there are.
fn cut(findings: Vec<Finding>) -> Vec<Finding> {
    let mut counts: BTreeMap<Option<FileId>, usize> = BTreeMap::new();
    for finding in &findings {
        *counts.entry(finding.span.map(|span| span.file)).or_insert(0) += 1;
    }
    let mut shown: BTreeMap<Option<FileId>, usize> = BTreeMap::new();
    let mut kept = Vec::new();
    for finding in findings {
        let file = finding.span.map(|span| span.file);
        let number = shown.entry(file).or_insert(0);
        *number += 1;
        let (number, all) = (*number, counts.get(&file).copied().unwrap_or(0));
        if number <= MOST_OF_A_FILE {
            let (severity, place) = (finding.severity, finding.span);
            kept.push(finding);
            if let (MOST_OF_A_FILE, true, Some(place)) = (number, all > MOST_OF_A_FILE, place) {
                let headline = format!("{} more findings of this file are not shown", all - MOST_OF_A_FILE);
                kept.push(
                    Finding::new(Code("SRC-02"), severity, headline)
                        .at(place, "they follow from here on")
                        .help("mend what is shown, then inspect again"),
                );
            }
        }
    }
    kept
}

/// What each rule finds, in the order of the register.
fn examine(worked: &Worked) -> Vec<Sink> {
    let reading = Reading::of(worked);
    rules::register()
        .par_iter()
        .map(|rule| {
            let mut found = Sink::new();
            rule.check(&reading, &mut found);
            found
        })
        .collect()
}

fn waivers(worked: &Worked) -> Vec<Waived> {
    let mut waivers = Vec::new();
    for (id, procedure) in &worked.parsed.procedures {
        let whole = procedure.waivers.iter().map(|waiver| (None, waiver));
        let steps = procedure
            .steps()
            .flat_map(|step| step.waivers.iter().map(move |waiver| (Some(step.id.clone()), waiver)));
        waivers.extend(whole.chain(steps).map(|(step, waiver)| Waived {
            procedure: id.clone(),
            step,
            waiver: waiver.clone(),
        }));
    }
    waivers
}

/// Whether a warning or a piece of advice is waived where it stands.
fn waived(finding: &Finding, waivers: &[Waived]) -> bool {
    waivers.iter().any(|waived| {
        waived.waiver.rule == finding.code.0
            && finding.procedure.as_ref() == Some(&waived.procedure)
            && (waived.step.is_none() || waived.step == finding.step)
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::Span;

    #[test]
    fn what_is_not_shown_of_a_file_is_counted() {
        let finding = |file, at| {
            Finding::error(Code("DOC-03"), format!("{at}")).at(Span::new(FileId(file), at, at), "here")
        };
        let many = (0..MOST_OF_A_FILE + 5).map(|at| finding(0, at)).chain([finding(1, 0)]).collect();
        let kept = cut(many);
        assert_eq!(kept.len(), MOST_OF_A_FILE + 2);
        assert_eq!(kept[MOST_OF_A_FILE].headline, "5 more findings of this file are not shown");
        assert_eq!(kept[MOST_OF_A_FILE + 1].span.map(|span| span.file), Some(FileId(1)));
    }
}
