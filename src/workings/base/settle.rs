//! From what is offered to what is settled: parse, check dimension and bounds, fill in defaults.
//!
//! All faults are gathered, so that one missing input does not hide a wrong unit.

use crate::phrase::{Phrase, phrase};
use crate::quantity::{Dimension, Quantity, QuantityError, Range, Unit};
use crate::workings::base::declaration::{CableDiameter, Declaration, Input, Kind};
use crate::workings::base::given::{Given, Measure, Settled, missing};
use crate::workings::base::nouns::{Cable, Service, Sleeve, Stock};
use crate::workings::base::refusal::Refusal;
use std::collections::BTreeMap;
use std::sync::Arc;

/// The most items that a list may have.
const LONGEST_LIST: usize = 500;

/// What a caller hands in for one input.
#[derive(Clone, Debug, PartialEq)]
pub enum Offered {
    /// Text as written; lists separate their items by commas.
    Text(String),
    /// A quantity, from another working or the stores.
    Quantity(Quantity),
    /// Several of these.
    List(Vec<Offered>),
    /// Sleeves of the stores.
    Sleeves(Vec<Sleeve>),
    /// A cable of the stores; where a diameter or an area is wanted, that field of it.
    Cable(Box<Cable>),
    /// Services of the stores.
    Services(Vec<Service>),
}

/// Settles everything that was offered.
///
/// # Errors
/// Every refusal there is: missing and unknown keys, texts that do not parse, wrong dimensions, values that
/// are not finite or outside their bounds.
pub fn settle(
    declaration: &'static Declaration,
    offered: &BTreeMap<String, Offered>,
    stock: &Stock,
) -> Result<Given, Vec<Refusal>> {
    let mut values = BTreeMap::new();
    let mut refusals = Vec::new();
    for (name, offer) in offered {
        let settled = match declaration.input(name) {
            Some(input) => settle_one(input, offer),
            None if declaration.open => any(name, offer).map(Settled::Quantity),
            None => Err(unknown(declaration, name)),
        };
        match settled {
            Ok(value) => {
                values.insert(name.clone(), value);
            }
            Err(refusal) => refusals.push(refusal),
        }
    }
    for input in declaration.inputs.iter().filter(|input| !offered.contains_key(input.name)) {
        if input.required {
            refusals.push(missing(declaration, input.name));
        } else if let Some(default) = input.default {
            match settle_one(input, &Offered::Text(default.to_owned())) {
                Ok(value) => {
                    values.insert(input.name.to_owned(), value);
                }
                Err(refusal) => refusals.push(refusal),
            }
        }
    }
    if refusals.is_empty() {
        Ok(Given::new(declaration, values, Arc::clone(&stock.cables)))
    } else {
        Err(refusals)
    }
}

/// Settles one declared input.
fn settle_one(input: &Input, offer: &Offered) -> Result<Settled, Refusal> {
    let unit = input.settled_unit();
    let wrong = |wanted: Phrase| {
        Refusal::input(input.name, phrase!("`{input}` wants {wanted}", input = input.name, wanted = wanted))
    };
    match input.kind {
        Kind::Quantity => Ok(Settled::Measure(measure(input, offer)?, unit)),
        Kind::OrUnlimited => match offer {
            Offered::Text(text) if text.trim() == "unlimited" => Ok(Settled::Unlimited),
            other => Ok(Settled::Measure(measure(input, other)?, unit)),
        },
        Kind::Quantities => {
            let items = items(input.name, offer)?;
            let all = items.iter().map(|item| measure(input, item)).collect::<Result<_, _>>()?;
            Ok(Settled::Measures(all, unit))
        }
        Kind::Any => any(input.name, offer).map(Settled::Quantity),
        Kind::Anys => {
            let items = items(input.name, offer)?;
            items.iter().map(|item| any(input.name, item)).collect::<Result<_, _>>().map(Settled::Quantities)
        }
        Kind::Range => range(input, unit, offer),
        Kind::Choice(words) => choice(input, words, offer),
        Kind::Text => text(input.name, offer).map(Settled::Text),
        Kind::Texts => {
            let items = items(input.name, offer)?;
            items.iter().map(|item| text(input.name, item)).collect::<Result<_, _>>().map(Settled::Texts)
        }
        Kind::Sleeves => match gather(offer, |one| match one {
            Offered::Sleeves(all) => Some(all.clone()),
            _ => None,
        }) {
            Some(sleeves) => Ok(Settled::Sleeves(sleeves)),
            None => Err(wrong(phrase!("a range of sleeves of the stores"))),
        },
        Kind::Services => match gather(offer, |one| match one {
            Offered::Services(all) => Some(all.clone()),
            _ => None,
        }) {
            Some(services) => Ok(Settled::Services(services)),
            None => Err(wrong(phrase!("services of the stores"))),
        },
        Kind::Cable => match offer {
            Offered::Cable(cable) => Ok(Settled::Cable(cable.clone())),
            _ => Err(wrong(phrase!("a cable of the stores"))),
        },
    }
}

