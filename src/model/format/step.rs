//! The keys of a step's block, and of the maps in it.

use crate::model::format::procedure::{CONSUMABLES, PARTS, WAIVER};
use crate::model::key::{Form, Key, SIGNAL_WORDS, may, must};
use crate::quantity::Bound;

/// The keys of a step's block.
pub const STEP: &[Key] = &[
    may(
        "carry-out",
        Form::Own("`procedure`, `procedure/stage`, or `{of, given}`"),
        "a procedure or a stage that is carried out here",
        "{of: door-lining/strip-out, given: {side: left}}",
    ),
    may(
        "does",
        Form::Own("a list of a verb and an item, a list of items, a group, or `loom:` and its id"),
        "what it does to items",
        "[remove: lining-screws]",
    ),
    may(
        "needs-off",
        Form::References(&["item"]),
        "the energies that must be off; `[]` for none, every one where missing",
        "[supply]",
    ),
    may("tools", Form::References(&["tool"]), "tools", "[hexalobular-25]"),
    may("protection", Form::References(&["protection"]), "protection to wear", "[eye]"),
    may("consumables", CONSUMABLES, "what it uses up", "[{of: solder, quantity: 30 mm}]"),
    may("parts", PARTS, "what it fits", "[lamp-plug-6]"),
    may("minutes", Form::Number(Bound::from(0.0, 1_000.0)), "how long it takes", "4"),
    may("people", Form::Count(100), "how many people it takes; one where missing", "2"),
    may(
        "messages",
        Form::Own("`hazard:` ids, or messages in full"),
        "safety messages that it needs besides those that come by themselves",
        "[hot-air]",
    ),
    may(
        "check",
        Form::Own("text, `counted`, or `{measure, accept, otherwise}`"),
        "what is checked after it",
        "{measure: Drop under load, accept: at most 50 mV, otherwise: step:join-again}",
    ),
    may(
        "choose",
        Form::Maps(CHOICE),
        "exclusive ways to go on",
        "[{when: The plug is burnt, then: step:renew}]",
    ),
    may("wait", Form::Map(WAIT), "a time to wait", "{time: 10 min, source: maker}"),
    may(
        "within",
        Form::Map(WITHIN),
        "a time within which it must be done",
        "{time: 5 min, otherwise: Start again}",
    ),
    may("record", Form::Maps(RECORD), "boxes to write in on the job sheet", "{ask: Drop measured, unit: mV}"),
    may("waive", Form::Maps(WAIVER), "warnings that it waives", "{rule: KIT-03, reason: Borrowed, by: Lead}"),
    may(
        "figures",
        Form::Own("files below `figures/`, alone, with `figure:`, or `{figure, alt}`"),
        "pictures of it",
        "[pillar.svg]",
    ),
];

/// A message in full.
pub const MESSAGE: &[Key] = &[
    must("word", Form::Word(SIGNAL_WORDS), "how grave", "warning"),
    must("hazard", Form::Text, "what can hurt", "Hot air"),
    must("consequence", Form::Text, "how it hurts", "Burns skin"),
    must("avoid", Form::Text, "what to do about it", "Keep the area free of vapour"),
];

/// An exclusive way to go on.
pub const CHOICE: &[Key] = &[
    must("when", Form::Text, "when it is taken", "The plug is burnt"),
    must(
        "then",
        Form::Own("`step:ID`, or `stop`"),
        "the step that follows, or the end of the job",
        "step:renew",
    ),
];

/// A time to wait.
pub const WAIT: &[Key] = &[
    must("time", Form::Quantity("min", Bound::above(0.0, 10_000.0)), "how long", "10 min"),
    may("source", Form::Text, "who says so", "maker"),
];

/// A time within which a step must be done.
pub const WITHIN: &[Key] = &[
    must("time", Form::Quantity("min", Bound::above(0.0, 10_000.0)), "how long", "5 min"),
    may("otherwise", Form::Own("`step:ID`, `stop`, or words"), "what to do if it is missed", "Start again"),
];

/// A box to write in.
pub const RECORD: &[Key] = &[
    must("ask", Form::Text, "what to write", "Drop measured"),
    may("unit", Form::Unit(""), "in which unit", "mV"),
];

/// A figure with its alternative.
pub const FIGURE: &[Key] = &[
    must("figure", Form::Own("a file below `figures/`"), "the picture", "pillar.svg"),
    may("alt", Form::Text, "its words, where it has none of its own", "The pillar with its three clips"),
];
