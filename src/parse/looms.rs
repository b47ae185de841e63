//! Loom tables: CSV beside the vehicle, one conductor a line. The few rules of RFC 4180 that a spreadsheet
//! uses (quoted cells, doubled quotes) are read here, because every cell must keep its place for messages.

use super::fields::{self, FORM, Fields, place};
use super::items;
use super::yaml::{Kind as Yaml, Node};
use crate::finding::{Code, FileId, Finding, Sink, Span, nearest};
use crate::model::{Conductor, Item, Vehicle, What, is_id};
use crate::quantity::{Quantity, unit};
use crate::source::Source;
use std::collections::BTreeMap;

/// Columns of a loom table.
const COLUMNS: [&str; 10] =
    ["id", "from", "to", "carries", "of", "colour", "length", "place", "from-way", "to-way"];
/// Faults of a table's form.
const CSV: Code = Code("SRC-10");

/// Reads `looms: {rear-door: {table: calder-320-rear-door.csv}}` into the vehicle.
pub(super) fn read(source: &Source, folder: &str, node: &Node, vehicle: &mut Vehicle, sink: &mut Sink) {
    let Yaml::Map(entries) = &node.kind else {
        let headline = format!("`looms` maps ids to tables, and this is {}", node.noun());
        sink.push(Finding::error(FORM, headline).at(node.span, "ids and tables are wanted here"));
        return;
    };
    for (key, node) in entries {
        if !is_id(&key.text) {
            sink.push(fields::not_an_id(&key.text, key.span));
            continue;
        }
        let Some(mut fields) = Fields::of(node, format!("the loom `{}`", key.text), sink) else { continue };
        let table = fields.must_text("table", sink);
        fields.know(["name", "note"]);
        fields.finish(sink);
        let Some((name, at)) = table else { continue };
        let path = format!("{folder}/{name}");
        let Some((file, text)) = source.at(&path).and_then(|(id, file)| file.text().map(|text| (id, text)))
        else {
            let beside = source.files.iter().filter_map(|file| file.path.strip_prefix(&format!("{folder}/")));
            let near = nearest(&name, beside.filter(|name| name.ends_with(".csv")));
            sink.push(
                Finding::error(CSV, format!("the loom table `{name}` is not there"))
                    .at(super::span(at), format!("no text file `{path}`"))
                    .help_if(near.map(|near| format!("write `{near}`"))),
            );
            continue;
        };
        let conductors = read_table(file, text, sink);
        let ids = conductors.iter().map(|item| item.id.clone()).collect();
        for item in conductors {
            if let Some(first) = vehicle.items.get(&item.id) {
                sink.push(items::twice(&item.id, item.place, first));
            } else {
                vehicle.items.insert(item.id.clone(), item);
            }
        }
        vehicle.looms.insert(key.text.clone(), ids);
    }
}

/// A cell with its place.
type Cell = (String, Span);

fn read_table(file: FileId, text: &str, sink: &mut Sink) -> Vec<Item> {
    let mut lines = lines(file, text, sink).into_iter();
    let Some(header) = lines.next() else {
        sink.push(Finding::error(CSV, "a loom table begins with its header").at(Span::whole(file), "empty"));
        return Vec::new();
    };
    for (name, span) in header.iter().filter(|(name, _)| !COLUMNS.contains(&name.as_str())) {
        let near = nearest(name, COLUMNS);
        let help = near.map_or_else(
            || format!("the columns are {}", COLUMNS.join(",")),
            |near| format!("write `{near}`"),
        );
        sink.push(
            Finding::error(CSV, format!("a loom table has no column `{name}`"))
                .at(*span, "not known")
                .help(help),
        );
    }
    lines.filter_map(|line| conductor(&header, line, sink)).collect()
}

