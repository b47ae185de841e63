//! What a check accepts: `0 V to 0.2 V`, or open to one side: `at least 10 MΩ`, `at most value:limit.drop`.

use super::fields::{self, FORM, place};
use super::scalars::{QUANTITY, amount, bad_quantity};
use super::yaml::Node;
use crate::finding::{Finding, Sink};
use crate::model::{Acceptance, Amount, Reference};
use crate::quantity::{QuantityError, Range};

/// Signs of comparison, each with the words to write for it.
const SIGNS: [(&str, &str); 6] = [
    ("<=", "at most"),
    (">=", "at least"),
    ("<", "at most"),
    (">", "at least"),
    ("≤", "at most"),
    ("≥", "at least"),
];

/// What begins a limit on one side.
const SIDES: [&str; 2] = ["at least ", "at most "];

/// Reads what is accepted of what is measured. Signs of comparison and dashes are told the words to write.
pub(super) fn read(node: &Node, measure: &str, sink: &mut Sink) -> Option<Acceptance> {
    let text = fields::scalar(node, sink)?.trim();
    let at = place(node.span);
    if let Some(error) = without_unit(text, measure) {
        sink.push(bad_quantity(&error, node.span));
        return None;
    }
    if let Some(help) = in_signs(text) {
        let headline = format!("`{}` is not a range in words", fields::shorten(text));
        sink.push(
            Finding::error(QUANTITY, headline).at(node.span, "limits in words are wanted here").help(help),
        );
        return None;
    }
    if let Some(limit) = text.strip_prefix("at least ") {
        return Some(Acceptance { least: Some(amount(limit, node.span, sink)?), greatest: None, place: at });
    }
    if let Some(limit) = text.strip_prefix("at most ") {
        return Some(Acceptance { least: None, greatest: Some(amount(limit, node.span, sink)?), place: at });
    }
    let (least, greatest) = match text.split_once(" to ") {
        Some((least, greatest)) if [least, greatest].iter().any(|end| Reference::looks_like(end.trim())) => {
            (amount(least, node.span, sink)?, amount(greatest, node.span, sink)?)
        }
        None if Reference::looks_like(text) => {
            let headline = format!("`{}` is a figure and not yet a limit", fields::shorten(text));
            let finding =
                Finding::error(FORM, headline).at(node.span, "on which side of it is a reading good?");
            sink.push(finding.help(format!("write `at most {text}` or `at least {text}`")));
            return None;
        }
        _ => {
            let Range { least, greatest } = fields::range(node, None, sink)?;
            (Amount::Quantity(least), Amount::Quantity(greatest))
        }
    };
    Some(Acceptance { least: Some(least), greatest: Some(greatest), place: at })
}

/// What is measured, by the words that begin or end its names in the languages of a manual, and the unit that it
/// is mostly read in.
const MEASURED: [(&str, &[&str]); 6] = [
    (
        "V",
        &["volt", "spannung", "spanning", "tension", "tensión", "drop", "spannungsabfall", "chute", "caída"],
    ),
    ("Ω", &["resistance", "widerstand", "weerstand", "résistance", "resistencia", "insulation", "isolation"]),
    ("A", &["current", "strom", "stroom", "courant", "corriente"]),
    ("N·m", &["torque", "drehmoment", "moment", "aanhaalmoment", "couple", "apriete"]),
    ("degC", &["temperature", "temperatur", "temperatuur", "température", "temperatura"]),
    ("bar", &["pressure", "druck", "druk", "pression", "presión"]),
];

/// What is wrong with limits of which none has a unit, with an example in the unit of what is measured.
fn without_unit(text: &str, measure: &str) -> Option<QuantityError> {
    let limits = SIDES.iter().find_map(|words| text.strip_prefix(words)).unwrap_or(text);
    let Err(QuantityError::Bare { text, example }) = Range::parse(limits) else { return None };
    let measure = measure.to_lowercase();
    let mut words = measure.split(|letter: char| !letter.is_alphabetic());
    let unit = words.find_map(|word| {
        let named = |stem: &&&str| word.starts_with(**stem) || word.ends_with(**stem);
        MEASURED.iter().find(|(_, stems)| stems.iter().find(named).is_some()).map(|(unit, _)| *unit)
    });
    let digits = example.split(' ').next().unwrap_or_default();
    let example = unit.map_or(example.clone(), |unit| format!("{digits} {unit}"));
    Some(QuantityError::Bare { text, example })
}

