//! Items: declared in a vehicle's file, or by a procedure.

use super::fields::{self, FORM, Fields, place};
use super::looms;
use super::yaml::{self, Kind as Yaml, Node};
use crate::finding::{FileId, Finding, Sink, Span};
use crate::model::{
    Action, Available, Conductor, Connector, Fastening, FromLoom, Item, JoinAs, Kind, Method, Place,
    ShieldJoint, Sort, Torque, Vehicle, What,
};
use crate::source::{Source, SourceFile};
use std::collections::{BTreeMap, BTreeSet};

/// Where a joint may lie.
const PLACES: &[&str] = &["dry", "wet", "flex", "hot", "dirty"];

/// Reads a vehicle's file and the loom tables that it names.
pub(super) fn read_vehicle(
    source: &Source,
    id: FileId,
    file: &SourceFile,
    text: &str,
    named: &mut BTreeSet<FileId>,
    sink: &mut Sink,
) -> Option<Vehicle> {
    let node = match yaml::read(id, text, 0, text.len()) {
        Ok(node) => node,
        Err(finding) => {
            sink.push(*finding);
            return None;
        }
    };
    let name = file.path.rsplit_once('/').map_or(file.path.as_str(), |(_, name)| name);
    let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
    let mut fields = Fields::of(&node, format!("the vehicle `{stem}`"), sink)?;
    if !crate::model::is_id(stem) {
        sink.push(fields::not_an_id(stem, Span::whole(id)).help("a vehicle's file is named by its id"));
        return None;
    }
    let mut vehicle = Vehicle {
        id: stem.to_owned(),
        name: fields.must_text("name", sink).map_or_else(String::new, |(name, _)| name),
        years: fields.text("years", sink).map(|(years, _)| years),
        items: BTreeMap::new(),
        looms: BTreeMap::new(),
        place: place(Span::whole(id)),
    };
    // A remark and its source serve the file's readers alone.
    fields.know(["note", "source"]);
    for kind in Kind::ALL {
        if let Some(node) = fields.node(kind.key()) {
            read_kind(kind, node, &mut vehicle.items, sink);
        }
    }
    if let Some(node) = fields.node("looms") {
        let folder = file.path.rsplit_once('/').map_or("", |(folder, _)| folder);
        looms::read(source, folder, node, &mut vehicle, named, sink);
    }
    fields.finish(sink);
    Some(vehicle)
}

/// A procedure's own items, and the loom from which it takes conductors.
#[derive(Default)]
pub(super) struct Own {
    pub(super) items: BTreeMap<String, Item>,
    pub(super) loom: Option<FromLoom>,
}

/// Reads a procedure's `items`.
pub(super) fn read_own(node: &Node, sink: &mut Sink) -> Own {
    let mut own = Own::default();
    let Some(mut fields) = Fields::of(node, "`items`", sink) else { return own };
    for kind in Kind::ALL {
        let Some(node) = fields.node(kind.key()) else { continue };
        if kind == Kind::Conductor && names_a_loom(node) {
            own.loom = read_loom(node, sink);
        } else {
            read_kind(kind, node, &mut own.items, sink);
        }
    }
    fields.finish(sink);
    own
}

fn names_a_loom(node: &Node) -> bool {
    match &node.kind {
        Yaml::Map(entries) => {
            entries.iter().any(|(key, node)| key.text == "loom" && matches!(node.kind, Yaml::Scalar(_)))
        }
        _ => false,
    }
}

fn read_loom(node: &Node, sink: &mut Sink) -> Option<FromLoom> {
    let mut fields = Fields::of(node, "`conductors`", sink)?;
    let loom = fields.must("loom", sink).and_then(|node| fields::id(node, sink));
    let which = fields.ids("of-which", sink);
    fields.finish(sink);
    let (loom, place) = loom?;
    Some(FromLoom { loom, place, which })
}

/// Reads the items of one kind.
fn read_kind(kind: Kind, node: &Node, items: &mut BTreeMap<String, Item>, sink: &mut Sink) {
    let Yaml::Map(entries) = &node.kind else {
        let headline = format!("`{}` maps ids to items, and this is {}", kind.key(), node.noun());
        sink.push(Finding::error(FORM, headline).at(node.span, "ids and items are wanted here"));
        return;
    };
    for (key, node) in entries {
        if !crate::model::is_id(&key.text) {
            sink.push(fields::not_an_id(&key.text, key.span));
            continue;
        }
        let at = place(key.span);
        let Some(item) = read_item(kind, &key.text, at, node, sink) else { continue };
        if let Some(first) = items.get(&key.text) {
            sink.push(twice(&key.text, at, first));
        } else {
            items.insert(key.text.clone(), item);
        }
    }
}

/// The finding of an id that names two items.
pub(super) fn twice(id: &str, at: Place, first: &Item) -> Finding {
    Finding::error(FORM, format!("`{id}` names two items"))
        .at(super::span(at), format!("the second; the first is a {}", first.kind().noun()))
        .label(super::span(first.place), "the first")
        .help("an id names one thing: give one of the two another id")
}

fn read_item(kind: Kind, id: &str, at: Place, node: &Node, sink: &mut Sink) -> Option<Item> {
    let mut fields = Fields::of(node, format!("the {} `{id}`", kind.noun()), sink)?;
    let what = read_what(kind, &mut fields, sink);
    let mut item = Item::new(what, id, at);
    if let Yaml::Map(entries) = &node.kind {
        item.said = entries.iter().map(|(key, node)| (key.text.clone(), place(node.span))).collect();
    }
    item.source = fields.text("source", sink).map(|(text, _)| text);
    item.note = fields.text("note", sink).map(|(text, _)| text);
    item.safety = matches!(fields.word("safety", &["yes", "no"], sink), Some(("yes", _)));
    let name = fields.text("name", sink).map(|(text, _)| text);
    let carries = item.conductor().and_then(|conductor| conductor.carries.clone());
    item.name = name.or(carries).unwrap_or_else(|| in_words(id));
    fields.finish(sink);
    Some(item)
}

