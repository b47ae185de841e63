//! Computed tables, as written.

use super::fields::{self, FORM, Fields, place};
use super::forms;
use super::span;
use super::values;
use super::yaml::{self, Kind, Node};
use crate::finding::{Code, FileId, Finding, Sink};
use crate::model::format::table::{ROWS, TABLE};
use crate::model::{Limits, Plot, Rows, Table};
use crate::quantity::Quantity;

/// More than the shop allows.
const LIMIT: Code = Code("SRC-02");
/// Most rows of a sweep: more would be a data file, not a table that people read.
const MOST_ROWS: usize = 500;

/// Reads a table.
pub(super) fn read(file: FileId, text: &str, sink: &mut Sink) -> Option<Table> {
    let node = match yaml::read(file, text, 0, text.len()) {
        Ok(node) => node,
        Err(finding) => {
            sink.push(*finding);
            return None;
        }
    };
    let mut fields = Fields::declared(&node, "a table", TABLE, sink)?;
    let id = fields.said("id", sink);
    let title = fields.said("title", sink);
    let rows = fields.must("rows", sink).and_then(|node| rows(node, sink));
    let values = fields.must("values", sink).map(|node| values::read(node, sink));
    let take = fields.listed("take", sink);
    let plot = fields.map("plot", "a plot", sink).and_then(|fields| plot(fields, sink));
    let note = fields.said("note", sink).map(|(text, _)| text);
    fields.finish(sink);
    let (id, at) = id?;
    Some(Table { id, title: title?.0, rows: rows?, values: values?, take, plot, note, place: at })
}

/// How much the tables hold that were read so far.
#[derive(Debug, Default)]
pub(super) struct Cells {
    count: u64,
    passed: bool,
}

impl Cells {
    /// Whether a further table stays within the shop's limit; says once where it is passed. Each row works every
    /// value of its table and shows every column, so that a short text can ask for any amount of work.
    pub(super) fn admit(&mut self, table: &Table, limits: &Limits, sink: &mut Sink) -> bool {
        let rows = match &table.rows {
            Rows::Ids(_, ids) => ids.len(),
            Rows::Sweep(_, at, _) => at.len(),
        };
        let count = rows.saturating_mul(table.values.len() + table.take.len());
        self.count = self.count.saturating_add(u64::try_from(count).unwrap_or(u64::MAX));
        let within = self.count <= limits.cells;
        if !within && !self.passed {
            let headline = format!(
                "with this table the tables of the manual hold {} values and columns in their rows, and the limit is {}",
                self.count, limits.cells
            );
            sink.push(
                Finding::error(LIMIT, headline)
                    .at(span(table.place), "this table and those after it are not worked")
                    .help("make its steps larger, or raise `limits.cells` in shop.yaml"),
            );
        }
        self.passed |= !within;
        within
    }
}

fn rows(node: &Node, sink: &mut Sink) -> Option<Rows> {
    let Kind::Map(entries) = &node.kind else {
        let headline = format!("`rows` names its row, and this is {}", node.noun());
        let finding = Finding::error(FORM, headline).at(node.span, "ids or a sweep, under a name");
        sink.push(finding.help("write for example `{wire: [loom-075]}`"));
        return None;
    };
    let [(key, value)] = entries.as_slice() else {
        let finding = Finding::error(FORM, "`rows` has one key, and its ids or its sweep");
        let finding = finding.at(node.span, "one key is wanted here");
        sink.push(finding.help("write for example `{wire: [loom-075]}`, and another table for other rows"));
        return None;
    };
    if !crate::model::is_id(&key.text) {
        sink.push(fields::not_an_id(&key.text, key.span));
        return None;
    }
    match &value.kind {
        Kind::Scalar(text) => {
            let sweep = sweep(text).map_err(|words| {
                let finding = Finding::error(FORM, words).at(value.span, "from, to and the step");
                sink.push(finding.help("write for example `2 mm to 8 mm by 0.5 mm`"));
            });
            Some(Rows::Sweep(key.text.clone(), sweep.ok()?, place(value.span)))
        }
        _ => Some(Rows::Ids(key.text.clone(), forms::references(value, ROWS, sink))),
    }
}

/// `2 mm to 8 mm by 0.5 mm` as its quantities; the last is left out where the step misses it.
fn sweep(text: &str) -> Result<Vec<Quantity>, String> {
    let unclear = || format!("`{}` is not a sweep", fields::shorten(text));
    let (least, rest) = text.split_once(" to ").ok_or_else(unclear)?;
    let (greatest, by) = rest.split_once(" by ").ok_or_else(unclear)?;
    let least = Quantity::parse(least).map_err(|error| error.to_string())?;
    let greatest = Quantity::parse_as(greatest, least.unit).map_err(|error| error.to_string())?;
    let by = Quantity::parse_as(by, least.unit).map_err(|error| error.to_string())?;
    let to = |quantity: &Quantity| quantity.in_unit(least.unit).map_err(|error| error.to_string());
    let (from, to, by) = (least.value, to(&greatest)?, to(&by)?);
    let steps = (to - from) / by;
    if by <= 0.0 || !steps.is_finite() || steps < 0.0 {
        return Err(format!("`{}` goes nowhere: it must rise by a step", fields::shorten(text)));
    }
    // A millionth of a step forgives what binary fractions lose.
    let mut rows = Vec::new();
    let mut index = 0_u32;
    while f64::from(index) <= steps + 1e-6 {
        if rows.len() == MOST_ROWS {
            return Err(format!("`{}` has more than {MOST_ROWS} rows", fields::shorten(text)));
        }
        rows.push(Quantity::new(from + f64::from(index) * by, least.unit));
        index += 1;
    }
    Ok(rows)
}

fn plot(mut fields: Fields<'_>, sink: &mut Sink) -> Option<Plot> {
    let x = fields.said("x", sink);
    let y = fields.said("y", sink);
    fields.finish(sink);
    Some(Plot { x: x?, y: y? })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A table of three rows with one value and one column holds six.
    #[test]
    fn tables_are_admitted_up_to_the_limit_of_all_and_the_first_beyond_is_named() {
        let text = "id: t\ntitle: T\nrows: {w: 1 mm to 3 mm by 1 mm}\n\
                    values:\n  v: {working: wrap, diameter: row:w}\ntake: [v.tape]\n";
        let table = read(FileId(0), text, &mut Sink::new()).unwrap();
        for (cells, wanted) in [(12, [true, true, false, false]), (11, [true, false, false, false])] {
            let limits = Limits { cells, ..Limits::default() };
            let (mut counted, mut sink) = (Cells::default(), Sink::new());
            let admitted = wanted.map(|_| counted.admit(&table, &limits, &mut sink));
            assert_eq!(admitted, wanted, "{cells}");
            assert_eq!(sink.into_sorted().iter().map(|found| found.code).collect::<Vec<_>>(), [LIMIT]);
        }
    }

    #[test]
    fn a_sweep_holds_both_ends_where_the_step_meets_them() {
        let rows = sweep("2 mm to 3 mm by 0.1 mm").unwrap();
        assert_eq!(rows.len(), 11);
        assert!((rows[10].value - 3.0).abs() < 1e-9);
        assert_eq!(sweep("2 mm to 3 mm by 0.4 mm").unwrap().len(), 3);
    }

    #[test]
    fn a_sweep_that_goes_nowhere_or_on_for_ever_is_refused() {
        for bad in ["2 mm to 8 mm", "8 mm to 2 mm by 1 mm", "2 mm to 8 mm by 0 mm", "0 mm to 9 m by 1 mm"] {
            assert!(sweep(bad).is_err(), "{bad}");
        }
    }
}
