//! A row of a table: what it stands for, and what is worked of it.

use super::WorkedValue;
use super::joint::Plan;
use crate::model::Store;
use crate::quantity::Quantity;
use std::collections::BTreeMap;
use std::sync::Arc;

/// What a row stands for.
#[derive(Clone, Debug)]
pub(super) enum RowKey {
    /// A line of the stores, under the name of the rows' key.
    Line { key: String, store: Store, id: String },
    /// A swept quantity, under the name of the rows' key.
    At { key: String, at: Quantity },
}

/// A row of a table while it is worked: there `value:` means its own values, and `row:` what it stands for.
pub(super) struct OpenRow {
    /// The table.
    pub(super) table: String,
    /// What is to be worked for each row.
    pub(super) plans: Arc<[Plan]>,
    /// What the row stands for.
    pub(super) key: RowKey,
    /// What is worked of it.
    pub(super) values: BTreeMap<String, WorkedValue>,
}
