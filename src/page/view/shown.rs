//! Figures for people: digits, unit, second unit, source. Rounding happens here and against the hazard.

use crate::model::{Acceptance, Amount, Figure, Item, Line, Store, Torque};
use crate::page::Manual;
use crate::page::view::Reading;
use crate::quantity::print::{Rounding, number};
use crate::quantity::{Quantity, unit};
use crate::work::{Resolved, Scope};
use crate::workings::{Value, find};

/// A figure ready to be set.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Shown {
    /// The digits, or a word.
    pub number: String,
    /// The unit.
    pub unit: Option<String>,
    /// The same in the second unit.
    pub second: Option<String>,
}

impl Shown {
    /// A quantity as its author wrote it.
    pub fn quantity(manual: &Manual<'_>, quantity: &Quantity) -> Shown {
        let digits =
            if quantity.written.is_empty() { tidy(quantity.value) } else { quantity.written.clone() };
        let plain = quantity.unit.symbol == "1" || quantity.written.ends_with("AWG");
        let unit = match quantity.unit.symbol {
            "pieces" if quantity.value == 1.0 => manual.theme.say("unit_pieces.one"),
            "pieces" => manual.theme.say("unit_pieces.other"),
            symbol => symbol.to_owned(),
        };
        let tolerance = quantity.tolerance.map_or_else(String::new, |t| format!(" ± {}", tidy(t)));
        Shown {
            number: format!("{digits}{tolerance}"),
            unit: (!plain).then_some(unit),
            second: second(manual, quantity, Rounding::Figures),
        }
    }

    /// A worked value.
    pub fn value(manual: &Manual<'_>, value: &Value, rounding: Rounding) -> Shown {
        match value {
            Value::Number { value, unit } => {
                let quantity = Quantity::new(*value, unit);
                Shown {
                    number: number(*value, rounding),
                    unit: (unit.symbol != "1").then(|| unit.symbol.to_owned()),
                    second: second(manual, &quantity, rounding),
                }
            }
            Value::Unlimited => Shown { number: manual.theme.say("unlimited"), ..Shown::default() },
            Value::Text(text) => Shown { number: word(manual, text), ..Shown::default() },
            Value::Words(words) => Shown { number: manual.theme.tell(words), ..Shown::default() },
            Value::List(items) => {
                let inner = |item: &Value| match item {
                    Value::List(_) => format!("({})", Shown::value(manual, item, rounding).text()),
                    other => Shown::value(manual, other, rounding).text(),
                };
                let number = items.iter().map(inner).collect::<Vec<_>>().join(", ");
                Shown { number, ..Shown::default() }
            }
            Value::Positions(circles) => Shown { number: circles.len().to_string(), ..Shown::default() },
        }
    }

    /// In one line, with a no-break space.
    pub fn text(&self) -> String {
        match self.unit.as_deref() {
            Some("°") => format!("{}°", self.number),
            Some(unit) => format!("{}\u{a0}{unit}", self.number),
            None => self.number.clone(),
        }
    }

    /// As a reading.
    pub fn reading(self, label: impl Into<String>) -> Reading {
        Reading {
            label: label.into(),
            number: self.number,
            unit: self.unit,
            second: self.second,
            ..Reading::default()
        }
    }
}

/// The second unit, where the shop names one for this dimension: a length that is cut or bought goes up, a
/// torque never does.
fn second(manual: &Manual<'_>, quantity: &Quantity, rounding: Rounding) -> Option<String> {
    let dimension = quantity.dimension().name();
    let wanted = manual.worked.parsed().shop().second_units.iter().find(|(word, _)| *word == dimension);
    let other = unit(&wanted?.1)?;
    if other.symbol == quantity.unit.symbol {
        return None;
    }
    let value = quantity.in_unit(other).ok()?;
    let digits = match (rounding, dimension.as_str()) {
        (Rounding::LengthUp, _) => three(value, f64::ceil),
        (_, "torque") => three(value, f64::floor),
        _ => number(value, Rounding::Figures),
    };
    Some(format!("{digits}\u{a0}{}", other.symbol))
}

/// Three significant digits, rounded in one direction.
fn three(value: f64, round: fn(f64) -> f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return number(value, Rounding::Figures);
    }
    let scale = 10f64.powi(2 - exponent(value));
    // What the last places of a product add must not cost a whole digit.
    let scaled = value * scale;
    let near = scaled.round();
    let whole = if (scaled - near).abs() < 1e-6 { near } else { round(scaled) };
    number(whole / scale, Rounding::Figures)
}

