//! Checked → [`Pages`]: every file of the site. Each page kind is one file and one line of the register;
//! [`address`] knows where everything stands, [`view::prose`] turns Markdown into markup, [`view`] holds what the
//! templates are given.

pub mod address;
mod front;
mod hazards;
mod job_sheet;
mod join_schedule;
pub mod markup;
mod parking;
mod procedure;
mod registers;
mod search;
mod table;
mod torque;
pub mod view;
mod waivers;
mod workings;

use crate::check::Checked;
use crate::finding::{Finding, Sink};
use crate::model::{Procedure, Status, Verb};
use crate::theme::{ENDLESS, STYLE_SHEET, Theme};
use crate::work::{Influence, Worked, WorkedProcedure};
use rayon::prelude::*;
use std::collections::BTreeMap;
use view::uses::Uses;

pub use search::Record;

/// A site.
#[derive(Debug)]
pub struct Pages {
    files: BTreeMap<String, Vec<u8>>,
    records: Vec<Record>,
}

impl Pages {
    /// Every file by its path below the site's root.
    pub fn files(&self) -> &BTreeMap<String, Vec<u8>> {
        &self.files
    }

    /// What can be searched for.
    pub fn records(&self) -> &[Record] {
        &self.records
    }

    /// The same site with one more file.
    pub(crate) fn with(mut self, (address, bytes): File) -> Pages {
        self.files.insert(address, bytes);
        self
    }
}

/// What every page is made from.
#[derive(Clone, Copy)]
pub struct Manual<'a> {
    /// The manual.
    pub worked: &'a Worked,
    /// The checked manual, for what only checking knows.
    pub checked: &'a Checked,
    /// Templates and labels.
    pub theme: &'a Theme,
    /// The manual's fingerprint.
    pub fingerprint: &'a str,
    /// Who uses what.
    pub uses: &'a Uses,
    /// What was worked from what.
    pub influence: &'a Influence<'a>,
    /// What can be searched for.
    pub records: &'a [Record],
}

impl std::fmt::Debug for Manual<'_> {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.debug_struct("Manual").field("fingerprint", &self.fingerprint).finish_non_exhaustive()
    }
}

impl Manual<'_> {
    /// A procedure as written.
    pub fn procedure(&self, id: &str) -> Option<&Procedure> {
        self.worked.parsed().procedures().get(id)
    }

    /// Whether a procedure takes fasteners out, and may be worked by: then it has a parking mat.
    pub fn parks(&self, id: &str) -> bool {
        let removes = |worked: &WorkedProcedure| {
            worked.replay.moves.iter().any(|moved| moved.verb == Some(Verb::Remove))
        };
        self.procedure(id).is_some_and(|procedure| procedure.status != Status::Withdrawn)
            && self.worked.procedures().get(id).is_some_and(removes)
    }
}

/// A file of the site: its address and its bytes.
pub type File = (String, Vec<u8>);

/// A kind of page.
pub trait PageKind: Sync {
    /// Its name, unique; pages carry it as a class.
    fn name(&self) -> &'static str;

    /// What it makes a page for: ids, or nothing but the empty one where there is a single page.
    fn subjects(&self, manual: &Manual<'_>) -> Vec<String>;

    /// The files of a subject.
    ///
    /// # Errors
    /// Where a template fails.
    fn draw(&self, manual: &Manual<'_>, subject: &str) -> Result<Vec<File>, Box<Finding>>;
}

/// Every page kind.
pub fn register() -> &'static [&'static dyn PageKind] {
    &[
        &front::Front,
        &procedure::Sheet,
        &job_sheet::JobSheet,
        &join_schedule::JoinSchedule,
        &parking::Parking,
        &workings::Workings,
        &table::Table,
        &registers::Registers,
        &torque::Torque,
        &waivers::Waivers,
        &search::Search,
    ]
}

/// How many pages are drawn before their files are handed over: enough to keep every core busy, few enough
/// that a manual of any size is never held in memory as a whole.
const BATCH: usize = 64;

/// Why the drawing of pages stopped.
#[derive(Debug)]
pub(crate) enum Stopped<E> {
    /// A template of the shop's own fails: every failure once.
    Failed(Vec<Finding>),
    /// Whoever keeps the files could not.
    Keeping(E),
}

/// Draws a checked manual and hands its files over batch by batch, in the order of the register. Once a page
/// failed nothing more is handed over, and the rest is drawn only for what else fails.
///
/// # Errors
/// Where a template of the shop's own fails, every failure once; or where a file cannot be kept.
pub(crate) fn draw<E>(
    checked: &Checked,
    theme: &Theme,
    fingerprint: &str,
    mut keep: impl FnMut(Vec<File>) -> Result<(), E>,
) -> Result<Vec<Record>, Stopped<E>> {
    let worked = checked.worked();
    let (uses, influence) = (Uses::gather(worked), Influence::of(worked));
    let bare =
        Manual { worked, checked, theme, fingerprint, uses: &uses, influence: &influence, records: &[] };
    let records = search::records(&bare);
    let manual = Manual { records: &records, ..bare };
    let jobs: Vec<(&dyn PageKind, String)> = register()
        .iter()
        .flat_map(|kind| kind.subjects(&manual).into_iter().map(|subject| (*kind, subject)))
        .collect();
    keep(assets(checked, theme)).map_err(Stopped::Keeping)?;
    let mut sink = Sink::new();
    for batch in jobs.chunks(BATCH) {
        let drawn: Vec<Result<Vec<File>, Box<Finding>>> =
            batch.par_iter().map(|(kind, subject)| kind.draw(&manual, subject)).collect();
        let mut files = Vec::new();
        for result in drawn {
            match result {
                Ok(pages) => files.extend(pages),
                Err(finding) => sink.push(*finding),
            }
        }
        // A page that went on and on took its time; those that follow would take as much again.
        if sink.has_any(&[ENDLESS.0]) {
            break;
        }
        if !sink.has_errors() {
            keep(files).map_err(Stopped::Keeping)?;
        }
    }
    let findings = sink.into_sorted();
    if findings.is_empty() { Ok(records) } else { Err(Stopped::Failed(findings)) }
}

/// Renders a checked manual, the whole of it in memory.
///
/// # Errors
/// Where a template of the shop's own fails, every failure once.
pub(crate) fn render(checked: &Checked, theme: &Theme, fingerprint: &str) -> Result<Pages, Vec<Finding>> {
    let mut files = BTreeMap::new();
    let drawn = draw(checked, theme, fingerprint, |batch| {
        files.extend(batch);
        Ok::<(), std::convert::Infallible>(())
    });
    match drawn {
        Ok(records) => Ok(Pages { files, records }),
        Err(Stopped::Failed(findings)) => Err(findings),
        Err(Stopped::Keeping(never)) => match never {},
    }
}

/// What stands beside the pages: style, scripts, figures.
fn assets(checked: &Checked, theme: &Theme) -> Vec<File> {
    let mut files = vec![(address::asset(&theme.asset(STYLE_SHEET)), theme.style.clone().into_bytes())];
    let scripts = theme.scripts.iter();
    files.extend(scripts.map(|(name, text)| (address::asset(&theme.asset(name)), text.as_bytes().to_vec())));
    files.extend(checked.figures().iter().map(|(name, bytes)| (address::figure(name), bytes.clone())));
    files
}

/// The one subject of a kind that makes a single page.
fn single() -> Vec<String> {
    vec![String::new()]
}

#[cfg(test)]
mod tests;
