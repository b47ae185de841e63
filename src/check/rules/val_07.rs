//! VAL-07: torque, fuse, wire size and sleeve carry a source.

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink};
use crate::model::{Figure, Store, Written};
use crate::parse::span;
use crate::phrase::{Phrase, phrase};

/// The rule VAL-07.
pub(super) struct Val07;

static PAGE: Page = Page {
    code: Code("VAL-07"),
    severity: Severity::Error,
    rule: "torque, fuse, wire size and sleeve carry a source",
    why: "A figure without a source cannot be checked, and nobody dares to change it. Where a wait comes from is SAF-08's matter, a refit fastener's torque VAL-01's.",
    source: "common practice: every number says where it comes from",
    fails: "loom-075: {name: Loom wire 0.75 mm², kind: single, size: 0.75 mm²}",
    passes: "loom-075: {name: Loom wire 0.75 mm², kind: single, size: 0.75 mm², source: ISO 6722-1}",
};

impl Rule for Val07 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn of_the_stores(&self) -> bool {
        true
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        let stores = reading.worked.parsed().stores();
        let wanted = [
            (Store::Fasteners, "torque"),
            (Store::Cables, "size"),
            (Store::Cables, "rated"),
            (Store::Sleeves, "sizes"),
        ];
        for (store, key) in wanted {
            for line in stores.lines(store) {
                let Some((figure, _, place)) = line.figures.get(key) else { continue };
                // `maker` and `hand-tight` say where they come from.
                if matches!(figure, Figure::Text(_)) || line.source_of(key).is_some() {
                    continue;
                }
                let headline = phrase!(
                    "the `{key}` of the {store} `{line}` has no source",
                    key = key,
                    store = Phrase::bare(store.noun()),
                    line = line.id
                );
                sink.push(
                    PAGE.finding(headline).at(span(*place), phrase!("where does this come from?")).help(SAY),
                );
            }
        }
        for read in &reading.procedures {
            let fuses = read.procedure.values.iter().filter(|value| value.working.0 == "fuse");
            for input in fuses.flat_map(|value| &value.inputs).filter(|input| input.name == "wire-limit") {
                if matches!(input.written, Written::Text(_)) {
                    let headline = phrase!("the current that the wire carries is typed, without a source");
                    let finding = read.at(PAGE.finding(headline), input.place, phrase!("typed here"), None);
                    sink.push(finding.help(phrase!("take it from the stores, as in `cable:loom-075.rated`")));
                }
            }
        }
    }
}

const SAY: Phrase =
    phrase!("add `source: …`: a document, `maker`, `measured`, `common practice`, `memory` or `invented`");
