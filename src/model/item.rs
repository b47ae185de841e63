//! Items: the things on the vehicle that work disturbs, and what is known of each.

use super::{
    Action, Conductor, Connector, Declared, Fastening, Fate, Kind, Life, Line, Method, Place, Sort, Store,
    Stores, Torque, What,
};
use std::collections::BTreeMap;

/// One item: what all kinds share, and what its kind alone has.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// Its id: one thing in the whole manual of a vehicle.
    pub id: String,
    /// What people call it.
    pub name: String,
    /// Whether getting it wrong can hurt someone.
    pub safety: bool,
    /// Where its figures come from.
    pub source: Option<String>,
    /// A remark.
    pub note: Option<String>,
    /// The keys that its declaration writes, each with its place; what is not here is a default.
    pub said: BTreeMap<String, Place>,
    /// Where it was written.
    pub place: Place,
    /// What kind of thing it is, with what such a thing has.
    pub what: What,
}

impl Item {
    /// An item of which nothing is known yet but its kind and id.
    pub fn bare(kind: Kind, id: &str, place: Place) -> Item {
        Item::new(What::of(kind), id, place)
    }

    /// An item of which nothing is known yet but what it is.
    pub fn new(what: What, id: &str, place: Place) -> Item {
        Item {
            id: id.to_owned(),
            name: String::new(),
            safety: false,
            source: None,
            note: None,
            said: BTreeMap::new(),
            place,
            what,
        }
    }

    /// What kind of thing it is.
    pub fn kind(&self) -> Kind {
        match &self.what {
            What::Energy { .. } => Kind::Energy,
            What::Panel { .. } => Kind::Panel,
            What::Fastening(fastening) => match fastening.sort {
                Sort::Fastener => Kind::Fastener,
                Sort::Clip => Kind::Clip,
                Sort::Tie => Kind::Tie,
                Sort::Grommet => Kind::Grommet,
            },
            What::Connector(_) => Kind::Connector,
            What::Conductor(_) => Kind::Conductor,
            What::Aid { .. } => Kind::Aid,
            What::Setting => Kind::Setting,
        }
    }

    /// What only a fastening has.
    pub fn fastening(&self) -> Option<&Fastening> {
        match &self.what {
            What::Fastening(fastening) => Some(fastening),
            _ => None,
        }
    }

    /// What only a connector has.
    pub fn connector(&self) -> Option<&Connector> {
        match &self.what {
            What::Connector(connector) => Some(connector),
            _ => None,
        }
    }

    /// What only a conductor has.
    pub fn conductor(&self) -> Option<&Conductor> {
        match &self.what {
            What::Conductor(conductor) => Some(conductor),
            _ => None,
        }
    }

    /// The stores line that it is made of: a fastener, a cable, a part.
    pub fn of(&self) -> Option<&str> {
        match &self.what {
            What::Panel { of, .. } => of.as_deref(),
            What::Fastening(fastening) => fastening.of.as_deref(),
            What::Connector(connector) => connector.of.as_deref(),
            What::Conductor(conductor) => conductor.of.as_deref(),
            What::Energy { .. } | What::Aid { .. } | What::Setting => None,
        }
    }

    /// How many of them; 1 for what is not counted.
    pub fn count(&self) -> u32 {
        match &self.what {
            What::Fastening(fastening) => fastening.count,
            What::Aid { count } => *count,
            _ => 1,
        }
    }

    /// The panel that a fastening holds.
    pub fn holds(&self) -> Option<&str> {
        self.fastening()?.holds.as_deref()
    }

    /// How tight a fastening is.
    pub fn torque(&self) -> Option<&Torque> {
        self.fastening()?.torque.as_ref()
    }

    /// What a panel hides while it is on.
    pub fn hides(&self) -> &[String] {
        match &self.what {
            What::Panel { hides, .. } => hides,
            _ => &[],
        }
    }

    /// The settings that an isolation loses.
    pub fn loses(&self) -> &[String] {
        match &self.what {
            What::Energy { loses } => loses,
            _ => &[],
        }
    }

    /// What a conductor carries, in a sentence: its own words, else its name.
    pub fn carries(&self) -> &str {
        self.conductor().and_then(|conductor| conductor.carries.as_deref()).unwrap_or(&self.name)
    }

