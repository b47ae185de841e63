//! Items: declared in a vehicle's file, or by a procedure.

use super::fields::{self, FORM, Fields, place};
use super::forms;
use super::looms;
use super::yaml::{self, Kind as Yaml, Node};
use crate::finding::{FileId, Finding, Sink, Span};
use crate::model::format::vehicle::{FROM_LOOM, GROUPS, VEHICLE, item_keys, item_maps};
use crate::model::{
    Action, Available, Conductor, Connector, Fastening, Figure, FromLoom, Group, Item, JoinAs, Kind, Method,
    Place, ShieldJoint, Sort, Torque, Vehicle, What,
};
use crate::source::{Source, SourceFile};
use std::collections::{BTreeMap, BTreeSet};

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
    let mut fields = Fields::declared(&node, format!("the vehicle `{stem}`"), VEHICLE, sink)?;
    if !crate::model::is_id(stem) {
        sink.push(fields::not_an_id(stem, Span::whole(id)).help("a vehicle's file is named by its id"));
        return None;
    }
    let mut vehicle = Vehicle {
        id: stem.to_owned(),
        name: fields.said("name", sink).map_or_else(String::new, |(name, _)| name),
        years: fields.said("years", sink).map(|(years, _)| years),
        items: BTreeMap::new(),
        looms: BTreeMap::new(),
        place: place(Span::whole(id)),
    };
    // A remark and its source serve the file's readers alone.
    fields.skim(["note", "source"], sink);
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
    pub(super) groups: BTreeMap<String, Group>,
    pub(super) loom: Option<FromLoom>,
}

/// Reads a procedure's `items`.
pub(super) fn read_own(node: &Node, sink: &mut Sink) -> Own {
    let mut own = Own::default();
    let keys = item_maps().chain(std::iter::once(&GROUPS));
    let Some(mut fields) = Fields::declared(node, "`items`", keys, sink) else { return own };
    for kind in Kind::ALL {
        let Some(node) = fields.node(kind.key()) else { continue };
        if kind == Kind::Conductor && names_a_loom(node) {
            own.loom = read_loom(node, sink);
        } else {
            read_kind(kind, node, &mut own.items, sink);
        }
    }
    if let Some(node) = fields.node(GROUPS.name) {
        own.groups = read_groups(node, sink);
    }
    fields.finish(sink);
    own
}

/// Reads groups of items: each an id with a list of items.
fn read_groups(node: &Node, sink: &mut Sink) -> BTreeMap<String, Group> {
    let mut groups = BTreeMap::new();
    let Yaml::Map(entries) = &node.kind else {
        let headline = format!("`groups` maps ids to lists of items, and this is {}", node.noun());
        sink.push(Finding::error(FORM, headline).at(node.span, "such as `{wires: [tail-feed, plate-feed]}`"));
        return groups;
    };
    for (key, node) in entries {
        if !crate::model::is_id(&key.text) {
            sink.push(fields::not_an_id(&key.text, key.span));
            continue;
        }
        let errors = sink.errors();
        let items = forms::references(node, &["item"], sink);
        if items.is_empty() && sink.errors() == errors {
            let finding = Finding::error(FORM, format!("the group `{}` is empty", key.text));
            sink.push(finding.at(node.span, "a list of items is wanted here"));
        }
        groups.insert(key.text.clone(), Group { items, place: place(key.span) });
    }
    groups
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
    let mut fields = Fields::declared(node, "`conductors`", FROM_LOOM, sink)?;
    let loom = fields.said("loom", sink);
    let which = fields.listed("of-which", sink);
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
            sink.push(looms::twice(&key.text, at, first));
        } else {
            items.insert(key.text.clone(), item);
        }
    }
}

fn read_item(kind: Kind, id: &str, at: Place, node: &Node, sink: &mut Sink) -> Option<Item> {
    let mut fields = Fields::declared(node, format!("the {} `{id}`", kind.noun()), item_keys(kind), sink)?;
    let what = read_what(kind, &mut fields, sink);
    let mut item = Item::new(what, id, at);
    if let Yaml::Map(entries) = &node.kind {
        item.said = entries.iter().map(|(key, node)| (key.text.clone(), place(node.span))).collect();
    }
    item.source = text(&mut fields, "source", sink);
    item.note = text(&mut fields, "note", sink);
    item.safety = text(&mut fields, "safety", sink).as_deref() == Some("yes");
    let name = text(&mut fields, "name", sink);
    let carries = item.conductor().and_then(|conductor| conductor.carries.clone());
    item.name = name.or(carries).unwrap_or_else(|| in_words(id));
    fields.finish(sink);
    Some(item)
}

