//! Loom tables: CSV beside the vehicle, one conductor a line. The few rules of RFC 4180 that a spreadsheet
//! uses (quoted cells, doubled quotes) are read here, because every cell must keep its place for messages. What
//! spreadsheets add to them is read too: a byte order mark, semicolons or tabs between the cells.

use super::fields::{self, FORM, Fields, place};
use super::forms;
use super::yaml::{Kind as Yaml, Node};
use crate::finding::{Code, FileId, Finding, Severity, Sink, Span, nearest};
use crate::model::{Conductor, Figure, Item, LOOM, LOOM_COLUMNS, Place, Vehicle, What, is_id};
use crate::source::Source;
use std::collections::{BTreeMap, BTreeSet};

/// Faults of a table's form.
const CSV: Code = Code("SRC-10");

/// Reads `looms: {rear-door: {table: calder-320-rear-door.csv}}` into the vehicle; keeps which tables are named.
pub(super) fn read(
    source: &Source,
    folder: &str,
    node: &Node,
    vehicle: &mut Vehicle,
    named: &mut BTreeSet<FileId>,
    sink: &mut Sink,
) {
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
        let what = format!("the loom `{}`", key.text);
        let Some(mut fields) = Fields::declared(node, what, LOOM, sink) else { continue };
        let table = fields.said("table", sink);
        fields.skim(["name", "note"], sink);
        fields.finish(sink);
        let Some((name, at)) = table else { continue };
        let path = format!("{folder}/{name}");
        let Some((file, text)) = source.at(&path).and_then(|(id, file)| file.text().map(|text| (id, text)))
        else {
            let beside =
                source.files().iter().filter_map(|file| file.path.strip_prefix(&format!("{folder}/")));
            let near = nearest(&name, beside.filter(|name| name.ends_with(".csv")));
            sink.push(
                Finding::error(CSV, format!("the loom table `{name}` is not there"))
                    .at(super::span(at), format!("no text file `{path}`"))
                    .help_if(near.map(|near| format!("write `{near}`"))),
            );
            continue;
        };
        named.insert(file);
        let conductors = read_table(file, text, sink);
        let ids = conductors.iter().map(|item| item.id.clone()).collect();
        for item in conductors {
            if let Some(first) = vehicle.items.get(&item.id) {
                sink.push(twice(&item.id, item.place, first));
            } else {
                vehicle.items.insert(item.id.clone(), item);
            }
        }
        vehicle.looms.insert(key.text.clone(), ids);
    }
}

/// Mentions a table that stands beside the vehicles and that none of them names.
pub(super) fn unnamed(file: FileId, path: &str, named: &BTreeSet<FileId>, sink: &mut Sink) {
    if named.contains(&file) {
        return;
    }
    let name = path.rsplit_once('/').map_or(path, |(_, name)| name);
    let stem = name.trim_end_matches(".csv");
    let id = crate::model::slug(stem);
    sink.push(
        Finding::new(CSV, Severity::Advice, format!("no vehicle names the loom table `{name}`"))
            .at(Span::whole(file), "not read")
            .help(format!("name it in the file of its vehicle: `looms: {{{id}: {{table: {name}}}}}`")),
    );
}

/// A cell with its place.
type Cell = (String, Span);

fn read_table(file: FileId, text: &str, sink: &mut Sink) -> Vec<Item> {
    let separator = separator(text);
    let mut lines = lines(file, text, separator, sink).into_iter();
    let Some(header) = lines.next() else {
        sink.push(Finding::error(CSV, "a loom table begins with its header").at(Span::whole(file), "empty"));
        return Vec::new();
    };
    let columns = LOOM_COLUMNS.iter().map(|column| column.name);
    for (name, span) in header.iter().filter(|(name, _)| columns.clone().all(|column| column != name)) {
        let near = nearest(name, columns.clone());
        let help = near.map_or_else(
            || format!("the columns are {}", columns.clone().collect::<Vec<_>>().join(",")),
            |near| format!("write `{near}`"),
        );
        sink.push(
            Finding::error(CSV, format!("a loom table has no column `{name}`"))
                .at(*span, "not known")
                .help(help),
        );
    }
    if let Some((_, span)) = header.first()
        && header.iter().all(|(name, _)| name != "id")
    {
        let finding = Finding::error(CSV, "this loom table has no column `id`");
        sink.push(finding.at(*span, "`id` is missing in the header"));
        return Vec::new();
    }
    lines.filter_map(|line| conductor(&header, line, separator, sink)).collect()
}

