//! The ledger's data for the page's script: which tick moves what, and the words to say it with.

use crate::model::{Kind, Life, Procedure};
use crate::page::Manual;
use crate::page::view::card::{parts, state_word};
use crate::work::WorkedProcedure;
use serde_json::{Map, Value, json};

/// The data as JSON that may stand in a page: `<` is written `\u003c`.
pub fn data(manual: &Manual<'_>, procedure: &Procedure, worked: &WorkedProcedure) -> String {
    let shop = &manual.worked.parsed().shop().id;
    let revision = procedure.revision.as_ref().map_or("-", |approval| approval.letter.as_str());
    let data = json!({
        "key": format!("{shop}/{}/{revision}", procedure.id),
        "shop": shop,
        "procedure": procedure.id,
        "title": procedure.title,
        "units": units(manual, procedure, worked),
        "items": items(procedure, worked),
        "words": words(manual, worked),
    });
    data.to_string().replace('<', "\\u003c")
}

/// Everything that can be ticked, in the order of work: steps, and the parts that a step carries out.
fn units(manual: &Manual<'_>, procedure: &Procedure, worked: &WorkedProcedure) -> Vec<Value> {
    let moves = |leg: usize| -> Vec<Value> {
        let moved = worked.replay.on_leg(leg);
        moved.map(|moved| json!([moved.item, moved.from.word(), moved.to.word(), moved.count])).collect()
    };
    let mut units = Vec::new();
    for step in procedure.steps() {
        let legs: Vec<_> = worked.route.at(&step.id).collect();
        let own = legs.iter().find(|(_, leg)| leg.depth == 0).map(|(at, _)| moves(*at));
        units.push(json!({
            "id": step.id, "n": step.number, "t": step.heading, "moves": own.unwrap_or_default(),
        }));
        for (id, at, leg) in parts(&step.id, &legs) {
            let run = manual.procedure(&leg.procedure).and_then(|run| run.step(&leg.step));
            let heading = run.map(|step| step.heading.as_str()).unwrap_or_default();
            units
                .push(json!({ "id": id, "of": step.id, "n": step.number, "t": heading, "moves": moves(at) }));
        }
    }
    units
}

fn items(procedure: &Procedure, worked: &WorkedProcedure) -> Map<String, Value> {
    let touched = worked.items.values().filter(|item| worked.replay.touches(&item.id));
    let entry = |item: &crate::model::Item| {
        let start = procedure.expects.get(&item.id).map_or(item.life().start(), |(state, _)| *state);
        let mut ends: Vec<&str> = item.life().ends().iter().map(|state| state.word()).collect();
        if let Some((state, _)) = procedure.leaves.get(&item.id) {
            ends.push(state.word());
        }
        let data = json!({
            "name": item.name, "kind": item.kind().noun(), "count": item.count(), "start": start.word(), "ends": ends,
        });
        (item.id.clone(), data)
    };
    touched.map(entry).collect()
}

fn words(manual: &Manual<'_>, worked: &WorkedProcedure) -> Value {
    let say = |key: &str| manual.theme.say(key);
    let kinds: Vec<Kind> =
        Kind::ALL.into_iter().filter(|kind| worked.touched(*kind).next().is_some()).collect();
    let named: Vec<Value> = kinds
        .iter()
        .map(|kind| {
            json!([
                kind.noun(),
                say(&format!("kinds_{}", kind.noun())),
                say(&format!("stop_{}", kind.noun()))
            ])
        })
        .collect();
    let mut states = Map::new();
    for kind in &kinds {
        for state in Life::all_of(*kind).iter().flat_map(|life| life.states()) {
            states
                .insert(format!("{}/{}", kind.noun(), state.word()), state_word(manual, *kind, state).into());
        }
    }
    json!({
        "states": states,
        "kinds": named,
        "again": say("tick_again"),
        "clear_again": say("clear_again"),
        "device": say("not_proof"),
        "items": say("loose_count"),
        "last": say("resume_last"),
        "next": say("resume_next"),
        "nothing": say("loose_nothing"),
        "printed": say("printed"),
        "stop": say("stop_title"),
        "always": say("stop_always"),
        "unknown": say("loose_unknown"),
        "unknown_long": say("loose_unknown_long"),
    })
}