fn conductor(header: &[Cell], line: Vec<Cell>, sink: &mut Sink) -> Option<Item> {
    let (_, first) = line.first()?.clone();
    if line.len() != header.len() {
        let (have, want) = (line.len(), header.len());
        sink.push(
            Finding::error(CSV, format!("this line has {have} cells and its header {want}"))
                .at(first, "this line")
                .help("an empty cell is written as nothing between two commas"),
        );
        return None;
    }
    let cell =
        |name: &str| header.iter().zip(&line).find(|((column, _), _)| column == name).map(|(_, cell)| cell);
    let filled = |name: &str| cell(name).filter(|(text, _)| !text.is_empty());
    let (id, span) = cell("id")?;
    if !is_id(id) {
        sink.push(fields::not_an_id(id, *span));
        return None;
    }
    let mut conductor = Conductor::default();
    let mut said = BTreeMap::new();
    for name in ["carries", "of", "colour"] {
        let Some((text, span)) = filled(name) else { continue };
        said.insert(name.to_owned(), place(*span));
        match name {
            "carries" => conductor.carries = Some(text.clone()),
            "of" if is_id(text) => conductor.of = Some(text.clone()),
            "of" => sink.push(fields::not_an_id(text, *span)),
            _ => conductor.colour = Some(text.clone()),
        }
    }
    let text = |name: &str| filled(name).map(|(text, _)| text.clone());
    conductor.ends = [text("from"), text("to")];
    conductor.ways = [text("from-way"), text("to-way")];
    if let Some((text, span)) = filled("length")
        && let Some(wanted) = unit("mm")
    {
        match Quantity::parse_as(text, wanted) {
            Ok(length) => conductor.length = Some((length, place(*span))),
            Err(error) => sink.push(fields::bad_quantity(&error, *span)),
        }
    }
    if let Some((text, span)) = filled("place") {
        conductor.join.place = Some((text.clone(), place(*span)));
    }
    let name = conductor.carries.clone().unwrap_or_else(|| id.clone());
    let what = What::Conductor(Box::new(conductor));
    Some(Item { name, said, ..Item::new(what, id, place(*span)) })
}

/// The lines of a table as cells; empty lines are left out.
fn lines(file: FileId, text: &str, sink: &mut Sink) -> Vec<Vec<Cell>> {
    let mut lines = Vec::new();
    let mut line: Vec<Cell> = Vec::new();
    let mut cell = String::new();
    let mut start = 0;
    let mut quoted: Option<usize> = None;
    let mut characters = text.char_indices().peekable();
    while let Some((at, character)) = characters.next() {
        match (character, quoted) {
            ('"', Some(_)) if characters.peek().is_some_and(|(_, next)| *next == '"') => {
                characters.next();
                cell.push('"');
            }
            ('"', Some(_)) => quoted = None,
            ('"', None) if cell.is_empty() => quoted = Some(at),
            (',', None) => {
                line.push((std::mem::take(&mut cell).trim().to_owned(), Span::new(file, start, at)));
                start = at + 1;
            }
            ('\n', None) => {
                line.push((std::mem::take(&mut cell).trim().to_owned(), Span::new(file, start, at)));
                start = at + 1;
                keep(&mut lines, std::mem::take(&mut line));
            }
            _ => cell.push(character),
        }
    }
    if let Some(at) = quoted {
        sink.push(
            Finding::error(CSV, "a quoted cell has no end")
                .at(Span::new(file, at, at + 1), "it begins here")
                .help("close it with a quotation mark"),
        );
    }
    line.push((cell.trim().to_owned(), Span::new(file, start, text.len())));
    keep(&mut lines, line);
    lines
}

fn keep(lines: &mut Vec<Vec<Cell>>, line: Vec<Cell>) {
    if line.iter().any(|(text, _)| !text.is_empty()) {
        lines.push(line);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quoted_cells_hold_commas_and_quotes() {
        let mut sink = Sink::new();
        let read = lines(FileId(0), "id,carries\r\na,\"x, \"\"y\"\"\"\n\n", &mut sink);
        let texts: Vec<Vec<&str>> =
            read.iter().map(|line| line.iter().map(|(text, _)| text.as_str()).collect()).collect();
        assert_eq!(texts, [vec!["id", "carries"], vec!["a", "x, \"y\""]]);
        assert!(!sink.has_errors());
    }

    #[test]
    fn a_cell_without_end_is_reported_where_it_begins() {
        let mut sink = Sink::new();
        lines(FileId(0), "id\n\"a\n", &mut sink);
        assert_eq!(sink.into_sorted()[0].span, Some(Span::new(FileId(0), 3, 4)));
    }
}
