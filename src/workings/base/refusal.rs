//! Why a working does not compute.

use crate::phrase::Phrase;

/// One reason, as a sentence for a technician.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{message}")]
pub struct Refusal {
    /// The input at fault, where it is one.
    pub input: Option<String>,
    /// What is wrong, with the limit.
    pub message: Phrase,
    /// What to do about it.
    pub help: Option<Phrase>,
    /// Whether it is the form of a quantity that is at fault: no number, no unit, the wrong dimension.
    pub form: bool,
}

impl Refusal {
    /// A refusal that no single input is to blame for.
    pub fn of(message: Phrase) -> Refusal {
        Refusal { input: None, message, help: None, form: false }
    }

    /// A refusal of one input.
    pub fn input(name: &str, message: Phrase) -> Refusal {
        Refusal { input: Some(name.to_owned()), message, help: None, form: false }
    }

    /// The same with a second sentence.
    pub fn help(self, help: Phrase) -> Refusal {
        Refusal { help: Some(help), ..self }
    }
}
