//! The registers: a page for each kind of store that declares one, with the lines of those beside it.

use crate::finding::Finding;
use crate::model::Store;
use crate::page::view::entry::{self, Entry};
use crate::page::view::registers;
use crate::page::{File, Manual, PageKind, address, hazards};

/// The registers.
#[derive(Debug)]
pub(super) struct Registers;

impl PageKind for Registers {
    fn name(&self) -> &'static str {
        "registers"
    }

    fn subjects(&self, manual: &Manual<'_>) -> Vec<String> {
        registers::stores(manual).map(|store| store.file().to_owned()).collect()
    }

    fn draw(&self, manual: &Manual<'_>, subject: &str) -> Result<Vec<File>, Box<Finding>> {
        let Some(store) = Store::of_file(subject) else { return Ok(Vec::new()) };
        let here = address::register(store);
        let mut entries = match store {
            // A hazard is shown as the message that it is.
            Store::Hazards => hazards::entries(manual, &here),
            _ => entry::entries(manual, &here, store),
        };
        for beside in registers::beside(store) {
            let lines = entry::entries(manual, &here, beside).into_iter();
            entries.extend(lines.map(|entry| Entry { id: address::beside(beside, &entry.id), ..entry }));
        }
        entry::index(manual, store.file(), &here, registers::words(manual, store), None, entries)
    }
}
