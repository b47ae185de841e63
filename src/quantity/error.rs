//! What is wrong with a written quantity, as one sentence that says what to write.

use crate::phrase::{Phrase, phrase};
use crate::quantity::dimension::Dimension;
use crate::quantity::table::units;
use crate::quantity::unit::Unit;
use std::fmt;

/// Why a text is not the quantity that is wanted. Each prints as one sentence for a technician.
#[derive(Clone, Debug, PartialEq)]
pub enum QuantityError {
    /// Nothing but spaces was written.
    Empty {
        /// A quantity of the wanted kind.
        example: String,
    },
    /// A number without a unit where one is needed.
    Bare {
        /// What was written.
        text: String,
        /// The same number with a unit.
        example: String,
    },
    /// A comma where a decimal point belongs.
    DecimalComma {
        /// What was written.
        text: String,
        /// The same with a point.
        example: String,
    },
    /// Letters that are no unit.
    UnknownUnit {
        /// What was written.
        text: String,
        /// The letters after the number.
        unit: String,
        /// The nearest known spelling.
        nearest: Option<&'static str>,
    },
    /// A unit of another kind than the one wanted.
    WrongDimension {
        /// The unit that was written.
        unit: String,
        /// What that unit measures.
        found: Dimension,
        /// What is wanted.
        needed: Dimension,
        /// The symbol of a unit that would serve; `1` for the plain number.
        wanted: &'static str,
    },
    /// A number too large for arithmetic, or no number.
    NotFinite {
        /// What was written.
        text: String,
    },
    /// Text that does not start with a number.
    NotANumber {
        /// What was written.
        text: String,
        /// A quantity of the wanted kind.
        example: String,
    },
    /// A range whose first end lies above its second.
    Backwards {
        /// What was written.
        text: String,
    },
    /// A tolerance below zero.
    Tolerance {
        /// What was written.
        text: String,
    },
    /// A wire gauge outside the table.
    Gauge {
        /// What was written.
        text: String,
    },
    /// Two currencies, between which there is no fixed rate.
    Currency {
        /// The currency at hand.
        from: &'static str,
        /// The currency wanted.
        to: &'static str,
    },
}

impl QuantityError {
    /// What is wrong, in a sentence without its full stop.
    pub fn message(&self) -> Phrase {
        match self {
            QuantityError::Empty { example } => {
                phrase!("nothing is written here: write for example `{example}`", example = example)
            }
            QuantityError::Bare { text, example } => {
                phrase!("`{text}` has no unit: write for example `{example}`", text = text, example = example)
            }
            QuantityError::DecimalComma { text, example } => {
                phrase!("`{text}` has a comma: write {example} with a point", text = text, example = example)
            }
            QuantityError::UnknownUnit { text, unit, .. } => {
                phrase!("`{unit}` in `{text}` is not a unit that is known here", unit = unit, text = text)
            }
            QuantityError::WrongDimension { unit, found, needed, wanted } => phrase!(
                "{unit} is {found}; {needed} is wanted here, for example in {wanted}",
                unit = unit,
                found = found.with_article(),
                needed = needed.with_article(),
                wanted = unit_of(wanted)
            ),
            QuantityError::NotFinite { text } => phrase!("`{text}` is not a finite number", text = text),
            QuantityError::NotANumber { text, example } => phrase!(
                "`{text}` does not start with a number: write for example `{example}`",
                text = text,
                example = example
            ),
            QuantityError::Backwards { text } => {
                phrase!("the range `{text}` runs backwards: write the smaller value first", text = text)
            }
            QuantityError::Tolerance { text } => phrase!(
                "the tolerance in `{text}` is negative: write it as `±` and a positive number",
                text = text
            ),
            QuantityError::Gauge { text } => {
                phrase!("`{text}` is not a wire gauge from 4/0 AWG to 40 AWG", text = text)
            }
            QuantityError::Currency { from, to } => {
                phrase!("{from} cannot be turned into {to}: there is no fixed rate", from = *from, to = *to)
            }
        }
    }

