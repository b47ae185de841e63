//! What only items of one kind have: what an energy loses, what a panel hides, what a conductor carries.

use super::{Action, JoinAs, Kind, Place};
use crate::quantity::Quantity;

/// What kind of thing an item is, with what only such a thing has.
#[derive(Clone, Debug, PartialEq)]
pub enum What {
    /// A supply that work makes safe.
    Energy {
        /// The settings that its isolation loses.
        loses: Vec<String>,
    },
    /// A panel, a lining, a cover.
    Panel {
        /// The stores line of a new one.
        of: Option<String>,
        /// What it hides while it is on.
        hides: Vec<String>,
    },
    /// Something that is driven, clipped or tied, and counted.
    Fastening(Fastening),
    /// A plug and its socket.
    Connector(Connector),
    /// A wire, a pair or a cable; boxed, because it says far more than the others.
    Conductor(Box<Conductor>),
    /// Something that is put in for the time of the work.
    Aid {
        /// How many of them.
        count: u32,
    },
    /// Something that the vehicle remembers.
    Setting,
}

impl What {
    /// A thing of a kind of which nothing is known yet.
    pub fn of(kind: Kind) -> What {
        let fastening = |sort| What::Fastening(Fastening::of(sort));
        match kind {
            Kind::Energy => What::Energy { loses: Vec::new() },
            Kind::Panel => What::Panel { of: None, hides: Vec::new() },
            Kind::Fastener => fastening(Sort::Fastener),
            Kind::Clip => fastening(Sort::Clip),
            Kind::Tie => fastening(Sort::Tie),
            Kind::Grommet => fastening(Sort::Grommet),
            Kind::Connector => What::Connector(Connector::default()),
            Kind::Conductor => What::Conductor(Box::default()),
            Kind::Aid => What::Aid { count: 1 },
            Kind::Setting => What::Setting,
        }
    }

    /// Takes over what another declaration of the same thing says under a key of its kind.
    pub(super) fn take(&mut self, own: &What, key: &str) {
        match (self, own) {
            (What::Energy { loses }, What::Energy { loses: own }) if key == "loses" => loses.clone_from(own),
            (What::Panel { of, .. }, What::Panel { of: own, .. }) if key == "of" => of.clone_from(own),
            (What::Panel { hides, .. }, What::Panel { hides: own, .. }) if key == "hides" => {
                hides.clone_from(own);
            }
            (What::Aid { count }, What::Aid { count: own }) if key == "count" => *count = *own,
            (What::Fastening(known), What::Fastening(own)) => known.take(own, key),
            (What::Connector(known), What::Connector(own)) => known.take(own, key),
            (What::Conductor(known), What::Conductor(own)) => known.take(own, key),
            _ => {}
        }
    }
}

/// What sort of fastening one is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "each is the sort it names")]
pub enum Sort {
    Fastener,
    Clip,
    Tie,
    Grommet,
}

/// What only a fastening has.
#[derive(Clone, Debug, PartialEq)]
pub struct Fastening {
    /// What sort.
    pub sort: Sort,
    /// The stores line that it is.
    pub of: Option<String>,
    /// How many of them, at least 1.
    pub count: u32,
    /// The panel that it holds.
    pub holds: Option<String>,
    /// How tight.
    pub torque: Option<Torque>,
    /// A further turn after the torque.
    pub angle: Option<Quantity>,
    /// The order of tightening.
    pub order: Option<String>,
}

impl Fastening {
    /// One of a sort of which nothing is known yet.
    pub fn of(sort: Sort) -> Fastening {
        Fastening { sort, of: None, count: 1, holds: None, torque: None, angle: None, order: None }
    }

    fn take(&mut self, own: &Fastening, key: &str) {
        match key {
            "of" => self.of.clone_from(&own.of),
            "count" => self.count = own.count,
            "holds" => self.holds.clone_from(&own.holds),
            "torque" => self.torque.clone_from(&own.torque),
            "angle" => self.angle.clone_from(&own.angle),
            "order" => self.order.clone_from(&own.order),
            _ => {}
        }
    }
}

/// What only a connector has.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Connector {
    /// The stores line of a new one.
    pub of: Option<String>,
    /// Number of ways.
    pub ways: Option<u32>,
    /// What locks it.
    pub lock: Option<String>,
}

impl Connector {
    fn take(&mut self, own: &Connector, key: &str) {
        match key {
            "of" => self.of.clone_from(&own.of),
            "ways" => self.ways = own.ways,
            "lock" => self.lock.clone_from(&own.lock),
            _ => {}
        }
    }
}

/// What only a conductor has.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Conductor {
    /// Its cable in the stores.
    pub of: Option<String>,
    /// Whether that cable has a shield, once it was looked up.
    pub shielded: bool,
    /// What it carries.
    pub carries: Option<String>,
    /// Its colour, in the letters of IEC 60757.
    pub colour: Option<String>,
    /// From where to where it runs.
    pub ends: [Option<String>; 2],
    /// The ways of the connectors at its two ends.
    pub ways: [Option<String>; 2],
    /// How long the whole of it is.
    pub length: Option<(Quantity, Place)>,
    /// What is to be done with it in this procedure.
    pub action: Option<(Action, Place)>,
    /// The services that a coax carries.
    pub services: Vec<(String, Place)>,
    /// How it is joined, where it says so itself.
    pub join: JoinAs,
}

impl Conductor {
    fn take(&mut self, own: &Conductor, key: &str) {
        match key {
            "of" => self.of.clone_from(&own.of),
            "carries" => self.carries.clone_from(&own.carries),
            "colour" => self.colour.clone_from(&own.colour),
            "services" => self.services.clone_from(&own.services),
            _ => {}
        }
    }

    /// What a procedure adds to what the vehicle says of it: its work on it.
    pub fn with(&mut self, own: &Conductor) {
        self.join = own.join.or(&self.join);
        self.action = own.action.or(self.action);
        self.length = own.length.clone().or_else(|| self.length.take());
        for (known, own) in self.ways.iter_mut().zip(&own.ways) {
            *known = own.clone().or_else(|| known.take());
        }
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{Item, Method};

    #[test]
    fn every_kind_has_what_it_is() {
        for kind in Kind::ALL {
            assert_eq!(Item::bare(kind, "one", Place::default()).kind(), kind);
        }
    }

    #[test]
    fn a_declaration_takes_over_the_keys_that_it_is_asked_for() {
        let mut known = What::Fastening(Fastening { count: 4, ..Fastening::of(Sort::Clip) });
        let own = Fastening { count: 7, holds: Some("lining".to_owned()), ..Fastening::of(Sort::Clip) };
        known.take(&What::Fastening(own), "holds");
        let What::Fastening(both) = known else { panic!("a fastening stays one") };
        assert_eq!((both.count, both.holds.as_deref()), (4, Some("lining")));
    }

    #[test]
    fn a_procedure_says_of_a_conductor_what_it_does_with_it() {
        let place = Place::default();
        let by = |method| JoinAs { by: Some((method, place)), ..JoinAs::default() };
        let mut known =
            Conductor { join: by(Method::Lap), action: Some((Action::Cap, place)), ..Conductor::default() };
        known.with(&Conductor { action: Some((Action::Join, place)), ..Conductor::default() });
        assert_eq!(known.action, Some((Action::Join, place)));
        assert_eq!(known.join, by(Method::Lap), "what the procedure leaves open is the vehicle's");
        known.with(&Conductor { join: by(Method::Barrel), ..Conductor::default() });
        assert_eq!(known.join, by(Method::Barrel));
        assert_eq!(known.action, Some((Action::Join, place)));
    }
}
