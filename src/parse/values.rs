//! Values: which working, with which inputs, as written.

use super::fields::{self, FORM, Fields, place};
use super::yaml::{Kind, Node};
use crate::finding::{Finding, Sink};
use crate::model::{Input, NamedValue, Reference, Written};

/// Reads a map of values; each must be an id.
pub(super) fn read(node: &Node, sink: &mut Sink) -> Vec<NamedValue> {
    let Kind::Map(entries) = &node.kind else {
        let headline = format!("`values` maps ids to workings, and this is {}", node.noun());
        sink.push(Finding::error(FORM, headline).at(node.span, "ids and workings are wanted here"));
        return Vec::new();
    };
    let mut values = Vec::new();
    for (key, node) in entries {
        if !crate::model::is_id(&key.text) {
            sink.push(fields::not_an_id(&key.text, key.span));
            continue;
        }
        let Some(mut fields) = Fields::of(node, format!("the value `{}`", key.text), sink) else { continue };
        let Some(working) = fields.must_text("working", sink) else { continue };
        let inputs = match &node.kind {
            Kind::Map(entries) => entries
                .iter()
                .filter(|(key, _)| key.text != "working")
                .filter_map(|(key, node)| {
                    let written = written(node, sink)?;
                    Some(Input {
                        name: key.text.clone(),
                        written,
                        key: place(key.span),
                        place: place(node.span),
                    })
                })
                .collect(),
            _ => Vec::new(),
        };
        values.push(NamedValue { id: key.text.clone(), working, inputs, place: place(key.span) });
    }
    values
}

/// An input as written: a text, a reference, or a list of these.
fn written(node: &Node, sink: &mut Sink) -> Option<Written> {
    match &node.kind {
        Kind::Scalar(text) if Reference::looks_like(text) => {
            fields::reference(text, node.span, sink).map(Written::Reference)
        }
        Kind::Scalar(text) => Some(Written::Text(text.clone())),
        Kind::List(items) => Some(Written::List(
            items
                .iter()
                .filter_map(|item| written(item, sink).map(|written| (written, place(item.span))))
                .collect(),
        )),
        _ => {
            let headline =
                format!("an input is a quantity, a reference or a list, and this is {}", node.noun());
            sink.push(Finding::error(FORM, headline).at(node.span, "an input is wanted here"));
            None
        }
    }
}
