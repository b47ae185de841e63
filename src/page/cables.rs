//! The cable index, with the services that cables carry.

use crate::finding::Finding;
use crate::model::Store;
use crate::page::view::entry::{self, Entry};
use crate::page::{File, Manual, PageKind, address, single};

/// The cable index.
#[derive(Debug)]
pub(super) struct Cables;

impl PageKind for Cables {
    fn name(&self) -> &'static str {
        "cables"
    }

    fn subjects(&self, _: &Manual<'_>) -> Vec<String> {
        single()
    }

    fn draw(&self, manual: &Manual<'_>, _: &str) -> Result<Vec<File>, Box<Finding>> {
        let here = address::CABLES;
        let mut entries = entry::entries(manual, here, Store::Cables);
        let services = entry::entries(manual, here, Store::Services).into_iter();
        entries
            .extend(services.map(|entry| Entry { id: address::beside(Store::Services, &entry.id), ..entry }));
        entry::index(manual, self.name(), here, None, entries)
    }
}
