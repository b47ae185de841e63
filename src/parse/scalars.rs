//! Single values as written: texts, words, ids, quantities, numbers; every fault becomes a finding at its place.

pub(super) use crate::finding::shorten;
use crate::finding::{Code, Finding, Severity, Sink, Span, nearest, or_list};
use crate::model::{Amount, Place, Reference, ReferenceError, is_id};
use crate::parse::yaml::{Kind, Node};
use crate::quantity::{Quantity, QuantityError, Range, unit};

/// Required keys, wrong forms and illegal ids.
pub(super) const FORM: Code = Code("SRC-07");
/// Keys that the format does not know.
pub(super) const UNKNOWN: Code = Code("SRC-06");
/// Quantities without a unit or with a wrong one.
pub(super) const QUANTITY: Code = Code("VAL-02");
/// References that cannot be read.
pub(super) const REFERENCE: Code = Code("DOC-03");

/// The handle that the nouns keep of a place.
pub(super) fn place(span: Span) -> Place {
    let narrow = |at: usize| u32::try_from(at).unwrap_or(u32::MAX);
    Place { file: span.file.0, start: narrow(span.start), end: narrow(span.end) }
}

/// A scalar's text.
pub(super) fn scalar<'a>(node: &'a Node, sink: &mut Sink) -> Option<&'a str> {
    match &node.kind {
        Kind::Scalar(text) => Some(text),
        _ => {
            let headline = format!("a text is wanted here, and this is {}", node.noun());
            sink.push(Finding::error(FORM, headline).at(node.span, "a text is wanted"));
            None
        }
    }
}

