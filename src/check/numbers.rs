//! Numbers in prose, with their units where they have one.

use super::token::Word;
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

/// The numbers among the words of a text.
pub(super) fn all(words: &[Word], text: &str) -> Vec<Number> {
    let mut numbers = Vec::new();
    let mut units = Units::default();
    let mut index = 0;
    while let Some(word) = words.get(index) {
        let Some((digits, rest)) = leading(word.of(text)) else {
            index += 1;
            continue;
        };
        if rest.is_empty() {
            let next = words.get(index + 1).filter(|_| word.after == ' ');
            let quantity = next.and_then(|next| units.quantity(&digits, next.of(text)));
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
