//! ELE-08: a wet or dirty place takes an adhesive-lined sleeve.

use crate::check::joints::{made, some};
use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink};
use crate::model::{Place, Store};
use crate::phrase::phrase;
use crate::workings::Value;
use std::collections::BTreeMap;

/// The rule ELE-08.
pub(super) struct Ele08;

static PAGE: Page = Page {
    code: Code("ELE-08"),
    severity: Severity::Warning,
    rule: "a wet or dirty place takes an adhesive-lined sleeve",
    why: "A plain sleeve draws water in along the wire, and keeps it there.",
    source: "common practice",
    fails: "join-as: {by: lap, from: polyolefin-3to1, place: wet}",
    passes: "join-as: {by: lap, from: lined-3to1, place: wet}",
};

impl Rule for Ele08 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        let stores = reading.worked.parsed().stores();
        for read in &reading.procedures {
            let mut told: BTreeMap<Place, Vec<(String, String, String)>> = BTreeMap::new();
            for made in made(read).iter().filter(|made| matches!(made.place(), "wet" | "dirty")) {
                let sleeve = made.joint.outermost().and_then(|role| made.value(read, role));
                let Some(Ok(work)) = sleeve.map(|value| &value.result) else { continue };
                let Some(Value::Text(size)) = work.outcome.get("sleeve") else { continue };
                let Some(sleeve) = work.given.sleeves("from").iter().find(|known| known.id == *size) else {
                    continue;
                };
                if !sleeve.adhesive {
                    let at = made.joint.join.from.first().map_or(made.joint.place, |(_, place)| *place);
                    let one = (made.item.id.clone(), sleeve.range.clone(), made.place().to_owned());
                    told.entry(at).or_default().push(one);
                }
            }
            for (at, all) in told {
                let Some((_, range, place)) = all.first() else { continue };
                let ids = some(all.iter().map(|(id, ..)| id.as_str()));
                let headline = phrase!(
                    "{ids} lies in a `{place}` place under `{range}`, which has no adhesive",
                    ids = ids,
                    place = place,
                    range = range
                );
                let lined = stores.lines(Store::Sleeves).find(|line| line.text("adhesive") == Some("yes"));
                let help = lined.map_or_else(
                    || phrase!("add a range with `adhesive: yes` to stores/sleeves.yaml"),
                    |line| phrase!("write `from: {line}`", line = line.id),
                );
                sink.push(read.at(PAGE.finding(headline), at, phrase!("no adhesive"), None).help(help));
            }
        }
    }
}
