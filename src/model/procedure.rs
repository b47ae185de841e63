//! Procedures: what is done, step by step, and everything that a step needs.

use super::{Check, Choice, Item, JoinAs, NamedValue, Otherwise, Place, State, Verb};
use crate::quantity::Quantity;
use std::collections::{BTreeMap, BTreeSet};

/// Markdown as written, with where it stands, so that it is turned into a page only once it was checked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Prose {
    /// The text.
    pub text: String,
    /// Where it begins.
    pub place: Place,
}

/// One procedure.
#[derive(Clone, Debug)]
pub struct Procedure {
    /// Its id.
    pub id: String,
    /// Its title.
    pub title: String,
    /// The result, in a sentence.
    pub summary: String,
    /// The part of the vehicle, by which the front page groups.
    pub area: String,
    /// Which vehicles it is for.
    pub applies_to: Vec<Applies>,
    /// The revision that is in force.
    pub revision: Option<Approval>,
    /// Draft, released or withdrawn.
    pub status: Status,
    /// Who may do it.
    pub skill: Skill,
    /// How many people it takes.
    pub people: u32,
    /// How the vehicle must stand before it starts.
    pub start_state: Vec<String>,
    /// What its conductors do not say themselves.
    pub join_as: JoinAs,
    /// Items that it declares, or of which it says more than the vehicle does.
    pub items: BTreeMap<String, Item>,
    /// Items that its steps name together: the ids of each group's, with where they stand.
    pub groups: BTreeMap<String, Group>,
    /// The vehicle's loom that it takes conductors from.
    pub loom: Option<FromLoom>,
    /// Its further values, in the order written.
    pub values: Vec<NamedValue>,
    /// What it leaves in another state than it found.
    pub leaves: BTreeMap<String, (State, Place)>,
    /// How it expects to find items.
    pub expects: BTreeMap<String, (State, Place)>,
    /// Its parameters, each with the words that a caller may give.
    pub parameters: BTreeMap<String, Vec<String>>,
    /// Kit that no step names.
    pub kit_extra: Vec<Use>,
    /// Rules that it waives as a whole.
    pub waivers: Vec<Waiver>,
    /// What stands before the first stage.
    pub intro: Prose,
    /// Its stages.
    pub stages: Vec<Stage>,
    /// Where it was written.
    pub place: Place,
    /// Places of front-matter keys, for rules that speak of one.
    pub keys: BTreeMap<String, Place>,
    /// What of it could not be read.
    pub unread: Unread,
}

/// What of a procedure could not be read. The cause is reported; what follows from it is not said again.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Unread {
    /// Whether its items or its headings have gaps.
    pub whole: bool,
    /// The ids of steps whose block has gaps.
    pub steps: BTreeSet<String>,
    /// Whether a gap of a step may hold what the ledger replays: what it does, checks, and where it leads.
    pub acts: bool,
}

impl Unread {
    /// Whether anything could not be read.
    pub fn any(&self) -> bool {
        self.whole || !self.steps.is_empty()
    }

    /// Whether what the ledger replays could not be read, so that a replay would only tell of the gap.
    pub fn breaks(&self) -> bool {
        self.whole || self.acts
    }
}

impl Procedure {
    /// All steps in order.
    pub fn steps(&self) -> impl Iterator<Item = &Step> {
        self.stages.iter().flat_map(|stage| &stage.steps)
    }

    /// A step by its id.
    pub fn step(&self, id: &str) -> Option<&Step> {
        self.steps().find(|step| step.id == id)
    }

    /// A stage by its id.
    pub fn stage(&self, id: &str) -> Option<&Stage> {
        self.stages.iter().find(|stage| stage.id == id)
    }
}

/// Items that steps name together.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Group {
    /// Their ids.
    pub items: Vec<(String, Place)>,
    /// Where it was written.
    pub place: Place,
}

/// A loom of the vehicle, and which of its conductors a procedure works on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FromLoom {
    /// The loom's id.
    pub loom: String,
    /// Where it was written.
    pub place: Place,
    /// Which of its conductors; none named means all.
    pub which: Vec<(String, Place)>,
}

/// A vehicle that a procedure is for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Applies {
    /// The vehicle's id.
    pub vehicle: String,
    /// Which variant of it.
    pub variant: Option<String>,
    /// Where it was written.
    pub place: Place,
}

/// A revision, with who approved it and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Approval {
    /// Its letter.
    pub letter: String,
    /// From which day it holds, ISO 8601.
    pub effective: String,
    /// Who approved it.
    pub approved_by: String,
    /// What changed and why.
    pub reason: String,
    /// Where it was written.
    pub place: Place,
}

/// Whether a procedure may be worked by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs, reason = "each is the word it stands for")]
pub enum Status {
    Draft,
    Released,
    Withdrawn,
}

impl Status {
    /// The word of a status.
    pub fn word(self) -> &'static str {
        match self {
            Status::Draft => "draft",
            Status::Released => "released",
            Status::Withdrawn => "withdrawn",
        }
    }
}

/// Who may do the work; the last two close the page behind a gate.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs, reason = "each is the word it stands for")]
pub enum Skill {
    General,
    Electrical,
    Pyrotechnic,
    HighVoltage,
}