/// One of a few words.
pub(super) fn word(node: &Node, words: &[&'static str], sink: &mut Sink) -> Option<(&'static str, Place)> {
    let text = scalar(node, sink)?;
    let known = words.iter().find(|word| **word == text);
    if known.is_none() {
        let near = nearest(text, words.iter().copied());
        let help = near.map_or_else(
            || format!("write {}", or_list(words.iter().copied())),
            |near| format!("write `{near}`"),
        );
        sink.push(
            Finding::error(FORM, format!("`{text}` is none of the words that serve here"))
                .at(node.span, format!("one of {} is wanted", or_list(words.iter().copied())))
                .help(help),
        );
    }
    known.map(|word| (*word, place(node.span)))
}

/// A list's nodes; a single value serves as a list of one.
pub(super) fn list(node: &Node) -> &[Node] {
    match &node.kind {
        Kind::List(items) => items,
        Kind::Null => &[],
        _ => std::slice::from_ref(node),
    }
}

/// A list of texts.
pub(super) fn texts(node: &Node, sink: &mut Sink) -> Vec<(String, Place)> {
    list(node)
        .iter()
        .filter_map(|item| scalar(item, sink).map(|text| (text.to_owned(), place(item.span))))
        .collect()
}

/// An id.
pub(super) fn id(node: &Node, sink: &mut Sink) -> Option<(String, Place)> {
    let text = scalar(node, sink)?;
    if is_id(text) {
        return Some((text.to_owned(), place(node.span)));
    }
    sink.push(not_an_id(text, node.span));
    None
}

/// A list of ids.
pub(super) fn ids(node: &Node, sink: &mut Sink) -> Vec<(String, Place)> {
    list(node).iter().filter_map(|item| id(item, sink)).collect()
}

/// The finding that a text is no id, with the id that was probably meant.
pub(super) fn not_an_id(text: &str, span: Span) -> Finding {
    let meant = crate::model::slug(text);
    let help = if text.contains(';') {
        Some("part the items of a list with a comma".to_owned())
    } else {
        is_id(&meant).then(|| format!("write `{meant}`"))
    };
    Finding::error(FORM, format!("`{}` is not an id", shorten(text)))
        .at(span, "lower-case letters, digits and single hyphens, at most 40 characters")
        .help_if(help)
}

/// What to write for a number that is none: `4,`, `2,5`, `4 min`.
fn number_meant(text: &str) -> String {
    if let Some(bare) = text.strip_suffix(',') {
        return format!("leave the comma out: `{}`", shorten(bare));
    }
    if text.contains(',') {
        return "write the decimals after a point".to_owned();
    }
    match text.split_whitespace().next().filter(|first| first.parse::<f64>().is_ok_and(f64::is_finite)) {
        Some(number) => format!("write `{number}`: the key says the unit"),
        None => "write figures, such as `4`".to_owned(),
    }
}

/// A quantity of a unit's dimension, or of any.
pub(super) fn quantity(node: &Node, symbol: Option<&str>, sink: &mut Sink) -> Option<Quantity> {
    let text = scalar(node, sink)?;
    let read = match symbol.and_then(unit) {
        Some(wanted) => Quantity::parse_as(text, wanted),
        None => Quantity::parse(text),
    };
    read.map_err(|error| sink.push(bad_quantity(&error, node.span))).ok()
}

/// A quantity of any dimension, or a reference to the value that gives it.
pub(super) fn amount(text: &str, span: Span, sink: &mut Sink) -> Option<Amount> {
    let text = text.trim();
    if Reference::looks_like(text) {
        return reference(text, span, sink).map(Amount::Value);
    }
    let read = Quantity::parse(text).map_err(|error| sink.push(bad_quantity(&error, span)));
    read.ok().map(Amount::Quantity)
}

/// A range of a unit's dimension.
pub(super) fn range(node: &Node, symbol: Option<&str>, sink: &mut Sink) -> Option<Range> {
    let text = scalar(node, sink)?;
    let read = match symbol.and_then(unit) {
        Some(wanted) => Range::parse_as(text, wanted),
        None => Range::parse(text),
    };
    read.map_err(|error| sink.push(bad_quantity(&error, node.span))).ok()
}

/// A bare number.
pub(super) fn number(node: &Node, sink: &mut Sink) -> Option<f64> {
    let text = scalar(node, sink)?;
    match text.parse::<f64>() {
        Ok(number) if number.is_finite() => Some(number),
        _ => {
            let headline = format!("`{}` is not a number", shorten(text));
            let finding = Finding::error(QUANTITY, headline).at(node.span, "a bare number is wanted here");
            sink.push(finding.help(number_meant(text)));
            None
        }
    }
}

/// Most of anything that is counted on a vehicle.
const MOST: u32 = 10_000;

/// A count: a whole number from 1 up.
pub(super) fn count(node: &Node, sink: &mut Sink) -> Option<u32> {
    whole(node, MOST, sink)
}

pub(super) fn whole(node: &Node, most: u32, sink: &mut Sink) -> Option<u32> {
    let text = scalar(node, sink)?;
    match text.parse::<u32>() {
        Ok(number) if (1..=most).contains(&number) => Some(number),
        _ => {
            let headline = format!("`{}` is not a count", shorten(text));
            let note = format!("a whole number from 1 to {most} is wanted");
            sink.push(Finding::error(QUANTITY, headline).at(node.span, note));
            None
        }
    }
}

/// The finding of a quantity that cannot be read.
pub(super) fn bad_quantity(error: &QuantityError, span: Span) -> Finding {
    Finding::new(QUANTITY, Severity::Error, error.to_string())
        .at(span, "number and unit are wanted here")
        .help_if(error.help().map(|help| help.to_string()))
}

/// The finding of a reference that cannot be read.
pub(super) fn bad_reference(error: &ReferenceError, span: Span) -> Finding {
    let help = match error {
        ReferenceError::Scheme(text) => {
            let word = text.split(':').next().unwrap_or_default();
            nearest(word, crate::model::Scheme::words()).map(|near| format!("write `{near}:…`"))
        }
        ReferenceError::Part(part) => {
            let meant = crate::model::slug(part);
            is_id(&meant).then(|| format!("write `{meant}`"))
        }
    };
    Finding::error(REFERENCE, error.to_string()).at(span, "a reference is wanted here").help_if(help)
}

/// A reference as written, where the text looks like one.
pub(super) fn reference(text: &str, span: Span, sink: &mut Sink) -> Option<Reference> {
    Reference::parse(text).map_err(|error| sink.push(bad_reference(&error, span))).ok()
}