/// Three significant digits, upward: what is bought must not run short.
pub fn up(value: f64) -> String {
    three(value, f64::ceil)
}

fn exponent(value: f64) -> i32 {
    let scientific = format!("{:e}", value.abs());
    scientific.split_once('e').and_then(|(_, e)| e.parse().ok()).unwrap_or(0)
}

/// At most six decimals, so that a converted figure does not trail the dust of its division.
pub fn tidy(value: f64) -> String {
    number((value * 1e6).round() / 1e6, Rounding::Exact)
}

/// A value in every digit that matters, in the language of the pages.
pub fn exactly(manual: &Manual<'_>, value: &Value) -> String {
    match value {
        Value::Unlimited => manual.theme.say("unlimited"),
        Value::Words(words) => manual.theme.tell(words),
        other => plainly(other),
    }
}

/// A value in every digit that matters, as an input is shown.
pub fn plainly(value: &Value) -> String {
    let rounded = |value: &Value| match value {
        Value::Number { value, unit } => Value::Number { value: (value * 1e6).round() / 1e6, unit },
        other => other.clone(),
    };
    match value {
        Value::List(items) => Value::List(items.iter().map(rounded).collect()).shown(Rounding::Exact),
        other => rounded(other).shown(Rounding::Exact),
    }
}

/// How an output of a working is rounded, and what it means.
pub fn output(working: &str, name: &str) -> (Rounding, &'static str) {
    let declared = find(working).and_then(|working| working.declaration().output(name));
    declared.map_or((Rounding::Figures, ""), |output| (output.rounding, output.meaning))
}

/// What an output of a working is called in the language of the pages.
pub fn output_name(manual: &Manual<'_>, working: &str, name: &str) -> String {
    match output(working, name).1 {
        "" => name.replace('-', " "),
        meaning => manual.theme.sentence(meaning),
    }
}

/// What a part of a joint is called in the language of the pages.
pub fn role(manual: &Manual<'_>, word: &str) -> String {
    let known = manual.theme.known(&format!("role_{}", word.replace('-', "_")));
    known.unwrap_or_else(|| word.replace('-', " "))
}

/// Whether a source is nobody's published figure.
pub fn is_unverified(source: &str) -> bool {
    let source = source.to_lowercase();
    source.contains("memory") || source.contains("invented")
}

/// A figure of a stores line in words.
pub fn figure(manual: &Manual<'_>, figure: &Figure) -> Shown {
    match figure {
        Figure::Quantity(quantity) => Shown::quantity(manual, quantity),
        Figure::Number(number) => Shown { number: tidy(*number), ..Shown::default() },
        Figure::Range(range) => {
            let ends = [&range.least, &range.greatest].map(|end| Shown::quantity(manual, end).text());
            let [least, greatest] = ends;
            let number = if least == greatest { least } else { format!("{least} – {greatest}") };
            Shown { number, ..Shown::default() }
        }
        Figure::Text(text) => Shown { number: word(manual, text), ..Shown::default() },
        Figure::Texts(texts) => {
            let words: Vec<String> = texts.iter().map(|(text, _)| word(manual, text)).collect();
            Shown { number: words.join(", "), ..Shown::default() }
        }
        Figure::Sizes(sizes) => {
            Shown { number: sizes.keys().cloned().collect::<Vec<_>>().join(", "), ..Shown::default() }
        }
    }
}

/// The readings that a check accepts, in words; a limit that has no figure was reported and stays out.
pub fn accepted(manual: &Manual<'_>, scope: Scope<'_>, accept: &Acceptance) -> String {
    let limit = |run: &Amount| match run {
        Amount::Quantity(quantity) => Some(Shown::quantity(manual, quantity).text()),
        Amount::Value(reference) => match manual.worked.resolve(scope, reference) {
            Ok(Resolved::Value(_, known, output, value)) => {
                Some(Shown::value(manual, value, self::output(&known.working, output).0).text())
            }
            Ok(Resolved::Cell(_, _, column, Ok(value))) => {
                Some(Shown::value(manual, value, self::output(&column.working, &column.output).0).text())
            }
            _ => None,
        },
    };
    match (accept.least.as_ref().and_then(limit), accept.greatest.as_ref().and_then(limit)) {
        (Some(least), Some(greatest)) if least == greatest => least,
        (Some(least), Some(greatest)) => format!("{least} – {greatest}"),
        (Some(least), None) => manual.theme.say_what("at_least", &least),
        (None, Some(greatest)) => manual.theme.say_what("at_most", &greatest),
        (None, None) => String::new(),
    }
}

