//! ELE-09: a joined power conductor is tested under load, not by continuity alone.

use crate::check::joints::{Made, made};
use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::words::holds;
use crate::finding::{Code, Severity, Sink};
use crate::model::{Check, Verb};
use crate::phrase::phrase;
use crate::quantity::unit;
use crate::work::Scope;
use std::collections::BTreeSet;

/// The rule ELE-09.
pub(super) struct Ele09;

static PAGE: Page = Page {
    code: Code("ELE-09"),
    severity: Severity::Warning,
    rule: "a joined power conductor is tested under load, not by continuity alone",
    why: "One strand of thirty rings a tester and lights no lamp.",
    source: "common practice",
    fails: "- test: tail-feed\ncheck: {measure: Resistance end to end, accept: 0 Ω to 1 Ω, otherwise: step:join}",
    passes: "- test: tail-feed\ncheck: {measure: Drop across the joint under load, accept: 0 V to 0.05 V, otherwise: step:join}",
};

impl Rule for Ele09 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn of_the_whole(&self) -> bool {
        true
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        let dimension = |symbol: &str| unit(symbol).map(|unit| unit.dimension);
        let loaded = [dimension("V"), dimension("A")];
        for read in &reading.procedures {
            let power: Vec<Made<'_>> = made(read)
                .into_iter()
                .filter(|made| made.joint.kind == "single")
                .filter(|made| made.area(reading.worked).is_none_or(|area| area >= POWER))
                .collect();
            if power.is_empty() {
                continue;
            }
            let mut told: BTreeSet<&str> = BTreeSet::new();
            for (step, act, item) in read.acts().filter(|(_, act, _)| act.verb == Verb::Test) {
                let Some(item) = item.filter(|item| power.iter().any(|made| made.item.id == item.id)) else {
                    continue;
                };
                let measured = match &step.check {
                    Some(Check::Measured { accept, .. }) => {
                        let scope = Scope::Procedure(&read.procedure.id);
                        let mut limits =
                            accept.limits().filter_map(|limit| reading.worked.amount(scope, limit));
                        limits.any(|limit| loaded.contains(&Some(limit.dimension())))
                    }
                    _ => false,
                };
                let said = read.of_step(step).any(|passage| holds(passage.all_lower(), &reading.words.load));
                if measured || said || !told.insert(&step.id) {
                    continue;
                }
                let headline = phrase!("`{item}` carries power and is not tested under load", item = item.id);
                let finding = read.at(PAGE.finding(headline), act.place, phrase!("tested here"), Some(step));
                sink.push(finding.help(phrase!(
                    "write `{line}`",
                    line = "check: {measure: Drop under load, accept: 0 V to 0.05 V, otherwise: step:…}"
                )));
            }
        }
    }
}

/// From this cross-section on, in mm², a wire is taken to carry power.
const POWER: f64 = 0.5;
