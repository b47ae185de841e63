//! Benchleaf turns a folder of procedures for vehicle electrics and interiors into a manual that is read
//! offline in the garage: checked by replay, with its values computed.
//!
//! # The map
//!
//! Data goes one way, and each stage is a type that only the stage before it can make:
//!
//! | arrow | module | from → to |
//! | --- | --- | --- |
//! | read | [`source`] | a folder → [`source::Source`] |
//! | parse | [`parse`] | → [`parse::Parsed`]: shop, stores, vehicles, procedures, tables |
//! | work | [`work`] | → [`work::Worked`]: values, joints, kit, routes, replays |
//! | check | [`check`] | → [`check::Checked`], or everything that is wrong |
//! | render | [`page`], [`search`], dressed by [`theme`] | → the files of the site, batch by batch |
//! | write | [`mod@write`] | → [`write::Written`]: the site in its place |
//!
//! What they speak of stands in [`model`], what they find in [`finding`], numbers and units in [`quantity`],
//! computations in [`workings`], the lives of items in [`ledger`], pictures in [`drawings`]; [`cli`] is the
//! command line. [`bind`] runs the arrows in order.

pub mod check;
pub mod cli;
pub mod drawings;
pub mod finding;
pub mod ledger;
pub mod model;
pub mod page;
pub mod parse;
pub mod phrase;
pub mod picture;
pub mod quantity;
pub mod search;
pub mod source;
pub mod stylesheet;
pub mod theme;
pub mod work;
pub mod workings;
pub mod write;

use check::{Checked, Rejected};
use finding::{Finding, Sink};
use page::Pages;
use source::Source;
use theme::Theme;
use write::{Draft, WriteError, Written};

/// Reads a manual's folder, leaving out sites that were bound inside it.
///
/// # Errors
/// When the folder cannot be walked.
pub fn read(root: &std::path::Path) -> std::io::Result<Source> {
    Source::read_without(root, write::is_site)
}

/// Inspects a manual: parse, work, check.
///
/// # Errors
/// When anything blocks binding: every finding.
pub fn inspect(source: &Source) -> Result<Checked, Rejected> {
    let mut sink = Sink::new();
    let parsed = parse::parse(source, &mut sink);
    let worked = work::work(parsed, &mut sink);
    check::check(worked, source, sink)
}

/// Inspects a manual and renders its pages, the whole site in memory.
///
/// # Errors
/// When anything blocks binding, or a shop's own template fails: every finding.
pub fn render(source: &Source) -> Result<(Pages, Vec<Finding>), Rejected> {
    let (checked, theme) = dressed(source)?;
    let print = fingerprint(source);
    let pages = page::render(&checked, &theme, &print)
        .map_err(|rejected| Rejected { findings: rejected.findings })?;
    Ok((search::add(pages, &print), checked.findings))
}

/// Inspects a manual and writes it as a site, page by page, so that a manual of any size is never held in
/// memory as a whole. The place is as it was until the last file stands.
///
/// # Errors
/// When anything blocks binding, a shop's own template fails, or the site cannot be written.
pub fn bind(source: &Source, place: &std::path::Path) -> Result<(Written, Vec<Finding>), BindError> {
    let (checked, theme) = dressed(source)?;
    let mut draft = Draft::begin(place, &source.root)?;
    let print = fingerprint(source);
    let records = page::draw(&checked, &theme, &print, |files| draft.put(files))?;
    draft.put(vec![search::script(&records, &print)])?;
    Ok((draft.finish()?, checked.findings))
}

/// Why a manual was not bound.
#[derive(Debug)]
pub enum BindError {
    /// It has faults.
    Rejected(Rejected),
    /// Its site could not be written.
    Write(WriteError),
}

impl From<Rejected> for BindError {
    fn from(rejected: Rejected) -> BindError {
        BindError::Rejected(rejected)
    }
}

impl From<WriteError> for BindError {
    fn from(error: WriteError) -> BindError {
        BindError::Write(error)
    }
}

impl From<page::Stopped<WriteError>> for BindError {
    fn from(stopped: page::Stopped<WriteError>) -> BindError {
        match stopped {
            page::Stopped::Rejected(rejected) => Rejected { findings: rejected.findings }.into(),
            page::Stopped::Keeping(error) => error.into(),
        }
    }
}

/// A checked manual and the theme that it is dressed in; what is wrong with the theme counts as a fault of the
/// manual.
fn dressed(source: &Source) -> Result<(Checked, Theme), Rejected> {
    let mut sink = Sink::new();
    let parsed = parse::parse(source, &mut sink);
    let theme = Theme::load(source, parsed.shop.browsers, &parsed.shop.language, &mut sink);
    let worked = work::work(parsed, &mut sink);
    Ok((check::check(worked, source, sink)?, theme))
}

/// The manual's fingerprint: over every file that was read, the built-in theme and this program's version.
fn fingerprint(source: &Source) -> String {
    let own = source.files.iter().filter_map(|file| Some((file.path.as_str(), file.bytes()?)));
    let theme: Vec<(&str, &[u8])> = theme::built_in_files();
    write::fingerprint(own.chain(theme))
}
