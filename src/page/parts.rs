//! The part index: what is bought for a job, and where it goes.

use crate::finding::Finding;
use crate::model::Store;
use crate::page::view::entry;
use crate::page::{File, Manual, PageKind, address, single};

/// The part index: what is bought for a job, and where it goes.
#[derive(Debug)]
pub(super) struct Parts;

impl PageKind for Parts {
    fn name(&self) -> &'static str {
        "parts"
    }

    fn subjects(&self, _: &Manual<'_>) -> Vec<String> {
        single()
    }

    fn draw(&self, manual: &Manual<'_>, _: &str) -> Result<Vec<File>, Box<Finding>> {
        let here = address::PARTS;
        entry::index(manual, self.name(), here, None, entry::entries(manual, here, Store::Parts))
    }
}
