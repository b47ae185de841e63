//! What the values are called that follow from a repair: `tail-feed/sleeve`, `joints/stagger`, `sleeves/s6`. They
//! are printed and read here and nowhere else.

use crate::model::{Reference, Scheme};
use std::fmt;

/// The part that a value plays in the repair of one conductor.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// Whether it may be joined at all.
    Verdict,
    /// One wire of a pair by itself.
    Wire,
    /// The joint of the conductor, or of a coax's cores.
    Joint,
    /// How far the layers of a coax are stripped back.
    Strip,
    /// The one sleeve over a wire's joint.
    Sleeve,
    /// The sleeve over a coax's core joint.
    InnerSleeve,
    /// The diameter over the shield, closed over the inner sleeve.
    Bridge,
    /// The sleeve over a coax's closed shield.
    OuterSleeve,
    /// A piece let in.
    Piece,
    /// Where the joint lies among the others.
    Offset,
}

impl Role {
    /// All roles, in the order of work.
    pub const ALL: [Role; 10] = [
        Role::Verdict,
        Role::Wire,
        Role::Joint,
        Role::Strip,
        Role::Sleeve,
        Role::InnerSleeve,
        Role::Bridge,
        Role::OuterSleeve,
        Role::Piece,
        Role::Offset,
    ];

    /// The word of it in the id of a value.
    pub fn word(self) -> &'static str {
        match self {
            Role::Verdict => "verdict",
            Role::Wire => "wire",
            Role::Joint => "joint",
            Role::Strip => "coax-strip",
            Role::Sleeve => "sleeve",
            Role::InnerSleeve => "inner-sleeve",
            Role::Bridge => "bridge",
            Role::OuterSleeve => "outer-sleeve",
            Role::Piece => "insert",
            Role::Offset => "offset",
        }
    }

    /// The working that gives it.
    pub(super) fn working(self) -> &'static str {
        match self {
            Role::Verdict => "join-or-replace",
            Role::Wire | Role::Bridge => "formula",
            Role::Joint => "joint",
            Role::Strip => "coax-strip",
            Role::Sleeve | Role::InnerSleeve | Role::OuterSleeve => "sleeve",
            Role::Piece => "insert",
            Role::Offset => "stagger",
        }
    }
}

/// A value that several joints of a repair share.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Shared {
    /// The longest sleeve, as it is cut.
    Sleeve,
    /// The longest lap.
    Lap,
    /// Where each joint lies.
    Stagger,
}

impl Shared {
    const ALL: [Shared; 3] = [Shared::Sleeve, Shared::Lap, Shared::Stagger];

    fn word(self) -> &'static str {
        match self {
            Shared::Sleeve => "sleeve",
            Shared::Lap => "lap",
            Shared::Stagger => "stagger",
        }
    }

    /// The working that gives it.
    pub(super) fn working(self) -> &'static str {
        match self {
            Shared::Sleeve | Shared::Lap => "formula",
            Shared::Stagger => "stagger",
        }
    }
}

/// A value that follows from a repair.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// What follows for one conductor, by its id.
    Of(String, Role),
    /// What its joints share.
    All(Shared),
    /// From what the sleeves of a size are cut.
    Cut(String),
}

/// Before the slash where all joints are meant.
const ALL: &str = "joints";
/// Before the slash where sleeves are cut.
const CUT: &str = "sleeves";

impl Part {
    /// Reads the id of a value; none where it is one that a person wrote.
    pub fn read(id: &str) -> Option<Part> {
        let (first, rest) = id.split_once('/')?;
        let role = || Role::ALL.into_iter().find(|role| role.word() == rest);
        match first {
            CUT => Some(Part::Cut(rest.to_owned())),
            ALL => Shared::ALL.into_iter().find(|shared| shared.word() == rest).map(Part::All),
            conductor => role().map(|role| Part::Of(conductor.to_owned(), role)),
        }
    }

    /// The conductor that it belongs to, where it belongs to one alone.
    pub fn conductor(&self) -> Option<&str> {
        match self {
            Part::Of(conductor, _) => Some(conductor),
            Part::All(_) | Part::Cut(_) => None,
        }
    }

    /// Its role in the repair of its conductor.
    pub fn role(&self) -> Option<Role> {
        match self {
            Part::Of(_, role) => Some(*role),
            Part::All(_) | Part::Cut(_) => None,
        }
    }

    /// The reference to one of its outputs.
    pub fn output(&self, output: &str) -> Reference {
        let (id, inner) = self.halves();
        Reference {
            scheme: Scheme::Value,
            id: id.to_owned(),
            inner: Some(inner.to_owned()),
            field: Some(output.to_owned()),
        }
    }

    /// What stands before the slash of its id, and what behind it.
    pub fn halves(&self) -> (&str, &str) {
        match self {
            Part::Of(conductor, role) => (conductor, role.word()),
            Part::All(shared) => (ALL, shared.word()),
            Part::Cut(size) => (CUT, size),
        }
    }
}

impl fmt::Display for Part {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (first, rest) = self.halves();
        write!(to, "{first}/{rest}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_printed_is_read_again() {
        let of = Role::ALL.map(|role| Part::Of("tail-feed".to_owned(), role));
        let all = Shared::ALL.map(Part::All);
        for part in of.into_iter().chain(all).chain([Part::Cut("s6".to_owned())]) {
            assert_eq!(Part::read(&part.to_string()), Some(part));
        }
    }

    /// As format.md of the source names them.
    #[test]
    fn the_ids_are_those_of_the_format() {
        let of = |role| Part::Of("tail-feed".to_owned(), role).to_string();
        assert_eq!(of(Role::Joint), "tail-feed/joint");
        assert_eq!(of(Role::Sleeve), "tail-feed/sleeve");
        assert_eq!(of(Role::Offset), "tail-feed/offset");
        let output = Part::Of("tail-feed".to_owned(), Role::Sleeve).output("cut-length");
        assert_eq!(output.to_string(), "value:tail-feed/sleeve.cut-length");
    }

    #[test]
    fn what_a_person_wrote_is_no_part() {
        for id in ["tape", "tail-feed", "tail-feed/tape", "joints/tape"] {
            assert_eq!(Part::read(id), None, "{id}");
        }
    }

    #[test]
    fn a_part_belongs_to_a_conductor_or_to_all() {
        let part = Part::Of("tail-feed".to_owned(), Role::Joint);
        assert_eq!((part.conductor(), part.role()), (Some("tail-feed"), Some(Role::Joint)));
        for part in [Part::All(Shared::Stagger), Part::Cut("s6".to_owned())] {
            assert_eq!((part.conductor(), part.role()), (None, None));
        }
    }
}