/// The things of the stores in an offer that may be one batch or a list of batches.
fn gather<T>(offer: &Offered, take: impl Fn(&Offered) -> Option<Vec<T>>) -> Option<Vec<T>> {
    match offer {
        Offered::List(all) => all
            .iter()
            .map(take)
            .collect::<Option<Vec<_>>>()
            .map(|batches| batches.into_iter().flatten().collect()),
        one => take(one),
    }
}

/// The items of a list: a list, one thing, or a text with commas. An empty list is refused.
fn items(name: &str, offer: &Offered) -> Result<Vec<Offered>, Refusal> {
    let items: Vec<Offered> = match offer {
        Offered::List(all) => all.clone(),
        Offered::Text(text) if text.trim().is_empty() => Vec::new(),
        Offered::Text(text) => {
            let inner = text.trim().trim_start_matches('[').trim_end_matches(']');
            inner.split(',').map(|item| Offered::Text(item.trim().to_owned())).collect()
        }
        other => vec![other.clone()],
    };
    if items.is_empty() {
        return Err(Refusal::input(
            name,
            phrase!("`{name}` is an empty list: give at least one item", name = name),
        ));
    }
    if items.len() > LONGEST_LIST {
        return Err(Refusal::input(
            name,
            phrase!(
                "`{name}` has {count} items: at most {most} are taken",
                name = name,
                count = items.len(),
                most = LONGEST_LIST
            ),
        ));
    }
    Ok(items)
}

/// A quantity in the declared unit, inside its bounds, its tolerance with it.
fn measure(input: &Input, offer: &Offered) -> Result<Measure, Refusal> {
    let unit = input.settled_unit();
    let quantity = match offer {
        Offered::Text(text) => {
            Quantity::parse_as(text, unit).map_err(|error| unreadable(input.name, &error))?
        }
        Offered::Quantity(quantity) => quantity.clone(),
        Offered::Cable(cable) => cable_field(input, unit, cable)?,
        Offered::List(all) => match all.as_slice() {
            [one] => return measure(input, one),
            _ => {
                return Err(Refusal::input(
                    input.name,
                    phrase!("`{input}` takes one value, not a list", input = input.name),
                ));
            }
        },
        Offered::Sleeves(_) | Offered::Services(_) => {
            return Err(Refusal::input(
                input.name,
                phrase!("`{input}` wants a quantity in {unit}", input = input.name, unit = unit.symbol),
            ));
        }
    };
    let value = quantity.in_unit(unit).map_err(|error| unreadable(input.name, &error))?;
    let tolerance = quantity.tolerance_in(unit).map_err(|error| unreadable(input.name, &error))?;
    check(input, unit, value)?;
    check(input, unit, value - tolerance)?;
    check(input, unit, value + tolerance)?;
    Ok(Measure { value, tolerance })
}

/// Holds a value against the bounds of its input.
fn check(input: &Input, unit: &'static Unit, value: f64) -> Result<(), Refusal> {
    if input.bound.holds(value) {
        return Ok(());
    }
    let limits = input.bound.words(unit.symbol);
    let shown = Quantity::new(value, unit);
    let shown = match value.is_finite() {
        true => Phrase::verbatim(shown.to_string()),
        false => phrase!("not finite"),
    };
    Err(Refusal::input(
        input.name,
        phrase!(
            "`{input}` is {shown}: it must be {limits}",
            input = input.name,
            shown = shown,
            limits = limits
        ),
    ))
}

/// The field of a cable that stands for it: the diameter that the input declares where a length is wanted, its area
/// or its resistance where those are.
fn cable_field(input: &Input, unit: &'static Unit, cable: &Cable) -> Result<Quantity, Refusal> {
    let (field, value) = if unit.dimension == Dimension::LENGTH {
        match input.diameter {
            CableDiameter::Outside => ("outside", cable.outside),
            CableDiameter::Conductor => ("conductor", cable.conductor),
        }
    } else if unit.symbol == "mm²" {
        ("size", cable.area)
    } else if unit.symbol == "mΩ/m" {
        ("per-length", cable.per_length)
    } else if unit.symbol == "A" {
        ("rated", cable.rated)
    } else {
        return Err(Refusal::input(
            input.name,
            phrase!(
                "`{input}` wants a quantity in {unit}, not a cable",
                input = input.name,
                unit = unit.symbol
            ),
        ));
    };
    let value = value.ok_or_else(|| {
        Refusal::input(
            input.name,
            phrase!("the cable `{cable}` has no `{field}` in the stores", cable = cable.id, field = field),
        )
    })?;
    Ok(Quantity::new(value, unit))
}

/// A quantity of any dimension. A bare number is a plain number.
fn any(name: &str, offer: &Offered) -> Result<Quantity, Refusal> {
    let quantity = match offer {
        Offered::Quantity(quantity) => quantity.clone(),
        Offered::Text(text) => match Quantity::parse(text) {
            Err(QuantityError::Bare { .. }) => {
                Quantity::parse_as(text, &crate::quantity::ONE).map_err(|error| unreadable(name, &error))?
            }
            other => other.map_err(|error| unreadable(name, &error))?,
        },
        _ => return Err(Refusal::input(name, phrase!("`{name}` wants a quantity", name = name))),
    };
    if quantity.value.is_finite() && quantity.value.abs() <= 1e15 {
        Ok(quantity)
    } else {
        Err(Refusal::input(name, phrase!("`{name}` is too large: at most 1e15 is taken", name = name)))
    }
}