/// What only items of this kind have.
fn read_what(kind: Kind, fields: &mut Fields<'_>, sink: &mut Sink) -> What {
    match kind {
        Kind::Energy => What::Energy { loses: plain(fields.ids("loses", sink)) },
        Kind::Panel => What::Panel { of: one(fields, "of", sink), hides: plain(fields.ids("hides", sink)) },
        Kind::Fastener => What::Fastening(read_fastening(Sort::Fastener, fields, sink)),
        Kind::Clip => What::Fastening(read_fastening(Sort::Clip, fields, sink)),
        Kind::Tie => What::Fastening(read_fastening(Sort::Tie, fields, sink)),
        Kind::Grommet => What::Fastening(read_fastening(Sort::Grommet, fields, sink)),
        Kind::Connector => What::Connector(Connector {
            of: one(fields, "of", sink),
            ways: fields.count("ways", sink),
            lock: fields.text("lock", sink).map(|(text, _)| text),
        }),
        Kind::Conductor => What::Conductor(Box::new(read_conductor(fields, sink))),
        Kind::Aid => What::Aid { count: fields.count("count", sink).unwrap_or(1) },
        Kind::Setting => What::Setting,
    }
}

fn one(fields: &mut Fields<'_>, key: &'static str, sink: &mut Sink) -> Option<String> {
    fields.node(key).and_then(|node| fields::id(node, sink)).map(|(id, _)| id)
}

fn plain(list: Vec<(String, Place)>) -> Vec<String> {
    list.into_iter().map(|(text, _)| text).collect()
}

/// An id as people would say it: `lining-screws` → `Lining screws`.
fn in_words(id: &str) -> String {
    let words = id.replace('-', " ");
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn read_fastening(sort: Sort, fields: &mut Fields<'_>, sink: &mut Sink) -> Fastening {
    Fastening {
        sort,
        of: one(fields, "of", sink),
        count: fields.count("count", sink).unwrap_or(1),
        holds: one(fields, "holds", sink),
        angle: fields.quantity("angle", "°", sink).map(|(angle, _)| angle),
        order: fields.text("order", sink).map(|(order, _)| order),
        torque: fields.node("torque").and_then(|node| torque(node, sink)),
    }
}

/// A torque, or the words for none.
fn torque(node: &Node, sink: &mut Sink) -> Option<Torque> {
    match fields::scalar(node, sink)? {
        "maker" => Some(Torque::Maker),
        "hand-tight" => Some(Torque::HandTight),
        _ => fields::quantity(node, Some("N·m"), sink).map(Torque::Figure),
    }
}

fn read_conductor(fields: &mut Fields<'_>, sink: &mut Sink) -> Conductor {
    let text = |fields: &mut Fields<'_>, key: &'static str, sink: &mut Sink| {
        fields.text(key, sink).map(|(text, _)| text)
    };
    let actions = &["join", "insert", "replace", "cap"];
    Conductor {
        of: one(fields, "of", sink),
        carries: text(fields, "carries", sink),
        colour: text(fields, "colour", sink),
        ends: [None, None],
        ways: [text(fields, "from-way", sink), text(fields, "to-way", sink)],
        length: fields.quantity("length", "mm", sink),
        action: fields
            .word("action", actions, sink)
            .and_then(|(word, at)| Action::of(word).map(|action| (action, at))),
        services: fields.ids("services", sink),
        join: read_join(fields, sink),
    }
}

/// The keys of `join-as`, which a conductor may have too.
pub(super) fn read_join(fields: &mut Fields<'_>, sink: &mut Sink) -> JoinAs {
    let shield = fields.word("shield-joint", &["bridged", "ferrule", "pigtail"], sink);
    let shield_joint = shield.map(|(word, at)| {
        let shield = match word {
            "pigtail" => ShieldJoint::Pigtail,
            "ferrule" => ShieldJoint::Ferrule,
            _ => ShieldJoint::Bridged,
        };
        (shield, at)
    });
    JoinAs {
        by: method(fields, sink),
        lap: fields.quantity("lap", "mm", sink),
        gap: fields.quantity("gap", "mm", sink),
        barrel: fields.quantity("barrel", "mm", sink),
        from: fields.ids("from", sink),
        shield_joint,
        removed: fields.quantity("removed", "mm", sink),
        available: fields.node("available").and_then(|node| available(node, sink)),
        place: fields.word("place", PLACES, sink).map(|(word, at)| (word.to_owned(), at)),
    }
}

fn method(fields: &mut Fields<'_>, sink: &mut Sink) -> Option<(Method, Place)> {
    let words = Method::ALL.map(Method::word);
    let (word, at) = fields.word("by", &words, sink)?;
    Method::ALL.into_iter().find(|method| method.word() == word).map(|method| (method, at))
}

/// How far two sides can reach past one another: a length, or the word for no limit.
fn available(node: &Node, sink: &mut Sink) -> Option<(Available, Place)> {
    let available = match fields::scalar(node, sink)? {
        "unlimited" => Available::Unlimited,
        _ => Available::Length(fields::quantity(node, Some("mm"), sink)?),
    };
    Some((available, place(node.span)))
}
