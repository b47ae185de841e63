//! The keys of a vehicle's file, and of the items that it or a procedure declares.

use crate::model::key::{Form, JOINS, Key, PLACES, TORQUE, YES_NO, above_nothing, may, must};
use crate::model::kind::Kind;
use crate::quantity::Bound;

/// The keys of a vehicle's file.
pub const VEHICLE: &[Key] = &[
    must("name", Form::Text, "what people call it", "Calder 320"),
    may("years", Form::Text, "years of making", "2019-2023"),
    may("source", Form::Text, "where its figures come from", "maker"),
    may("note", Form::Text, "a remark", "Long wheelbase"),
    may("energies", ITEMS, "what can be isolated", "{supply: {name: 12 V supply, loses: [clock]}}"),
    may("panels", ITEMS, "what is taken off to get behind", "{door-lining: {hides: [lamp-plug]}}"),
    may("fasteners", ITEMS, "what is driven", "{lining-screws: {of: pan-5x16, count: 9, torque: maker}}"),
    may("clips", ITEMS, "what is clipped", "{lining-clips: {of: clip-8, count: 6, torque: hand-tight}}"),
    may("ties", ITEMS, "what ties a loom", "{pillar-ties: {of: tie-200, count: 3}}"),
    may("grommets", ITEMS, "what closes a hole", "{pillar-grommet: {of: grommet-20}}"),
    may("connectors", ITEMS, "what is plugged", "{lamp-plug: {ways: 6, lock: lever}}"),
    may("conductors", ITEMS, "wires and cables", "{tail-feed: {carries: Tail lamp feed, of: loom-075}}"),
    may("aids", ITEMS, "what is put on the vehicle for the work", "{wheel-chocks: {count: 2}}"),
    may("settings", ITEMS, "what an isolation can lose", "{clock: {name: Clock}}"),
    may(
        "looms",
        Form::Own("ids, each with a table"),
        "conductors as tables",
        "{rear-door: {table: my-van-door.csv}}",
    ),
];

/// Items under their ids.
const ITEMS: Form = Form::Own("ids, each with the keys of its kind");

/// What every item may say.
pub const ITEM: &[Key] = &[
    may("name", Form::Text, "what people call it; its id in words where missing", "Lining screws"),
    may("safety", YES_NO, "whether getting it wrong can hurt someone", "yes"),
    may("source", Form::Text, "where its figures come from", "maker"),
    may("note", Form::Text, "a remark", "One is longer"),
];

/// What an energy may say besides.
const ENERGY: &[Key] = &[may(
    "loses",
    Form::References(&["item"]),
    "the settings that its isolation loses",
    "[clock, window-stops]",
)];

/// What a panel may say besides.
const PANEL: &[Key] = &[
    may("of", MADE_OF, "the line of the stores that it is renewed with", "lining-board"),
    may("hides", Form::References(&["item"]), "what is out of reach while it is on", "[lamp-plug]"),
];

/// What fasteners, clips, ties and grommets may say besides.
const FASTENING: &[Key] = &[
    may("of", Form::Reference(&["fastener", "part"]), "the line of the stores that it is", "pan-5x16"),
    may("count", Form::Count(10_000), "how many; one where missing", "9"),
    may("holds", Form::Reference(&["item"]), "the panel that it holds", "door-lining"),
    may("torque", TORQUE, "how tight on this vehicle", "2.5 N·m"),
    may("angle", Form::Quantity("°", Bound::above(0.0, 1_080.0)), "a further turn after the torque", "90°"),
    may("order", Form::Text, "the order of tightening", "From the middle outwards"),
];

/// What a connector may say besides.
const CONNECTOR: &[Key] = &[
    may("of", MADE_OF, "the line of the stores that it is renewed with", "lamp-plug-6"),
    may("ways", Form::Count(1_000), "number of its ways", "6"),
    may("lock", Form::Text, "what locks it", "lever"),
];

