//! Where a step leads: its check, its choices, and what stands open if the job ends there.

use super::{Builder, state_word};
use crate::model::{Check, Otherwise, Turn};
use crate::page::address;
use crate::page::markup::Markup;
use crate::page::view::prose::Writer;
use crate::page::view::shown;
use crate::work::Scope;
use serde::Serialize;
use std::collections::BTreeSet;

/// What is checked.
#[derive(Debug, Serialize)]
pub(super) struct Checked {
    text: String,
    accept: Option<String>,
    otherwise: Option<Markup>,
}

/// One of several ways to go on.
#[derive(Debug, Serialize)]
pub(super) struct Choice {
    text: String,
    href: Option<String>,
    number: u32,
}

/// What stands open if the job ends at a step.
#[derive(Debug, Serialize)]
pub(super) struct Halt {
    /// Items with the states in which they stand.
    open: Vec<String>,
    /// How each kind of them is left safe.
    safe: Vec<String>,
}

impl Builder<'_> {
    pub(super) fn check(&self, writer: &Writer<'_>) -> Option<Checked> {
        match self.step.check.as_ref()? {
            Check::Text(text, _) => {
                Some(Checked { text: text.trim_end_matches('.').to_owned(), accept: None, otherwise: None })
            }
            Check::Counted(_) => Some(Checked {
                text: self.manual.theme.say_count("count_check", u64::from(self.counted().unwrap_or(0))),
                accept: None,
                otherwise: None,
            }),
            Check::Measured { measure, accept, otherwise: other, .. } => {
                let scope = Scope::Procedure(&self.procedure.id);
                Some(Checked {
                    text: measure.trim_end_matches('.').to_owned(),
                    accept: Some(shown::accepted(self.manual, scope, accept)),
                    otherwise: other.as_ref().map(|(other, _)| otherwise(writer, other)),
                })
            }
        }
    }

    /// The ways to go on; one that leads to no step was reported, and stays out.
    pub(super) fn choices(&self) -> Vec<Choice> {
        let choice = |choice: &crate::model::Choice| {
            let text = choice.when.trim_end_matches('.').to_owned();
            let Turn::Step(id) = &choice.then else { return Some(Choice { text, href: None, number: 0 }) };
            let step = self.procedure.step(id)?;
            let href = self.link(&address::step(&self.procedure.id, &step.id));
            Some(Choice { text, href: Some(href), number: step.number })
        };
        self.step.choose.iter().filter_map(choice).collect()
    }

    /// What stands open if the job ends at a leg, where it may.
    pub(super) fn halt(&self, at: usize) -> Option<Halt> {
        let halt = self.worked.replay.halts.iter().find(|halt| halt.leg == at)?;
        let mut kinds = BTreeSet::new();
        let mut open = Vec::new();
        for (id, states) in &halt.open {
            let Some(item) = self.worked.items.get(id) else { continue };
            kinds.insert(item.kind());
            let words = states.iter().map(|(state, count)| {
                let word = state_word(self.manual, item.kind(), *state);
                if item.count() > 1 { format!("{count} {word}") } else { word }
            });
            open.push(format!("{}: {}", item.name, words.collect::<Vec<_>>().join(", ")));
        }
        let safe = kinds.into_iter().map(|kind| self.manual.theme.say(&format!("stop_{}", kind.noun())));
        Some(Halt { open, safe: safe.collect() })
    }
}

/// What to do otherwise, as the end of a sentence.
pub(super) fn otherwise(writer: &Writer<'_>, otherwise: &Otherwise) -> Markup {
    match otherwise {
        Otherwise::Turn(Turn::Stop) => Markup::text(&writer.manual.theme.say("job_ends")),
        Otherwise::Turn(Turn::Step(id)) => writer.words(&format!("step:{id}")),
        Otherwise::Words(words) => writer.words(words),
    }
}
