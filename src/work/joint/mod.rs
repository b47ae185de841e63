//! What the repair of a conductor consists of: whether and how it is joined, the parts of its joint by their roles,
//! and the values that follow from them.

mod layout;
mod part;
mod plan;
mod stagger;

use crate::model::{Action, JoinAs, Method, Place, ShieldJoint};
use crate::quantity::Quantity;

pub(in crate::work) use layout::plan;
pub use part::{Part, Role, Shared};
pub(in crate::work) use plan::{Pick, Plan, Plans, Taken};

/// Lap of a joint over the conductor's diameter, where nothing is written: inside the 3 to 6 of
/// NASA-STD-8739.4, 19.6.1.
const LAP_FACTOR: f64 = 4.0;

/// From each tip to the other's insulation in mm, where nothing is written: common practice.
const GAP: f64 = 1.0;

/// The repairs of a procedure: one line for each conductor that it works on.
#[derive(Debug, Default)]
pub struct Schedule {
    /// In the order of their conductors' ids.
    pub joints: Vec<Repair>,
}

impl Schedule {
    /// The repair of a conductor.
    pub fn of(&self, conductor: &str) -> Option<&Repair> {
        self.joints.iter().find(|repair| repair.conductor == conductor)
    }
}

/// What is done with a conductor, and how.
#[derive(Clone, Debug)]
pub struct Repair {
    /// The conductor's id.
    pub conductor: String,
    /// What is done.
    pub action: Action,
    /// How it is joined: its own words, and where it has none the procedure's.
    pub join: JoinAs,
    /// Its cable in the stores.
    pub cable: Option<String>,
    /// The kind of its cable, as the stores name it; empty where the cable is not known.
    pub kind: String,
    /// The joint that is made; none where its end is closed off, where the whole is renewed, and where licensed
    /// people decide.
    pub joint: Option<Joint>,
    /// The roles of its values, in order of work.
    pub roles: Vec<Role>,
    /// Why something is missing, where something is.
    pub gap: Option<String>,
    /// Where its action was written.
    pub place: Place,
}

impl Repair {
    /// The part that a value plays in it.
    pub fn part(&self, role: Role) -> Part {
        Part::Of(self.conductor.clone(), role)
    }

    /// Its values, in order of work.
    pub fn parts(&self) -> impl Iterator<Item = Part> {
        self.roles.iter().map(|role| self.part(*role))
    }

    /// How often a sleeve is cut for it: each wire of it has a joint, and a piece let in has one at each end.
    pub fn times(&self) -> usize {
        let ends = if self.action == Action::Insert { 2 } else { 1 };
        ends * self.joint.as_ref().map_or(1, Joint::wires)
    }

    /// The sleeve that is seen at last; none over a barrel, which insulates itself.
    pub fn outermost(&self) -> Option<Role> {
        self.joint.as_ref()?.sleeves().last().copied()
    }
}

/// A joint, by what is joined.
#[derive(Clone, Debug, PartialEq)]
pub enum Joint {
    /// A single wire.
    Wire(Wire),
    /// Two wires that are twisted, each joined by itself.
    Pair(Wire),
    /// A coax: its core, then its shield.
    Coax(Coax),
}

/// How the two ends of a wire are joined.
#[derive(Clone, Debug, PartialEq)]
pub struct Wire {
    /// The method.
    pub method: Method,
    /// The length over which the two conductors overlap; none where neither it nor the conductor's diameter is
    /// known.
    pub lap: Option<Quantity>,
    /// From each tip to the other's insulation.
    pub gap: Quantity,
    /// Outside diameter of the barrel, where there is one.
    pub barrel: Option<Quantity>,
}

/// How the two ends of a coax are joined.
#[derive(Clone, Debug, PartialEq)]
pub struct Coax {
    /// The length over which the two cores overlap; none where neither it nor the core's diameter is known.
    pub lap: Option<Quantity>,
    /// From each core's tip to the other's dielectric.
    pub gap: Quantity,
    /// How the shield is closed, where that is said.
    pub shield: Option<ShieldJoint>,
}

impl Joint {
    /// How many wires are joined, each with a joint of its own.
    pub fn wires(&self) -> usize {
        match self {
            Joint::Wire(_) | Joint::Coax(_) => 1,
            Joint::Pair(_) => 2,
        }
    }

    /// The sleeves over it, from the inside out.
    pub fn sleeves(&self) -> &'static [Role] {
        match self {
            Joint::Wire(wire) | Joint::Pair(wire) if wire.method == Method::Barrel => &[],
            Joint::Wire(_) | Joint::Pair(_) => &[Role::Sleeve],
            Joint::Coax(_) => &[Role::InnerSleeve, Role::OuterSleeve],
        }
    }

    /// What says how far it is stripped.
    pub fn strip(&self) -> Role {
        match self {
            Joint::Wire(_) | Joint::Pair(_) => Role::Joint,
            Joint::Coax(_) => Role::Strip,
        }
    }
}
