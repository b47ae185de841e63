//! Values read by the form that their key declares: one place for bounds, words, references, colours and signs.

use crate::finding::{Finding, Sink, Span, nearest, or_list};
use crate::model::{Figure, Form, Key, Place, Reference, colour_meant, is_colour, is_id};
use crate::model::{is_sign, sign_meant};
use crate::parse::scalars::{self, FORM, QUANTITY, REFERENCE, place};
use crate::parse::yaml::{Kind, Node};
use crate::quantity::{Bound, Quantity, Unit, unit, units};

/// Reads a single value or a list of them by the form of its key; nothing for what holds keys itself.
pub(super) fn read(key: &Key, node: &Node, sink: &mut Sink) -> Option<Figure> {
    Some(match key.form {
        Form::Text => Figure::Text(text(key, node, sink)?),
        Form::Texts => Figure::Texts(scalars::texts(node, sink)),
        Form::Word(words) => Figure::Text(scalars::word(node, words, sink)?.0.to_owned()),
        Form::Words(words) => Figure::Texts(
            scalars::list(node)
                .iter()
                .filter_map(|item| scalars::word(item, words, sink))
                .map(|(word, place)| (word.to_owned(), place))
                .collect(),
        ),
        Form::Quantity(symbol, bound) => Figure::Quantity(quantity(key, node, symbol, &bound, sink)?),
        Form::AnyQuantity => Figure::Quantity(scalars::quantity(node, None, sink)?),
        Form::QuantityOr(symbol, bound, words) => {
            let text = scalars::scalar(node, sink)?;
            match words.iter().find(|word| **word == text) {
                Some(word) => Figure::Text((*word).to_owned()),
                None => Figure::Quantity(quantity_or(key, node, (symbol, &bound, words), sink)?),
            }
        }
        Form::Range(symbol, bound) => {
            let range = scalars::range(node, Some(symbol), sink)?;
            let ends = [&range.least, &range.greatest];
            ends.into_iter().all(|end| within(key, end, symbol, &bound, node, sink)).then_some(())?;
            Figure::Range(range)
        }
        Form::Number(bound) => {
            let number = scalars::number(node, sink)?;
            inside(key, number, "", &bound, node, sink).then_some(Figure::Number(number))?
        }
        Form::Count(greatest) => Figure::Number(f64::from(scalars::whole(node, greatest, sink)?)),
        Form::Size => Figure::Number(size(node, sink)?),
        Form::Id => Figure::Text(scalars::id(node, sink)?.0),
        Form::Reference(schemes) => Figure::Text(reference(node, schemes, sink)?.0),
        Form::References(schemes) => Figure::Texts(references(node, schemes, sink)),
        Form::Colour => Figure::Text(colour(scalars::scalar(node, sink)?, node.span, sink)?),
        Form::Sign => Figure::Text(sign(node, sink)?),
        Form::Unit(model) => Figure::Text(unit_symbol(node, model, sink)?),
        Form::Lines(_) | Form::Map(_) | Form::Maps(_) | Form::Own(_) => return None,
    })
}

/// A text that says something.
fn text(key: &Key, node: &Node, sink: &mut Sink) -> Option<String> {
    let text = scalars::scalar(node, sink)?;
    if text.trim().is_empty() {
        sink.push(
            Finding::error(FORM, format!("`{}` is empty", key.name))
                .at(node.span, "a text is wanted here")
                .help(format!("write for example `{}: {}`", key.name, key.example)),
        );
        return None;
    }
    Some(text.to_owned())
}

/// A quantity of a unit's dimension, within the bounds of its key.
fn quantity(key: &Key, node: &Node, symbol: &str, bound: &Bound, sink: &mut Sink) -> Option<Quantity> {
    let read = scalars::quantity(node, Some(symbol), sink)?;
    within(key, &read, symbol, bound, node, sink).then_some(read)
}

