//! A computed table: its rows, its plot, its workings row by row, and the same as comma-separated values.

use crate::drawings::{Labels, Plot};
use crate::finding::Finding;
use crate::model::{self, Rows};
use crate::page::view::shown::{self, Shown};
use crate::page::view::working::{Site, Working, working};
use crate::page::view::{Cell, Drawing, Frame, Sheet, UseGroup, frame, uses};
use crate::page::{File, Manual, PageKind, address};
use crate::work::{Column, Row, WorkedTable};
use crate::workings::{Value, find};
use serde::Serialize;

/// A computed table.
#[derive(Debug)]
pub(super) struct Table;

#[derive(Serialize)]
struct View {
    page: Frame,
    id: String,
    title: String,
    note: Option<String>,
    csv: String,
    table: Sheet,
    plot: Option<Drawing>,
    used: Vec<UseGroup>,
    rows: Vec<Worked>,
}

/// The workings of a row.
#[derive(Serialize)]
struct Worked {
    id: String,
    text: String,
    values: Vec<Working>,
}

impl PageKind for Table {
    fn name(&self) -> &'static str {
        "table"
    }

    fn subjects(&self, manual: &Manual<'_>) -> Vec<String> {
        manual.worked.tables().keys().cloned().collect()
    }

    fn draw(&self, manual: &Manual<'_>, subject: &str) -> Result<Vec<File>, Box<Finding>> {
        let (Some(table), Some(worked)) =
            (manual.worked.parsed().tables().get(subject), manual.worked.tables().get(subject))
        else {
            return Ok(Vec::new());
        };
        let here = address::table(subject);
        let csv = address::table_csv(subject);
        let view = View {
            page: frame(manual, self.name(), &here, table.title.clone()),
            id: table.id.clone(),
            title: table.title.clone(),
            note: table.note.clone(),
            csv: address::link(&here, &csv),
            table: sheet(manual, &here, table, worked),
            plot: drawing(manual, table, worked),
            used: uses::groups(manual, &here, manual.uses.table(subject)),
            rows: worked.rows.iter().map(|row| workings(manual, &here, row)).collect(),
        };
        let html = manual.theme.render("table.html", &view)?;
        Ok(vec![(here, html.into_bytes()), (csv, commas(table, worked).into_bytes())])
    }
}

fn key(table: &model::Table) -> &str {
    match &table.rows {
        Rows::Ids(key, _) | Rows::Sweep(key, ..) => key,
    }
}

/// What a column is called: the output, and its value's name where two columns share it.
fn head(manual: &Manual<'_>, column: &Column, worked: &WorkedTable) -> String {
    let shared = worked.columns.iter().filter(|other| other.output == column.output).count() > 1;
    let output = shown::output_name(manual, &column.working, &column.output);
    if shared { format!("{}: {output}", column.value.replace('-', " ")) } else { output }
}

fn unit(column: &Column) -> &'static str {
    let declared = find(&column.working).and_then(|working| working.declaration().output(&column.output));
    declared.map_or("", |output| if output.unit == "1" { "" } else { output.unit })
}

fn sheet(manual: &Manual<'_>, here: &str, table: &model::Table, worked: &WorkedTable) -> Sheet {
    let mut heads = vec![(key(table).replace('-', " "), false)];
    heads.extend(worked.columns.iter().map(|column| {
        let unit = unit(column);
        let name = head(manual, column, worked);
        (if unit.is_empty() { name } else { format!("{name}, {unit}") }, true)
    }));
    let mut sheet = Sheet::new(table.title.clone(), heads);
    for row in &worked.rows {
        let anchor = address::row_anchor(&row.id);
        let mut cells = vec![Cell::link(format!("#{anchor}"), row_label(manual, row))];
        cells.extend(row.cells.iter().zip(&worked.columns).map(|(cell, column)| match cell {
            Ok(value) => {
                let (rounding, _) = shown::output(&column.working, &column.output);
                let shown = Shown::value(manual, value, rounding);
                let how = format!("{here}#{anchor}--{}", address::value_anchor(&column.value));
                Cell {
                    second: shown.second.clone(),
                    how: Some(address::link(here, &how)),
                    ..Cell::text(shown.text())
                }
            }
            Err(reason) => Cell::gap(manual.theme.tell(reason)),
        }));
        sheet.push(None, cells);
    }
    sheet
}

fn workings(manual: &Manual<'_>, here: &str, row: &Row) -> Worked {
    let id = address::row_anchor(&row.id);
    let values = row.values.iter().filter_map(|value| {
        let anchor = format!("{id}--{}", address::value_anchor(&value.id));
        working(manual, Site { here, owner: "", anchor: &anchor }, value)
    });
    let values = values.collect();
    Worked { text: row_label(manual, row), values, id }
}

