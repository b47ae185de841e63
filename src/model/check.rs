//! What is seen after a step, and where work goes on from there.

use super::{Amount, Place};

/// Where a branch leads.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Turn {
    /// To a step of the same procedure.
    Step(String),
    /// Nowhere: the whole job ends, also that of a procedure which carries this one out.
    Stop,
}

impl Turn {
    /// The id of the step that it leads to.
    pub fn step(&self) -> Option<&str> {
        match self {
            Turn::Step(id) => Some(id),
            Turn::Stop => None,
        }
    }
}

/// What to do where a check or a time is not met.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Otherwise {
    /// To go on elsewhere, or nowhere.
    Turn(Turn),
    /// Something that people read.
    Words(String),
}

impl Otherwise {
    /// Where it leads, unless it is words alone.
    pub fn turn(&self) -> Option<&Turn> {
        match self {
            Otherwise::Turn(turn) => Some(turn),
            Otherwise::Words(_) => None,
        }
    }
}

/// The readings that a check accepts: between two limits, or open to one side. A limit is a figure or the
/// computed value that gives it.
#[derive(Clone, Debug, PartialEq)]
pub struct Acceptance {
    /// The least that is accepted; any, however small, where missing.
    pub least: Option<Amount>,
    /// The greatest that is accepted; any, however great, where missing.
    pub greatest: Option<Amount>,
    /// Where it was written.
    pub place: Place,
}

impl Acceptance {
    /// Its limits, the least first.
    pub fn limits(&self) -> impl Iterator<Item = &Amount> {
        self.least.iter().chain(&self.greatest)
    }
}

/// What is checked after a step.
#[derive(Clone, Debug, PartialEq)]
pub enum Check {
    /// Plain text.
    Text(String, Place),
    /// The count of what the step moved, from the ledger.
    Counted(Place),
    /// A measurement with what is acceptable, and what to do otherwise.
    Measured {
        /// What is measured.
        measure: String,
        /// What is accepted.
        accept: Box<Acceptance>,
        /// What to do with any other reading, and where that was written.
        otherwise: Option<(Otherwise, Place)>,
        /// Where it was written.
        place: Place,
    },
}

/// One of several exclusive ways to go on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Choice {
    /// When it is taken.
    pub when: String,
    /// Where it leads.
    pub then: Turn,
    /// Where it was written.
    pub place: Place,
}
