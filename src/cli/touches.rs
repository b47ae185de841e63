//! `touches`: what a change of one line of the stores touches.

use super::terminal::Terminal;
use super::{Exit, manual};
use crate::finding::{Finding, nearest};
use crate::model::{Line, Reference, Store, Stores};
use crate::page::view::shown;
use crate::page::view::uses::{At, Uses};
use crate::work::{Influence, Touched, Work, Worked, WorkedValue};
use crate::workings::Value;
use clap::Args;
use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::path::PathBuf;

/// Most letters of a text that is printed beside figures.
const LONGEST_WORD: usize = 24;

/// The arguments of `touches`.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  benchleaf touches loom-075              a line of the stores
  benchleaf touches cable:loom-075 demo   the same with its table, in the manual `demo`")]
pub(super) struct Touches {
    /// The line's id: `loom-075`, or with its table `cable:loom-075`.
    #[arg(value_name = "STORE-ID")]
    line: String,
    /// The manual's folder.
    folder: Option<PathBuf>,
}

impl Touches {
    pub(super) fn run(&self, terminal: &Terminal) -> Exit {
        let (worked, findings) = match manual::read(self.folder.as_deref(), terminal) {
            Ok(run) => run.work(),
            Err(exit) => return exit,
        };
        let line = match find(worked.parsed().stores(), &self.line) {
            Ok(line) => line,
            Err(why) => return terminal.fail(Exit::Usage, &why),
        };
        if findings.iter().any(Finding::is_error) {
            terminal
                .say("this manual has faults, so something may be missing: `benchleaf inspect` shows them");
        }
        terminal.result(&report(&worked, line))
    }
}

/// The line that an id names, with or without its table.
fn find<'a>(stores: &'a Stores, wanted: &str) -> Result<&'a Line, String> {
    let named = Reference::parse(wanted).ok();
    let (only, id) = match &named {
        Some(reference) => (reference.scheme.store(), reference.id.as_str()),
        None => (None, wanted),
    };
    let tables = || Store::ALL.into_iter().filter(|store| only.is_none_or(|only| only == *store));
    let lines: Vec<&Line> = tables().filter_map(|store| stores.get(store, id)).collect();
    match lines.as_slice() {
        [line] => Ok(line),
        [] => {
            let near = nearest(id, tables().flat_map(|store| stores.ids(store)));
            let help = near.map_or_else(String::new, |near| format!("\n  help: write `{near}`"));
            Err(format!("the stores have no line `{wanted}`{help}"))
        }
        [first, ..] => {
            let tables: Vec<&str> = lines.iter().map(|line| line.store.file()).collect();
            let scheme = first.store.declaration().scheme.unwrap_or_default();
            Err(format!(
                "`{id}` stands in {}\n  help: say which, for example `{scheme}:{id}`",
                tables.join(" and ")
            ))
        }
    }
}

/// Everything that a change would touch, grouped by procedure and table.
fn report(worked: &Worked, line: &Line) -> String {
    let touched = Influence::of(worked).touched_by(line.store, &line.id);
    let mut text = format!("{} (stores/{}.yaml, {})\n", line.name, line.store.file(), line.id);
    let uses = Uses::gather(worked);
    let mut steps: BTreeSet<At> = uses.line(line.store, &line.id).cloned().unwrap_or_default();
    for (owner, value) in &touched.values {
        steps.extend(uses.value(owner, &value.id).into_iter().flatten().cloned());
    }
    values(&mut text, &touched);
    rows(&mut text, &touched);
    listed(&mut text, "items", touched.items.iter().map(|(owner, item)| (*owner, item.id.clone())));
    let heading = |at: &At| match &at.step {
        Some((number, step)) => (at.procedure.clone(), format!("{number}  {step}")),
        None => (at.procedure.clone(), "before its steps".to_owned()),
    };
    let steps: Vec<(String, String)> = steps.iter().map(heading).collect();
    listed(&mut text, "steps", steps.iter().map(|(procedure, step)| (procedure.as_str(), step.clone())));
    if touched.values.is_empty() && touched.rows.is_empty() && touched.items.is_empty() && steps.is_empty() {
        text.push_str("\nnothing uses it\n");
    }
    text
}

/// Each value with its figures.
fn values(text: &mut String, touched: &Touched<'_>) {
    let shown = |(owner, value): &(&'_ str, &WorkedValue)| {
        let outputs = match &value.result {
            Ok(work) => figures(&value.working, work),
            Err(refusals) => refusals.first().map_or_else(String::new, |refusal| refusal.message.to_string()),
        };
        ((*owner).to_owned(), format!("{}  {outputs}", value.id))
    };
    let lines: Vec<(String, String)> = touched.values.iter().map(shown).collect();
    listed(text, "values", lines.iter().map(|(owner, line)| (owner.as_str(), line.clone())));
}

/// The figures and words of an answer, each with its name; lists and sentences stand on the pages.
fn figures(working: &str, work: &Work) -> String {
    let short = |value: &Value| match value {
        Value::Text(text) => text.len() <= LONGEST_WORD,
        value => value.as_number().is_some(),
    };
    let outputs = work.outcome.outputs.iter().filter(|(_, value)| short(value));
    let shown =
        outputs.map(|(name, value)| format!("{name} {}", value.shown(shown::output(working, name).0)));
    shown.collect::<Vec<_>>().join(", ")
}

fn rows(text: &mut String, touched: &Touched<'_>) {
    listed(text, "table rows", touched.rows.iter().map(|(table, row)| (*table, row.id.clone())));
}

/// A part of the report: lines under what they belong to.
fn listed<'a>(text: &mut String, title: &str, lines: impl Iterator<Item = (&'a str, String)>) {
    let mut last = None;
    for (owner, line) in lines {
        // A write to a String cannot fail.
        if last.is_none() {
            let _ = writeln!(text, "\n{title}");
        }
        if last != Some(owner) {
            let _ = writeln!(text, "  {owner}");
            last = Some(owner);
        }
        let _ = writeln!(text, "    {line}");
    }
}
