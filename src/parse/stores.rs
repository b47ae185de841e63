//! The tables of the stores, read by the keys that each declares.

use super::fields::{self, FORM, Fields, place};
use super::yaml::{self, Kind, Node};
use crate::finding::{FileId, Finding, Sink};
use crate::model::{Figure, Form, Key, Line, Place, Store, Stores};
use crate::quantity::Quantity;
use std::collections::BTreeMap;

/// Sizes of a sleeve range: each states these three.
const SIZE: [&str; 3] = ["supplied", "recovered", "wall"];

/// Reads one table into the stores.
pub(super) fn read(store: Store, file: FileId, text: &str, stores: &mut Stores, sink: &mut Sink) {
    let node = match yaml::read(file, text, 0, text.len()) {
        Ok(node) => node,
        Err(finding) => return sink.push(*finding),
    };
    let entries = match &node.kind {
        Kind::Map(entries) => entries,
        Kind::Null => return,
        _ => {
            let headline =
                format!("stores/{}.yaml maps ids to lines, and this is {}", store.file(), node.noun());
            return sink.push(Finding::error(FORM, headline).at(node.span, "ids and lines are wanted here"));
        }
    };
    for (key, node) in entries {
        if !crate::model::is_id(&key.text) {
            sink.push(fields::not_an_id(&key.text, key.span));
            continue;
        }
        let Some(line) = line(store, &key.text, place(key.span), node, sink) else { continue };
        if let Some(first) = stores.insert(line) {
            sink.push(
                Finding::error(FORM, format!("the {} `{}` is declared twice", store.noun(), key.text))
                    .at(key.span, "declared again here")
                    .label(super::span(first.place), "declared first here"),
            );
        }
    }
}

fn line(store: Store, id: &str, at: Place, node: &Node, sink: &mut Sink) -> Option<Line> {
    let mut fields = Fields::of(node, format!("the {} `{id}`", store.noun()), sink)?;
    let mut figures = BTreeMap::new();
    for key in store.keys() {
        let node = if key.required { fields.must(key.name, sink) } else { fields.node(key.name) };
        if let Some(node) = node
            && let Some((figure, source)) = figure(key, node, sink)
        {
            figures.insert(key.name.to_owned(), (figure, source, place(node.span)));
        }
    }
    let source = fields.text("source", sink).map(|(text, _)| text);
    let note = fields.text("note", sink).map(|(text, _)| text);
    let also = if store == Store::Words {
        Vec::new()
    } else {
        fields.texts("also", sink).into_iter().map(|(text, _)| text).collect()
    };
    fields.finish(sink);
    let mut line =
        Line { store, id: id.to_owned(), name: String::new(), figures, source, note, also, place: at };
    // A hazard is called by what can hurt, a word by itself.
    line.name = line.text("name").or(line.text("hazard")).unwrap_or(id).to_owned();
    Some(line)
}

/// A figure, alone or with a source of its own: `{value: 14 A, source: maker}`.
fn figure(key: &Key, node: &Node, sink: &mut Sink) -> Option<(Figure, Option<String>)> {
    if let Kind::Map(_) = node.kind
        && key.form != Form::Sizes
    {
        let mut fields = Fields::of(node, format!("the figure `{}`", key.name), sink)?;
        let inner = fields.must("value", sink);
        let source = fields.text("source", sink).map(|(text, _)| text);
        fields.finish(sink);
        return read_figure(key.form, inner?, sink).map(|figure| (figure, source));
    }
    read_figure(key.form, node, sink).map(|figure| (figure, None))
}

fn read_figure(form: Form, node: &Node, sink: &mut Sink) -> Option<Figure> {
    Some(match form {
        Form::Text => Figure::Text(fields::scalar(node, sink)?.to_owned()),
        Form::Texts => Figure::Texts(fields::texts(node, sink)),
        Form::Word(words) => Figure::Text(fields::word(node, words, sink)?.0.to_owned()),
        Form::Words(words) => Figure::Texts(
            fields::list(node)
                .iter()
                .filter_map(|item| fields::word(item, words, sink))
                .map(|(word, place)| (word.to_owned(), place))
                .collect(),
        ),
        Form::Quantity(symbol) => Figure::Quantity(fields::quantity(node, Some(symbol), sink)?),
        Form::AnyQuantity => Figure::Quantity(fields::quantity(node, None, sink)?),
        Form::Torque => match fields::scalar(node, sink)? {
            word @ ("maker" | "hand-tight") => Figure::Text(word.to_owned()),
            _ => Figure::Quantity(fields::quantity(node, Some("N·m"), sink)?),
        },
        Form::Range(symbol) => Figure::Range(fields::range(node, Some(symbol), sink)?),
        Form::Number => Figure::Number(fields::number(node, sink)?),
        Form::Ids(_) => Figure::Texts(fields::ids(node, sink)),
        Form::Sizes => Figure::Sizes(sizes(node, sink)?),
    })
}

fn sizes(node: &Node, sink: &mut Sink) -> Option<BTreeMap<String, BTreeMap<String, Quantity>>> {
    let Kind::Map(entries) = &node.kind else {
        let headline = format!("`sizes` maps ids to sizes, and this is {}", node.noun());
        sink.push(Finding::error(FORM, headline).at(node.span, "ids and sizes are wanted here"));
        return None;
    };
    let mut sizes = BTreeMap::new();
    for (key, node) in entries {
        if !crate::model::is_id(&key.text) {
            sink.push(fields::not_an_id(&key.text, key.span));
            continue;
        }
        let Some(mut fields) = Fields::of(node, format!("the size `{}`", key.text), sink) else { continue };
        let mut size = BTreeMap::new();
        for name in SIZE {
            if let Some(node) = fields.must(name, sink)
                && let Some(quantity) = fields::quantity(node, Some("mm"), sink)
            {
                size.insert(name.to_owned(), quantity);
            }
        }
        fields.finish(sink);
        if size.len() == SIZE.len() {
            sizes.insert(key.text.clone(), size);
        }
    }
    Some(sizes)
}
