//! SAF-06: a hazardous tool, consumable or action brings its message.

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink};
use crate::model::Act;
use crate::phrase::phrase;

/// The rule SAF-06.
pub(super) struct Saf06;

static PAGE: Page = Page {
    code: Code("SAF-06"),
    severity: Severity::Error,
    rule: "a hazardous tool, consumable or action brings its message",
    why: "A tool that stands under `tools` brings what its stores line says of its dangers. One that stands in the text alone brings nothing, and heat that no tool brings warns of nothing.",
    source: "HSE guidance on hot work and on solder fume, INDG249",
    fails: "- shrink: tail-feed\n\nWarm the sleeve with the <tool:hot-air-gun>.",
    passes: "- shrink: tail-feed\ntools: [hot-air-gun]",
};

impl Rule for Saf06 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        let stores = reading.worked.parsed().stores();
        for read in &reading.procedures {
            for step in read.procedure.steps() {
                let met: Vec<&str> =
                    reading.worked.hazards_of(step).into_iter().map(|line| line.id.as_str()).collect();
                for passage in read.of_step(step).filter(|passage| passage.role.instructs()) {
                    for seen in &passage.seen {
                        let Some(store) = seen.reference.scheme.store() else { continue };
                        let Some(line) = stores.get(store, &seen.reference.id) else { continue };
                        let Some(hazard) = line.texts("hazards").find(|hazard| !met.contains(hazard)) else {
                            continue;
                        };
                        let headline = phrase!(
                            "`{line}` brings `{hazard}`, and this step does not say so",
                            line = line.id,
                            hazard = hazard
                        );
                        let finding = read.at(
                            PAGE.finding(headline),
                            seen.place,
                            phrase!("named in the text alone"),
                            Some(step),
                        );
                        sink.push(finding.help(phrase!(
                            "name `{line}` under `{store}`",
                            line = line.id,
                            store = store.file()
                        )));
                    }
                }
                let heats = |act: &&Act| {
                    read.known.items.get(&act.item).is_some_and(|item| item.life().heats(act.verb))
                };
                let hot = read.known.route.acts(&step.id).iter().find(heats);
                if let Some(act) = hot.filter(|_| met.is_empty() && step.messages.is_empty()) {
                    let headline = phrase!(
                        "`{item}` is worked on with heat, and no message stands before it",
                        item = act.item
                    );
                    let finding = read.at(
                        PAGE.finding(headline),
                        act.place,
                        phrase!("heat without a word"),
                        Some(step),
                    );
                    sink.push(finding.help(phrase!(
                        "name the tool that heats under `tools`, with its `hazards` in the stores"
                    )));
                }
            }
        }
    }
}