/// What a conductor may say besides, and all that `join-as` may say.
const CONDUCTOR: &[Key] = &[
    may("carries", Form::Text, "what it carries", "Tail lamp feed"),
    may("of", Form::Reference(&["cable"]), "the cable that it is made of", "loom-075"),
    may("colour", Form::Colour, "its colour", "GY/BK"),
    may("length", above_nothing("mm", 100_000.0), "length of the whole wire", "1860 mm"),
    may("from-way", Form::Text, "its way in the connector where it begins", "3"),
    may("to-way", Form::Text, "its way in the connector where it ends", "B2"),
    may(
        "action",
        Form::Word(&["join", "insert", "replace", "cap"]),
        "what this procedure does with it",
        "join",
    ),
    may("services", Form::References(&["service"]), "the services that a coax carries", "[fm, dab]"),
];

/// How conductors are joined: the keys of `join-as`, which a conductor may have for itself.
pub const JOIN: &[Key] = &[
    may("by", Form::Word(JOINS), "the join; the first that the shop allows where missing", "lap"),
    may(
        "lap",
        above_nothing("mm", 500.0),
        "length of the joint; four conductor diameters where missing",
        "6 mm",
    ),
    may(
        "gap",
        Form::Quantity("mm", Bound::from(0.0, 100.0)),
        "from each tip to the insulation; 1 mm where missing",
        "1 mm",
    ),
    may("barrel", above_nothing("mm", 100.0), "outside diameter of a barrel once pressed", "2.8 mm"),
    may(
        "from",
        Form::References(&["sleeve"]),
        "ranges to choose sleeves from; all where missing",
        "[polyolefin-3to1]",
    ),
    may(
        "shield-joint",
        Form::Word(&["bridged", "ferrule", "pigtail"]),
        "how the shield of a coax is closed; `bridged` where missing",
        "bridged",
    ),
    may("removed", above_nothing("mm", 100_000.0), "the length taken out where a piece is let in", "240 mm"),
    may(
        "available",
        Form::QuantityOr("mm", Bound::from(0.0, 100_000.0), &["unlimited"]),
        "how far the two sides can reach past one another",
        "40 mm",
    ),
    may("place", Form::Word(PLACES), "where the joint lies", "dry"),
];

/// What an aid may say besides.
const AID: &[Key] = &[may("count", Form::Count(10_000), "how many; one where missing", "2")];

/// The tables of the stores from which a thing is renewed.
const MADE_OF: Form = Form::Reference(&["part", "fastener", "tool", "consumable"]);

/// The conductors of a loom that a procedure works on.
pub const FROM_LOOM: &[Key] = &[
    must("loom", Form::Id, "a loom of the vehicle", "rear-door"),
    may("of-which", Form::References(&["item"]), "which of its conductors; all where missing", "[tail-feed]"),
];

/// Items that steps name together, in a procedure's `items`.
pub static GROUPS: Key = may(
    "groups",
    Form::Own("ids, each with a list of items"),
    "items that steps name together",
    "{wires: [tail-feed, plate-feed]}",
);

/// What only items of a kind may say.
pub fn of_kind(kind: Kind) -> &'static [&'static [Key]] {
    match kind {
        Kind::Energy => &[ENERGY],
        Kind::Panel => &[PANEL],
        Kind::Fastener | Kind::Clip | Kind::Tie | Kind::Grommet => &[FASTENING],
        Kind::Connector => &[CONNECTOR],
        Kind::Conductor => &[CONDUCTOR, JOIN],
        Kind::Aid => &[AID],
        Kind::Setting => &[],
    }
}

/// The keys under which items of each kind stand, in a vehicle's file and in a procedure's `items`.
pub fn item_maps() -> impl Iterator<Item = &'static Key> {
    VEHICLE.iter().filter(|key| Kind::ALL.iter().any(|kind| kind.key() == key.name))
}

/// Every key that an item of a kind may have.
pub fn item_keys(kind: Kind) -> impl Iterator<Item = &'static Key> {
    of_kind(kind).iter().copied().flatten().chain(ITEM)
}