/// What to write where signs stand for words.
fn in_signs(text: &str) -> Option<String> {
    let signed = SIGNS.iter().find_map(|(sign, words)| Some((words, text.strip_prefix(sign)?.trim_start())));
    if let Some((words, rest)) = signed {
        return Some(match rest.is_empty() {
            true => "write for example `at most 50 mV`".to_owned(),
            false => format!("write `{words} {}`", fields::shorten(rest)),
        });
    }
    let (least, greatest) = text.split_once('–')?;
    Some(format!("write `{} to {}`", fields::shorten(least.trim()), fields::shorten(greatest.trim())))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::FileId;
    use crate::parse::yaml;

    /// The limits as read, each as it prints, with what is found.
    fn said(text: &str) -> (Option<[String; 2]>, Vec<String>) {
        let (read, found) = looked_at(text, "");
        (read, found.into_iter().map(|found| found.help.unwrap_or_default().to_string()).collect())
    }

    fn looked_at(text: &str, measure: &str) -> (Option<[String; 2]>, Vec<Finding>) {
        let node = yaml::read(FileId(0), text, 0, text.len()).unwrap();
        let mut sink = Sink::new();
        let shown = |run: Option<Amount>| match run {
            None => "open".to_owned(),
            Some(Amount::Quantity(quantity)) => quantity.to_string().replace('\u{a0}', " "),
            Some(Amount::Value(reference)) => reference.to_string(),
        };
        let read = read(&node, measure, &mut sink).map(|read| [shown(read.least), shown(read.greatest)]);
        (read, sink.into_sorted())
    }

    #[test]
    fn limits_stand_on_both_sides_or_on_one() {
        for (text, limits) in [
            ("0 V to 0.2 V", ["0 V", "0.2 V"]),
            ("at least 10 MΩ", ["10 MΩ", "open"]),
            ("at most 50 mV", ["open", "50 mV"]),
            ("at most value:tail-limit.drop", ["open", "value:tail-limit.drop"]),
            ("at least value:lead.insulation", ["value:lead.insulation", "open"]),
            ("0 mV to value:tail-limit.drop", ["0 mV", "value:tail-limit.drop"]),
            ("5 V", ["5 V", "5 V"]),
        ] {
            assert_eq!(said(text), (Some(limits.map(str::to_owned)), Vec::new()), "{text}");
        }
    }

    #[test]
    fn signs_are_told_the_words_to_write() {
        for (text, help) in [
            ("\"< 50 mV\"", "write `at most 50 mV`"),
            ("\"<= 50 mV\"", "write `at most 50 mV`"),
            ("≥10 MΩ", "write `at least 10 MΩ`"),
            ("\"> 10 MΩ\"", "write `at least 10 MΩ`"),
            ("1 V – 2 V", "write `1 V to 2 V`"),
            (
                "value:tail-limit.drop",
                "write `at most value:tail-limit.drop` or `at least value:tail-limit.drop`",
            ),
        ] {
            let (read, helps) = said(text);
            assert_eq!((read, helps), (None, vec![help.to_owned()]), "{text}");
        }
    }

    /// The units are those of the SI for what is measured, as a meter shows it.
    #[test]
    fn limits_without_a_unit_are_told_the_unit_of_what_is_measured() {
        for (measure, text, example) in [
            ("Voltage at the stud", "11.8 to 13.0", "13.0 V"),
            ("Klemmenspannung", "11.8 to 13.0", "13.0 V"),
            ("Résistance du fil", "at most 2", "2 Ω"),
            ("Corriente de reposo", "at least 0.1", "0.1 A"),
            ("Temperatuur van de lamp", "at most 60", "60 degC"),
            ("Gap along the seal", "at most 2", "2 mm"),
        ] {
            let (read, found) = looked_at(text, measure);
            assert_eq!((read, found.len()), (None, 1), "{measure}");
            let wanted = format!("write for example `{example}`");
            assert!(found[0].headline.contains(&wanted), "{measure}: {}", found[0].headline);
        }
        for text in ["11.8 to 13.0 V", "at most 2 Ω", "5 V"] {
            assert!(looked_at(text, "Voltage").0.is_some(), "{text}");
        }
    }

    #[test]
    fn a_limit_without_a_figure_is_one_finding() {
        for text in ["at least", "at most much", "at least 10", "at most 0,2 V", "to"] {
            let (read, helps) = said(text);
            assert!(read.is_none() && helps.len() == 1, "{text}: {read:?} {helps:?}");
        }
    }
}