/// A quantity where a word would serve too: what is neither is told of both.
fn quantity_or(
    key: &Key,
    node: &Node,
    (symbol, bound, words): (&str, &Bound, &[&str]),
    sink: &mut Sink,
) -> Option<Quantity> {
    let text = scalars::scalar(node, sink)?;
    if text.starts_with(char::is_alphabetic) {
        let near = nearest(text, words.iter().copied());
        let serve = or_list(words.iter().copied());
        sink.push(
            Finding::error(FORM, format!("`{}` does not serve as `{}`", scalars::shorten(text), key.name))
                .at(node.span, format!("a quantity in {symbol} is wanted, or {serve}"))
                .help(near.map_or_else(|| format!("write {serve}"), |near| format!("write `{near}`"))),
        );
        return None;
    }
    quantity(key, node, symbol, bound, sink)
}

/// Whether a quantity lies within bounds that are counted in a unit; one that does not is a finding.
fn within(key: &Key, read: &Quantity, symbol: &str, bound: &Bound, node: &Node, sink: &mut Sink) -> bool {
    let value = unit(symbol).and_then(|unit| read.in_unit(unit).ok());
    value.is_none_or(|value| inside(key, value, symbol, bound, node, sink))
}

/// Whether a number lies within bounds; one that does not is a finding that names them.
fn inside(key: &Key, value: f64, symbol: &str, bound: &Bound, node: &Node, sink: &mut Sink) -> bool {
    let holds = bound.holds(value);
    if !holds {
        let written = match &node.kind {
            Kind::Scalar(text) => scalars::shorten(text),
            _ => value.to_string(),
        };
        sink.push(
            Finding::error(QUANTITY, format!("`{written}` is out of bounds for `{}`", key.name))
                .at(node.span, format!("{} is wanted", bound.words(symbol))),
        );
    }
    holds
}

/// An id, alone or in full with one of the schemes that serve here.
pub(super) fn reference(node: &Node, schemes: &[&str], sink: &mut Sink) -> Option<(String, Place)> {
    let text = scalars::scalar(node, sink)?;
    bare_id(text, node.span, schemes, sink).map(|id| (id, place(node.span)))
}

/// A list of ids, or one; each alone or in full.
pub(super) fn references(node: &Node, schemes: &[&str], sink: &mut Sink) -> Vec<(String, Place)> {
    scalars::list(node).iter().filter_map(|item| reference(item, schemes, sink)).collect()
}

/// The id in a text that stands alone or in full: `hex-10`, `tool:hex-10`.
pub(super) fn bare_id(text: &str, span: Span, schemes: &[&str], sink: &mut Sink) -> Option<String> {
    if is_id(text) {
        return Some(text.to_owned());
    }
    let Some((word, _)) = text.split_once(':') else {
        sink.push(scalars::not_an_id(text, span));
        return None;
    };
    let read = match Reference::parse(text) {
        Ok(read) => read,
        Err(error) => {
            sink.push(scalars::bad_reference(&error, span));
            return None;
        }
    };
    if !schemes.contains(&word) {
        let wanted =
            or_list(schemes.iter().map(|scheme| full(scheme)).collect::<Vec<_>>().iter().map(String::as_str));
        sink.push(
            Finding::error(REFERENCE, format!("`{text}` is a {word}, and no {word} serves here"))
                .at(span, format!("{wanted} is wanted"))
                .help(format!("write the bare id, or begin with {wanted}")),
        );
        return None;
    }
    if read.inner.is_some() || read.field.is_some() {
        sink.push(
            Finding::error(REFERENCE, format!("`{text}` goes inside, and the whole {word} is wanted here"))
                .at(span, "an id is wanted here")
                .help(format!("write `{word}:{}`", read.id)),
        );
        return None;
    }
    Some(read.id)
}

/// A scheme as references begin with it.
fn full(scheme: &str) -> String {
    format!("{scheme}:")
}

