//! A step's block.

use super::acceptance;
use super::fields::{self, FORM, Fields, place};
use super::forms;
use super::scalars;
use super::yaml::{self, Kind as Yaml, Node};
use crate::finding::{FileId, Finding, Sink, nearest, or_list};
use crate::model::format::procedure::{KIT_EXTRA, USE, WAIVER};
use crate::model::format::step::{CHOICE, FIGURE, MESSAGE, RECORD, STEP, WAIT, WITHIN};
use crate::model::{
    CarryOut, Check, Choice, Deed, Figure, Given, Key, Message, Otherwise, Place, Prose, Record, Reference,
    Scheme, Step, Store, Target, Turn, Use, Verb, Waiver, is_id,
};
use crate::quantity::Quantity;
use std::ops::Range as Stretch;

/// A step with nothing in it yet.
pub(super) fn bare(id: String, number: u32, title: Prose, heading: String, at: Place) -> Step {
    Step {
        id,
        number,
        title,
        heading: heading.trim().to_owned(),
        carry_out: None,
        does: Vec::new(),
        needs_off: None,
        tools: Vec::new(),
        protection: Vec::new(),
        consumables: Vec::new(),
        parts: Vec::new(),
        minutes: None,
        people: None,
        messages: Vec::new(),
        check: None,
        choose: Vec::new(),
        wait: None,
        within: None,
        record: Vec::new(),
        waivers: Vec::new(),
        figures: Vec::new(),
        prose: Prose { text: String::new(), place: at },
        place: at,
    }
}

/// The keys that the ledger replays.
const REPLAYED: [&str; 6] = ["carry-out", "does", "needs-off", "check", "choose", "within"];

/// Reads the block that stands in a stretch of the file into its step; answers whether what could not be read may
/// be something that the ledger replays.
pub(super) fn fill(
    step: &mut Step,
    file: FileId,
    text: &str,
    yaml: &Stretch<usize>,
    sink: &mut Sink,
) -> bool {
    let node = match yaml::read(file, text, yaml.start, yaml.end) {
        Ok(node) => node,
        Err(finding) => {
            sink.push(*finding);
            return true;
        }
    };
    if matches!(node.kind, Yaml::Null) {
        return false;
    }
    let Some(mut fields) = Fields::declared(&node, "a step", STEP, sink) else { return true };
    let mut acts = Sink::new();
    replayed(step, &mut fields, &mut acts);
    // A key that nobody knows may be one of these, misspelt.
    let names = || STEP.iter().map(|key| key.name);
    let misspelt = |key: &str| nearest(key, names()).is_none_or(|near| REPLAYED.contains(&near));
    let lost = acts.has_errors() || fields.unknown().any(misspelt);
    sink.take(acts);
    said(step, &mut fields, sink);
    fields.finish(sink);
    lost
}

/// What the ledger replays of a step.
fn replayed(step: &mut Step, fields: &mut Fields<'_>, sink: &mut Sink) {
    step.carry_out = fields.node("carry-out").and_then(|node| carry_out(node, sink));
    step.does = fields.node("does").map(|node| deeds(node, sink)).unwrap_or_default();
    step.needs_off = fields.node("needs-off").map(|node| forms::references(node, &["item"], sink));
    step.check = fields.node("check").and_then(|node| check(node, sink));
    step.choose = fields.node("choose").map(|node| choices(node, sink)).unwrap_or_default();
    let within = fields.node("within").and_then(|node| time(node, WITHIN, "otherwise", sink));
    step.within = within.map(|(time, words, at)| (time, words.map(otherwise), at));
}

/// What else people read of it.
fn said(step: &mut Step, fields: &mut Fields<'_>, sink: &mut Sink) {
    step.tools = fields.node("tools").map(|node| uses(Store::Tools, node, sink)).unwrap_or_default();
    step.protection =
        fields.node("protection").map(|node| uses(Store::Protection, node, sink)).unwrap_or_default();
    step.consumables =
        fields.node("consumables").map(|node| uses(Store::Consumables, node, sink)).unwrap_or_default();
    step.parts = fields.node("parts").map(|node| uses(Store::Parts, node, sink)).unwrap_or_default();
    step.minutes = match fields.figure("minutes", sink) {
        Some((Figure::Number(minutes), _)) => Some(minutes),
        _ => None,
    };
    step.people = fields.whole_number("people", sink);
    step.messages = fields.node("messages").map(|node| messages(node, sink)).unwrap_or_default();
    step.wait = fields.node("wait").and_then(|node| time(node, WAIT, "source", sink));
    step.record = fields.node("record").map(|node| records(node, sink)).unwrap_or_default();
    step.waivers = fields.node("waive").map(|node| waivers(node, sink)).unwrap_or_default();
    step.figures = fields.node("figures").map(|node| figures(node, sink)).unwrap_or_default();
}