/// What stands between the cells: of the three that spreadsheets write, the one that the header holds most.
fn separator(text: &str) -> char {
    let header = text.lines().find(|line| !line.trim().is_empty()).unwrap_or_default();
    let count = |separator: &char| header.matches(*separator).count();
    // Of equals the last is taken, which is the comma of the standard.
    ['\t', ';', ','].into_iter().max_by_key(count).unwrap_or(',')
}

/// A line whose cells are not as many as the columns, with what probably split or joined them.
fn uneven(header: &[Cell], line: &[Cell], separator: char) -> Finding {
    let (have, want) = (line.len(), header.len());
    let number = |text: &str, last: bool| {
        let letter = if last { text.chars().next_back() } else { text.chars().next() };
        letter.is_some_and(|letter| letter.is_ascii_digit())
    };
    let comma = line.windows(2).find_map(|pair| match pair {
        [(whole, from), (decimals, to)] if number(whole, true) && number(decimals, false) => {
            Some((format!("{whole}.{decimals}"), from.to(*to)))
        }
        _ => None,
    });
    let between = match separator {
        '\t' => "tabs",
        ';' => "semicolons",
        _ => "commas",
    };
    let headline = format!("this line has {have} cells and its header {want}");
    match comma.filter(|_| separator == ',' && have > want) {
        Some((meant, span)) => Finding::error(CSV, headline)
            .at(span, "a decimal comma parts this cell in two")
            .help(format!("write `{meant}`")),
        None => Finding::error(CSV, headline)
            .at(line.first().map_or(Span::whole(FileId(0)), |(_, span)| *span), "this line")
            .help(format!("an empty cell is written as nothing between two {between}")),
    }
}

fn conductor(header: &[Cell], line: Vec<Cell>, separator: char, sink: &mut Sink) -> Option<Item> {
    if line.len() != header.len() {
        sink.push(uneven(header, &line, separator));
        return None;
    }
    let cell = |name: &str| {
        let cell = header.iter().zip(&line).find(|((column, _), _)| column == name)?.1;
        (name == "id" || !cell.0.is_empty()).then_some(cell)
    };
    let read = |name: &str, sink: &mut Sink| -> Option<(Figure, Place)> {
        let (text, span) = cell(name)?;
        let key = LOOM_COLUMNS.iter().find(|column| column.name == name)?;
        let node = Node { span: *span, kind: Yaml::Scalar(text.clone()) };
        forms::read(key, &node, sink).map(|figure| (figure, place(*span)))
    };
    let text = |name: &str, sink: &mut Sink| match read(name, sink)? {
        (Figure::Text(text), place) => Some((text, place)),
        _ => None,
    };
    let (id, at) = text("id", sink)?;
    let mut conductor = Conductor::default();
    let mut said = BTreeMap::new();
    for name in ["carries", "of", "colour"] {
        let Some((text, place)) = text(name, sink) else { continue };
        said.insert(name.to_owned(), place);
        match name {
            "carries" => conductor.carries = Some(text),
            "of" => conductor.of = Some(text),
            _ => conductor.colour = Some(text),
        }
    }
    let [from, to, from_way, to_way] =
        ["from", "to", "from-way", "to-way"].map(|name| text(name, sink).map(|(text, _)| text));
    conductor.ends = [from, to];
    conductor.ways = [from_way, to_way];
    if let Some((Figure::Quantity(length), place)) = read("length", sink) {
        conductor.length = Some((length, place));
    }
    conductor.join.place = text("place", sink);
    let name = conductor.carries.clone().unwrap_or_else(|| id.clone());
    let what = What::Conductor(Box::new(conductor));
    Some(Item { name, said, ..Item::new(what, &id, at) })
}

