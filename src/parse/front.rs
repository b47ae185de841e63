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
    Applies, Approval, JoinAs, Place, Procedure, Prose, Skill, State, Status, Unread, is_id,
    is_revision_letter, slug,
};
use std::collections::BTreeMap;

/// Reads a procedure: front matter, then body.
pub(super) fn read(file: FileId, text: &str, sink: &mut Sink) -> Option<Procedure> {
    let (start, end, rest) = match front_matter(text) {
        Ok(found) => found,
        Err(fault) => {
            sink.push(fault.finding(file, text));
            return None;
        }
    };
    yaml::cut_short(file, text, start, end, sink);
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
    procedure.unread.whole |= body.unread.whole;
    procedure.unread.steps = body.unread.steps;
    procedure.unread.acts = body.unread.acts;
    Some(procedure)
}

/// What is wrong with the lines that hold the front matter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Fence {
    /// The first line is none of three dashes.
    Missing,
    /// The first line has more dashes.
    Long,
    /// The second line is one as well.
    Twice,
    /// No line ends it.
    Open,
}

impl Fence {
    fn finding(self, file: FileId, text: &str) -> Finding {
        let (headline, note, help) = match self {
            Fence::Missing => (
                "this file does not begin with front matter",
                "`---` is wanted here",
                "begin with a line `---`, then the keys, then a line `---`",
            ),
            Fence::Long => (
                "front matter begins with three dashes, and here are more",
                "`---` is wanted here",
                "write exactly three dashes: `---`",
            ),
            Fence::Twice => (
                "the line that begins the front matter stands twice",
                "the first of the two",
                "keep one line `---` before the keys",
            ),
            Fence::Open => (
                "the front matter never ends",
                "it begins here and takes in all that follows",
                "write a line `---` after the last key",
            ),
        };
        let line = text.lines().next().map_or(0, str::len);
        Finding::error(Code("SRC-08"), headline).at(Span::new(file, 0, line), note).help(help)
    }
}

/// The byte ranges of the front matter's YAML and the start of the body.
fn front_matter(text: &str) -> Result<(usize, usize, usize), Fence> {
    let first = text.find('\n').map_or(text.len(), |at| at + 1);
    let (opening, after) = text.split_at_checked(first).unwrap_or((text, ""));
    match opening.trim_end() {
        "---" => {}
        dashes if dashes.len() > 3 && dashes.chars().all(|c| c == '-') => return Err(Fence::Long),
        _ => return Err(Fence::Missing),
    }
    let mut at = first;
    for line in after.split_inclusive('\n') {
        // Below a heading nobody looks for front matter, and a rule may stand there.
        if line.starts_with("## ") {
            break;
        }
        if line.trim_end() == "---" {
            let second = at == first && after.lines().nth(1).is_some_and(|line| line.contains(':'));
            return if second { Err(Fence::Twice) } else { Ok((first, at, at + line.len())) };
        }
        at += line.len();
    }
    Err(Fence::Open)
}

fn read_front(node: &Node, fields: &mut Fields<'_>, sink: &mut Sink) -> Option<Procedure> {
    let id = fields.must("id", sink).and_then(|node| named(node, sink));
    let title = fields.said("title", sink);
    let summary = fields.said("summary", sink);
    let area = fields.said("area", sink);
    let errors = sink.errors();
    let own = fields.node("items").map(|node| items::read_own(node, sink)).unwrap_or_default();
    let leaves = fields.node("leaves").map(|node| states("leaves", node, sink)).unwrap_or_default();
    let expects = fields.node("expects").map(|node| states("expects", node, sink)).unwrap_or_default();
    let parameters = fields.node("parameters").map(|node| parameters(node, sink)).unwrap_or_default();
    // What the ledger replays hangs on these.
    let unread = Unread { whole: sink.errors() > errors, ..Unread::default() };
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
        groups: own.groups,
        loom: own.loom,
        values: fields.node("values").map(|node| values::read(node, sink)).unwrap_or_default(),
        leaves,
        expects,
        parameters,
        kit_extra: fields.node("kit-extra").map(|node| step::kit_extra(node, sink)).unwrap_or_default(),
        waivers: fields.node("waive").map(|node| step::waivers(node, sink)).unwrap_or_default(),
        intro: Prose { text: String::new(), place: Place::default() },
        stages: Vec::new(),
        place: place(fields.span()),
        keys: BTreeMap::new(),
        unread,
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

/// The procedure's id; what is none is read as the one that was probably meant, so that its faults are found.
fn named(node: &Node, sink: &mut Sink) -> Option<(String, Place)> {
    let text = fields::scalar(node, sink)?;
    if is_id(text) {
        return Some((text.to_owned(), place(node.span)));
    }
    sink.push(fields::not_an_id(text, node.span));
    Some(slug(text)).filter(|meant| is_id(meant)).map(|meant| (meant, place(node.span)))
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
                .at(super::span(letter.1), "A, B, C … without I, O, Q, S, X and Z")
                .help("write the letter after the last one that was released"),
        );
    }
    if effective.0.parse::<jiff::civil::Date>().is_err() {
        sink.push(
            Finding::error(Code("DOC-01"), format!("`{}` is not a day of the calendar", effective.0))
                .at(super::span(effective.1), "year, month and day, such as 2026-09-14")
                .help(day_meant(&effective.0)),
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

/// What to write for a day in another order: `14-09-2026`, `14.9.2026`, `2026/9/14`.
fn day_meant(text: &str) -> String {
    let figures: Vec<i16> = text.split(['-', '.', '/', ' ']).filter_map(|part| part.parse().ok()).collect();
    let day = |year: i16, month: i16, day: i16| {
        jiff::civil::Date::new(year, i8::try_from(month).ok()?, i8::try_from(day).ok()?).ok()
    };
    let meant = match figures.as_slice() {
        // Of two that may both be a month, none is guessed.
        [first, second, year] if *year > 31 && (*first > 12 || first == second) => {
            day(*year, *second, *first)
        }
        [year, month, date] if *year > 31 => day(*year, *month, *date),
        _ => None,
    };
    meant.map_or_else(|| "write year, month and day: `2026-09-14`".to_owned(), |day| format!("write `{day}`"))
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