fn carry_out(node: &Node, sink: &mut Sink) -> Option<CarryOut> {
    if let Yaml::Scalar(text) = &node.kind {
        return target(text, node, Given::new(), sink);
    }
    let mut fields = Fields::of(node, "`carry-out`", sink)?;
    let of = fields.must("of", sink);
    let mut given = Given::new();
    if let Some(node) = fields.node("given")
        && let Yaml::Map(entries) = &node.kind
    {
        for (key, node) in entries {
            if let Some((word, _)) = fields::id(node, sink) {
                given.insert(key.text.clone(), word);
            }
        }
    }
    fields.finish(sink);
    let of = of?;
    let text = fields::scalar(of, sink)?;
    target(text, of, given, sink)
}

fn target(text: &str, node: &Node, given: Given, sink: &mut Sink) -> Option<CarryOut> {
    let bare = text.strip_prefix("procedure:").unwrap_or(text);
    match Reference::within(Scheme::Procedure, bare) {
        Ok(Reference { id, inner, field: None, .. }) => {
            Some(CarryOut { procedure: id, stage: inner, given, place: place(node.span) })
        }
        Ok(_) => {
            let finding = Finding::error(FORM, format!("`{text}` has a field"));
            sink.push(finding.at(node.span, "a procedure, or `procedure/stage`, is wanted here"));
            None
        }
        Err(error) => {
            sink.push(fields::bad_reference(&error, node.span));
            None
        }
    }
}

/// `- remove: lining-screws`, `- remove lining-screws` or `- remove: {item: lining-screws, count: 4}`.
fn deeds(node: &Node, sink: &mut Sink) -> Vec<Deed> {
    let mut deeds = Vec::new();
    for node in fields::list(node) {
        match &node.kind {
            Yaml::Scalar(text) => match text.split_once(' ') {
                Some((word, item)) => {
                    deeds.extend(deed(word, node, item.trim(), None, place(node.span), sink));
                }
                None => {
                    let headline = format!("`{}` names no item", fields::shorten(text));
                    sink.push(
                        Finding::error(FORM, headline)
                            .at(node.span, "a verb and an item are wanted, such as `remove: lining-screws`"),
                    );
                }
            },
            Yaml::Map(entries) => {
                for (key, value) in entries {
                    let whole = place(key.span.to(value.span));
                    let at = Node { span: key.span, kind: Yaml::Scalar(key.text.clone()) };
                    match &value.kind {
                        Yaml::Scalar(item) => deeds.extend(deed(&key.text, &at, item, None, whole, sink)),
                        // A verb that is misspelt is told once, and each item has its own place.
                        Yaml::List(_) => {
                            for node in fields::list(value) {
                                let Some(item) = fields::scalar(node, sink) else { continue };
                                deeds.extend(deed(&key.text, &at, item, None, place(node.span), sink));
                            }
                        }
                        _ => {
                            let Some(mut fields) = Fields::of(value, "what is done", sink) else { continue };
                            let item = fields.must_text("item", sink);
                            let count = fields.count("count", sink);
                            fields.finish(sink);
                            if let Some((item, _)) = item {
                                deeds.extend(deed(&key.text, &at, &item, count, whole, sink));
                            }
                        }
                    }
                }
            }
            _ => {
                let headline = format!("a verb and an item are wanted here, and this is {}", node.noun());
                sink.push(Finding::error(FORM, headline).at(node.span, "such as `- remove: lining-screws`"));
            }
        }
    }
    deeds
}

fn deed(
    word: &str,
    at: &Node,
    item: &str,
    count: Option<u32>,
    whole: Place,
    sink: &mut Sink,
) -> Option<Deed> {
    if let Some(bare) = word.strip_prefix('-').filter(|bare| Verb::of(bare).is_some()) {
        sink.push(
            Finding::error(FORM, "a space is missing after this dash")
                .at(at.span, "an entry of a list begins with a dash and a space")
                .help(format!("write `- {bare}: {}`", fields::shorten(item))),
        );
        return deed(bare, at, item, count, whole, sink);
    }
    let known = Verb::of(word);
    let near = known.is_none().then(|| nearest(word, Verb::words())).flatten();
    if known.is_none() {
        sink.push(
            Finding::error(FORM, format!("`{}` is not a verb of the ledger", fields::shorten(word)))
                .at(at.span, "a verb is wanted here")
                .help(near.map_or_else(
                    || format!("it knows {}", or_list(Verb::words())),
                    |near| format!("write `{near}`"),
                )),
        );
    }
    // The verb that was probably meant is replayed, so that a slip of the pen is one finding and not one for
    // everything that it leaves open.
    let verb = known.or_else(|| Verb::of(near?))?;
    Some(Deed { verb, on: target_of(item, whole, sink)?, count, place: whole })
}

