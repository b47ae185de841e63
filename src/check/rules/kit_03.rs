//! KIT-03: a torque tool's range covers the torque (20 % to 100 % of its greatest).

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink};
use crate::model::{Store, Torque, Use, Verb};
use crate::quantity::print::{Rounding, number};
use crate::quantity::unit;

/// The rule KIT-03.
pub(super) struct Kit03;

static PAGE: Page = Page {
    code: Code("KIT-03"),
    severity: Severity::Warning,
    rule: "a torque tool's range covers the torque (20 % to 100 % of its greatest)",
    why: "A wrench clicks on any setting and is right only inside its range: near the bottom of the scale the click says nothing.",
    source: "ISO 6789-1 (from memory): tested from 20 % of the greatest value up",
    fails: "- fasten: lamp-nuts          # 3.5 N·m\ntools: [torque-wrench-large]   # 20 N·m to 100 N·m",
    passes: "- fasten: lamp-nuts          # 3.5 N·m\ntools: [torque-wrench-small]   # 1 N·m to 6 N·m",
};

impl Rule for Kit03 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        let Some(newton_metre) = unit("N·m") else { return };
        let stores = &reading.worked.parsed.stores;
        for read in &reading.procedures {
            for (step, act, item) in read.acts() {
                let tightens = matches!(act.verb, Verb::Tighten | Verb::Fasten);
                let Some(item) = item.filter(|item| tightens && item.kind.is_fastening()) else { continue };
                let line = item.of.as_deref().and_then(|of| stores.get(Store::Fasteners, of));
                let torque = match &item.torque {
                    Some(Torque::Figure(torque)) => torque,
                    Some(_) => continue,
                    None => match line.and_then(|line| line.quantity("torque")) {
                        Some(torque) => torque,
                        None => continue,
                    },
                };
                let Ok(wanted) = torque.in_unit(newton_metre) else { continue };
                let ranges: Vec<(&Use, (f64, f64))> = step
                    .tools
                    .iter()
                    .filter_map(|tool| {
                        let range = stores.get(Store::Tools, &tool.id)?.range("range")?;
                        Some((tool, range.in_unit(newton_metre).ok()?))
                    })
                    .collect();
                let covers = |(_, (least, greatest)): &(&Use, (f64, f64))| {
                    wanted >= least.max(0.2 * greatest) - 1e-9 && wanted <= greatest + 1e-9
                };
                if ranges.iter().any(covers) {
                    continue;
                }
                let finding = match ranges.first() {
                    None => {
                        let headline =
                            format!("`{}` takes {torque} and no tool of this step measures it", item.id);
                        read.at(PAGE.finding(headline), act.place, "tightened here", Some(step))
                    }
                    Some((tool, (least, greatest))) => {
                        let from = least.max(0.2 * greatest);
                        let headline = format!(
                            "`{}` takes {torque} and `{}` serves from {} N·m to {} N·m",
                            item.id,
                            tool.id,
                            number(from, Rounding::Exact),
                            number(*greatest, Rounding::Exact)
                        );
                        read.at(PAGE.finding(headline), tool.place, "out of its range", Some(step))
                    }
                };
                let better = stores.lines(Store::Tools).find(|line| {
                    let range = line.range("range").and_then(|range| range.in_unit(newton_metre).ok());
                    range.is_some_and(|(least, greatest)| {
                        wanted >= least.max(0.2 * greatest) && wanted <= greatest
                    })
                });
                sink.push(finding.help(better.map_or_else(
                    || "the stores have no torque wrench for it".to_owned(),
                    |line| format!("name `{}` under `tools`", line.id),
                )));
            }
        }
    }
}
