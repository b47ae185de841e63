//! KIT-01: every tool, consumable and part used exists in the stores; a driver states its drive, a torque
//! wrench its range.

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink, nearest, write};
use crate::model::{Store, Use};
use crate::parse::span;
use crate::phrase::phrase;
use crate::work::Worked;

/// The rule KIT-01.
pub(super) struct Kit01;

static PAGE: Page = Page {
    code: Code("KIT-01"),
    severity: Severity::Error,
    rule: "every tool, consumable and part used exists in the stores; a driver states its drive, a torque wrench its range",
    why: "Kit that is named in two ways is counted twice or not at all, and a driver without its size sends people back to the bench.",
    source: "common practice",
    fails: "tools: [hot-iar-gun]",
    passes: "tools: [hot-air-gun]",
};

impl Rule for Kit01 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for (id, procedure) in reading.worked.parsed().procedures() {
            for step in procedure.steps() {
                let uses =
                    step.tools.iter().chain(&step.protection).chain(&step.consumables).chain(&step.parts);
                uses.for_each(|used| exists(reading.worked, id, Some(&step.id), used, sink));
            }
            procedure.kit_extra.iter().for_each(|used| exists(reading.worked, id, None, used, sink));
        }
        for tool in reading.worked.parsed().stores().lines(Store::Tools) {
            let lacks =
                |word: &str, key: &str| tool.name.to_lowercase().contains(word) && tool.figure(key).is_none();
            let (key, line) = if lacks("driver", "drive") {
                ("drive", "drive: hexalobular 25")
            } else if lacks("torque wrench", "range") {
                ("range", "range: 1 N·m to 6 N·m")
            } else {
                continue;
            };
            sink.push(
                PAGE.finding(phrase!(
                    "`{tool}` ({name}) does not state its `{key}`",
                    tool = tool.id,
                    name = tool.name,
                    key = key
                ))
                .at(span(tool.place), phrase!("this tool"))
                .help(phrase!("add for example `{line}`", line = line)),
            );
        }
    }
}

fn exists(worked: &Worked, procedure: &str, step: Option<&str>, used: &Use, sink: &mut Sink) {
    let stores = worked.parsed().stores();
    if stores.get(used.store, &used.id).is_some() {
        return;
    }
    let near = nearest(&used.id, stores.ids(used.store));
    // The right thing in the wrong list is the likelier slip where nothing in this one is near.
    let other = Store::ALL.into_iter().find(|store| stores.get(*store, &used.id).is_some());
    let help = match (near, other) {
        (_, Some(other)) => Some(phrase!(
            "`{used}` stands in stores/{other}.yaml: name it under `{other}`",
            used = used.id,
            other = other.file()
        )),
        (Some(near), None) => Some(write(near)),
        (None, None) => Some(phrase!("add it to stores/{store}.yaml", store = used.store.file())),
    };
    let mut finding = PAGE
        .finding(phrase!("`stores/{file}.yaml` has no line `{id}`", file = used.store.file(), id = used.id))
        .at(span(used.place), phrase!("not in the stores"))
        .help_if(help)
        .in_procedure(procedure);
    if let Some(step) = step {
        finding = finding.in_step(step);
    }
    sink.push(finding);
}
