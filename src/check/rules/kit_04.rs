//! KIT-04: what moves a driven fastener is a driver that fits it, and work that no hand does alone names a tool.

use crate::check::reading::{Read, Reading};
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Finding, Severity, Sink};
use crate::model::{Act, Check, Item, Kind, Line, State, Step, Store, Stores, Verb};
use crate::phrase::phrase;

/// The rule KIT-04.
pub(super) struct Kit04;

static PAGE: Page = Page {
    code: Code("KIT-04"),
    severity: Severity::Warning,
    rule: "a step that moves a driven fastener names a driver that fits its drive; joining, shrinking and measuring name their tool",
    why: "The tool that is not on the tray is fetched in the middle of the work, and the next best size rounds the head.",
    source: "common practice",
    fails: "- remove: hatch-screws       # driven by slot 20\ntools: [driver-30]",
    passes: "- remove: hatch-screws       # driven by slot 20\ntools: [driver-20]",
};

impl Rule for Kit04 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn of_the_stores(&self) -> bool {
        true
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        let stores = reading.worked.parsed().stores();
        for read in &reading.procedures {
            // Work on many conductors at once is told once.
            let mut told = None;
            for (step, act, item) in read.acts() {
                let Some(item) = item else { continue };
                sink_all(sink, undriven(stores, read, step, act, item));
                if step.tools.is_empty() && told != Some(step.number) {
                    let found = bare_handed(read, step, act, item);
                    told = found.as_ref().map(|_| step.number).or(told);
                    sink_all(sink, found);
                }
            }
            for step in read.procedure.steps().filter(|step| step.tools.is_empty()) {
                let Some(Check::Measured { measure, place, .. }) = &step.check else { continue };
                let headline =
                    phrase!("\"{measure}\" is measured, and this step names no tool", measure = measure);
                let finding = read.at(PAGE.finding(headline), *place, phrase!("with what"), Some(step));
                sink.push(finding.help(phrase!("name under `tools` what measures it")));
            }
        }
    }
}

fn sink_all(sink: &mut Sink, findings: impl IntoIterator<Item = Finding>) {
    findings.into_iter().for_each(|finding| sink.push(finding));
}

/// A fastening with a drive that no tool of the step fits.
fn undriven(stores: &Stores, read: &Read<'_>, step: &Step, act: &Act, item: &Item) -> Option<Finding> {
    let turns = [State::Slack, State::Out, State::Tight].into_iter().any(|state| act.verb.leads_to(state));
    if !turns || item.kind() != Kind::Fastener {
        return None;
    }
    let drive = stores.get(Store::Fasteners, item.of()?)?.text("drive")?;
    let fits = |line: &Line| line.text("drive").is_some_and(|driven| same(driven, drive));
    let tools = || step.tools.iter().filter_map(|tool| Some((tool, stores.get(Store::Tools, &tool.id)?)));
    if tools().any(|(_, line)| fits(line)) {
        return None;
    }
    let finding = match tools().find_map(|(tool, line)| Some((tool, line.text("drive")?))) {
        Some((tool, other)) => {
            let headline = phrase!(
                "`{item}` takes a driver for {drive}, and `{tool}` is for {other}",
                item = item.id,
                drive = drive,
                tool = tool.id,
                other = other
            );
            read.at(PAGE.finding(headline), tool.place, phrase!("does not fit"), Some(step))
        }
        None => {
            let headline = phrase!(
                "`{item}` takes a driver for {drive}, and this step names none",
                item = item.id,
                drive = drive
            );
            read.at(PAGE.finding(headline), act.place, phrase!("with what"), Some(step))
        }
    };
    Some(finding.help(stores.lines(Store::Tools).find(|line| fits(line)).map_or_else(
        || {
            phrase!(
                "add a driver to stores/tools.yaml with `drive: {drive}`, and name it under `tools`",
                drive = drive
            )
        },
        |line| phrase!("name `{line}` under `tools`", line = line.id),
    )))
}

/// Whether two drives are one: letter case and spaces do not count.
fn same(one: &str, other: &str) -> bool {
    let plain = |text: &str| text.split_whitespace().collect::<String>().to_lowercase();
    plain(one) == plain(other)
}

/// Work on a conductor that takes a tool, in a step that names none.
fn bare_handed(read: &Read<'_>, step: &Step, act: &Act, item: &Item) -> Option<Finding> {
    if item.kind() != Kind::Conductor {
        return None;
    }
    let takes = act.verb == Verb::Cut || act.verb.leads_to(State::Joined) || item.life().heats(act.verb);
    let headline = phrase!("the work on `{item}` takes a tool, and this step names none", item = item.id);
    takes.then(|| {
        read.at(PAGE.finding(headline), act.place, phrase!("with what"), Some(step))
            .help(phrase!("name under `tools` what cuts, solders, crimps or heats here"))
    })
}
