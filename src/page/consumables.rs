//! The consumable index: what is used up, and where.

use crate::finding::Finding;
use crate::model::Store;
use crate::page::view::entry;
use crate::page::{File, Manual, PageKind, address, single};

/// The consumable index: what is used up, and where.
#[derive(Debug)]
pub(super) struct Consumables;

impl PageKind for Consumables {
    fn name(&self) -> &'static str {
        "consumables"
    }

    fn subjects(&self, _: &Manual<'_>) -> Vec<String> {
        single()
    }

    fn draw(&self, manual: &Manual<'_>, _: &str) -> Result<Vec<File>, Box<Finding>> {
        let here = address::CONSUMABLES;
        entry::index(manual, self.name(), here, None, entry::entries(manual, here, Store::Consumables))
    }
}
