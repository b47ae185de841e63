//! What a rule is: a check, and the page of the writer's handbook that explains it.

use super::reading::Reading;
use super::waived::Waived;
use crate::finding::{Code, Finding, Severity, Sink, Words};

/// A rule of the inspection.
pub trait Rule: Sync {
    /// What it says of itself.
    fn page(&self) -> &'static Page;

    /// Whether it judges a procedure's work as a whole, so that a step which could not be read would only be told
    /// again by it.
    fn of_the_whole(&self) -> bool {
        false
    }

    /// Whether it adds up the kit of all steps, so that any step with a gap would only be told again by it.
    fn of_the_kit(&self) -> bool {
        false
    }

    /// Whether it judges by figures of the stores, so that a line which could not be read would only be told again
    /// by it.
    fn of_the_stores(&self) -> bool {
        false
    }

    /// Looks at what all rules found, once they have spoken, and at what is waived of it. `codes` are the pages of
    /// every code that there is.
    fn after_all(&self, _: &[Waived], _: &[&'static Page], _: &[Finding], _: &mut Sink) {}

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
    pub fn finding(&self, headline: impl Into<Words>) -> Finding {
        Finding::new(self.code, self.severity, headline)
    }
}
