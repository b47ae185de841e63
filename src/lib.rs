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
pub mod parse;
pub mod quantity;
pub mod source;
pub mod work;
pub mod workings;
pub mod write;

use check::{Checked, Rejected};
use finding::Sink;
use source::Source;

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

pub struct PagesStub {
    pub files: std::collections::BTreeMap<String, Vec<u8>>,
}
pub fn render(source: &Source) -> Result<(PagesStub, Vec<finding::Finding>), Rejected> {
    let checked = inspect(source)?;
    Ok((PagesStub { files: Default::default() }, checked.findings))
}