/// The lines of a table as cells; empty lines are left out.
fn lines(file: FileId, text: &str, separator: char, sink: &mut Sink) -> Vec<Vec<Cell>> {
    let mut lines = Vec::new();
    let mut line: Vec<Cell> = Vec::new();
    let mut cell = String::new();
    // A byte order mark at the very start is what spreadsheets write, and no part of the first cell.
    let first = if text.starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { 0 };
    let mut start = first;
    let mut quoted: Option<usize> = None;
    let mut characters = text.char_indices().skip_while(|(at, _)| *at < first).peekable();
    while let Some((at, character)) = characters.next() {
        match (character, quoted) {
            ('"', Some(_)) if characters.peek().is_some_and(|(_, next)| *next == '"') => {
                characters.next();
                cell.push('"');
            }
            ('"', Some(_)) => quoted = None,
            ('"', None) if cell.is_empty() => quoted = Some(at),
            (between, None) if between == separator => {
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

/// The finding of an id that names two items.
pub(super) fn twice(id: &str, at: Place, first: &Item) -> Finding {
    Finding::error(FORM, format!("`{id}` names two items"))
        .at(super::span(at), format!("the second; the first is a {}", first.kind().noun()))
        .label(super::span(first.place), "the first")
        .help("an id names one thing: give one of the two another id")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quoted_cells_hold_commas_and_quotes() {
        let mut sink = Sink::new();
        let read = lines(FileId(0), "id,carries\r\na,\"x, \"\"y\"\"\"\n\n", ',', &mut sink);
        let texts: Vec<Vec<&str>> =
            read.iter().map(|line| line.iter().map(|(text, _)| text.as_str()).collect()).collect();
        assert_eq!(texts, [vec!["id", "carries"], vec!["a", "x, \"y\""]]);
        assert!(!sink.has_errors());
    }

    #[test]
    fn a_cell_without_end_is_reported_where_it_begins() {
        let mut sink = Sink::new();
        lines(FileId(0), "id\n\"a\n", ',', &mut sink);
        assert_eq!(sink.into_sorted()[0].span, Some(Span::new(FileId(0), 3, 4)));
    }

    fn table(text: &str) -> (Vec<Item>, Vec<Finding>) {
        let mut sink = Sink::new();
        let items = read_table(FileId(0), text, &mut sink);
        (items, sink.into_sorted())
    }

    #[test]
    fn what_spreadsheets_write_is_read_alike() {
        let (plain, found) = table("id,carries,length\na,Feed,1.5 m\n");
        assert_eq!(found, []);
        for other in [
            "\u{feff}id,carries,length\na,Feed,1.5 m\n",
            "id;carries;length\na;Feed;1.5 m\n",
            "id\tcarries\tlength\r\na\tFeed\t1.5 m\r\n",
            "\u{feff}id;carries;length\r\n\"a\";\"Feed\";\"1.5 m\"\r\n",
        ] {
            let (items, found) = table(other);
            assert_eq!(found, [], "{other:?}");
            let told = |items: &[Item]| {
                items
                    .iter()
                    .map(|item| format!("{} {} {:?}", item.id, item.name, lengths(item)))
                    .collect::<Vec<_>>()
            };
            assert_eq!(told(&items), told(&plain), "{other:?}");
        }
    }

    fn lengths(item: &Item) -> Option<f64> {
        item.conductor()?.length.as_ref().map(|(length, _)| length.value)
    }

    #[test]
    fn a_cell_that_is_wrong_says_what_to_write() {
        for (text, help) in [
            ("id,length\na,1,5 m\n", "write `1.5 m`"),
            ("id;length\na;1,5 m\n", "write 1.5 m with a point"),
            ("id,colour\na,Red/White\n", "write `RD/WH`"),
            ("id,of\na,fastener:x\n", "`cable:`"),
            ("id,carries\na\n", "between two commas"),
            ("id;carries\na\n", "between two semicolons"),
            ("id,colour,lenght\na,RD,\n", "write `length`"),
            ("id,place\na,wett\n", "write `wet`"),
        ] {
            let (_, found) = table(text);
            let [finding] = found.as_slice() else { panic!("{text:?}: {found:?}") };
            let said = format!("{} {}", finding.headline, finding.help.as_deref().unwrap_or_default());
            assert!(said.contains(help), "{text:?}: {finding:?}");
        }
        let (items, found) = table("id,of,colour\na,cable:loom-075,GN-YE\n");
        assert_eq!((items.len(), found.len()), (1, 0), "{found:?}");
        assert!(table("carries\nFeed\n").1[0].headline.contains("no column `id`"));
    }

    #[test]
    fn every_column_reads_its_example() {
        let row = |of: fn(&crate::model::Key) -> &'static str| {
            LOOM_COLUMNS.iter().map(of).collect::<Vec<_>>().join(",")
        };
        let (items, found) = table(&format!("{}\n{}\n", row(|key| key.name), row(|key| key.example)));
        assert_eq!(found, []);
        assert_eq!(items[0].said.len(), 3);
    }
}
