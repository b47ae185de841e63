//! The conductors that a step works on, with what it needs of each: colour, sleeve, cut length, strip.

use crate::model::{Item, Kind, Verb};
use crate::page::view::card::{Builder, verb_sentence};
use crate::page::view::shown::{self, Shown};
use crate::page::view::{Cell, Sheet};
use crate::page::{Manual, address};
use crate::work::{Repair, Role, WorkedValue};

/// What a step shows of each conductor: the header's label, the value's role, its output.
type Column = (&'static str, &'static [Role], &'static str);

const CUT: &[Column] =
    &[("col_trim_near", &[Role::Offset], "trim-near"), ("col_trim_far", &[Role::Offset], "trim-far")];
const SLEEVE: &[Column] = &[
    ("col_sleeve", &[Role::Sleeve, Role::InnerSleeve, Role::OuterSleeve], "sleeve"),
    ("col_cut", &[Role::Sleeve, Role::InnerSleeve, Role::OuterSleeve], "cut-length"),
];
const JOIN: &[Column] = &[("col_length", &[Role::Joint], "length"), ("col_strip", &[Role::Joint], "strip")];
const COVER: &[Column] = &[("col_finished", &[Role::InnerSleeve], "finished-diameter")];
const SHIELD: &[Column] =
    &[("col_bridge", &[Role::Strip], "shield-bridge"), ("col_over_shield", &[Role::Bridge], "result")];
const SHRINK: &[Column] = &[("col_finished", &[Role::Sleeve, Role::OuterSleeve], "finished-diameter")];

fn columns(verb: Verb) -> &'static [Column] {
    match verb {
        Verb::Cut => CUT,
        Verb::SleeveOn => SLEEVE,
        Verb::Join | Verb::Insert => JOIN,
        Verb::CoverCore => COVER,
        Verb::CloseShield => SHIELD,
        Verb::Shrink => SHRINK,
        _ => &[],
    }
}

/// The table of the conductors that a step moves, where it moves any.
pub(super) fn table(builder: &Builder<'_>) -> Option<Sheet> {
    let moved = builder.own_moves().filter(|moved| builder.is_conductor(moved));
    let moved: Vec<(&Item, Verb)> =
        moved.filter_map(|moved| Some((builder.worked.items.get(&moved.item)?, moved.verb?))).collect();
    let (_, first) = moved.first()?;
    let say = |key: &str| builder.say(key);
    let more = columns(*first);
    let mut heads = vec![(say("col_wire"), false), (say("col_colour"), false), (say("col_carries"), false)];
    heads.extend(more.iter().map(|(key, ..)| (say(key), *key != "col_sleeve")));
    let verbs: Vec<Verb> = moved.iter().map(|(_, verb)| *verb).collect();
    let caption = if verbs.iter().all(|verb| verb == first) {
        asked(builder.manual, *first, moved.len())
    } else {
        say("conductors_title")
    };
    let mut sheet = Sheet::new(caption, heads);
    for (item, _) in moved.iter().filter(|(item, _)| item.kind() == Kind::Conductor) {
        let to = address::item(&builder.procedure.id, &item.id);
        let mut cells = vec![
            Cell::link(builder.link(&to), item.id.clone()),
            Cell::text(item.colour().map(|c| shown::colour(builder.manual, c)).unwrap_or_default()),
            Cell::text(item.carries().to_owned()),
        ];
        let joint = builder.worked.schedule.of(&item.id);
        cells.extend(more.iter().map(|column| cell(builder, joint, column)));
        sheet.push(None, cells);
    }
    Some(sheet.without_empty_columns())
}

/// What is to be done with so many wires: `Join the wires (3)`.
fn asked(manual: &Manual<'_>, verb: Verb, wires: usize) -> String {
    let one = if wires == 1 { "wire.one" } else { "wire.other" };
    let sentence = verb_sentence(manual, verb).replace("{what}", &manual.theme.say(one));
    if wires == 1 { sentence } else { format!("{sentence} ({wires})") }
}

fn cell(builder: &Builder<'_>, joint: Option<&Repair>, (_, roles, output): &Column) -> Cell {
    let Some(joint) = joint else { return Cell::default() };
    let values = roles.iter().filter_map(|role| builder.worked.part(&joint.conductor, *role));
    let values: Vec<&WorkedValue> = values.collect();
    let Some(first) = values.first() else { return Cell::default() };
    let shown = values.iter().filter_map(|value| {
        let outcome = &value.result.as_ref().ok()?.outcome;
        let (rounding, _) = shown::output(&value.working, output);
        Some(Shown::value(builder.manual, outcome.get(output)?, rounding))
    });
    let shown: Vec<Shown> = shown.collect();
    if shown.is_empty() {
        let reasons = values.iter().filter_map(|value| value.result.as_ref().err()).flatten();
        let reason = reasons.map(|refusal| builder.manual.theme.tell(&refusal.message)).next();
        return reason.map_or_else(Cell::default, Cell::gap);
    }
    let seconds: Vec<String> = shown.iter().filter_map(|one| one.second.clone()).collect();
    Cell {
        second: (!seconds.is_empty()).then(|| seconds.join(" + ")),
        how: Some(builder.link(&address::value(&builder.procedure.id, &first.id))),
        ..Cell::text(shown.iter().map(Shown::text).collect::<Vec<_>>().join(" + "))
    }
}
