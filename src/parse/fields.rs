//! Reading a map key by key: every fault becomes a finding at its place, and reading goes on.

use super::forms;
use super::yaml::{Key, Kind, Node};
use crate::finding::{Finding, Sink, Span, nearest, or_list};
use crate::model::{self, Figure, Form, Place, is_id};
use crate::quantity::Quantity;
use std::collections::BTreeMap;

pub(super) use super::scalars::{
    FORM, UNKNOWN, bad_reference, count, id, ids, list, not_an_id, place, range, reference, scalar, shorten,
};

/// The map of a thing, read key by key.
pub(super) struct Fields<'a> {
    /// What it is, for messages: `the tool `hot-air-gun``.
    what: String,
    span: Span,
    entries: &'a [(Key, Node)],
    asked: Vec<&'static str>,
    declared: Vec<&'static model::Key>,
}

impl<'a> Fields<'a> {
    /// The keys of a node; a node that is no map is a finding.
    pub(super) fn of(node: &'a Node, what: impl Into<String>, sink: &mut Sink) -> Option<Fields<'a>> {
        let what = what.into();
        match &node.kind {
            Kind::Map(entries) => {
                Some(Fields { what, span: node.span, entries, asked: Vec::new(), declared: Vec::new() })
            }
            _ => {
                let headline = format!("{what} is a map of keys, and this is {}", node.noun());
                sink.push(Finding::error(FORM, headline).at(node.span, "keys and values are wanted here"));
                None
            }
        }
    }

    /// The keys of a node that are declared: each is read by its form, and no other is known.
    pub(super) fn declared(
        node: &'a Node,
        what: impl Into<String>,
        keys: impl IntoIterator<Item = &'static model::Key>,
        sink: &mut Sink,
    ) -> Option<Fields<'a>> {
        let mut fields = Fields::of(node, what, sink)?;
        fields.declared = keys.into_iter().collect();
        Some(fields)
    }

    /// What stands under a declared key, read by its form, with its place; a required key that is missing is a
    /// finding.
    pub(super) fn figure(&mut self, name: &str, sink: &mut Sink) -> Option<(Figure, Place)> {
        let key = self.key(name)?;
        let node = self.declared_node(key, sink)?;
        read(key, node, sink).map(|figure| (figure, place(node.span)))
    }

