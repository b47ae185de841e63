//! The nouns of a manual, with public fields: shop, stores, vehicles, items, procedures, tables.
//!
//! They know nothing of files or text; a [`Place`] leads back to where a thing was written, and only the
//! stage that read it can say where that is.

mod declared;
mod id;
mod item;
mod life;
mod procedure;
mod reference;
mod release;
mod shop;
mod store;
mod table;
mod what;

pub use declared::Declared;
pub use id::{is_id, slug};
pub use item::{Item, Kind, Vehicle};
pub use life::{Move, State, Verb};
pub use procedure::{
    Act, Applies, Approval, CarryOut, Check, Choice, FromLoom, Given, JoinAs, Message, Procedure, Prose,
    Record, Run, ShieldJoint, Skill, Stage, Status, Step, Use, Waiver,
};
pub use reference::{Reference, ReferenceError, Scheme};
pub use release::{Release, comes_before, is_revision_letter, next_letter};
pub use shop::{Browsers, Limits, Shop};
pub use store::{Figure, Form, Key, Line, Store, Stores};
pub use table::{Input, NamedValue, Plot, Rows, Table, Written};
pub use what::{Action, Conductor, Connector, Fastening, Sort, Torque, What};

/// Where a thing was written: file number and stretch of bytes, as the reading stage found it. Only that
/// stage knows which file and line it is; to everyone else it is a handle.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// Number of the file.
    pub file: u32,
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}
