//! Benchleaf.
pub mod finding;
pub mod ledger;
pub mod model;
pub mod parse;
pub mod quantity;
pub mod source;
