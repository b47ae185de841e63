//! VAL-01: every refit fastener states torque with its source, or `maker`, or `hand-tight`.

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink};
use crate::model::{Place, State, Store, Torque};
use crate::parse::span;
use crate::phrase::phrase;
use std::collections::BTreeSet;

/// The rule VAL-01.
pub(super) struct Val01;

static PAGE: Page = Page {
    code: Code("VAL-01"),
    severity: Severity::Error,
    rule: "every refit fastener states torque with its source, or `maker`, or `hand-tight`",
    why: "A torque that is not written is guessed: too little falls out, too much strips, and the next person cannot tell which.",
    source: "common practice; omissions are most of what goes wrong in reassembly (Reason & Hobbs, from memory)",
    fails: "fasteners: {lining-screws: {name: Lining screws, count: 9}}   # and a step fastens them",
    passes: "fasteners: {lining-screws: {name: Lining screws, count: 9, torque: 2.5 N·m, source: maker}}",
};

impl Rule for Val01 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn of_the_stores(&self) -> bool {
        true
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        let mut told: BTreeSet<(Place, bool)> = BTreeSet::new();
        for read in &reading.procedures {
            for (step, act, item) in read.acts() {
                let tightens = act.verb.leads_to(State::Tight);
                let Some(item) = item.filter(|item| tightens && item.kind().is_fastening()) else { continue };
                let line = item.of().and_then(|of| {
                    let stores = reading.worked.parsed().stores();
                    stores.get(Store::Fasteners, of)
                });
                let (headline, help, stated) = match (
                    item.torque(),
                    line.and_then(|line| line.figure("torque")),
                ) {
                    (None, None) => (
                        phrase!(
                            "`{item}` ({label}) is tightened and states no torque",
                            item = item.id,
                            label = item.label()
                        ),
                        phrase!(
                            "add `torque: … N·m` with its `source`, or `torque: maker`, or `torque: hand-tight`"
                        ),
                        false,
                    ),
                    (Some(Torque::Figure(torque)), _) if item.source.is_none() => (
                        phrase!(
                            "the torque of `{item}`, {torque}, has no source",
                            item = item.id,
                            torque = torque
                        ),
                        phrase!(
                            "add `source: …`: a document, `maker`, `measured`, `common practice` or `memory`"
                        ),
                        true,
                    ),
                    _ => continue,
                };
                let at = if stated { item.said.get("torque").copied() } else { None };
                if told.insert((item.place, stated)) {
                    let finding =
                        PAGE.finding(headline).at(span(at.unwrap_or(item.place)), phrase!("declared here"));
                    let finding = finding.label(span(act.place), phrase!("tightened here")).help(help);
                    sink.push(finding.in_procedure(&read.procedure.id).in_step(&step.id));
                }
            }
        }
    }
}
