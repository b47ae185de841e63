//! The conductors that a step works on, with what it needs of each: colour, sleeve, cut length, strip.

use crate::model::{Item, Kind, Verb};
use crate::page::address;
use crate::page::view::card::Builder;
use crate::page::view::shown::{self, Shown};
use crate::page::view::{Cell, Sheet};
use crate::work::{Joint, WorkedValue};

/// What a step shows of each conductor: the header's label, the value's name, its output.
type Column = (&'static str, &'static [&'static str], &'static str);

const CUT: &[Column] =
    &[("col_trim_near", &["offset"], "trim-near"), ("col_trim_far", &["offset"], "trim-far")];
const SLEEVE: &[Column] = &[
    ("col_sleeve", &["sleeve", "inner-sleeve", "outer-sleeve"], "sleeve"),
    ("col_cut", &["sleeve", "inner-sleeve", "outer-sleeve"], "cut-length"),
];
const JOIN: &[Column] = &[("col_length", &["joint"], "length"), ("col_strip", &["joint"], "strip")];
const SHRINK: &[Column] = &[("col_finished", &["sleeve", "outer-sleeve"], "finished-diameter")];

fn columns(verb: Verb) -> &'static [Column] {
    match verb {
        Verb::Cut => CUT,
        Verb::SleeveOn => SLEEVE,
        Verb::Join | Verb::Insert => JOIN,
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
        crate::page::view::card::verb_word(builder.manual, *first)
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
        let joint = builder.worked.schedule.joints.iter().find(|joint| joint.conductor == item.id);
        cells.extend(more.iter().map(|column| cell(builder, joint, column)));
        sheet.push(None, cells);
    }
    Some(sheet.without_empty_columns())
}

fn cell(builder: &Builder<'_>, joint: Option<&Joint>, (_, names, output): &Column) -> Cell {
    let Some(joint) = joint else { return Cell::default() };
    let values = names.iter().filter_map(|name| builder.worked.value(&format!("{}/{name}", joint.conductor)));
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