/// What a verb is done to: an item or a group, alone or in full, or a loom of the vehicle.
fn target_of(text: &str, at: Place, sink: &mut Sink) -> Option<Target> {
    if let Some(loom) = text.strip_prefix("loom:") {
        if is_id(loom) {
            return Some(Target::Loom(loom.to_owned()));
        }
        sink.push(fields::not_an_id(loom, super::span(at)));
        return None;
    }
    let item = text.strip_prefix("item:").unwrap_or(text);
    // A parameter in braces stands for a word that the caller gives.
    let settled: String = item.replace(['{', '}'], "");
    if !is_id(&settled) {
        forms::bare_id(item, super::span(at), &["item"], sink);
        return None;
    }
    Some(Target::Item(item.to_owned()))
}

fn uses(store: Store, node: &Node, sink: &mut Sink) -> Vec<Use> {
    let mut uses = Vec::new();
    let scheme = store.declaration().scheme.as_slice();
    for node in fields::list(node) {
        if let Yaml::Map(_) = node.kind {
            let Some(mut fields) = Fields::declared(node, format!("a use of a {}", store.noun()), USE, sink)
            else {
                continue;
            };
            let of = fields.must("of", sink).and_then(|node| forms::reference(node, scheme, sink));
            let quantity = fields.node("quantity").and_then(|node| {
                Some((scalars::amount(fields::scalar(node, sink)?, node.span, sink)?, place(node.span)))
            });
            fields.finish(sink);
            if let Some((id, place)) = of {
                uses.push(Use { store, id, quantity, place });
            }
        } else if let Some((id, place)) = forms::reference(node, scheme, sink) {
            uses.push(Use { store, id, quantity: None, place });
        }
    }
    uses
}

/// Kit that no step names: `kit-extra: {tools: […], parts: […]}`.
pub(super) fn kit_extra(node: &Node, sink: &mut Sink) -> Vec<Use> {
    let Some(mut fields) = Fields::declared(node, "`kit-extra`", KIT_EXTRA, sink) else { return Vec::new() };
    let mut extra = Vec::new();
    for (key, store) in [
        ("tools", Store::Tools),
        ("consumables", Store::Consumables),
        ("parts", Store::Parts),
        ("protection", Store::Protection),
    ] {
        if let Some(node) = fields.node(key) {
            extra.extend(uses(store, node, sink));
        }
    }
    fields.finish(sink);
    extra
}

fn messages(node: &Node, sink: &mut Sink) -> Vec<Message> {
    let mut messages = Vec::new();
    for node in fields::list(node) {
        if let Yaml::Map(_) = node.kind {
            let Some(mut fields) = Fields::declared(node, "a message", MESSAGE, sink) else { continue };
            let word = fields.said("word", sink);
            let hazard = fields.said("hazard", sink);
            let consequence = fields.said("consequence", sink);
            let avoid = fields.said("avoid", sink);
            fields.finish(sink);
            if let (Some((word, _)), Some(hazard), Some(consequence), Some(avoid)) =
                (word, hazard, consequence, avoid)
            {
                messages.push(Message::Full {
                    word,
                    hazard: hazard.0,
                    consequence: consequence.0,
                    avoid: avoid.0,
                    place: place(node.span),
                });
            }
        } else if let Some((id, place)) = forms::reference(node, &["hazard"], sink) {
            messages.push(Message::Hazard(id, place));
        }
    }
    messages
}

fn check(node: &Node, sink: &mut Sink) -> Option<Check> {
    let at = place(node.span);
    if let Yaml::Scalar(text) = &node.kind {
        return Some(if text == "counted" { Check::Counted(at) } else { Check::Text(text.clone(), at) });
    }
    if let Yaml::List(_) = node.kind {
        sink.push(
            Finding::error(FORM, "a step has one check, and this is a list")
                .at(node.span, "one text, or `measure` and `accept`, is wanted here")
                .help("keep one of them here, and make a step of each of the others"),
        );
        return None;
    }
    let mut fields = Fields::of(node, "a check", sink)?;
    let measure = fields.must_text("measure", sink);
    let named = measure.as_ref().map_or("", |(measure, _)| measure.as_str());
    let accept = fields.must("accept", sink).and_then(|node| acceptance::read(node, named, sink));
    let otherwise = fields.text("otherwise", sink).map(|(words, at)| (otherwise(words), at));
    fields.finish(sink);
    Some(Check::Measured { measure: measure?.0, accept: Box::new(accept?), otherwise, place: at })
}

