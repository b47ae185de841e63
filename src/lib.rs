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
//!
//! What they speak of stands in [`model`], what they find in [`finding`], numbers and units in [`quantity`],
//! computations in [`workings`], the lives of items in [`ledger`].

pub mod check;
pub mod cli;
pub mod drawings;
pub mod finding;
pub mod ledger;
pub mod model;
pub mod page;
pub mod parse;
pub mod quantity;
pub mod search;
pub mod source;
pub mod theme;
pub mod work;
pub mod workings;
pub mod write;

use check::{Checked, Rejected};
use finding::{Finding, Sink};
use page::Pages;
use source::Source;
use theme::Theme;

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

/// Inspects a manual and renders its pages.
///
/// # Errors
/// When anything blocks binding, or a shop's own template fails: every finding.
pub fn render(source: &Source) -> Result<(Pages, Vec<Finding>), Rejected> {
    let mut sink = Sink::new();
    let parsed = parse::parse(source, &mut sink);
    let (browsers, language) = (parsed.shop.browsers, parsed.shop.language.clone());
    let theme = Theme::load(source, browsers, &language, &mut sink);
    let worked = work::work(parsed, &mut sink);
    let checked = check::check(worked, source, sink)?;
    let fingerprint = fingerprint(source);
    let pages = page::render(&checked, &theme, &fingerprint)
        .map_err(|rejected| Rejected { findings: rejected.findings })?;
    Ok((search::add(pages), checked.findings))
}

/// The manual's fingerprint: over every file that was read, the built-in theme and this program's version.
fn fingerprint(source: &Source) -> String {
    let own = source.files.iter().filter_map(|file| Some((file.path.as_str(), file.bytes()?)));
    let theme: Vec<(&str, &[u8])> = theme::built_in_files();
    write::fingerprint(own.chain(theme))
}
