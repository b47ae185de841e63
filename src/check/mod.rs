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
mod tokens;
mod words;

use crate::finding::{Finding, Severity, Sink};
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
    let mut findings = sink.into_sorted();
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
