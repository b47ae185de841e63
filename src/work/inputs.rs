//! Inputs as offered to a working: texts that name lines of the stores become those lines.

use super::stock;
use crate::finding::nearest;
use crate::model::{Figure, Line, Store, Stores};
use crate::quantity::Range;
use crate::workings::{Declaration, Kind, Offered, Refusal};

/// What a text offers to an input: for sleeves, cables and services the lines of the stores with these ids,
/// else the text.
///
/// # Errors
/// When the stores have no such line; says the nearest.
pub fn offer_text(
    stores: &Stores,
    declaration: &Declaration,
    input: &str,
    text: &str,
) -> Result<Offered, Refusal> {
    let store = match declaration.input(input).map(|input| input.kind) {
        Some(Kind::Sleeves) => Store::Sleeves,
        Some(Kind::Cable) => Store::Cables,
        Some(Kind::Services) => Store::Services,
        _ => return Ok(Offered::Text(text.to_owned())),
    };
    let mut offers = Vec::new();
    for id in text.split(',').map(str::trim) {
        let bare = id.split_once(':').map_or(id, |(_, id)| id);
        let line = stores.get(store, bare).ok_or_else(|| absent(stores, store, input, bare))?;
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
    let near = nearest(id, stores.ids(store));
    let refusal = Refusal::input(input, format!("the stores have no {} `{id}`", store.noun()));
    match near {
        Some(near) => refusal.help(format!("write `{near}`")),
        None => refusal,
    }
}

/// A whole line as an input: sleeves, a cable or a service.
///
/// # Errors
/// When a line of its table is no input of any working.
pub(super) fn whole_line(line: &Line) -> Result<Offered, Refusal> {
    match line.store {
        Store::Sleeves => Ok(Offered::Sleeves(stock::sleeves(line))),
        Store::Cables => Ok(Offered::Cable(Box::new(stock::cable(line)))),
        Store::Services => stock::service(line)
            .map(|service| Offered::Services(vec![service]))
            .ok_or_else(|| Refusal::of(format!("the service `{}` has no band or no limit", line.id))),
        _ => Err(Refusal::of(format!(
            "the {} `{}` is no figure: name a field of it, such as `{}:{}.…`",
            line.store.noun(),
            line.id,
            line.store.noun().split(' ').next().unwrap_or_default(),
            line.id
        ))),
    }
}

/// A field of a line as an input.
///
/// # Errors
/// When the line has no such field, or it is no figure; says the nearest.
pub(super) fn field(line: &Line, key: &str) -> Result<Offered, Refusal> {
    match line.figure(key) {
        Some(Figure::Quantity(quantity)) => Ok(Offered::Quantity(quantity.clone())),
        Some(Figure::Number(number)) => Ok(Offered::Text(number.to_string())),
        Some(Figure::Range(range)) => Ok(Offered::Text(range_text(range))),
        Some(Figure::Text(text)) => Ok(Offered::Text(text.clone())),
        Some(Figure::Texts(_) | Figure::Sizes(_)) => {
            Err(Refusal::of(format!("`{key}` of the {} `{}` is a list", line.store.noun(), line.id)))
        }
        None => Err(no_field(line, key)),
    }
}

/// The refusal of a field that a line does not have.
pub(super) fn no_field(line: &Line, key: &str) -> Refusal {
    let refusal = Refusal::of(format!("the {} `{}` has no `{key}`", line.store.noun(), line.id));
    let known = line.figures.keys().map(String::as_str);
    if line.store.declaration().keys.iter().any(|known| known.name == key) {
        return refusal.help(format!("state it in stores/{}.yaml", line.store.file()));
    }
    match nearest(key, known) {
        Some(near) => refusal.help(format!("write `.{near}`")),
        None => refusal,
    }
}

/// A range as its author would write it again.
pub(super) fn range_text(range: &Range) -> String {
    let text = |quantity: &crate::quantity::Quantity| format!("{} {}", quantity.value, quantity.unit.symbol);
    format!("{} to {}", text(&range.least), text(&range.greatest))
}