/// What only items of this kind have.
fn read_what(kind: Kind, fields: &mut Fields<'_>, sink: &mut Sink) -> What {
    match kind {
        Kind::Energy => What::Energy { loses: plain(fields.listed("loses", sink)) },
        Kind::Panel => {
            What::Panel { of: text(fields, "of", sink), hides: plain(fields.listed("hides", sink)) }
        }
        Kind::Fastener => What::Fastening(read_fastening(Sort::Fastener, fields, sink)),
        Kind::Clip => What::Fastening(read_fastening(Sort::Clip, fields, sink)),
        Kind::Tie => What::Fastening(read_fastening(Sort::Tie, fields, sink)),
        Kind::Grommet => What::Fastening(read_fastening(Sort::Grommet, fields, sink)),
        Kind::Connector => What::Connector(Connector {
            of: text(fields, "of", sink),
            ways: fields.whole_number("ways", sink),
            lock: text(fields, "lock", sink),
        }),
        Kind::Conductor => What::Conductor(Box::new(read_conductor(fields, sink))),
        Kind::Aid => What::Aid { count: fields.whole_number("count", sink).unwrap_or(1) },
        Kind::Setting => What::Setting,
    }
}

/// A declared text, word or id.
fn text(fields: &mut Fields<'_>, key: &str, sink: &mut Sink) -> Option<String> {
    fields.said(key, sink).map(|(text, _)| text)
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
    let torque = match fields.figure("torque", sink) {
        Some((Figure::Quantity(torque), _)) => Some(Torque::Figure(torque)),
        Some((Figure::Text(word), _)) if word == "maker" => Some(Torque::Maker),
        Some(_) => Some(Torque::HandTight),
        None => None,
    };
    Fastening {
        sort,
        of: text(fields, "of", sink),
        count: fields.whole_number("count", sink).unwrap_or(1),
        holds: text(fields, "holds", sink),
        angle: fields.measure("angle", sink).map(|(angle, _)| angle),
        order: text(fields, "order", sink),
        torque,
    }
}

fn read_conductor(fields: &mut Fields<'_>, sink: &mut Sink) -> Conductor {
    let action = fields.said("action", sink);
    Conductor {
        shielded: false,
        of: text(fields, "of", sink),
        carries: text(fields, "carries", sink),
        colour: text(fields, "colour", sink),
        ends: [None, None],
        ways: [text(fields, "from-way", sink), text(fields, "to-way", sink)],
        length: fields.measure("length", sink),
        action: action.and_then(|(word, at)| Action::of(&word).map(|action| (action, at))),
        services: fields.listed("services", sink),
        join: read_join(fields, sink),
    }
}

/// The keys of `join-as`, which a conductor may have too.
pub(super) fn read_join(fields: &mut Fields<'_>, sink: &mut Sink) -> JoinAs {
    let shield = fields.said("shield-joint", sink);
    let shield_joint = shield.map(|(word, at)| {
        let shield = match word.as_str() {
            "pigtail" => ShieldJoint::Pigtail,
            "ferrule" => ShieldJoint::Ferrule,
            _ => ShieldJoint::Bridged,
        };
        (shield, at)
    });
    JoinAs {
        by: method(fields, sink),
        lap: fields.measure("lap", sink),
        gap: fields.measure("gap", sink),
        barrel: fields.measure("barrel", sink),
        from: fields.listed("from", sink),
        shield_joint,
        removed: fields.measure("removed", sink),
        available: available(fields, sink),
        place: fields.said("place", sink),
    }
}

fn method(fields: &mut Fields<'_>, sink: &mut Sink) -> Option<(Method, Place)> {
    let (word, at) = fields.said("by", sink)?;
    Method::ALL.into_iter().find(|method| method.word() == word).map(|method| (method, at))
}

