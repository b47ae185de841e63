//! How conductors are repaired: what is done with one, and how its ends are joined.

use super::Place;
use crate::quantity::Quantity;

/// What is to be done with a damaged conductor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Action {
    /// The two ends are joined.
    Join,
    /// A piece is let in, with two joints.
    Insert,
    /// The whole cable is renewed.
    Replace,
    /// The end is closed off for good.
    Cap,
}

impl Action {
    /// The action of a word.
    pub fn of(word: &str) -> Option<Action> {
        match word {
            "join" => Some(Action::Join),
            "insert" => Some(Action::Insert),
            "replace" => Some(Action::Replace),
            "cap" => Some(Action::Cap),
            _ => None,
        }
    }

    /// The word of an action.
    pub fn word(self) -> &'static str {
        match self {
            Action::Join => "join",
            Action::Insert => "insert",
            Action::Replace => "replace",
            Action::Cap => "cap",
        }
    }
}

/// By which method the ends of a wire are joined.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Method {
    /// The ends lie side by side.
    Lap,
    /// The strands of the two ends are pushed into each other.
    Meshed,
    /// Both ends are crimped in a sleeve of metal that insulates itself.
    Barrel,
}

impl Method {
    /// All methods.
    pub const ALL: [Method; 3] = [Method::Lap, Method::Meshed, Method::Barrel];

    /// The word of a method.
    pub fn word(self) -> &'static str {
        match self {
            Method::Lap => "lap",
            Method::Meshed => "meshed",
            Method::Barrel => "barrel",
        }
    }
}

/// How far the two sides of a cut can reach past one another.
#[derive(Clone, Debug, PartialEq)]
pub enum Available {
    /// So far.
    Length(Quantity),
    /// As far as one likes, where one side is new.
    Unlimited,
}

/// How the shield of a coax is closed over its joint.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "each is the word it stands for")]
pub enum ShieldJoint {
    Bridged,
    Ferrule,
    Pigtail,
}

impl ShieldJoint {
    /// The word of a way to close a shield.
    pub fn word(self) -> &'static str {
        match self {
            ShieldJoint::Bridged => "bridged",
            ShieldJoint::Ferrule => "ferrule",
            ShieldJoint::Pigtail => "pigtail",
        }
    }
}

/// How conductors are joined: what a procedure says for all, and a conductor for itself.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct JoinAs {
    /// By which method.
    pub by: Option<(Method, Place)>,
    /// Length of the joint.
    pub lap: Option<(Quantity, Place)>,
    /// From each tip to the other's insulation.
    pub gap: Option<(Quantity, Place)>,
    /// Outside diameter of a barrel.
    pub barrel: Option<(Quantity, Place)>,
    /// Sleeve ranges to choose from.
    pub from: Vec<(String, Place)>,
    /// How a coax's shield is closed.
    pub shield_joint: Option<(ShieldJoint, Place)>,
    /// The length taken out where a piece is let in.
    pub removed: Option<(Quantity, Place)>,
    /// How far its two sides can reach past one another.
    pub available: Option<(Available, Place)>,
    /// Where the joint lies: `dry`, `wet`, `flex`, `hot` or `dirty`.
    pub place: Option<(String, Place)>,
}

impl JoinAs {
    /// What this one says, and where it says nothing, what the other says.
    pub fn or(&self, other: &JoinAs) -> JoinAs {
        JoinAs {
            by: self.by.or(other.by),
            lap: self.lap.clone().or_else(|| other.lap.clone()),
            gap: self.gap.clone().or_else(|| other.gap.clone()),
            barrel: self.barrel.clone().or_else(|| other.barrel.clone()),
            from: if self.from.is_empty() { other.from.clone() } else { self.from.clone() },
            shield_joint: self.shield_joint.or(other.shield_joint),
            removed: self.removed.clone().or_else(|| other.removed.clone()),
            available: self.available.clone().or_else(|| other.available.clone()),
            place: self.place.clone().or_else(|| other.place.clone()),
        }
    }
}