impl Skill {
    /// The word of a skill.
    pub fn word(self) -> &'static str {
        match self {
            Skill::General => "general",
            Skill::Electrical => "electrical",
            Skill::Pyrotechnic => "pyrotechnic",
            Skill::HighVoltage => "high-voltage",
        }
    }

    /// Whether only licensed people with the maker's instruction may go on.
    pub fn is_gated(self) -> bool {
        matches!(self, Skill::Pyrotechnic | Skill::HighVoltage)
    }
}

/// A stage: a `##` heading and the steps below it.
#[derive(Clone, Debug)]
pub struct Stage {
    /// Its id.
    pub id: String,
    /// Its title.
    pub title: String,
    /// What stands before its first step.
    pub prose: Prose,
    /// Its steps.
    pub steps: Vec<Step>,
    /// Where it was written.
    pub place: Place,
}

/// A step: a `###` heading, its block and its text.
#[derive(Clone, Debug)]
pub struct Step {
    /// Its id.
    pub id: String,
    /// Its number, from 1, over the whole procedure.
    pub number: u32,
    /// Its title, as Markdown.
    pub title: Prose,
    /// Its title without markup.
    pub heading: String,
    /// A procedure or a stage that is carried out here.
    pub carry_out: Option<CarryOut>,
    /// What it does to items; a route says to which of them each comes down.
    pub does: Vec<Deed>,
    /// Which energies it needs off, where it says so itself.
    pub needs_off: Option<Vec<(String, Place)>>,
    /// Tools.
    pub tools: Vec<Use>,
    /// Protection to wear.
    pub protection: Vec<Use>,
    /// Consumables, with quantities.
    pub consumables: Vec<Use>,
    /// Parts, with quantities.
    pub parts: Vec<Use>,
    /// How long it takes, in minutes.
    pub minutes: Option<f64>,
    /// How many people it takes, where not one.
    pub people: Option<u32>,
    /// Safety messages that are written here.
    pub messages: Vec<Message>,
    /// What is checked after it.
    pub check: Option<Check>,
    /// Exclusive ways to go on.
    pub choose: Vec<Choice>,
    /// A time to wait.
    pub wait: Option<(Quantity, Option<String>, Place)>,
    /// A time within which it must be done, and what to do if it is missed.
    pub within: Option<(Quantity, Option<Otherwise>, Place)>,
    /// Boxes to write in.
    pub record: Vec<Record>,
    /// Rules that it waives.
    pub waivers: Vec<Waiver>,
    /// Figures: a file under figures/ and its alternative, where that is written here.
    pub figures: Vec<(String, Option<String>, Place)>,
    /// Its text.
    pub prose: Prose,
    /// Where it was written.
    pub place: Place,
}

/// A verb and what it is done to, as written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Deed {
    /// The verb.
    pub verb: Verb,
    /// What it is done to.
    pub on: Target,
    /// How many of it, where not all.
    pub count: Option<u32>,
    /// Where it was written.
    pub place: Place,
}

/// What a verb is done to, as written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Target {
    /// An item or a group of them by its id, in which `{side}` stands for a word that the caller gives.
    Item(String),
    /// A loom of the vehicle: those of its conductors that the procedure declares and with which it does
    /// what the verb is part of.
    Loom(String),
}

/// A verb and the item that it is done to, once it is known.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Act {
    /// The verb.
    pub verb: Verb,
    /// The item's id.
    pub item: String,
    /// How many of it, where not all.
    pub count: Option<u32>,
    /// Where it was written.
    pub place: Place,
}

/// A procedure or one of its stages, carried out in place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CarryOut {
    /// The procedure's id.
    pub procedure: String,
    /// The stage's id.
    pub stage: Option<String>,
    /// What its parameters are here.
    pub given: Given,
    /// Where it was written.
    pub place: Place,
}

/// Words for parameters.
pub type Given = BTreeMap<String, String>;

/// A stores line that a step uses.
#[derive(Clone, Debug, PartialEq)]
pub struct Use {
    /// Its table.
    pub store: super::Store,
    /// Its id.
    pub id: String,
    /// How much of it.
    pub quantity: Option<(super::Amount, Place)>,
    /// Where it was written.
    pub place: Place,
}

/// A safety message: a hazard of the stores, or one in full.
#[derive(Clone, Debug, PartialEq)]
pub enum Message {
    /// By id.
    Hazard(String, Place),
    /// In full.
    Full {
        /// `danger`, `warning`, `caution` or `notice`.
        word: String,
        /// What can hurt.
        hazard: String,
        /// How.
        consequence: String,
        /// What to do about it.
        avoid: String,
        /// Where it was written.
        place: Place,
    },
}

/// A box to write in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Record {
    /// What to write.
    pub ask: String,
    /// In which unit.
    pub unit: Option<String>,
    /// Where it was written.
    pub place: Place,
}

/// A rule that is waived, by whom and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Waiver {
    /// The rule's code.
    pub rule: String,
    /// Why.
    pub reason: String,
    /// By whom.
    pub by: String,
    /// Where it was written.
    pub place: Place,
}
