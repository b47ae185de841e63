//! The tool index: every tool, what it does, who uses it; what nothing uses is marked.

use crate::finding::Finding;
use crate::model::Store;
use crate::page::view::entry;
use crate::page::{File, Manual, PageKind, address, single};

/// The tool index: every tool, what it does, who uses it; what nothing uses is marked.
#[derive(Debug)]
pub(super) struct Tools;

impl PageKind for Tools {
    fn name(&self) -> &'static str {
        "tools"
    }

    fn subjects(&self, _: &Manual<'_>) -> Vec<String> {
        single()
    }

    fn draw(&self, manual: &Manual<'_>, _: &str) -> Result<Vec<File>, Box<Finding>> {
        let here = address::TOOLS;
        entry::index(manual, self.name(), here, None, entry::entries(manual, here, Store::Tools))
    }
}
