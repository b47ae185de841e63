//! The tables of the stores, read by the keys that each declares.

use super::fields::{self, FORM, Fields, place};
use super::yaml::{self, Kind, Node};
use crate::finding::{FileId, Finding, Sink};
use crate::model::{FIGURE, Figure, Form, Key, Line, Place, Store, Stores};
use std::collections::BTreeMap;

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
        if let Some(list) = store.declaration().lists.iter().find(|list| list.name == key.text) {
            if let Some(Figure::Texts(texts)) = fields::read(list, node, sink) {
                stores.keep_list(store, list.name, texts);
            }
            continue;
        }
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
    let what = format!("the {} `{id}`", store.noun());
    let mut fields = Fields::declared(node, what, store.keys(), sink)?;
    let mut figures = BTreeMap::new();
    for key in store.declaration().keys {
        if let Some(node) = fields.declared_node(key, sink)
            && let Some((figure, source)) = figure(key, node, sink)
        {
            figures.insert(key.name.to_owned(), (figure, source, place(node.span)));
        }
    }
    let declares = |name: &str| store.declaration().keys.iter().any(|key| key.name == name);
    let source = fields.said("source", sink).map(|(text, _)| text);
    let note = fields.said("note", sink).map(|(text, _)| text);
    let also = if declares("also") { Vec::new() } else { fields.listed("also", sink) };
    let also = also.into_iter().map(|(text, _)| text).collect();
    fields.finish(sink);
    let mut line =
        Line { store, id: id.to_owned(), name: String::new(), figures, source, note, also, place: at };
    let called = line.text("name").or(line.text(store.declaration().called_by)).unwrap_or(id);
    line.name = called.to_owned();
    Some(line)
}

/// A figure, alone or with a source of its own: `{value: 14 A, source: maker}`.
fn figure(key: &Key, node: &Node, sink: &mut Sink) -> Option<(Figure, Option<String>)> {
    if let Kind::Map(_) = node.kind
        && !matches!(key.form, Form::Lines(_))
    {
        let mut fields = Fields::declared(node, format!("the figure `{}`", key.name), FIGURE, sink)?;
        let inner = fields.must("value", sink);
        let source = fields.said("source", sink).map(|(text, _)| text);
        fields.finish(sink);
        return fields::read(key, inner?, sink).map(|figure| (figure, source));
    }
    fields::read(key, node, sink).map(|figure| (figure, None))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::Bound;
    use std::fmt::Write as _;

    /// A line of a store with one key written otherwise, or left out where that is empty; the findings.
    fn read_with(store: Store, other: &str, written: &str) -> Vec<Finding> {
        let mut text = "line-1:\n".to_owned();
        for key in store.keys() {
            let value = if key.name == other { written } else { key.example };
            if !value.is_empty() {
                let _ = writeln!(text, "  {}: {value}", key.name);
            }
        }
        let (mut stores, mut sink) = (Stores::default(), Sink::new());
        read(store, FileId(0), &text, &mut stores, &mut sink);
        sink.into_sorted()
    }

    fn keys() -> impl Iterator<Item = (Store, &'static Key)> {
        Store::ALL.into_iter().flat_map(|store| store.keys().map(move |key| (store, key)))
    }

    #[test]
    fn the_example_of_every_key_is_read() {
        for store in Store::ALL {
            assert_eq!(read_with(store, "", ""), [], "stores/{}.yaml", store.file());
            for list in store.declaration().lists {
                let (mut stores, mut sink) = (Stores::default(), Sink::new());
                let text = format!("{}: {}\n", list.name, list.example);
                read(store, FileId(0), &text, &mut stores, &mut sink);
                assert_eq!(sink.into_sorted(), []);
                assert!(stores.list(store, list.name).next().is_some(), "{text}");
            }
        }
    }

    #[test]
    fn a_line_needs_the_keys_that_are_required_and_no_other() {
        for (store, key) in keys() {
            let found = read_with(store, key.name, "");
            assert_eq!(found.len(), usize::from(key.required), "{} `{}`: {found:?}", store.file(), key.name);
            assert!(found.iter().all(|found| found.headline.contains(key.name)), "{found:?}");
        }
    }

    #[test]
    fn a_figure_on_either_side_of_its_bounds_is_told_apart() {
        let mut seen = 0;
        for (store, key) in keys() {
            let (unit, Bound { least, greatest, least_open, greatest_open }) = match key.form {
                Form::Quantity(unit, bound) | Form::Range(unit, bound) => (unit, bound),
                Form::QuantityOr(unit, bound, _) => (unit, bound),
                Form::Number(bound) => ("", bound),
                _ => continue,
            };
            seen += 1;
            let step = (greatest - least) * 1e-6;
            for (value, serves) in [
                (least - step, false),
                (least, !least_open),
                (least + step, true),
                (greatest - step, true),
                (greatest, !greatest_open),
                (greatest + step, false),
            ] {
                let found = read_with(store, key.name, format!("{value} {unit}").trim());
                let what = format!("{} `{}`: {value} {unit}", store.file(), key.name);
                assert_eq!(found.is_empty(), serves, "{what}: {found:?}");
                assert!(found.iter().all(|found| found.note.contains(" and at most ")), "{what}: {found:?}");
            }
        }
        assert!(seen >= 30, "only {seen} figures have bounds");
    }

    #[test]
    fn a_word_that_does_not_serve_brings_those_that_do() {
        for (store, key) in keys() {
            let (Form::Word(words) | Form::Words(words)) = key.form else { continue };
            let found = read_with(store, key.name, "nonesuch");
            let [finding] = found.as_slice() else { panic!("{} `{}`: {found:?}", store.file(), key.name) };
            assert!(words.iter().all(|word| finding.note.contains(word)), "{finding:?}");
        }
    }

    #[test]
    fn a_key_that_is_not_declared_brings_the_nearest() {
        let (mut stores, mut sink) = (Stores::default(), Sink::new());
        read(Store::Parts, FileId(0), "lamp: {name: Lamp, prize: 7.40}", &mut stores, &mut sink);
        let found = sink.into_sorted();
        assert_eq!(found.len(), 1, "{found:?}");
        assert_eq!(found[0].help.as_deref(), Some("write `price`"));
    }

    #[test]
    fn a_full_reference_serves_where_its_scheme_is_the_one_declared() {
        for (written, help) in [
            ("[eye]", None),
            ("[protection:eye]", None),
            ("[hazard:eye]", Some("`protection:`")),
            ("[protection:eye.sign]", Some("`protection:eye`")),
            ("[protecton:eye]", Some("protection")),
            ("[Eye]", Some("`eye`")),
        ] {
            let found = read_with(Store::Hazards, "protection", written);
            assert_eq!(found.len(), usize::from(help.is_some()), "{written}: {found:?}");
            for finding in found {
                let said = finding.help.unwrap_or_default();
                assert!(help.is_some_and(|help| said.contains(help)), "{written}: {said}");
            }
        }
    }

    #[test]
    fn signs_and_units_say_what_to_write() {
        for (store, key, written, help) in [
            (Store::Protection, "sign", "M4", Some("write `M004`")),
            (Store::Protection, "sign", "M004", None),
            (Store::Consumables, "unit", "metre", Some("write `m`")),
            (Store::Consumables, "unit", "pieces", None),
            (Store::Fuses, "name", "\" \"", Some("write for example `name: Blade fuse 10 A`")),
        ] {
            let found = read_with(store, key, written);
            assert_eq!(found.first().and_then(|found| found.help.as_deref()), help, "{written}: {found:?}");
        }
    }
}