/// A colour in the letters of IEC 60757.
pub(super) fn colour(text: &str, span: Span, sink: &mut Sink) -> Option<String> {
    if is_colour(text) {
        return Some(text.to_owned());
    }
    let help = colour_meant(text).map_or_else(
        || "write the letters of IEC 60757, ground first: `RD`, `GY/BK`, `GNYE`".to_owned(),
        |meant| format!("write `{meant}`"),
    );
    sink.push(
        Finding::error(
            FORM,
            format!("`{}` is not a colour in the letters of IEC 60757", scalars::shorten(text)),
        )
        .at(span, "two letters for each colour are wanted, with `/` between them")
        .help(help),
    );
    None
}

/// A sign's number of ISO 7010.
fn sign(node: &Node, sink: &mut Sink) -> Option<String> {
    let text = scalars::scalar(node, sink)?;
    if is_sign(text) {
        return Some(text.to_owned());
    }
    sink.push(
        Finding::error(FORM, format!("`{}` is not the number of a sign of ISO 7010", scalars::shorten(text)))
            .at(node.span, "W, P, E, F or M and three digits are wanted")
            .help_if(sign_meant(text).map(|meant| format!("write `{meant}`"))),
    );
    None
}

/// A unit's symbol: of any dimension, or of that of a model.
fn unit_symbol(node: &Node, model: &str, sink: &mut Sink) -> Option<String> {
    let text = scalars::scalar(node, sink)?;
    let wanted = unit(model).map(|unit| unit.dimension);
    let known = unit(text);
    let suits = known.is_some_and(|known| model.is_empty() || Some(known.dimension) == wanted);
    // A unit's name, such as `millimetre`, is known where a quantity is read; as a unit its symbol is written.
    let symbol = known.filter(|_| suits).filter(|known| known.symbol == text || !is_name(text));
    if let Some(known) = symbol {
        return Some(known.symbol.to_owned());
    }
    let headline = match (known, suits) {
        (Some(_), true) => format!("`{text}` is not the symbol of a unit"),
        (Some(_), false) => format!("`{text}` is a unit of another kind than `{model}`"),
        (None, _) => format!("`{}` is not a unit", scalars::shorten(text)),
    };
    let example = if model.is_empty() { "m" } else { model };
    let near = known.filter(|_| suits).map(|known| known.symbol);
    let like = |unit: &&Unit| model.is_empty() || Some(unit.dimension) == wanted;
    let near = near.or_else(|| nearest(text, units().filter(like).map(|unit| unit.symbol)));
    sink.push(
        Finding::error(QUANTITY, headline)
            .at(node.span, format!("a unit such as `{example}` is wanted here"))
            .help_if(near.map(|near| format!("write `{near}`"))),
    );
    None
}

/// Whether a spelling of a unit is its name and no symbol: `millimetre`, `inch`; but `degC`, `N.m` are symbols.
fn is_name(spelling: &str) -> bool {
    spelling.len() >= 4 && spelling.chars().all(|letter| letter.is_ascii_lowercase())
}

/// The size of a file in bytes: `2 MB`, `500 kB`.
fn size(node: &Node, sink: &mut Sink) -> Option<f64> {
    let text = scalars::scalar(node, sink)?;
    let digits = text.trim_end_matches(|c: char| c.is_ascii_alphabetic()).trim_end();
    let factor = match text.get(digits.len()..).map(str::trim) {
        Some("B") => Some(1),
        Some("kB") => Some(1024),
        Some("MB") => Some(1024 * 1024),
        _ => None,
    };
    // Up to four gigabytes every number of bytes is exact.
    let read = factor.and_then(|factor: u32| digits.parse::<u32>().ok()?.checked_mul(factor));
    if read.is_none() {
        sink.push(
            Finding::error(FORM, format!("`{}` is not a size of a file", scalars::shorten(text)))
                .at(node.span, "write for example `2 MB` or `500 kB`"),
        );
    }
    read.map(f64::from)
}
