//! The keys of a procedure's front matter, and of the maps in it.

use crate::model::format::vehicle::JOIN;
use crate::model::key::{Form, Key, may, must};

/// The keys of the front matter.
pub const PROCEDURE: &[Key] = &[
    must("id", Form::Id, "its id", "door-lining"),
    must("title", Form::Text, "what it is called", "Take off and refit the door lining"),
    must("summary", Form::Text, "its result, in a sentence", "The lining is off and back"),
    must("area", Form::Text, "the part of the vehicle, by which the front page groups", "Rear doors"),
    may("applies-to", Form::Maps(APPLIES), "the vehicles that it is for", "[{vehicle: my-van}]"),
    may(
        "revision",
        Form::Map(REVISION),
        "the revision in force",
        "{letter: A, effective: 2026-09-14, approved-by: Workshop lead, reason: First issue}",
    ),
    may("status", Form::Word(STATUSES), "whether it may be worked by; `draft` where missing", "released"),
    may("skill", Form::Word(SKILLS), "who may do it; `general` where missing", "electrical"),
    may("people", Form::Count(100), "how many people it takes; one where missing", "2"),
    may("start-state", Form::Texts, "how the vehicle must stand before it starts", "[Van on a level floor]"),
    may("join-as", Form::Map(JOIN), "what its conductors do not say themselves", "{by: lap, place: dry}"),
    may(
        "items",
        Form::Own("the kinds of items, and groups of them"),
        "things of its own, and what is done with conductors",
        "{conductors: {tail-feed: {action: join}}}",
    ),
    may(
        "values",
        Form::Own("ids, each with a working and its inputs"),
        "computed values",
        "{tape: {working: wrap, diameter: 8 mm}}",
    ),
    may("leaves", STATES, "items that it leaves in another state than it finds", "{supply: proved-off}"),
    may("expects", STATES, "how it expects to find items", "{supply: proved-off}"),
    may(
        "parameters",
        Form::Own("names, each with its words"),
        "words that a caller chooses; `{side}` in what steps do is filled with one",
        "{side: [left, right]}",
    ),
    may("kit-extra", Form::Map(KIT_EXTRA), "kit that no step names", "{tools: [work-light]}"),
    may(
        "waive",
        Form::Maps(WAIVER),
        "warnings that it waives as a whole",
        "{rule: KIT-03, reason: Borrowed wrench, by: Workshop lead}",
    ),
];

/// Whether a procedure may be worked by.
const STATUSES: &[&str] = &["draft", "released", "withdrawn"];
/// Who may do the work; the last two close the page behind a gate.
const SKILLS: &[&str] = &["general", "electrical", "pyrotechnic", "high-voltage"];
/// Items with a state each.
const STATES: Form = Form::Own("items, alone or with `item:`, each with a state");

/// A vehicle that a procedure is for.
pub const APPLIES: &[Key] = &[
    must("vehicle", Form::Reference(&["vehicle"]), "the vehicle", "my-van"),
    may("variant", Form::Text, "which variant of it", "barn doors"),
];

/// A revision, with who approved it and why.
pub const REVISION: &[Key] = &[
    must("letter", Form::Text, "its letter, without I, O, Q, S, X and Z", "B"),
    must("effective", Form::Text, "the day from which it holds", "2026-09-14"),
    must("approved-by", Form::Text, "who approved it", "Workshop lead"),
    must("reason", Form::Text, "what changed and why", "Sleeve range changed"),
];

/// Kit that no step names.
pub const KIT_EXTRA: &[Key] = &[
    may("tools", Form::References(&["tool"]), "tools", "[work-light]"),
    may("consumables", CONSUMABLES, "consumables", "[{of: loom-tape, quantity: 300 mm}]"),
    may("parts", PARTS, "parts", "[lamp-plug-6]"),
    may("protection", Form::References(&["protection"]), "protection", "[gloves]"),
];

/// What a step uses up.
pub const CONSUMABLES: Form =
    Form::Own("`consumable:` ids, or `{of, quantity}`; a quantity may be a `value:`");
/// What a step fits.
pub const PARTS: Form = Form::Own("`part:` ids, or `{of, quantity}`; a quantity may be a `value:`");

/// A line of the stores with how much of it is used.
pub const USE: &[Key] = &[
    must("of", Form::Own("an id, or in full"), "the line of the stores", "loom-tape"),
    may("quantity", Form::Own("a quantity, or a `value:`"), "how much of it", "300 mm"),
];

/// A rule that is waived.
pub const WAIVER: &[Key] = &[
    must("rule", Form::Text, "its code", "KIT-03"),
    must("reason", Form::Text, "why", "Borrowed wrench"),
    must("by", Form::Text, "who says so", "Workshop lead"),
];
