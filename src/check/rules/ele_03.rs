//! ELE-03: the join suits the conductor: none on pyrotechnic, high voltage or fibre; no crimp on tinned strands.

use crate::check::joints::{Made, made};
use crate::check::reading::Read;
use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::words::holds;
use crate::finding::{Code, Severity, Sink};
use crate::model::{Line, Method, Store, Use};
use crate::parse::span;
use crate::phrase::phrase;

/// The rule ELE-03.
pub(super) struct Ele03;

static PAGE: Page = Page {
    code: Code("ELE-03"),
    severity: Severity::Error,
    rule: "the join suits the conductor: none on pyrotechnic, high voltage or fibre; no crimp on tinned strands",
    why: "A splice in a restraint or high-voltage lead can kill; solder in a crimp creeps away from the pressure until the joint is loose.",
    source: "stores/joins.yaml of the shop; common practice; NASA-STD-8739.4 on crimps and tinned strands (from memory)",
    fails: "conductors:\n  buckle-lead: {of: squib-pair, action: join}",
    passes: "conductors:\n  buckle-lead: {of: squib-pair, action: replace}",
};

impl Rule for Ele03 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        let stores = reading.worked.parsed().stores();
        // The first line that fits holds, in the order in which the shop wrote them.
        let mut lines: Vec<&Line> = stores.lines(Store::Joins).collect();
        lines.sort_by_key(|line| line.place);
        for read in &reading.procedures {
            for made in made(read) {
                let kind = made.joint.kind.as_str();
                let (by, place) = (made.by(), made.place());
                let id = &made.item.id;
                let finding = if matches!(kind, "pyrotechnic" | "high-voltage" | "fibre") {
                    PAGE.finding(phrase!(
                        "`{id}` is `{kind}`, and such a lead is never joined",
                        id = id,
                        kind = kind
                    ))
                    .help(phrase!(
                        "leave it to licensed people with the maker's instruction: `action: replace`"
                    ))
                } else if place == "flex" || kind.is_empty() || lines.is_empty() {
                    // Where the loom flexes ELE-07 speaks; an unknown cable is another rule's matter.
                    continue;
                } else if let Some(line) = fits(&lines, kind, place) {
                    let allowed: Vec<&str> = line.texts("allow").collect();
                    if allowed.contains(&by.word()) {
                        continue;
                    }
                    PAGE.finding(phrase!(
                        "`{id}` is a `{kind}` conductor in a `{place}` place, where `{by}` does not serve",
                        id = id,
                        kind = kind,
                        place = place,
                        by = by.word()
                    ))
                    .label(span(line.place), phrase!("the shop's line that holds"))
                    .help(match allowed.is_empty() {
                        true => phrase!("the shop allows no join here: `action: replace`"),
                        false => phrase!("write `by: {allowed}`", allowed = allowed.join(" | ")),
                    })
                } else {
                    PAGE.finding(phrase!(
                        "the shop says nothing of a `{kind}` conductor in a `{place}` place",
                        kind = kind,
                        place = place
                    ))
                    .help(phrase!("add a line to stores/joins.yaml, or choose another place"))
                };
                sink.push(read.at(finding, made.joint.place, phrase!("joined in this procedure"), None));
            }
            tinned(reading, read, sink);
        }
    }
}

fn fits<'l>(lines: &[&'l Line], kind: &str, place: &str) -> Option<&'l Line> {
    lines
        .iter()
        .find(|line| {
            line.texts("kinds").any(|one| one == kind) && line.texts("places").any(|one| one == place)
        })
        .copied()
}

/// No step crimps what it has tinned: a barrel and solder do not meet on one conductor.
fn tinned(reading: &Reading<'_>, read: &Read<'_>, sink: &mut Sink) {
    let barrels: Vec<Made<'_>> = made(read).into_iter().filter(|made| made.by() == Method::Barrel).collect();
    for step in read.procedure.steps() {
        let Some(solder) = step.consumables.iter().find(|used| is_solder(reading, used)) else { continue };
        let barrel = barrels
            .iter()
            .find(|made| read.known.route.acts(&step.id).iter().any(|act| act.item == made.item.id));
        let Some(made) = barrel else { continue };
        let headline = phrase!(
            "`{item}` is crimped into a barrel and tinned with `{solder}`",
            item = made.item.id,
            solder = solder.id
        );
        let finding = read.at(PAGE.finding(headline), solder.place, phrase!("solder in a crimp"), Some(step));
        sink.push(
            finding
                .label(span(made.joint.place), phrase!("joined by a barrel"))
                .help(phrase!("leave the strands plain, or say `by: lap`")),
        );
    }
}

fn is_solder(reading: &Reading<'_>, used: &Use) -> bool {
    let line = reading.worked.parsed().stores().get(used.store, &used.id);
    let name = line.map(|line| line.name.to_lowercase()).unwrap_or_default();
    holds(&name, &reading.words.solder) || used.id.starts_with("solder")
}
