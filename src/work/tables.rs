//! Computed tables: their values worked afresh for each row.

use super::resolve::{no_output, no_value_of_table};
use super::row::RowKey;
use super::{Column, Row, WorkedValue};
use crate::finding::{Code, Finding, Sink, nearest};
use crate::model::{Reference, Rows, Scheme, Store, Table, slug};
use crate::parse::{Parsed, span};
use crate::phrase::{Phrase, phrase};
use crate::quantity::Quantity;
use crate::workings::{Refusal, Value, find};

/// Where a row key's ids are looked up.
const LOOKED_UP: [Store; 4] = [Store::Cables, Store::Sleeves, Store::Fasteners, Store::Tools];

/// What each row of a table stands for.
pub(super) fn keys(parsed: &Parsed, table: &Table, sink: &mut Sink) -> Vec<RowKey> {
    match &table.rows {
        Rows::Sweep(key, at, _) => {
            at.iter().map(|at| RowKey::At { key: key.clone(), at: at.clone() }).collect()
        }
        Rows::Ids(key, ids) => ids
            .iter()
            .filter_map(|(id, place)| {
                let store = LOOKED_UP.into_iter().find(|store| parsed.stores().get(*store, id).is_some());
                if store.is_none() {
                    let known = LOOKED_UP.iter().flat_map(|store| parsed.stores().ids(*store));
                    sink.push(
                        Finding::error(Code("DOC-03"), format!("the stores have no line `{id}`"))
                            .at(span(*place), "looked up among cables, sleeves, fasteners and tools")
                            .help_if(nearest(id, known).map(|near| format!("write `{near}`"))),
                    );
                }
                Some(RowKey::Line { key: key.clone(), store: store?, id: id.clone() })
            })
            .collect(),
    }
}

/// The columns that `take` names, each an output of one of the table's values.
pub(super) fn columns(table: &Table, sink: &mut Sink) -> Vec<Column> {
    let mut columns = Vec::new();
    for (text, place) in &table.take {
        match column(table, text) {
            Ok(column) => columns.push(column),
            Err(refusal) => sink.push(
                Finding::error(Code("DOC-03"), refusal.message)
                    .at(span(*place), phrase!("`value.output` is wanted here"))
                    .help_if(refusal.help),
            ),
        }
    }
    columns
}

fn column(table: &Table, text: &str) -> Result<Column, Refusal> {
    let (id, output) = match text.split_once('.') {
        Some((id, output)) => (id, Some(output)),
        None => (text, None),
    };
    let id = id.strip_prefix("value:").unwrap_or(id);
    let value = table
        .values
        .iter()
        .find(|value| value.id == id)
        .ok_or_else(|| no_value_of_table(id, table.values.iter().map(|value| value.id.as_str())))?;
    let working = find(&value.working.0)
        .ok_or_else(|| Refusal::of(phrase!("there is no working `{name}`", name = value.working.0)))?;
    let outputs = working.declaration().outputs;
    let known = match output {
        Some(name) => outputs.iter().find(|output| output.name == name),
        None => outputs.first(),
    };
    let known = known.ok_or_else(|| {
        no_output(&value.working.0, output.unwrap_or_default(), outputs.iter().map(|output| output.name))
    })?;
    Ok(Column { value: value.id.clone(), output: known.name.to_owned(), working: value.working.0.clone() })
}

/// A plot draws what stands in the table.
pub(super) fn check_plot(table: &Table, columns: &[Column], sink: &mut Sink) {
    let Some(plot) = &table.plot else { return };
    for (text, place) in [&plot.x, &plot.y] {
        let is_row = Reference::parse(text).is_ok_and(|reference| reference.scheme == Scheme::Row);
        let taken = column(table, text).is_ok_and(|wanted| columns.contains(&wanted)) || is_row;
        if !taken {
            let known = table.take.iter().map(|(text, _)| text.as_str());
            sink.push(
                Finding::error(
                    Code("DOC-03"),
                    format!("the plot's `{text}` is neither of the row nor taken"),
                )
                .at(span(*place), "`row:…` or one of `take` is wanted here")
                .help_if(nearest(text, known).map(|near| format!("write `{near}`"))),
            );
        }
    }
}

/// A row of its worked values.
pub(super) fn row(table: &Table, key: &RowKey, values: Vec<WorkedValue>) -> Row {
    let cells = table
        .take
        .iter()
        .filter_map(|(text, _)| column(table, text).ok())
        .map(|column| cell(&values, &column))
        .collect();
    let (id, label, at) = match key {
        RowKey::Line { id, .. } => (id.clone(), id.clone(), None),
        RowKey::At { at, .. } => (slug(&sweep_text(at)), at.to_string(), Some(at.clone())),
    };
    Row { id, label, at, cells, values }
}

/// A swept quantity without the dust of binary fractions, so that its row has an id people can write.
fn sweep_text(at: &Quantity) -> String {
    format!("{} {}", (at.value * 1e6).round() / 1e6, at.unit.symbol)
}

fn cell(values: &[WorkedValue], column: &Column) -> Result<Value, Phrase> {
    let value = values.iter().find(|value| value.id == column.value);
    match value.map(|value| &value.result) {
        Some(Ok(work)) => work.outcome.get(&column.output).cloned().ok_or_else(|| phrase!("not asked for")),
        Some(Err(refusals)) => {
            Err(Phrase::list(refusals.iter().map(|refusal| refusal.message.clone()).collect(), "; "))
        }
        None => Err(phrase!("not worked")),
    }
}
