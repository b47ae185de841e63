//! Worked → [`Checked`]: every rule over everything, so that one fault hides no other. The only stage that
//! says no, and it says everything it has to say at once.

mod draft;
mod handbook;
mod joints;
mod numbers;
mod passage;
mod reading;
mod refusals;
mod rule;
pub mod rules;
mod say;
mod signal;
mod token;
mod tokens;
mod waived;
mod words;

use crate::finding::{Code, FileId, Finding, Severity, Sink};
use crate::phrase::Language;
use crate::source::Source;
use crate::work::Worked;
use rayon::prelude::*;
use std::collections::BTreeMap;

pub use handbook::{handbook, pages, why};
pub use reading::Reading;
pub use rule::{Page, Rule};
pub use waived::Waived;

/// A manual that no rule refuses. Only checking makes one.
#[derive(Debug)]
pub struct Checked {
    worked: Worked,
    findings: Vec<Finding>,
    waivers: Vec<Waived>,
    figures: BTreeMap<String, Vec<u8>>,
}

impl Checked {
    /// The manual.
    pub fn worked(&self) -> &Worked {
        &self.worked
    }

    /// What was found and does not block: warnings and advice that nobody waived.
    pub fn findings(&self) -> &[Finding] {
        &self.findings
    }

    /// Every waiver, with its procedure and, where it stands at one, its step.
    pub fn waivers(&self) -> &[Waived] {
        &self.waivers
    }

    /// The bytes of each figure, by its path below `figures/`.
    pub fn figures(&self) -> &BTreeMap<String, Vec<u8>> {
        &self.figures
    }

    /// Says its findings in a language.
    pub(crate) fn tell(&mut self, language: &dyn Language) {
        self.findings.iter_mut().for_each(|finding| finding.tell(language));
    }

    /// Takes back what checking said, for faults that show only as the pages are made.
    pub(crate) fn reject(self, faults: Vec<Finding>) -> Rejected {
        let mut sink = Sink::new();
        self.findings.into_iter().chain(faults).for_each(|finding| sink.push(finding));
        Rejected { worked: Box::new(self.worked), findings: sink.into_sorted() }
    }
}

/// A manual that is not bound, with everything that was found.
#[derive(Debug)]
pub struct Rejected {
    worked: Box<Worked>,
    findings: Vec<Finding>,
}

impl Rejected {
    /// The manual as far as it could be worked.
    pub fn worked(&self) -> &Worked {
        &self.worked
    }

    /// Says its findings in a language.
    pub(crate) fn tell(&mut self, language: &dyn Language) {
        self.findings.iter_mut().for_each(|finding| finding.tell(language));
    }

    /// All findings, sorted.
    pub fn findings(&self) -> &[Finding] {
        &self.findings
    }
}

/// Checks a manual. What the stages before found stands in `sink`.
///
/// # Errors
/// When anything blocks binding: every finding, waived ones left out.
pub(crate) fn check(worked: Worked, source: &Source, mut sink: Sink) -> Result<Checked, Rejected> {
    for found in examine(&worked) {
        found.into_sorted().into_iter().for_each(|finding| sink.push(finding));
    }
    sink.retain(|finding| !may_be_lost(&worked, finding));
    let waivers = waivers(&worked);
    let sink = unneeded(&worked, &waivers, sink);
    let blocked = sink.has_errors();
    let mut findings = cut(sink.into_sorted());
    findings.retain(|finding| {
        finding.severity == Severity::Error || !waivers.iter().any(|waived| waived.covers(finding))
    });
    if blocked {
        return Err(Rejected { worked: Box::new(worked), findings });
    }
    let figures = worked
        .parsed()
        .figures()
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
            found.retain(|finding| !follows(worked, *rule, finding));
            found
        })
        .collect()
}

/// Whether a finding only follows from what could not be read: it stands at a step or in a store with gaps, or
/// judges by what is not known.
fn follows(worked: &Worked, rule: &dyn Rule, finding: &Finding) -> bool {
    let gaps = &worked.parsed().lost().gaps;
    if !gaps.is_empty() && rule.of_the_stores() || finding.span.is_some_and(|span| gaps.contains(&span.file))
    {
        return true;
    }
    let Some(id) = &finding.procedure else { return false };
    let unread = worked.parsed().procedures().get(id).map(|procedure| &procedure.unread);
    let at_a_gap =
        finding.step.as_ref().is_some_and(|step| unread.is_some_and(|gaps| gaps.steps.contains(step)));
    let route = worked.procedures().get(id).map(|known| &known.route);
    let broken = rule.of_the_whole() && route.is_some_and(|route| route.broken);
    let gaps = rule.of_the_kit() && route.is_some_and(|route| route.broken || route.gaps);
    at_a_gap || broken || gaps
}

/// Whether a reference may lead to what stands in a file that could not be read.
fn may_be_lost(worked: &Worked, finding: &Finding) -> bool {
    worked.parsed().lost().shared && matches!(finding.code.0, "DOC-03" | "KIT-01")
}

fn waivers(worked: &Worked) -> Vec<Waived> {
    let mut waivers = Vec::new();
    for (id, procedure) in worked.parsed().procedures() {
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

/// What the rules say that judge the findings of all others. A procedure with gaps is not asked: what its waivers
/// are for may stand in them.
fn unneeded(worked: &Worked, waivers: &[Waived], sink: Sink) -> Sink {
    let whole: Vec<Waived> = waivers
        .iter()
        .filter(|waived| {
            let known = worked.procedures().get(&waived.procedure);
            known.is_some_and(|known| !known.route.broken && !known.route.gaps)
        })
        .cloned()
        .collect();
    let (findings, mut all, codes) = (sink.into_sorted(), Sink::new(), pages());
    for rule in rules::register() {
        rule.after_all(&whole, &codes, &findings, &mut all);
    }
    findings.into_iter().for_each(|finding| all.push(finding));
    all
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
