//! What a replay finds wrong, as data; which rule it breaks and how it is said stands with the rules.

use crate::model::{Place, State, Verb};

/// One thing that happened to an item: the verb, where it stands, and how many.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Trail {
    /// What was done.
    pub verb: Verb,
    /// To how many.
    pub count: u32,
    /// Where it is written.
    pub place: Place,
    /// The leg of the route on which it is done.
    pub leg: usize,
}

/// A fault of the replay.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fault {
    /// An item does not end as its kind must.
    Open {
        /// The item.
        item: String,
        /// The state in which it is left.
        state: State,
        /// How many of it.
        count: u32,
        /// What was done to it, in order.
        trail: Vec<Trail>,
        /// The choices on the way, as step ids; empty where there was none.
        path: Vec<String>,
    },
    /// An item does not end as `leaves` says.
    NotLeft {
        /// The item.
        item: String,
        /// What `leaves` says.
        wanted: State,
        /// How it ends.
        state: State,
        /// Where `leaves` says so.
        place: Place,
        /// What was done to it, in order.
        trail: Vec<Trail>,
    },
    /// A verb that the item's life does not know in its state.
    Illegal {
        /// The item.
        item: String,
        /// The verb.
        verb: Verb,
        /// The state in which the item stands.
        state: State,
        /// Where it is written.
        place: Place,
        /// The leg of the route.
        leg: usize,
        /// What was done to it before, in order.
        trail: Vec<Trail>,
    },
    /// More of an item are moved than stand ready.
    TooMany {
        /// The item.
        item: String,
        /// The verb.
        verb: Verb,
        /// How many are asked for.
        wanted: u32,
        /// How many stand ready.
        ready: u32,
        /// Where it is written.
        place: Place,
        /// The leg of the route.
        leg: usize,
    },
    /// A verb on something that no vehicle and no procedure declares.
    Unknown {
        /// The id.
        item: String,
        /// Where it is written.
        place: Place,
        /// The leg of the route.
        leg: usize,
    },
    /// A step that needs an energy off is reached while it is not proved off.
    NotOff {
        /// The energy.
        energy: String,
        /// Its state.
        state: State,
        /// What needs it off.
        verb: Verb,
        /// Where that is written.
        place: Place,
        /// The leg of the route.
        leg: usize,
        /// What was done to the energy before, in order.
        trail: Vec<Trail>,
    },
    /// Something behind a panel is touched while the panel is on.
    Hidden {
        /// The item.
        item: String,
        /// The panel.
        panel: String,
        /// Where it is touched.
        place: Place,
        /// The leg of the route.
        leg: usize,
        /// What was done to the panel before, in order.
        trail: Vec<Trail>,
    },
    /// A panel is taken off while what holds it is still in.
    Held {
        /// The panel.
        panel: String,
        /// What holds it.
        by: String,
        /// Where the panel is taken off.
        place: Place,
        /// The leg of the route.
        leg: usize,
    },
    /// What holds a panel goes in before the panel is back.
    TooEarly {
        /// The panel.
        panel: String,
        /// What holds it.
        by: String,
        /// Where it goes in.
        place: Place,
        /// The leg of the route.
        leg: usize,
        /// What was done to the panel before, in order.
        trail: Vec<Trail>,
    },
    /// A procedure is carried out while an item is not as it expects.
    NotAsExpected {
        /// The procedure that is carried out.
        procedure: String,
        /// The item.
        item: String,
        /// What it expects.
        wanted: State,
        /// How the item stands.
        state: State,
        /// Where it is carried out.
        place: Place,
        /// The leg of the route.
        leg: usize,
    },
    /// A route has more ways than can be replayed.
    TooManyWays {
        /// Where the last choice is written.
        place: Place,
    },
}
