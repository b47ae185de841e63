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
//! command line. [`Run`] is the one place that runs the arrows, in order.

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
mod run;
pub mod search;
pub mod source;
pub mod stylesheet;
pub mod theme;
pub mod work;
pub mod workings;
pub mod write;

pub use run::{BindError, Run};