/// The plot that the table asks for.
fn drawing(manual: &Manual<'_>, table: &model::Table, worked: &WorkedTable) -> Option<Drawing> {
    let asked = table.plot.as_ref()?;
    let (value, output) = asked.y.0.split_once('.').unwrap_or((asked.y.0.as_str(), ""));
    let at = worked
        .columns
        .iter()
        .position(|column| column.value == value && (output.is_empty() || column.output == output))?;
    let column = worked.columns.get(at)?;
    let points = worked.rows.iter().filter_map(|row| {
        let up = row.cells.get(at)?.as_ref().ok()?.as_number()?;
        Some((along(manual, &asked.x.0, row)?, up))
    });
    let points: Vec<(f64, f64)> = points.collect();
    let field = asked.x.0.rsplit(['.', ':']).next().unwrap_or_default().replace('-', " ");
    let known = manual.theme.known(&format!("key_{}", field.replace(' ', "_")));
    let field = known.unwrap_or(field);
    let plot = Plot {
        title: &table.title,
        along: &format!("{field}, {}", x_unit(manual, &asked.x.0, worked)),
        up: &format!("{}, {}", head(manual, column, worked), unit(column)),
        points: &points,
    };
    let sketch = plot.sketch(&Labels { prefix: "plot".to_owned(), ..Labels::default() })?;
    let caption = format!("{} – {field}.", head(manual, column, worked));
    Some(Drawing { svg: Some(sketch.svg), narrow: Some(sketch.narrow), caption, ..Drawing::default() })
}

/// The figure of a row that runs along the plot: the swept quantity, or a field of the stores line.
fn along(manual: &Manual<'_>, reference: &str, row: &Row) -> Option<f64> {
    if let Some(at) = &row.at {
        return Some(at.value);
    }
    let (_, field) = reference.rsplit_once('.')?;
    line(manual, row)?.quantity(field).map(|quantity| quantity.value)
}

fn x_unit(manual: &Manual<'_>, reference: &str, worked: &WorkedTable) -> &'static str {
    let Some(row) = worked.rows.first() else { return "" };
    if let Some(at) = &row.at {
        return at.unit.symbol;
    }
    let field = reference.rsplit_once('.').map_or("", |(_, field)| field);
    line(manual, row).and_then(|line| line.quantity(field)).map_or("", |quantity| quantity.unit.symbol)
}

fn line<'a>(manual: &'a Manual<'_>, row: &Row) -> Option<&'a model::Line> {
    let stores = [model::Store::Cables, model::Store::Sleeves, model::Store::Fasteners, model::Store::Tools];
    stores.into_iter().find_map(|store| manual.worked.parsed().stores().get(store, &row.id))
}

/// What people call a row: the name of its stores line, or the swept quantity.
pub(super) fn row_label(manual: &Manual<'_>, row: &Row) -> String {
    match line(manual, row).filter(|_| row.at.is_none()) {
        Some(line) => line.name.clone(),
        None => row.label.clone(),
    }
}

/// The table as comma-separated values (RFC 4180): numbers rounded as on the page, units in the header.
fn commas(table: &model::Table, worked: &WorkedTable) -> String {
    let mut heads = vec![key(table).to_owned()];
    heads.extend(worked.columns.iter().map(|column| {
        let unit = unit(column);
        let name = format!("{}.{}", column.value, column.output);
        if unit.is_empty() { name } else { format!("{name} [{unit}]") }
    }));
    let mut out = record(&heads);
    for row in &worked.rows {
        let mut cells = vec![row.id.clone()];
        cells.extend(row.cells.iter().zip(&worked.columns).map(|(cell, column)| match cell {
            Ok(Value::Number { value, .. }) => {
                let (rounding, _) = shown::output(&column.working, &column.output);
                crate::quantity::print::number(*value, rounding)
            }
            Ok(other) => shown::plainly(other),
            Err(reason) => reason.to_string(),
        }));
        out.push_str(&record(&cells));
    }
    out
}

fn record(cells: &[String]) -> String {
    let quoted = cells.iter().map(|cell| {
        if cell.contains([',', '"', '\n', '\r']) {
            format!("\"{}\"", cell.replace('"', "\"\""))
        } else {
            cell.clone()
        }
    });
    format!("{}\r\n", quoted.collect::<Vec<_>>().join(","))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_record_quotes_what_it_must() {
        let cells = ["a".to_owned(), "b, c".to_owned(), "\"d\"".to_owned()];
        assert_eq!(record(&cells), "a,\"b, c\",\"\"\"d\"\"\"\r\n");
    }
}
