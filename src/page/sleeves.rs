//! The sleeve index: every range with its sizes, and the steps and tables that cut from it.

use crate::finding::Finding;
use crate::model::Store;
use crate::page::view::entry;
use crate::page::{File, Manual, PageKind, address, single};

/// The sleeve index: every range with its sizes, and the steps and tables that cut from it.
#[derive(Debug)]
pub(super) struct Sleeves;

impl PageKind for Sleeves {
    fn name(&self) -> &'static str {
        "sleeves"
    }

    fn subjects(&self, _: &Manual<'_>) -> Vec<String> {
        single()
    }

    fn draw(&self, manual: &Manual<'_>, _: &str) -> Result<Vec<File>, Box<Finding>> {
        let here = address::SLEEVES;
        entry::index(manual, self.name(), here, None, entry::entries(manual, here, Store::Sleeves))
    }
}
