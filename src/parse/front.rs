//! A procedure's front matter.

use super::body;
use super::fields::{self, FORM, Fields, place};
use super::forms;
use super::items;
use super::step;
use super::values;
use super::yaml::{self, Kind as Yaml, Node};
use crate::finding::{Code, FileId, Finding, Sink, Span, nearest};
use crate::model::format::procedure::{APPLIES, PROCEDURE, REVISION};
use crate::model::format::vehicle::JOIN;
use crate::model::{
    Applies, Approval, JoinAs, Place, Procedure, Prose, Skill, State, Status, is_revision_letter,
};
use std::collections::BTreeMap;

/// Reads a procedure: front matter, then body.
pub(super) fn read(file: FileId, text: &str, sink: &mut Sink) -> Option<Procedure> {
    let Some((start, end, rest)) = front_matter(text) else {
        sink.push(
            Finding::error(Code("SRC-08"), "this file does not begin with front matter")
                .at(Span::new(file, 0, text.find('\n').unwrap_or(text.len())), "`---` is wanted here")
                .help("begin with a line `---`, then the keys, then a line `---`"),
        );
        return None;
    };
    let node = match yaml::read(file, text, start, end) {
        Ok(node) => node,
        Err(finding) => {
            sink.push(*finding);
            return None;
        }
    };
    let mut fields = Fields::declared(&node, "a procedure", PROCEDURE, sink)?;
    let mut procedure = read_front(&node, &mut fields, sink)?;
    fields.finish(sink);
    let body = body::read(file, text, rest, sink);
    procedure.intro = body.intro;
    procedure.stages = body.stages;
    Some(procedure)
}

/// The byte ranges of the front matter's YAML and the start of the body.
fn front_matter(text: &str) -> Option<(usize, usize, usize)> {
    let first = text.find('\n')? + 1;
    if text.get(..first)?.trim_end() != "---" {
        return None;
    }
    let mut at = first;
    for line in text.get(first..)?.split_inclusive('\n') {
        if line.trim_end() == "---" {
            return Some((first, at, at + line.len()));
        }
        at += line.len();
    }
    None
}

fn read_front(node: &Node, fields: &mut Fields<'_>, sink: &mut Sink) -> Option<Procedure> {
    let id = fields.must("id", sink).and_then(|node| fields::id(node, sink));
    let title = fields.said("title", sink);
    let summary = fields.said("summary", sink);
    let area = fields.said("area", sink);
    let own = fields.node("items").map(|node| items::read_own(node, sink)).unwrap_or_default();
    let mut procedure = Procedure {
        id: String::new(),
        title: String::new(),
        summary: summary.map_or_else(String::new, |(text, _)| text),
        area: area.map_or_else(String::new, |(text, _)| text),
        applies_to: fields.node("applies-to").map(|node| applies(node, sink)).unwrap_or_default(),
        revision: fields.node("revision").and_then(|node| revision(node, sink)),
        status: status(fields, sink),
        skill: skill(fields, sink),
        people: fields.whole_number("people", sink).unwrap_or(1),
        start_state: fields.listed("start-state", sink).into_iter().map(|(text, _)| text).collect(),
        join_as: fields.node("join-as").map(|node| join_as(node, sink)).unwrap_or_default(),
        items: own.items,
        loom: own.loom,
        values: fields.node("values").map(|node| values::read(node, sink)).unwrap_or_default(),
        leaves: fields.node("leaves").map(|node| states("leaves", node, sink)).unwrap_or_default(),
        expects: fields.node("expects").map(|node| states("expects", node, sink)).unwrap_or_default(),
        parameters: fields.node("parameters").map(|node| parameters(node, sink)).unwrap_or_default(),
        kit_extra: fields.node("kit-extra").map(|node| step::kit_extra(node, sink)).unwrap_or_default(),
        waivers: fields.node("waive").map(|node| step::waivers(node, sink)).unwrap_or_default(),
        intro: Prose { text: String::new(), place: Place::default() },
        stages: Vec::new(),
        place: place(fields.span()),
        keys: BTreeMap::new(),
    };
    if let Yaml::Map(entries) = &node.kind {
        procedure.keys = entries.iter().map(|(key, _)| (key.text.clone(), place(key.span))).collect();
    }
    let (id, at) = id?;
    procedure.id = id;
    procedure.place = at;
    procedure.title = title?.0;
    Some(procedure)
}

fn status(fields: &mut Fields<'_>, sink: &mut Sink) -> Status {
    match fields.said("status", sink).as_ref().map(|(word, _)| word.as_str()) {
        Some("released") => Status::Released,
        Some("withdrawn") => Status::Withdrawn,
        _ => Status::Draft,
    }
}

