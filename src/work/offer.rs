//! What an input is offered: texts that name lines of the stores become those lines, and references what they lead to.

use super::resolve::{self, Known, Resolved, Scope};
use super::stock;
use crate::model::{Figure, Line, Reference, Scheme, Store, Stores};
use crate::phrase::{Phrase, phrase};
use crate::quantity::{MILLIMETRE, ONE, Quantity, Range};
use crate::workings::{Circle, Declaration, Kind, Offered, Refusal, Value};

/// Why an input has nothing to offer.
pub(super) enum Gap {
    /// Not reported yet.
    Refused(Refusal),
    /// Reported where it arose.
    Reported(Refusal),
}

/// What a text offers to an input: for sleeves, cables and services the lines of the stores with these ids,
/// else the text.
///
/// # Errors
/// When the stores have no such line; says the nearest.
pub fn text(stores: &Stores, declaration: &Declaration, input: &str, text: &str) -> Result<Offered, Refusal> {
    let store = match declaration.input(input).map(|input| input.kind) {
        Some(Kind::Sleeves) => Store::Sleeves,
        Some(Kind::Cable) => Store::Cables,
        Some(Kind::Services) => Store::Services,
        _ => return Ok(Offered::Text(text.to_owned())),
    };
    let ids = text.split(',').map(str::trim);
    lines(stores, store, input, ids.map(|id| id.split_once(':').map_or(id, |(_, id)| id)))
}

/// Whole lines of the stores.
pub(super) fn lines<'i>(
    stores: &Stores,
    store: Store,
    input: &str,
    ids: impl Iterator<Item = &'i str>,
) -> Result<Offered, Refusal> {
    let mut offers = Vec::new();
    for id in ids {
        let line = stores.get(store, id).ok_or_else(|| absent(stores, store, input, id))?;
        offers.push(whole_line(line)?);
    }
    match (offers.len(), offers.pop()) {
        (1, Some(one)) => Ok(one),
        (_, Some(last)) => {
            offers.push(last);
            Ok(Offered::List(offers))
        }
        (_, None) => Ok(Offered::Text(String::new())),
    }
}

fn absent(stores: &Stores, store: Store, input: &str, id: &str) -> Refusal {
    let refusal = resolve::absent(resolve::no_line(store, id), id, stores.ids(store));
    Refusal { input: Some(input.to_owned()), ..refusal }
}

/// What a reference into the stores offers to a working.
///
/// # Errors
/// When the stores have no such line, or it no such field; says the nearest.
pub fn from_stores(stores: &Stores, reference: &Reference) -> Result<Offered, Refusal> {
    let (line, field) = resolve::line(stores, reference)?;
    line_of(line, field, reference)
}

/// What a reference offers, looked up in what is known.
pub(super) fn reference(known: &impl Known, scope: Scope<'_>, reference: &Reference) -> Result<Offered, Gap> {
    let name = reference.to_string();
    let refused = |message: Phrase| Err(Gap::Refused(Refusal::of(message)));
    let no_figure = || phrase!("`{name}` is no figure", name = name);
    if matches!(
        reference.scheme,
        Scheme::Item | Scheme::Procedure | Scheme::Step | Scheme::Figure | Scheme::Vehicle
    ) {
        return refused(no_figure());
    }
    let found = resolve::resolve(known, scope, reference)
        .map_err(|missing| Gap::Refused(Refusal { help: missing.help, ..Refusal::of(missing.message) }))?;
    match found {
        Resolved::Value(.., value) => Ok(value_of(value)),
        Resolved::Refused(..) => {
            Err(Gap::Reported(Refusal::of(phrase!("`{name}` has no figure", name = name))))
        }
        Resolved::Cell(.., Ok(value)) => Ok(value_of(value)),
        Resolved::Cell(.., Err(reason)) => {
            refused(phrase!("`{name}` has no figure: {reason}", name = name, reason = reason))
        }
        Resolved::Swept(at) => Ok(Offered::Quantity(at.clone())),
        Resolved::Line(line, field) => line_of(line, field.as_deref(), reference).map_err(Gap::Refused),
        Resolved::Table(_) => Err(Gap::Refused(
            Refusal::of(phrase!("`{name}` is a whole table", name = name))
                .help(phrase!("name a cell: `{name}/ROW.COLUMN`", name = name)),
        )),
        Resolved::Vehicle(_)
        | Resolved::Item(_)
        | Resolved::Procedure(..)
        | Resolved::Step(..)
        | Resolved::Figure(..) => refused(no_figure()),
    }
}

/// A line, one size of it, or its field.
fn line_of(line: &Line, key: Option<&str>, reference: &Reference) -> Result<Offered, Refusal> {
    if let (Store::Sleeves, Some(size)) = (line.store, &reference.inner) {
        return resolve::size(line, size).map(|sleeve| Offered::Sleeves(vec![sleeve]));
    }
    match key {
        Some(key) => field(line, key),
        None => whole_line(line),
    }
}

/// A whole line as an input: sleeves, a cable or a service.
fn whole_line(line: &Line) -> Result<Offered, Refusal> {
    match line.store {
        Store::Sleeves => Ok(Offered::Sleeves(stock::sleeves(line))),
        Store::Cables => Ok(Offered::Cable(Box::new(stock::cable(line)))),
        Store::Services => stock::service(line)
            .map(|service| Offered::Services(vec![service]))
            .ok_or_else(|| Refusal::of(phrase!("the service `{id}` has no band or no limit", id = line.id))),
        _ => Err(Refusal::of(phrase!(
            "`{line}` is no figure: name a field of it, such as `{line}.…`",
            line = resolve::name_of(line)
        ))),
    }
}

/// A field of a line as an input. A range offers its two ends.
fn field(line: &Line, key: &str) -> Result<Offered, Refusal> {
    let end = |end: &Quantity| Offered::Quantity(end.clone());
    match line.figure(key) {
        Some(Figure::Quantity(quantity)) => Ok(end(quantity)),
        Some(Figure::Number(number)) => Ok(Offered::Quantity(Quantity::new(*number, &ONE))),
        Some(Figure::Range(Range { least, greatest, .. })) => {
            Ok(Offered::List(vec![end(least), end(greatest)]))
        }
        Some(Figure::Text(text)) => Ok(Offered::Text(text.clone())),
        Some(Figure::Texts(_) | Figure::Sizes(_)) => {
            Err(Refusal::of(phrase!("`{line}.{key}` is a list", line = resolve::name_of(line), key = key)))
        }
        None => Err(resolve::no_field(line, key)),
    }
}

/// An answer of one working as the input of another.
fn value_of(value: &Value) -> Offered {
    let diameter = |circle: &Circle| Offered::Quantity(Quantity::new(circle.d, &MILLIMETRE));
    match value {
        Value::Number { value, unit } => Offered::Quantity(Quantity::new(*value, unit)),
        Value::Text(text) => Offered::Text(text.clone()),
        Value::Words(words) => Offered::Text(words.to_string()),
        Value::Unlimited => Offered::Text("unlimited".to_owned()),
        Value::List(all) => Offered::List(all.iter().map(value_of).collect()),
        Value::Positions(circles) => Offered::List(circles.iter().map(diameter).collect()),
    }
}
