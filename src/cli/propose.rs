//! `inspect --propose`: the steps that would close each ledger, as Markdown to paste and edit.

use crate::ledger::{Closing, propose};
use crate::model::{Fate, Item, Line, Procedure, Stage, State, Store, Stores, Torque, slug};
use crate::quantity::{Quantity, unit};
use crate::work::{Worked, WorkedProcedure};
use std::collections::BTreeSet;
use std::fmt::Write as _;

/// The steps for one procedure, under a line for each place where they go; none where nothing is left open.
pub(super) fn steps(worked: &Worked, procedure: &Procedure, known: &WorkedProcedure) -> Option<String> {
    let stores = worked.parsed().stores();
    let proposed = propose(&known.items, &known.replay, |item| Fate::of(item, stores));
    let mut taken: BTreeSet<String> = procedure.steps().map(|step| step.id.clone()).collect();
    let mut text = String::new();
    let mut last = None;
    for closing in &proposed {
        let Some(item) = known.items.get(&closing.item) else { continue };
        let place = place(procedure, known, closing);
        if last.as_ref() != Some(&place) {
            // A write to a String cannot fail.
            let _ = writeln!(text, "# {}, {place}\n", procedure.id);
            last = Some(place);
        }
        text.push_str(&step(stores, item, closing, &mut taken));
        text.push('\n');
    }
    (!text.is_empty()).then_some(text)
}

/// Where a step goes, in words: before a step, or at the end of a stage; what may wait comes last before the
/// close-out.
fn place(procedure: &Procedure, known: &WorkedProcedure, closing: &Closing) -> String {
    let leg = closing.before.and_then(|leg| known.route.legs.get(leg));
    let close_out = procedure.stages.last().and_then(|stage| stage.steps.first());
    let target =
        leg.map(|leg| leg.top.as_str()).or(close_out.map(|step| step.id.as_str())).unwrap_or_default();
    let first = |stage: &Stage| stage.steps.first().is_some_and(|step| step.id == target);
    let stages = procedure.stages.iter();
    match stages.clone().zip(stages.skip(1)).find(|(_, stage)| first(stage)) {
        Some((before, _)) => format!("at the end of {}", before.id),
        None => format!("before {target}"),
    }
}

fn stored<'a>(stores: &'a Stores, item: &Item) -> Option<&'a Line> {
    let of = item.of()?;
    [Store::Fasteners, Store::Parts].into_iter().find_map(|store| stores.get(store, of))
}

fn step(stores: &Stores, item: &Item, closing: &Closing, taken: &mut BTreeSet<String>) -> String {
    let mut text = format!(
        "### {} {{#{}}}\n\n```step\ndoes:\n",
        closing.verb.title(&item.in_sentence()),
        id(item, closing, taken)
    );
    let act = closing.line();
    let driven = item.kind().is_fastening();
    let tightens = driven && closing.verb.leads_to(State::Tight);
    let torque = torque(stores, item);
    let _ = match (tightens, &torque) {
        (true, Some((said, _))) => writeln!(text, "  {act}  # {said}"),
        _ => writeln!(text, "  {act}"),
    };
    let figure = torque.and_then(|(_, figure)| figure).filter(|_| tightens);
    let tools = if driven { tools(stores, item, figure.as_ref()) } else { Vec::new() };
    if !tools.is_empty() {
        let _ = writeln!(text, "tools: [{}]", tools.join(", "));
    }
    if let Some(line) = item.life().seen(closing.verb) {
        let _ = writeln!(text, "{line}");
    }
    text.push_str("```\n");
    text
}

/// An id for the step that no other step has.
fn id(item: &Item, closing: &Closing, taken: &mut BTreeSet<String>) -> String {
    let plain = slug(&format!("{} {}", closing.verb.word(), item.id));
    let mut id = plain.clone();
    let mut again = 2;
    while !taken.insert(id.clone()) {
        id = slug(&format!("{} {again} {}", closing.verb.word(), item.id));
        again += 1;
    }
    id
}

/// How tight, in words and as a figure where it is one.
fn torque(stores: &Stores, item: &Item) -> Option<(String, Option<Quantity>)> {
    let line = stored(stores, item);
    let source = item.source.as_deref().or(line.and_then(|line| line.source_of("torque")));
    let figure = |figure: &Quantity| {
        let source = source.map_or_else(String::new, |source| format!(", {source}"));
        // In source that people edit, an ordinary space.
        let said = figure.to_string().replace(['\u{a0}', '\u{202f}'], " ");
        (format!("{said}{source}"), Some(figure.clone()))
    };
    match (item.torque(), line) {
        (Some(Torque::Figure(quantity)), _) => Some(figure(quantity)),
        (Some(Torque::Maker), _) => Some(("the maker's torque".to_owned(), None)),
        (Some(Torque::HandTight), _) => Some(("hand-tight".to_owned(), None)),
        (None, Some(line)) => match (line.quantity("torque"), line.text("torque")) {
            (Some(quantity), _) => Some(figure(quantity)),
            (None, Some("maker")) => Some(("the maker's torque".to_owned(), None)),
            (None, Some(word)) => Some((word.to_owned(), None)),
            (None, None) => None,
        },
        (None, None) => None,
    }
}

/// A tool of the fastener's drive, and where a torque is to be met, the smallest wrench that measures it.
fn tools(stores: &Stores, item: &Item, torque: Option<&Quantity>) -> Vec<String> {
    let drive = stored(stores, item).and_then(|line| line.text("drive"));
    let wrench = torque.and_then(|torque| wrench(stores, torque));
    let fits = |line: &&Line| drive.is_some() && line.text("drive") == drive;
    let mut fitting: Vec<&Line> = stores.lines(Store::Tools).filter(fits).collect();
    // On a wrench goes a bit or a socket, not a driver with a handle.
    let driver = |line: &&Line| line.name.to_lowercase().contains("driver");
    fitting.sort_by_key(|line| driver(line) == wrench.is_some());
    wrench.into_iter().chain(fitting.first().copied()).map(|line| line.id.clone()).collect()
}

/// The torque wrench of the smallest range that measures a torque; the lowest fifth of a range does not.
fn wrench<'a>(stores: &'a Stores, torque: &Quantity) -> Option<&'a Line> {
    let newton_metre = unit("N·m")?;
    let wanted = torque.in_unit(newton_metre).ok()?;
    let range = |line: &Line| line.range("range").and_then(|range| range.in_unit(newton_metre).ok());
    let measures = |line: &&Line| {
        range(line).is_some_and(|(least, most)| wanted >= least.max(0.2 * most) && wanted <= most)
    };
    let most = |line: &&Line| range(line).map_or(f64::INFINITY, |(_, most)| most);
    stores.lines(Store::Tools).filter(measures).min_by(|a, b| most(a).total_cmp(&most(b)))
}