/// A word of the format in the language of the pages.
pub fn word(manual: &Manual<'_>, text: &str) -> String {
    manual.theme.known(&format!("word_{}", text.replace('-', "_"))).unwrap_or_else(|| text.to_owned())
}

/// What a line's name does not say already: drive, size, range, number.
pub fn sizes(manual: &Manual<'_>, line: &Line, keys: &[&str]) -> Vec<String> {
    let shown = keys.iter().filter_map(|key| line.figure(key)).map(|known| figure(manual, known).text());
    // `Hexalobular driver 25` needs no `hexalobular 25` after it.
    shown
        .filter(|text| {
            !text.split(' ').next_back().is_some_and(|last| line.name.split(' ').any(|word| word == last))
        })
        .collect()
}

/// The torque of an item, as a reading: a figure with its source, a box for the maker's, or by hand.
pub fn torque(manual: &Manual<'_>, item: &Item) -> Option<Reading> {
    let line = item.of().and_then(|of| manual.worked.parsed().stores().get(Store::Fasteners, of));
    let label = manual.theme.say("tighten_to");
    let torque = item.torque().map(|torque| (torque.clone(), item.source.clone()));
    let (torque, source) = torque.or_else(|| line.and_then(torque_of_line))?;
    Some(match torque {
        Torque::Figure(quantity) => {
            let own = item.fastening();
            let angle = own.and_then(|own| own.angle.as_ref());
            let angle = angle.map(|angle| format!("+ {}", Shown::quantity(manual, angle).text()));
            let order = own.and_then(|own| own.order.clone());
            let note: Vec<String> = angle.into_iter().chain(order).collect();
            Reading {
                unverified: source.as_deref().is_some_and(is_unverified),
                source,
                note: (!note.is_empty()).then(|| note.join(", ")),
                ..Shown::quantity(manual, &quantity).reading(label)
            }
        }
        Torque::Maker => Reading {
            label,
            unit: Some("N·m".to_owned()),
            write_in: true,
            note: Some(manual.theme.say("maker_figure")),
            ..Reading::default()
        },
        Torque::HandTight => Reading { label, number: manual.theme.say("hand_tight"), ..Reading::default() },
    })
}

fn torque_of_line(line: &Line) -> Option<(Torque, Option<String>)> {
    let torque = match line.figure("torque")? {
        Figure::Quantity(quantity) => Torque::Figure(quantity.clone()),
        Figure::Text(word) if word == "maker" => Torque::Maker,
        Figure::Text(_) => Torque::HandTight,
        _ => return None,
    };
    Some((torque, line.source_of("torque").map(str::to_owned)))
}

/// A conductor's colour as written and in words: `GY/BK, grey with black`.
pub fn colour(manual: &Manual<'_>, letters: &str) -> String {
    let words = colour_words(manual, letters);
    if words == letters { words } else { format!("{letters}, {words}") }
}

/// A colour in words; letters that no standard knows stay as written.
pub fn colour_words(manual: &Manual<'_>, letters: &str) -> String {
    let part = |code: &str| {
        let code = code.trim();
        manual.theme.known(&format!("colour_{}", code.to_lowercase())).unwrap_or_else(|| code.to_owned())
    };
    let words: Vec<String> = letters.split('/').map(part).collect();
    words.join(&format!(" {} ", manual.theme.say("colour_with")))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn three_digits_go_the_way_they_are_told() {
        assert_eq!(three(1.8439, f64::floor), "1.84");
        assert_eq!(three(1.8439, f64::ceil), "1.85");
        assert_eq!(three(0.83072, f64::ceil), "0.831");
        assert_eq!(three(12.0, f64::ceil), "12");
        assert_eq!(three(0.0, f64::ceil), "0");
        assert_eq!(tidy(9.524_999_999_999_999), "9.525");
    }

    #[test]
    fn memory_and_invention_are_no_published_source() {
        for (source, wanted) in
            [("invented", true), ("memory", true), ("maker", false), ("ISO 8820-3", false)]
        {
            assert_eq!(is_unverified(source), wanted, "{source}");
        }
    }
}