/// How far two sides can reach past one another: a length, or the word for no limit.
fn available(fields: &mut Fields<'_>, sink: &mut Sink) -> Option<(Available, Place)> {
    match fields.figure("available", sink)? {
        (Figure::Quantity(length), at) => Some((Available::Length(length), at)),
        (_, at) => Some((Available::Unlimited, at)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{Form, Key};
    use crate::quantity::Bound;

    /// An item of a kind with one key, as read and with what is found.
    fn read_with(kind: Kind, key: &str, written: &str) -> (Option<Item>, Vec<Finding>) {
        let text = format!("{key}: {written}\n");
        let node = yaml::read(FileId(0), &text, 0, text.len()).unwrap();
        let mut sink = Sink::new();
        let item = read_item(kind, "thing", Place::default(), &node, &mut sink);
        (item, sink.into_sorted())
    }

    fn keys() -> impl Iterator<Item = (Kind, &'static Key)> {
        Kind::ALL.into_iter().flat_map(|kind| item_keys(kind).map(move |key| (kind, key)))
    }

    #[test]
    fn the_example_of_every_key_is_read_and_says_something() {
        for (kind, key) in keys() {
            let (item, found) = read_with(kind, key.name, key.example);
            assert_eq!(found, [], "{} `{}`", kind.key(), key.name);
            let bare = read_with(kind, "note", "~").0.unwrap();
            let told = Item { said: bare.said.clone(), ..item.unwrap() };
            assert_ne!(told, bare, "{} `{}` says nothing", kind.key(), key.name);
        }
    }

    #[test]
    fn a_figure_on_either_side_of_its_bounds_is_told_apart() {
        let mut seen = 0;
        for (kind, key) in keys() {
            let (unit, bound) = match key.form {
                Form::Quantity(unit, bound) | Form::QuantityOr(unit, bound, _) => (unit, bound),
                Form::Count(greatest) => ("", Bound::from(1.0, f64::from(greatest))),
                _ => continue,
            };
            seen += 1;
            let step = if unit.is_empty() { 1.0 } else { (bound.greatest - bound.least) * 1e-6 };
            for value in
                [bound.least - step, bound.least, bound.least + step, bound.greatest, bound.greatest + step]
            {
                let (_, found) = read_with(kind, key.name, format!("{value} {unit}").trim());
                let what = format!("{} `{}`: {value} {unit}", kind.key(), key.name);
                assert_eq!(found.is_empty(), bound.holds(value), "{what}: {found:?}");
            }
        }
        assert!(seen >= 10, "only {seen} figures have bounds");
    }

    #[test]
    fn a_full_reference_is_the_bare_id() {
        for (kind, key, full, bare) in [
            (Kind::Fastener, "of", "fastener:pan-5x16", "pan-5x16"),
            (Kind::Fastener, "of", "part:rivet", "rivet"),
            (Kind::Fastener, "holds", "item:lining", "lining"),
            (Kind::Panel, "hides", "[item:plug, other]", "[plug, other]"),
            (Kind::Energy, "loses", "[item:clock]", "[clock]"),
            (Kind::Conductor, "of", "cable:loom-075", "loom-075"),
            (Kind::Conductor, "services", "[service:fm]", "[fm]"),
            (Kind::Conductor, "from", "[sleeve:thin]", "[thin]"),
        ] {
            let (read, found) = read_with(kind, key, full);
            assert_eq!(found, [], "{full}");
            let (wanted, _) = read_with(kind, key, bare);
            let told = |item: Option<Item>| {
                let what = format!("{:?}", item.unwrap().what);
                // Where each stands differs, and nothing else.
                what.split("Place")
                    .map(|part| part.split('}').skip(1).collect::<String>())
                    .collect::<Vec<_>>()
            };
            assert_eq!(told(read), told(wanted), "{full}");
        }
    }

    #[test]
    fn a_wrong_value_says_what_to_write() {
        for (kind, key, written, help) in [
            (Kind::Conductor, "of", "fastener:pan-5x16", "`cable:`"),
            (Kind::Conductor, "colour", "Red/White", "write `RD/WH`"),
            (Kind::Conductor, "action", "splice", "write `join`, `insert`, `replace` or `cap`"),
            (Kind::Conductor, "place", "dri", "write `dry`"),
            (Kind::Fastener, "torque", "makers", "write `maker`"),
            (Kind::Fastener, "torqe", "maker", "write `torque`"),
            (Kind::Setting, "saftey", "yes", "write `safety`"),
            (Kind::Panel, "name", "''", "write for example `name: Lining screws`"),
        ] {
            let (_, found) = read_with(kind, key, written);
            let [finding] = found.as_slice() else { panic!("{key}: {written}: {found:?}") };
            let said = finding.help.as_deref().unwrap_or_default();
            assert!(said.contains(help), "{key}: {written}: {said}");
        }
    }
}
