//! Reading the number at the start of a text: decimals, vulgar fractions, mixed numbers.

use crate::quantity::error::{QuantityError, example, shown};

/// A number as written, and what follows it.
pub(crate) struct Leading<'a> {
    /// Its value; always finite.
    pub value: f64,
    /// The digits as the author wrote them.
    pub written: &'a str,
    /// What follows, with surrounding spaces removed.
    pub rest: &'a str,
}

/// The text with typographic spaces, minus signs and fraction strokes made plain.
pub(crate) fn plain(text: &str) -> String {
    let fold = |letter: char| match letter {
        '\u{a0}' | '\u{202f}' | '\u{2009}' | '\u{2007}' | '\t' => ' ',
        '−' | '–' => '-',
        '⁄' => '/',
        other => other,
    };
    text.trim().chars().map(fold).collect::<String>().trim().to_owned()
}

/// The bare number in `text`: `12`, `-0.5`, `.5`, `3/8`, `1 1/16`, `1e3`.
///
/// # Errors
/// Where the text is empty, is no number, is not finite, has a comma, or goes on after the number.
pub fn parse_number(text: &str) -> Result<f64, QuantityError> {
    let plain = plain(text);
    let leading = leading_number(&plain, text)?;
    if leading.rest.is_empty() {
        return Ok(leading.value);
    }
    Err(QuantityError::NotANumber { text: shown(text), example: leading.written.to_owned() })
}

/// Splits a plain text into its leading number and the rest. `whole` is what messages quote.
pub(crate) fn leading_number<'a>(text: &'a str, whole: &str) -> Result<Leading<'a>, QuantityError> {
    if text.is_empty() {
        return Err(QuantityError::Empty { example: example("", None) });
    }
    let refused = || QuantityError::NotANumber { text: shown(whole), example: example("", None) };
    let signed = text.strip_prefix(['-', '+']).unwrap_or(text);
    let negative = text.starts_with('-');
    let (first, after) = decimal(signed).ok_or_else(refused)?;
    if after.starts_with(',') && after.chars().nth(1).is_some_and(|next| next.is_ascii_digit()) {
        let example = text.replacen(',', ".", 1);
        return Err(QuantityError::DecimalComma { text: shown(whole), example: shown(&example) });
    }
    let (magnitude, rest) = match fraction(first, after) {
        Some(found) => found,
        None => (first.parse::<f64>().map_err(|_| refused())?, after),
    };
    if !magnitude.is_finite() {
        return Err(QuantityError::NotFinite { text: shown(whole) });
    }
    let written = text.strip_suffix(rest).unwrap_or(text).trim();
    Ok(Leading { value: if negative { -magnitude } else { magnitude }, written, rest: rest.trim() })
}

/// The decimal at the start of `text` with an exponent where there is one, and the rest.
fn decimal(text: &str) -> Option<(&str, &str)> {
    let digits = |part: &str| part.bytes().take_while(u8::is_ascii_digit).count();
    let whole = digits(text);
    let mut end = whole;
    let mut places = 0;
    if let Some(after) = text.get(whole..).and_then(|rest| rest.strip_prefix('.')) {
        places = digits(after);
        if whole + places > 0 {
            end = whole + 1 + places;
        }
    }
    if whole + places == 0 {
        return None;
    }
    if let Some(after) = text.get(end..).and_then(|rest| rest.strip_prefix(['e', 'E'])) {
        let unsigned = after.strip_prefix(['+', '-']).unwrap_or(after);
        let exponent = digits(unsigned);
        if exponent > 0 {
            end += 1 + (after.len() - unsigned.len()) + exponent;
        }
    }
    text.split_at_checked(end)
}

/// A vulgar fraction (`3/8`) or a mixed number (`1 1/16`) that starts with the digits `first`.
fn fraction<'a>(first: &str, after: &'a str) -> Option<(f64, &'a str)> {
    let whole_number = |part: &str| part.bytes().all(|byte| byte.is_ascii_digit());
    if !whole_number(first) {
        return None;
    }
    let lead = first.parse::<f64>().ok()?;
    let spaced = after.starts_with([' ', '-']);
    let (base, over, tail) = if let Some(tail) = after.strip_prefix('/') {
        (0.0, lead, tail)
    } else if spaced {
        let (upper, tail) = decimal(after.trim_start_matches([' ', '-']))?;
        let tail = tail.strip_prefix('/')?;
        if !whole_number(upper) {
            return None;
        }
        (lead, upper.parse::<f64>().ok()?, tail)
    } else {
        return None;
    };
    let (under, rest) = decimal(tail)?;
    let divisor = under.parse::<f64>().ok().filter(|divisor| whole_number(under) && *divisor > 0.0)?;
    // One division of whole numbers keeps a mixed number exact to the last place.
    Some(((base * divisor + over) / divisor, rest))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn numbers_as_people_write_them() {
        for (text, value) in [
            ("12", 12.0),
            (".5", 0.5),
            ("3/8", 0.375),
            ("1 1/16", 1.0625),
            ("-40", -40.0),
            ("−2", -2.0),
            ("1e3", 1000.0),
        ] {
            assert_eq!(parse_number(text).unwrap(), value, "{text}");
        }
    }

    #[test]
    fn what_is_no_number_is_refused() {
        for text in ["", " ", "x", "-", ".", "1e999", "nan", "inf", "3/0", "1 2", "2,4", "1/2/3"] {
            assert!(parse_number(text).is_err(), "{text}");
        }
    }

    #[test]
    fn the_rest_is_handed_back() {
        let leading = leading_number("1 1/16in", "").unwrap();
        assert_eq!((leading.written, leading.rest), ("1 1/16", "in"));
        let leading = leading_number("5EUR", "").unwrap();
        assert_eq!((leading.written, leading.rest), ("5", "EUR"));
    }
}
