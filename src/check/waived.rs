//! A waiver with where it holds, and what it covers.

use crate::finding::Finding;
use crate::model::Waiver;

/// A waiver with where it holds.
#[derive(Clone, Debug)]
pub struct Waived {
    /// The procedure.
    pub procedure: String,
    /// The step; none where the whole procedure waives it.
    pub step: Option<String>,
    /// What is waived, why and by whom.
    pub waiver: Waiver,
}

impl Waived {
    /// Whether it speaks of a finding: of its rule, where it stands.
    pub(crate) fn covers(&self, finding: &Finding) -> bool {
        self.waiver.rule == finding.code.0
            && finding.procedure.as_ref() == Some(&self.procedure)
            && (self.step.is_none() || self.step == finding.step)
    }
}