/// Two ends inside the bounds.
fn range(input: &Input, unit: &'static Unit, offer: &Offered) -> Result<Settled, Refusal> {
    let (low, high) = match offer {
        Offered::Text(text) => {
            let range = Range::parse_as(text, unit).map_err(|error| unreadable(input.name, &error))?;
            range.in_unit(unit).map_err(|error| unreadable(input.name, &error))?
        }
        Offered::List(all) if all.len() == 2 => {
            let ends: Vec<f64> =
                all.iter().map(|one| quantity_in(input, unit, one)).collect::<Result<_, _>>()?;
            let low = ends.iter().copied().fold(f64::INFINITY, f64::min);
            let high = ends.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            (low, high)
        }
        other => {
            let one = quantity_in(input, unit, other)?;
            (one, one)
        }
    };
    check(input, unit, low)?;
    check(input, unit, high)?;
    Ok(Settled::Range(low, high, unit))
}

/// One end of a range that was handed in as a thing.
fn quantity_in(input: &Input, unit: &'static Unit, offer: &Offered) -> Result<f64, Refusal> {
    let quantity = match offer {
        Offered::Text(text) => {
            Quantity::parse_as(text, unit).map_err(|error| unreadable(input.name, &error))?
        }
        Offered::Quantity(quantity) => quantity.clone(),
        _ => {
            return Err(Refusal::input(
                input.name,
                phrase!("`{input}` wants a range in {unit}", input = input.name, unit = unit.symbol),
            ));
        }
    };
    quantity.in_unit(unit).map_err(|error| unreadable(input.name, &error))
}

/// One of the allowed words.
fn choice(input: &Input, words: &[&str], offer: &Offered) -> Result<Settled, Refusal> {
    let word = text(input.name, offer)?;
    if words.contains(&word.as_str()) {
        return Ok(Settled::Text(word));
    }
    let allowed = words.join("`, `");
    let refusal = Refusal::input(
        input.name,
        phrase!(
            "`{input}` is `{word}`: it must be one of `{allowed}`",
            input = input.name,
            word = short(&word),
            allowed = allowed
        ),
    );
    Err(match near(&word, words.iter().copied()) {
        Some(near) => refusal.help(phrase!("write `{near}`", near = near)),
        None => refusal,
    })
}

/// A text; a quantity is written out.
fn text(name: &str, offer: &Offered) -> Result<String, Refusal> {
    match offer {
        Offered::Text(text) if text.len() > 2000 => {
            Err(Refusal::input(name, phrase!("`{name}` is longer than 2000 bytes", name = name)))
        }
        Offered::Text(text) => Ok(text.trim().to_owned()),
        Offered::Quantity(quantity) => Ok(quantity.to_string()),
        _ => Err(Refusal::input(name, phrase!("`{name}` wants a text", name = name))),
    }
}

/// The start of a word for a message.
fn short(word: &str) -> String {
    word.chars().take(40).collect()
}

/// The refusal of a text that is not the wanted quantity.
pub(crate) fn unreadable(name: &str, error: &QuantityError) -> Refusal {
    let message = phrase!("`{name}`: {error}", name = name, error = error.message());
    Refusal { help: error.help(), form: true, ..Refusal::input(name, message) }
}

/// The refusal of a key that the working does not have, with the nearest that it has.
fn unknown(declaration: &Declaration, name: &str) -> Refusal {
    let names: Vec<&str> = declaration.inputs.iter().map(|input| input.name).collect();
    let refusal = Refusal::input(
        name,
        phrase!("`{working}` has no input `{input}`", working = declaration.name, input = short(name)),
    );
    match near(name, names.iter().copied()) {
        Some(nearest) => refusal.help(phrase!(
            "did you mean `{nearest}`? The inputs are `{inputs}`",
            nearest = nearest,
            inputs = names.join("`, `")
        )),
        _ => refusal.help(phrase!("the inputs are `{inputs}`", inputs = names.join("`, `"))),
    }
}

/// The known word that was probably meant: turning one into the other takes at most a third of its letters.
fn near<'a>(word: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let nearest = known.min_by_key(|known| distance(word, known))?;
    (distance(word, nearest) <= nearest.len().max(3) / 3).then_some(nearest)
}

/// The number of single-letter edits between two names.
fn distance(one: &str, other: &str) -> usize {
    let other: Vec<char> = other.chars().take(60).collect();
    let mut row: Vec<usize> = (0..=other.len()).collect();
    for (line, letter) in one.chars().take(60).enumerate() {
        let mut diagonal = line;
        let mut left = line + 1;
        let mut next = vec![left];
        for (above, known) in row.iter().skip(1).zip(&other) {
            let change = diagonal + usize::from(letter != *known);
            left = change.min(above + 1).min(left + 1);
            next.push(left);
            diagonal = *above;
        }
        row = next;
    }
    row.last().copied().unwrap_or(0)
}

#[cfg(test)]
mod tests;
