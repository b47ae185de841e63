//! `shop.yaml`.

use super::fields::{self, FORM, Fields, place};
use super::yaml;
use crate::finding::{Code, FileId, Finding, Sink, Span};
use crate::model::{Browsers, Limits, Place, Shop};
use crate::quantity::{Dimension, unit};
use crate::source::Source;

/// Languages that the furniture of the pages is written in.
const LANGUAGES: &[&str] = &["en", "nl", "de", "fr", "es"];

/// Reads `shop.yaml`; what is missing or wrong is reported and replaced by a default, so that the rest of the
/// manual can still be checked.
pub(super) fn read(source: &Source, sink: &mut Sink) -> Shop {
    let mut shop = default();
    let Some((id, file)) = source.at("shop.yaml") else {
        sink.push(
            Finding::error(Code("SRC-07"), format!("`{}` holds no shop.yaml", source.root.display()))
                .help("a manual is a folder with a shop.yaml: name the right folder, or write one"),
        );
        return shop;
    };
    let Some(text) = file.text() else { return shop };
    if text.len() > 65_536 {
        sink.push(
            Finding::error(Code("SRC-02"), "shop.yaml holds more than 64 kB")
                .at(Span::whole(id), "this file"),
        );
        return shop;
    }
    match yaml::read(id, text, 0, text.len()) {
        Ok(node) => {
            if let Some(fields) = Fields::of(&node, "the shop", sink) {
                fill(&mut shop, fields, sink);
            }
        }
        Err(finding) => sink.push(*finding),
    }
    shop.place = place(Span::whole(id));
    shop
}

fn default() -> Shop {
    Shop {
        id: "shop".into(),
        name: String::new(),
        language: "en".into(),
        length: "mm".into(),
        torque: "N·m".into(),
        temperature: "°C".into(),
        second_units: Vec::new(),
        paper: "A4".into(),
        currency: "EUR".into(),
        signal_words: "ANSI Z535.6".into(),
        browsers: Browsers::default(),
        limits: Limits::default(),
        place: Place { file: FileId(0).0, start: 0, end: 0 },
    }
}

fn fill(shop: &mut Shop, mut fields: Fields<'_>, sink: &mut Sink) {
    if let Some(node) = fields.must("id", sink)
        && let Some((id, _)) = fields::id(node, sink)
    {
        shop.id = id;
    }
    if let Some((name, _)) = fields.must_text("name", sink) {
        shop.name = name;
    }
    if let Some((language, _)) = fields.word("language", LANGUAGES, sink) {
        shop.language = language.to_owned();
    }
    if let Some((paper, _)) = fields.word("paper", &["A4", "Letter"], sink) {
        shop.paper = paper.to_owned();
    }
    if let Some((currency, _)) = fields.text("currency", sink) {
        shop.currency = currency;
    }
    if let Some((words, _)) = fields.word("signal-words", &["ANSI Z535.6"], sink) {
        shop.signal_words = words.to_owned();
    }
    if let Some(units) = inner(&mut fields, "units", "the shop's units", sink) {
        for (dimension, symbol) in read_units(units, sink) {
            match dimension {
                "length" => shop.length = symbol,
                "torque" => shop.torque = symbol,
                _ => shop.temperature = symbol,
            }
        }
    }
    if let Some(units) = inner(&mut fields, "second-units", "the shop's second units", sink) {
        shop.second_units = read_units(units, sink)
            .into_iter()
            .map(|(dimension, symbol)| (dimension.to_owned(), symbol))
            .collect();
    }
    if let Some(mut browsers) = inner(&mut fields, "browsers", "the shop's browsers", sink) {
        let Browsers { chrome, firefox, safari } = shop.browsers;
        shop.browsers = Browsers {
            chrome: browsers.count("chrome", sink).unwrap_or(chrome),
            firefox: browsers.count("firefox", sink).unwrap_or(firefox),
            safari: browsers.count("safari", sink).unwrap_or(safari),
        };
        browsers.finish(sink);
    }
    if let Some(mut limits) = inner(&mut fields, "limits", "the shop's limits", sink) {
        let standing = shop.limits;
        shop.limits = Limits {
            file: size(&mut limits, "file", sink).unwrap_or(standing.file),
            figure: size(&mut limits, "figure", sink).unwrap_or(standing.figure),
            procedures: limits.whole("procedures", 1_000_000, sink).map_or(standing.procedures, u64::from),
        };
        limits.finish(sink);
    }
    fields.finish(sink);
}

fn inner<'a>(fields: &mut Fields<'a>, key: &'static str, what: &str, sink: &mut Sink) -> Option<Fields<'a>> {
    Fields::of(fields.node(key)?, what, sink)
}

/// The units of length, torque and temperature that a map names; each must be of its dimension.
fn read_units(mut fields: Fields<'_>, sink: &mut Sink) -> Vec<(&'static str, String)> {
    let mut units = Vec::new();
    for (key, model) in [("length", "mm"), ("torque", "N·m"), ("temperature", "°C")] {
        let Some(node) = fields.node(key) else { continue };
        let Some(text) = fields::scalar(node, sink) else { continue };
        let dimension = unit(model).map(|unit| unit.dimension);
        match unit(text) {
            Some(known) if Some(known.dimension) == dimension => units.push((key, known.symbol.to_owned())),
            _ => {
                let headline = format!("`{text}` is not a unit of {key}");
                let wanted = dimension.as_ref().map_or_else(String::new, Dimension::name);
                sink.push(
                    Finding::error(Code("VAL-02"), headline)
                        .at(node.span, format!("a unit of {wanted} is wanted, such as `{model}`")),
                );
            }
        }
    }
    fields.finish(sink);
    units
}

/// A size of a file: `2 MB`, `500 kB`.
fn size(fields: &mut Fields<'_>, key: &'static str, sink: &mut Sink) -> Option<u64> {
    let node = fields.node(key)?;
    let text = fields::scalar(node, sink)?;
    let digits = text.trim_end_matches(|c: char| c.is_ascii_alphabetic()).trim_end();
    let factor = match text.get(digits.len()..).map(str::trim) {
        Some("B") => Some(1),
        Some("kB") => Some(1024),
        Some("MB") => Some(1024 * 1024),
        _ => None,
    };
    let read = factor.and_then(|factor| digits.parse::<u64>().ok()?.checked_mul(factor));
    if read.is_none() {
        sink.push(
            Finding::error(FORM, format!("`{}` is not a size of a file", fields::shorten(text)))
                .at(node.span, "write for example `2 MB` or `500 kB`"),
        );
    }
    read
}
