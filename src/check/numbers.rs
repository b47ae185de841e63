//! Numbers in prose, with their units where they have one.

use super::passage::{Passage, Word};
use crate::quantity::{Quantity, Unit, unit};
use std::collections::BTreeMap;

/// A number in a passage.
#[derive(Debug)]
pub(crate) struct Number {
    /// The word that it begins with.
    pub(crate) first: usize,
    /// The word that its unit ends with.
    pub(crate) last: usize,
    /// What it is, where a unit follows.
    pub(crate) quantity: Option<Quantity>,
}

/// The numbers of a passage.
pub(super) fn all(passage: &Passage<'_>) -> Vec<Number> {
    let mut numbers = Vec::new();
    let mut units = Units::default();
    let mut index = 0;
    while let Some(word) = passage.words.get(index) {
        let text = passage.text(word);
        let Some((digits, rest)) = leading(text) else {
            index += 1;
            continue;
        };
        if rest.is_empty() {
            let next = passage.words.get(index + 1).filter(|_| word.after == ' ');
            let quantity = next.and_then(|next| units.quantity(&digits, passage.text(next)));
            let last = if quantity.is_some() { index + 1 } else { index };
            numbers.push(Number { first: index, last, quantity });
            index = last + 1;
        } else {
            if let Some(quantity) = units.quantity(&digits, rest) {
                numbers.push(Number { first: index, last: index, quantity: Some(quantity) });
            }
            index += 1;
        }
    }
    numbers
}

/// The number that a word begins with, its decimals after a point, and the rest of the word.
fn leading(text: &str) -> Option<(String, &str)> {
    let signed = text.strip_prefix(['-', '−', '+', '±']).unwrap_or(text);
    if !signed.starts_with(|letter: char| letter.is_ascii_digit()) {
        return None;
    }
    let figure = |letter: char| letter.is_ascii_digit() || matches!(letter, '.' | ',' | '/');
    let end = signed.find(|letter: char| !figure(letter)).unwrap_or(signed.len());
    let (digits, rest) = signed.split_at_checked(end)?;
    let sign = if text.starts_with(['-', '−']) { "-" } else { "" };
    Some((format!("{sign}{}", digits.replace(',', ".")), rest))
}

/// The units that were asked for in a passage: a look through the table costs more than a look here.
#[derive(Default)]
struct Units<'p> {
    known: BTreeMap<&'p str, Option<&'static Unit>>,
}

impl<'p> Units<'p> {
    fn quantity(&mut self, digits: &str, symbol: &'p str) -> Option<Quantity> {
        // `in` and `off` are words before they are units.
        if symbol.len() > 24 || matches!(symbol, "in" | "off") {
            return None;
        }
        let find = || unit(symbol).filter(|unit| unit.symbol != "1");
        (*self.known.entry(symbol).or_insert_with(find))?;
        Quantity::parse(&format!("{digits} {symbol}")).ok()
    }
}

impl Number {
    /// The words that it stands in.
    pub(crate) fn words<'p>(&self, passage: &'p Passage<'_>) -> Option<(&'p Word, &'p Word)> {
        Some((passage.words.get(self.first)?, passage.words.get(self.last)?))
    }
}