/// Where a branch leads that says so: a step in full or by its bare id, or the word that ends the job.
fn turn(text: &str) -> Option<Turn> {
    if text == "stop" {
        return Some(Turn::Stop);
    }
    match Reference::parse(text) {
        Ok(Reference { scheme: Scheme::Step, id, inner: None, field: None }) => Some(Turn::Step(id)),
        _ => is_id(text).then(|| Turn::Step(text.to_owned())),
    }
}

/// What to do otherwise. One word is the id of a step; who means words writes a sentence.
fn otherwise(words: String) -> Otherwise {
    turn(&words).map_or(Otherwise::Words(words), Otherwise::Turn)
}

fn choices(node: &Node, sink: &mut Sink) -> Vec<Choice> {
    let mut choices = Vec::new();
    for node in fields::list(node) {
        let Some(mut fields) = Fields::declared(node, "a choice", CHOICE, sink) else { continue };
        let when = fields.said("when", sink);
        let then = fields.must_text("then", sink);
        fields.finish(sink);
        let (Some((when, _)), Some((text, at))) = (when, then) else { continue };
        match (turn(&text), Reference::parse(&text)) {
            (Some(then), _) => choices.push(Choice { when, then, place: at }),
            (None, Err(error)) if Reference::looks_like(&text) => {
                sink.push(fields::bad_reference(&error, super::span(at)));
            }
            (None, _) => {
                let finding = Finding::error(FORM, format!("`{}` is not a step", fields::shorten(&text)));
                sink.push(finding.at(super::span(at), "`step:ID`, or `stop`, is wanted here"));
            }
        }
    }
    choices
}

/// `{time: 10 min, source: maker}` or `{time: 10 min, otherwise: …}`.
fn time(
    node: &Node,
    keys: &'static [Key],
    second: &'static str,
    sink: &mut Sink,
) -> Option<(Quantity, Option<String>, Place)> {
    if let Yaml::Scalar(text) = &node.kind {
        let example = if second == "source" { "source: maker" } else { "otherwise: step:…" };
        let key = if second == "source" { "wait" } else { "within" };
        sink.push(
            Finding::error(FORM, "a time stands under a key of its own")
                .at(node.span, format!("`time` and `{second}` are wanted here"))
                .help(format!("write `{key}: {{time: {}, {example}}}`", fields::shorten(text))),
        );
        return None;
    }
    let mut fields = Fields::declared(node, "a time", keys, sink)?;
    let time = fields.measure("time", sink).map(|(time, _)| time);
    let words = fields.text(second, sink).map(|(text, _)| text);
    fields.finish(sink);
    Some((time?, words, place(node.span)))
}

fn records(node: &Node, sink: &mut Sink) -> Vec<Record> {
    let mut records = Vec::new();
    for node in fields::list(node) {
        let Some(mut fields) = Fields::declared(node, "a record", RECORD, sink) else { continue };
        let ask = fields.said("ask", sink);
        let unit = fields.said("unit", sink);
        fields.finish(sink);
        if let Some((ask, _)) = ask {
            records.push(Record { ask, unit: unit.map(|(unit, _)| unit), place: place(node.span) });
        }
    }
    records
}

/// `{rule: KIT-03, reason: …, by: …}`, or a list of them.
pub(super) fn waivers(node: &Node, sink: &mut Sink) -> Vec<Waiver> {
    let mut waivers = Vec::new();
    for node in fields::list(node) {
        let Some(mut fields) = Fields::declared(node, "a waiver", WAIVER, sink) else { continue };
        let rule = fields.said("rule", sink);
        let reason = fields.said("reason", sink);
        let by = fields.said("by", sink);
        fields.finish(sink);
        if let (Some((rule, at)), Some((reason, _)), Some((by, _))) = (rule, reason, by) {
            waivers.push(Waiver { rule, reason, by, place: at });
        }
    }
    waivers
}

fn figures(node: &Node, sink: &mut Sink) -> Vec<(String, Option<String>, Place)> {
    let mut figures = Vec::new();
    for node in fields::list(node) {
        if let Yaml::Map(_) = node.kind {
            let Some(mut fields) = Fields::declared(node, "a figure", FIGURE, sink) else { continue };
            let figure = fields.must_text("figure", sink);
            let alt = fields.said("alt", sink);
            fields.finish(sink);
            if let Some((figure, at)) = figure {
                figures.push((file(&figure), alt.map(|(alt, _)| alt), at));
            }
        } else if let Some(text) = fields::scalar(node, sink) {
            figures.push((file(text), None, place(node.span)));
        }
    }
    figures
}

/// The file below `figures/` that a text names, alone or in full.
fn file(text: &str) -> String {
    text.strip_prefix("figure:").unwrap_or(text).to_owned()
}
