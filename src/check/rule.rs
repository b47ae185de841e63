//! What a rule is: a check, and the page of the writer's handbook that explains it.

use super::reading::Reading;
use crate::finding::{Code, Finding, Severity, Sink};

/// A rule of the inspection.
pub trait Rule: Sync {
    /// What it says of itself.
    fn page(&self) -> &'static Page;

    /// Looks at the whole manual and reports what breaks it.
    fn check(&self, reading: &Reading<'_>, sink: &mut Sink);
}

/// A rule's page in the handbook, and what `inspect --why CODE` prints.
#[derive(Debug)]
pub struct Page {
    /// Its stable name.
    pub code: Code,
    /// What breaking it weighs.
    pub severity: Severity,
    /// The rule, in a sentence.
    pub rule: &'static str,
    /// Why it is one.
    pub why: &'static str,
    /// Where it comes from: a published document, or common practice of the trade.
    pub source: &'static str,
    /// A piece of source that breaks it.
    pub fails: &'static str,
    /// The same, mended.
    pub passes: &'static str,
}

impl Page {
    /// A finding of this rule.
    pub fn finding(&self, headline: impl Into<String>) -> Finding {
        Finding::new(self.code, self.severity, headline)
    }
}