    /// A conductor's colour, in the letters of IEC 60757.
    pub fn colour(&self) -> Option<&str> {
        self.conductor()?.colour.as_deref()
    }

    /// The life that it leads; a conductor's by its cable and its join.
    pub fn life(&self) -> Life {
        match self.conductor() {
            Some(conductor) => Life::conductor(conductor.shielded, self.is_barrel()),
            None => Life::of(self.kind()),
        }
    }

    /// Whether it is joined by a barrel, which insulates itself.
    pub fn is_barrel(&self) -> bool {
        let by = self.conductor().and_then(|conductor| conductor.join.by.as_ref());
        by.is_some_and(|(by, _)| *by == Method::Barrel)
    }

    /// What it says under a key that holds for the thing itself; nothing for what holds for one procedure's work
    /// on it alone, and for a key that its kind does not have.
    pub fn says(&self, key: &str) -> Option<Declared<'_>> {
        fn words(words: &Option<String>) -> Declared<'_> {
            Declared::Words(words.as_deref())
        }
        Some(match (key, &self.what) {
            ("name", _) => Declared::Words(Some(&self.name)),
            ("safety", _) => Declared::Yes(self.safety),
            ("of", _) => Declared::Words(self.of()),
            ("count", _) => Declared::Count(Some(self.count())),
            ("loses", What::Energy { loses }) => Declared::Ids(loses),
            ("hides", What::Panel { hides, .. }) => Declared::Ids(hides),
            ("holds", What::Fastening(fastening)) => words(&fastening.holds),
            ("torque", What::Fastening(fastening)) => Declared::Torque(fastening.torque.as_ref()),
            ("angle", What::Fastening(fastening)) => Declared::Figure(fastening.angle.as_ref()),
            ("order", What::Fastening(fastening)) => words(&fastening.order),
            ("ways", What::Connector(connector)) => Declared::Count(connector.ways),
            ("lock", What::Connector(connector)) => words(&connector.lock),
            ("carries", What::Conductor(conductor)) => words(&conductor.carries),
            ("colour", What::Conductor(conductor)) => words(&conductor.colour),
            _ => return None,
        })
    }

    /// Takes over what another declaration of it says under a key.
    pub fn take(&mut self, own: &Item, key: &str) {
        match key {
            "name" => self.name.clone_from(&own.name),
            "safety" => self.safety = own.safety,
            "source" => self.source.clone_from(&own.source),
            "note" => self.note.clone_from(&own.note),
            _ => self.what.take(&own.what, key),
        }
        if let Some(place) = own.said.get(key) {
            self.said.insert(key.to_owned(), *place);
        }
    }

    /// Its name and, where there are several, how many: `Lining screws ×9`.
    pub fn label(&self) -> String {
        let count = self.count();
        if count > 1 { format!("{} ×{count}", self.name) } else { self.name.clone() }
    }

    /// What people call it within a sentence: `lining screws`; a name such as `LED strip` keeps its capitals.
    pub fn in_sentence(&self) -> String {
        let mut letters = self.name.chars();
        match (letters.next(), letters.next()) {
            (Some(first), Some(second)) if second.is_lowercase() => {
                first.to_lowercase().collect::<String>()
                    + self.name.get(first.len_utf8()..).unwrap_or_default()
            }
            (Some(_), _) => self.name.clone(),
            (None, _) => self.id.replace('-', " "),
        }
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

impl Fate {
    /// What a procedure does with an item: a new one goes in where it serves once, or is replaced.
    pub fn of(item: &Item, stores: &Stores) -> Fate {
        let action = item.conductor().and_then(|conductor| conductor.action).map(|(action, _)| action);
        let renewed = item.serves_once(stores).is_some() || action == Some(Action::Replace);
        Fate { renewed, action }
    }
}

impl Item {
    /// The line of the stores that it is made of, where that line says that it serves once.
    pub fn serves_once<'s>(&self, stores: &'s Stores) -> Option<&'s Line> {
        let of = self.of()?;
        let line = [Store::Fasteners, Store::Parts].into_iter().find_map(|store| stores.get(store, of))?;
        (line.text("reuse") == Some("never")).then_some(line)
    }
}
