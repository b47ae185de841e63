//! The nouns of a manual, with public fields: shop, stores, vehicles, items, procedures, tables.
//!
//! They know nothing of files or text; a [`Place`] leads back to where a thing was written, and only the
//! stage that read it can say where that is.

mod check;
mod colour;
mod declared;
pub mod format;
mod id;
mod item;
mod join;
pub mod key;
mod kind;
mod life;
mod loom;
mod procedure;
mod reference;
mod release;
mod shop;
mod sign;
mod store;
mod table;
mod what;

pub use check::{Acceptance, Check, Choice, Otherwise, Turn};
pub use colour::{colour_meant, is_colour};
pub use declared::Declared;
pub use id::{fit_file_name, is_file_name, is_id, slug};
pub use item::{Item, Vehicle};
pub use join::{Action, Available, JoinAs, Method, ShieldJoint};
pub use key::{Form, Key};
pub use kind::Kind;
pub use life::{Fate, Life, Move, State, Verb};
pub use loom::{LOOM, LOOM_COLUMNS};
pub use procedure::{
    Act, Applies, Approval, CarryOut, Deed, FromLoom, Given, Group, Message, Procedure, Prose, Record, Skill,
    Stage, Status, Step, Target, Unread, Use, Waiver,
};
pub use reference::{Amount, Reference, ReferenceError, Scheme};
pub use release::{RELEASE, Release, comes_before, is_revision_letter, next_letter};
pub use shop::{Browsers, LANGUAGES, Limits, SHOP, Shop};
pub use sign::{is_sign, sign_meant};
pub use store::{Declaration, EVERY_LINE, FIGURE, Figure, Line, Register, Store, Stores};
pub use table::{Input, NamedValue, Plot, Rows, Table, Written};
pub use what::{Conductor, Connector, Fastening, Sort, Torque, What};

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