    /// A declared key.
    pub(super) fn key(&self, name: &str) -> Option<&'static model::Key> {
        self.declared.iter().copied().find(|key| key.name == name)
    }

    /// The value of a declared key, as yet unread; a required key that is missing is a finding.
    pub(super) fn declared_node(&mut self, key: &'static model::Key, sink: &mut Sink) -> Option<&'a Node> {
        if key.required { self.must(key.name, sink) } else { self.node(key.name) }
    }

    /// The map of keys that stands under a declared key.
    pub(super) fn map(&mut self, name: &str, what: &str, sink: &mut Sink) -> Option<Fields<'a>> {
        let key = self.key(name)?;
        let Form::Map(keys) = key.form else { return None };
        Fields::declared(self.declared_node(key, sink)?, what, keys, sink)
    }

    /// A declared text, word, id, colour or sign.
    pub(super) fn said(&mut self, name: &str, sink: &mut Sink) -> Option<(String, Place)> {
        match self.figure(name, sink)? {
            (Figure::Text(text), place) => Some((text, place)),
            _ => None,
        }
    }

    /// A declared list of texts, words or ids.
    pub(super) fn listed(&mut self, name: &str, sink: &mut Sink) -> Vec<(String, Place)> {
        match self.figure(name, sink) {
            Some((Figure::Texts(texts), _)) => texts,
            _ => Vec::new(),
        }
    }

    /// A declared quantity.
    pub(super) fn measure(&mut self, name: &str, sink: &mut Sink) -> Option<(Quantity, Place)> {
        match self.figure(name, sink)? {
            (Figure::Quantity(quantity), place) => Some((quantity, place)),
            _ => None,
        }
    }

    /// A declared number, count or size of a file, as a whole number.
    pub(super) fn whole_number(&mut self, name: &str, sink: &mut Sink) -> Option<u32> {
        match self.figure(name, sink)?.0 {
            Figure::Number(number) => format!("{number}").parse().ok(),
            _ => None,
        }
    }

    /// Where it stands.
    pub(super) fn span(&self) -> Span {
        self.span
    }

    /// Reads keys that serve the file's readers alone: only their form is looked at.
    pub(super) fn skim(&mut self, keys: impl IntoIterator<Item = &'static str>, sink: &mut Sink) {
        for key in keys {
            self.figure(key, sink);
        }
    }

    /// A key with its value. `~` and an empty value count as missing.
    pub(super) fn entry(&mut self, key: &'static str) -> Option<(&'a Key, &'a Node)> {
        self.asked.push(key);
        let (key, node) = self.entries.iter().find(|(known, _)| known.text == key)?;
        if matches!(node.kind, Kind::Null) { None } else { Some((key, node)) }
    }

    /// A value.
    pub(super) fn node(&mut self, key: &'static str) -> Option<&'a Node> {
        self.entry(key).map(|(_, node)| node)
    }

    /// A value that must be there.
    pub(super) fn must(&mut self, key: &'static str, sink: &mut Sink) -> Option<&'a Node> {
        let node = self.node(key);
        if node.is_none() {
            let headline = format!("{} has no `{key}`", self.what);
            let start = self.entries.first().map_or(self.span, |(key, _)| key.span);
            sink.push(
                Finding::error(FORM, headline)
                    .at(start, format!("`{key}` is missing here"))
                    .help(format!("add a line `{key}: …`")),
            );
        }
        node
    }

    /// A text with its place.
    pub(super) fn text(&mut self, key: &'static str, sink: &mut Sink) -> Option<(String, Place)> {
        let node = self.node(key)?;
        scalar(node, sink).map(|text| (text.to_owned(), place(node.span)))
    }

    /// A text that must be there.
    pub(super) fn must_text(&mut self, key: &'static str, sink: &mut Sink) -> Option<(String, Place)> {
        let node = self.must(key, sink)?;
        scalar(node, sink).map(|text| (text.to_owned(), place(node.span)))
    }

    /// A whole number from 1 up.
    pub(super) fn count(&mut self, key: &'static str, sink: &mut Sink) -> Option<u32> {
        let node = self.node(key)?;
        count(node, sink)
    }

    /// The keys that are neither declared nor were asked for.
    pub(super) fn unknown(&self) -> impl Iterator<Item = &str> {
        let known = |key: &&str| self.asked.contains(key) || self.key(key).is_some();
        self.entries.iter().map(|(key, _)| key.text.as_str()).filter(move |key| !known(key))
    }

    /// Reports every key that is neither declared nor was asked for.
    pub(super) fn finish(mut self, sink: &mut Sink) {
        // A key that is declared and never read would be accepted and mean nothing.
        let unread = self.declared.iter().find(|key| !self.asked.contains(&key.name));
        debug_assert!(unread.is_none(), "{} declares a key that nobody reads: {unread:?}", self.what);
        self.asked.extend(self.declared.iter().map(|key| key.name));
        for (key, _) in self.entries.iter().filter(|(key, _)| !self.asked.contains(&key.text.as_str())) {
            let headline = format!("{} has no key `{}`", self.what, key.text);
            let near = nearest(&key.text, self.asked.iter().copied());
            let mut known = self.asked.clone();
            known.sort_unstable();
            known.dedup();
            let help = match near {
                Some(near) => format!("write `{near}`"),
                None => format!("it may have {}", or_list(known)),
            };
            sink.push(Finding::error(UNKNOWN, headline).at(key.span, "not known here").help(help));
        }
    }
}

/// Reads a value by the form of its key; nothing for what has a map or a form of its own, which whoever asks
/// for it reads.
pub(super) fn read(key: &model::Key, node: &Node, sink: &mut Sink) -> Option<Figure> {
    match key.form {
        Form::Lines(keys) => lines(key, keys, node, sink).map(Figure::Sizes),
        _ => forms::read(key, node, sink),
    }
}

/// Ids, each with quantities under the keys given; what lacks one of them is left out.
fn lines(
    key: &model::Key,
    keys: &'static [model::Key],
    node: &Node,
    sink: &mut Sink,
) -> Option<BTreeMap<String, BTreeMap<String, Quantity>>> {
    let Kind::Map(entries) = &node.kind else {
        let headline = format!(
            "`{}` maps ids to {}, and this is {}",
            key.name,
            or_list(keys.iter().map(|key| key.name)),
            node.noun()
        );
        sink.push(
            Finding::error(FORM, headline)
                .at(node.span, "ids and their keys are wanted here")
                .help(format!("write for example `{}: {}`", key.name, key.example)),
        );
        return None;
    };
    let mut lines = BTreeMap::new();
    for (id, node) in entries {
        if !is_id(&id.text) {
            sink.push(not_an_id(&id.text, id.span));
            continue;
        }
        let what = format!("`{}` of `{}`", id.text, key.name);
        let Some(mut fields) = Fields::declared(node, what, keys, sink) else { continue };
        let mut line = BTreeMap::new();
        for key in keys {
            if let Some((Figure::Quantity(quantity), _)) = fields.figure(key.name, sink) {
                line.insert(key.name.to_owned(), quantity);
            }
        }
        fields.finish(sink);
        if line.len() == keys.len() {
            lines.insert(id.text.clone(), line);
        }
    }
    Some(lines)
}
