//! KIT-03: a torque tool's range covers the torque (20 % to 100 % of its greatest).

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink};
use crate::model::{Item, Line, State, Store, Stores, Torque, Use};
use crate::phrase::phrase;
use crate::quantity::print::{Rounding, number};
use crate::quantity::{Quantity, unit};

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

    fn of_the_stores(&self) -> bool {
        true
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        let Some(newton_metre) = unit("N·m") else { return };
        let stores = reading.worked.parsed().stores();
        for read in &reading.procedures {
            for (step, act, item) in read.acts() {
                let tightens = act.verb.leads_to(State::Tight);
                let Some(item) = item.filter(|item| tightens && item.kind().is_fastening()) else { continue };
                let Some(torque) = torque_of(stores, item) else { continue };
                let Ok(wanted) = torque.in_unit(newton_metre) else { continue };
                let reaches = step
                    .tools
                    .iter()
                    .filter_map(|tool| Some((tool, reach(stores.get(Store::Tools, &tool.id)?)?)));
                let reaches: Vec<(&Use, Reach)> = reaches.collect();
                if reaches.iter().any(|(_, reach)| reach.covers(wanted)) {
                    continue;
                }
                let finding = match reaches.first() {
                    None => {
                        let headline = phrase!(
                            "`{item}` takes {torque} and no tool of this step measures it",
                            item = item.id,
                            torque = torque
                        );
                        read.at(PAGE.finding(headline), act.place, phrase!("tightened here"), Some(step))
                    }
                    Some((tool, reach)) => {
                        let show = |value: f64| number(value, Rounding::Figures);
                        let (from, to) = (show(reach.from), show(reach.to));
                        let headline = phrase!(
                            "`{item}` takes {torque} and `{tool}` serves from {from} N·m to {to} N·m",
                            item = item.id,
                            torque = torque,
                            tool = tool.id,
                            from = from,
                            to = to
                        );
                        read.at(PAGE.finding(headline), tool.place, phrase!("out of its range"), Some(step))
                    }
                };
                let fits = |line: &&Line| reach(line).is_some_and(|reach| reach.covers(wanted));
                sink.push(finding.help(stores.lines(Store::Tools).find(fits).map_or_else(
                    || phrase!("the stores have no torque wrench for it"),
                    |line| phrase!("name `{line}` under `tools`", line = line.id),
                )));
            }
        }
    }
}

/// Where a torque tool serves, in N·m.
struct Reach {
    from: f64,
    to: f64,
}

impl Reach {
    fn covers(&self, torque: f64) -> bool {
        (self.from - 1e-9..=self.to + 1e-9).contains(&torque)
    }
}

/// Where a tool serves: its range, but nothing below a fifth of its greatest.
fn reach(tool: &Line) -> Option<Reach> {
    let (least, to) = tool.range("range")?.in_unit(unit("N·m")?).ok()?;
    Some(Reach { from: least.max(0.2 * to), to })
}

/// The torque of a fastening: its own, else that of its stores line.
fn torque_of<'s>(stores: &'s Stores, item: &'s Item) -> Option<&'s Quantity> {
    match item.torque() {
        Some(Torque::Figure(torque)) => Some(torque),
        Some(Torque::Maker | Torque::HandTight) => None,
        None => stores.get(Store::Fasteners, item.of()?)?.quantity("torque"),
    }
}
