//! The fastener index: every fastener with thread, drive and torque, and the steps that move it.

use crate::finding::Finding;
use crate::model::Store;
use crate::page::view::entry;
use crate::page::{File, Manual, PageKind, address, single};

/// The fastener index: every fastener with thread, drive and torque, and the steps that move it.
#[derive(Debug)]
pub(super) struct Fasteners;

impl PageKind for Fasteners {
    fn name(&self) -> &'static str {
        "fasteners"
    }

    fn subjects(&self, _: &Manual<'_>) -> Vec<String> {
        single()
    }

    fn draw(&self, manual: &Manual<'_>, _: &str) -> Result<Vec<File>, Box<Finding>> {
        let here = address::FASTENERS;
        entry::index(manual, self.name(), here, None, entry::entries(manual, here, Store::Fasteners))
    }
}
