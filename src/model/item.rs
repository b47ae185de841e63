//! Items: the things on the vehicle that work disturbs, and what is known of each.

use super::{JoinAs, Place};
use crate::quantity::Quantity;
use std::collections::BTreeMap;

/// What kind of thing an item is; each kind has its life.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs, reason = "each is the kind it names")]
pub enum Kind {
    Energy,
    Panel,
    Fastener,
    Clip,
    Tie,
    Grommet,
    Connector,
    Conductor,
    Aid,
    Setting,
}

impl Kind {
    /// All kinds, in the order in which pages list them.
    pub const ALL: [Kind; 10] = [
        Kind::Energy,
        Kind::Panel,
        Kind::Fastener,
        Kind::Clip,
        Kind::Tie,
        Kind::Grommet,
        Kind::Connector,
        Kind::Conductor,
        Kind::Aid,
        Kind::Setting,
    ];

    /// The key under which items of this kind are declared.
    pub fn key(self) -> &'static str {
        match self {
            Kind::Energy => "energies",
            Kind::Panel => "panels",
            Kind::Fastener => "fasteners",
            Kind::Clip => "clips",
            Kind::Tie => "ties",
            Kind::Grommet => "grommets",
            Kind::Connector => "connectors",
            Kind::Conductor => "conductors",
            Kind::Aid => "aids",
            Kind::Setting => "settings",
        }
    }

    /// One of them, in a sentence.
    pub fn noun(self) -> &'static str {
        match self {
            Kind::Energy => "energy",
            Kind::Panel => "panel",
            Kind::Fastener => "fastener",
            Kind::Clip => "clip",
            Kind::Tie => "tie",
            Kind::Grommet => "grommet",
            Kind::Connector => "connector",
            Kind::Conductor => "conductor",
            Kind::Aid => "aid",
            Kind::Setting => "setting",
        }
    }

    /// Whether it is something that is driven, clipped or tied, and counted.
    pub fn is_fastening(self) -> bool {
        matches!(self, Kind::Fastener | Kind::Clip | Kind::Tie | Kind::Grommet)
    }
}

/// How tight.
#[derive(Clone, Debug, PartialEq)]
pub enum Torque {
    /// A figure.
    Figure(Quantity),
    /// The vehicle maker's figure holds; the page prints a box to write it in.
    Maker,
    /// By hand, without a tool.
    HandTight,
}

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

/// One item.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// Its id: one thing in the whole manual of a vehicle.
    pub id: String,
    /// What kind of thing.
    pub kind: Kind,
    /// What people call it.
    pub name: String,
    /// The stores line that it is made of: a fastener, a cable, a part.
    pub of: Option<String>,
    /// How many of them; 1 for what is not counted.
    pub count: u32,
    /// The panel that it holds.
    pub holds: Option<String>,
    /// What a panel hides while it is on.
    pub hides: Vec<String>,
    /// The settings that an isolation loses.
    pub loses: Vec<String>,
    /// Whether getting it wrong can hurt someone.
    pub safety: bool,
    /// How tight, with where that comes from.
    pub torque: Option<Torque>,
    /// A further turn after the torque.
    pub angle: Option<Quantity>,
    /// The order of tightening.
    pub order: Option<String>,
    /// Number of ways of a connector.
    pub ways: Option<u32>,
    /// What locks a connector.
    pub lock: Option<String>,
    /// What a conductor carries.
    pub carries: Option<String>,
    /// A conductor's colour, in the letters of IEC 60757.
    pub colour: Option<String>,
    /// From where to where a conductor runs.
    pub ends: [Option<String>; 2],
    /// What is to be done with a conductor in this procedure.
    pub action: Option<(Action, Place)>,
    /// The services that a coax carries.
    pub services: Vec<(String, Place)>,
    /// How a conductor is joined, where it says so itself.
    pub join: JoinAs,
    /// Where its figures come from.
    pub source: Option<String>,
    /// A remark.
    pub note: Option<String>,
    /// The keys that its declaration writes, each with its place; what is not here is a default.
    pub said: BTreeMap<String, Place>,
    /// Where it was written.
    pub place: Place,
}

impl Item {
    /// An item of which nothing is known yet but its kind and id.
    pub fn bare(kind: Kind, id: &str, place: Place) -> Item {
        Item {
            id: id.to_owned(),
            kind,
            name: String::new(),
            of: None,
            count: 1,
            holds: None,
            hides: Vec::new(),
            loses: Vec::new(),
            safety: false,
            torque: None,
            angle: None,
            order: None,
            ways: None,
            lock: None,
            carries: None,
            colour: None,
            ends: [None, None],
            action: None,
            services: Vec::new(),
            join: JoinAs::default(),
            source: None,
            note: None,
            said: BTreeMap::new(),
            place,
        }
    }

    /// What it says under a key that holds for the thing itself, as a text to compare two declarations by;
    /// nothing for what holds for one procedure's work on it alone.
    pub fn says(&self, key: &str) -> Option<String> {
        Some(match key {
            "name" => self.name.clone(),
            "of" => format!("{:?}", self.of),
            "count" => self.count.to_string(),
            "holds" => format!("{:?}", self.holds),
            "hides" => format!("{:?}", self.hides),
            "loses" => format!("{:?}", self.loses),
            "safety" => self.safety.to_string(),
            "torque" => format!("{:?}", self.torque),
            "angle" => format!("{:?}", self.angle),
            "order" => format!("{:?}", self.order),
            "ways" => format!("{:?}", self.ways),
            "lock" => format!("{:?}", self.lock),
            "carries" => format!("{:?}", self.carries),
            "colour" => format!("{:?}", self.colour),
            _ => return None,
        })
    }

    /// Its name and, where there are several, how many: `Lining screws ×9`.
    pub fn label(&self) -> String {
        if self.count > 1 { format!("{} ×{}", self.name, self.count) } else { self.name.clone() }
    }
}

/// A vehicle and its items.
#[derive(Clone, Debug)]
pub struct Vehicle {
    /// Its id.
    pub id: String,
    /// What people call it.
    pub name: String,
    /// Years of making, as written.
    pub years: Option<String>,
    /// Its items.
    pub items: BTreeMap<String, Item>,
    /// The ids of each loom's conductors, in the order of its table.
    pub looms: BTreeMap<String, Vec<String>>,
    /// Where it was written.
    pub place: Place,
}