    /// A second sentence, where there is more to say than what is wrong.
    pub fn help(&self) -> Option<Phrase> {
        match self {
            QuantityError::UnknownUnit { nearest: Some(nearest), .. } => {
                Some(phrase!("did you mean `{nearest}`?", nearest = *nearest))
            }
            QuantityError::UnknownUnit { .. } => {
                Some(phrase!("units are written as in `2.4 mm`, `25 N·m` or `18 AWG`; letter case counts"))
            }
            QuantityError::DecimalComma { .. } => {
                Some(phrase!("a comma separates the items of a list; digits are not grouped"))
            }
            QuantityError::WrongDimension { wanted, .. } => {
                Some(phrase!("give it in {wanted}", wanted = unit_of(wanted)))
            }
            _ => None,
        }
    }
}

impl fmt::Display for QuantityError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.message().fmt(out)
    }
}

impl std::error::Error for QuantityError {}

/// A unit's symbol as a message writes it; the plain number has none.
fn unit_of(symbol: &str) -> Phrase {
    if symbol == "1" { phrase!("bare digits") } else { Phrase::verbatim(symbol) }
}

/// The start of a text that is shown in a message: at most forty characters, no control characters.
pub(crate) fn shown(text: &str) -> String {
    let clean = |letter: char| if letter.is_control() { ' ' } else { letter };
    let mut short: String = text.trim().chars().take(40).map(clean).collect();
    if text.trim().chars().count() > 40 {
        short.push('…');
    }
    short
}

/// A written example of a quantity in `unit`, with the digits of the author where there are any.
pub(crate) fn example(digits: &str, unit: Option<&Unit>) -> String {
    let digits = if digits.is_empty() { "12" } else { digits };
    match unit {
        Some(unit) if unit.symbol == "1" => digits.to_owned(),
        Some(unit) => format!("{digits} {}", unit.symbol),
        None => format!("{digits} mm"),
    }
}

/// The known spelling nearest to an unknown one, where it differs by at most a third of its letters.
pub(crate) fn nearest_unit(spelling: &str) -> Option<&'static str> {
    let wanted: Vec<char> = spelling.chars().take(16).collect();
    let mut best: Option<(usize, &'static str)> = None;
    for unit in units() {
        for known in unit.aliases.iter().copied().chain([unit.symbol]) {
            let distance = edits(&wanted, known);
            let close = distance * 3 <= wanted.len().max(3);
            if !known.is_empty() && close && best.is_none_or(|(least, _)| distance < least) {
                best = Some((distance, known));
            }
        }
    }
    best.map(|(_, known)| known)
}

/// The number of single-letter edits between two words, a change of letter case counting as half of one
/// (hence everything is doubled and halved at the end, rounding up).
fn edits(wanted: &[char], known: &str) -> usize {
    let known: Vec<char> = known.chars().collect();
    let mut row: Vec<usize> = (0..=known.len()).map(|column| column * 2).collect();
    for (line, letter) in wanted.iter().enumerate() {
        let mut diagonal = line * 2;
        let mut left = (line + 1) * 2;
        let mut next = vec![left];
        for (column, other) in known.iter().enumerate() {
            let above = row.get(column + 1).copied().unwrap_or(usize::MAX / 2);
            let change = match letter {
                _ if letter == other => 0,
                _ if letter.eq_ignore_ascii_case(other) => 1,
                _ => 2,
            };
            left = (diagonal + change).min(above + 2).min(left + 2);
            next.push(left);
            diagonal = above;
        }
        row = next;
    }
    row.last().copied().unwrap_or(0).div_ceil(2)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_spelling_is_offered() {
        assert_eq!(nearest_unit("Mm"), Some("mm"));
        assert_eq!(nearest_unit("N/m"), Some("N.m"));
        assert_eq!(nearest_unit("furlongs"), None);
        assert_eq!(nearest_unit("🦀🦀🦀🦀🦀🦀"), None);
    }

    #[test]
    fn shown_text_is_short_and_clean() {
        assert_eq!(shown("a\nb"), "a b");
        assert_eq!(shown(&"x".repeat(100)).chars().count(), 41);
    }
}