fn skill(fields: &mut Fields<'_>, sink: &mut Sink) -> Skill {
    match fields.said("skill", sink).as_ref().map(|(word, _)| word.as_str()) {
        Some("electrical") => Skill::Electrical,
        Some("pyrotechnic") => Skill::Pyrotechnic,
        Some("high-voltage") => Skill::HighVoltage,
        _ => Skill::General,
    }
}

fn join_as(node: &Node, sink: &mut Sink) -> JoinAs {
    let Some(mut fields) = Fields::declared(node, "`join-as`", JOIN, sink) else { return JoinAs::default() };
    let join = items::read_join(&mut fields, sink);
    fields.finish(sink);
    join
}

fn applies(node: &Node, sink: &mut Sink) -> Vec<Applies> {
    let mut list = Vec::new();
    for node in fields::list(node) {
        if let Yaml::Scalar(_) = node.kind {
            if let Some((vehicle, place)) = forms::reference(node, &["vehicle"], sink) {
                list.push(Applies { vehicle, variant: None, place });
            }
            continue;
        }
        let Some(mut fields) = Fields::declared(node, "an entry of `applies-to`", APPLIES, sink) else {
            continue;
        };
        let vehicle = fields.said("vehicle", sink);
        let variant = fields.said("variant", sink).map(|(text, _)| text);
        fields.finish(sink);
        if let Some((vehicle, place)) = vehicle {
            list.push(Applies { vehicle, variant, place });
        }
    }
    list
}

fn revision(node: &Node, sink: &mut Sink) -> Option<Approval> {
    let mut fields = Fields::declared(node, "the revision", REVISION, sink)?;
    let letter = fields.said("letter", sink);
    let effective = fields.said("effective", sink);
    let approved_by = fields.said("approved-by", sink);
    let reason = fields.said("reason", sink);
    fields.finish(sink);
    let (letter, effective) = (letter?, effective?);
    if !is_revision_letter(&letter.0) {
        sink.push(
            Finding::error(Code("DOC-01"), format!("`{}` is not a revision letter", letter.0))
                .at(super::span(letter.1), "A, B, C … without I, O, Q, S, X and Z"),
        );
    }
    if effective.0.parse::<jiff::civil::Date>().is_err() {
        sink.push(
            Finding::error(Code("DOC-01"), format!("`{}` is not a day of the calendar", effective.0))
                .at(super::span(effective.1), "year, month and day, such as 2026-09-14"),
        );
    }
    Some(Approval {
        letter: letter.0,
        effective: effective.0,
        approved_by: approved_by?.0,
        reason: reason?.0,
        place: place(node.span),
    })
}

fn states(what: &str, node: &Node, sink: &mut Sink) -> BTreeMap<String, (State, Place)> {
    let mut states = BTreeMap::new();
    let Yaml::Map(entries) = &node.kind else {
        let headline = format!("`{what}` maps items to states, and this is {}", node.noun());
        sink.push(Finding::error(FORM, headline).at(node.span, "write for example `{supply: proved-off}`"));
        return states;
    };
    for (key, node) in entries {
        let Some(word) = fields::scalar(node, sink) else { continue };
        let Some(item) = forms::bare_id(&key.text, key.span, &["item"], sink) else { continue };
        match State::of(word) {
            Some(state) => {
                states.insert(item, (state, place(key.span)));
            }
            None => {
                let near = nearest(word, State::words());
                sink.push(
                    Finding::error(FORM, format!("`{word}` is not a state of any item"))
                        .at(node.span, "a state is wanted here")
                        .help_if(near.map(|near| format!("write `{near}`"))),
                );
            }
        }
    }
    states
}

fn parameters(node: &Node, sink: &mut Sink) -> BTreeMap<String, Vec<String>> {
    let mut parameters = BTreeMap::new();
    let Yaml::Map(entries) = &node.kind else {
        let headline = format!("`parameters` maps names to words, and this is {}", node.noun());
        sink.push(Finding::error(FORM, headline).at(node.span, "write for example `{side: [left, right]}`"));
        return parameters;
    };
    for (key, node) in entries {
        let words: Vec<String> = fields::ids(node, sink).into_iter().map(|(word, _)| word).collect();
        if words.is_empty() {
            let headline = format!("the parameter `{}` has no words to choose from", key.text);
            sink.push(Finding::error(FORM, headline).at(key.span, "its words are missing"));
        } else {
            parameters.insert(key.text.clone(), words);
        }
    }
    parameters
}
