//! Numbers for people. Rounding happens here, last, and against the hazard.

/// How a number is rounded for people.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rounding {
    /// A length: one decimal.
    Length,
    /// A length to cut or buy: one decimal, upward.
    LengthUp,
    /// A length that must not be exceeded: one decimal, downward.
    LengthDown,
    /// Three significant digits.
    Figures,
    /// A whole number.
    Whole,
    /// Every digit that the value has.
    Exact,
}

/// The digits of `value`. What is infinite is `unlimited`, what is no number is `none`; `-0` is `0`.
pub fn number(value: f64, rounding: Rounding) -> String {
    if value.is_nan() {
        return "none".to_owned();
    }
    if value.is_infinite() {
        return if value > 0.0 { "unlimited".to_owned() } else { "-unlimited".to_owned() };
    }
    let digits = match rounding {
        Rounding::Length | Rounding::LengthUp | Rounding::LengthDown
            if value.abs() < 0.05 && value.abs() > 1e-6 =>
        {
            figures(value)
        }
        Rounding::Length => format!("{value:.1}"),
        Rounding::LengthUp => format!("{:.1}", upward(value)),
        Rounding::LengthDown => format!("{:.1}", -upward(-value)),
        Rounding::Figures => figures(value),
        Rounding::Whole => format!("{value:.0}"),
        Rounding::Exact => format!("{value}"),
    };
    without_minus_nought(digits)
}

/// `value` rounded up to one decimal, forgiving what the last places of a sum add.
fn upward(value: f64) -> f64 {
    let tenths = value * 10.0;
    (tenths - tenths.abs().max(1.0) * 1e-9).ceil() / 10.0
}

/// Three significant digits without an exponent, trailing noughts after the point removed.
fn figures(value: f64) -> String {
    if value == 0.0 {
        return "0".to_owned();
    }
    // The exponent form rounds to three digits exactly once; it is then written out.
    let scientific = format!("{value:.2e}");
    let rounded: f64 = scientific.parse().unwrap_or(value);
    let exponent = scientific.split_once('e').and_then(|(_, e)| e.parse::<i32>().ok()).unwrap_or(0);
    let places = usize::try_from((2 - exponent).clamp(0, 300)).unwrap_or(0);
    let text = format!("{rounded:.places$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// `-0.0` reads as `0.0`.
fn without_minus_nought(digits: String) -> String {
    match digits.strip_prefix('-') {
        Some(rest) if rest.bytes().all(|byte| matches!(byte, b'0' | b'.')) => rest.to_owned(),
        _ => digits,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_rounding_by_example() {
        for (value, rounding, digits) in [
            (21.0526, Rounding::LengthUp, "21.1"),
            (21.1, Rounding::LengthUp, "21.1"),
            (21.1 + 4e-15, Rounding::LengthUp, "21.1"),
            (21.11, Rounding::LengthUp, "21.2"),
            (102.56, Rounding::LengthDown, "102.5"),
            (102.5, Rounding::LengthDown, "102.5"),
            (2.449, Rounding::Length, "2.4"),
            (0.0321, Rounding::Length, "0.0321"),
            (94.2857, Rounding::Figures, "94.3"),
            (1234.6, Rounding::Figures, "1230"),
            (0.00012345, Rounding::Figures, "0.000123"),
            (2.0, Rounding::Figures, "2"),
            (999.96, Rounding::Figures, "1000"),
            (-0.0, Rounding::Figures, "0"),
            (-0.01e-6, Rounding::Length, "0.0"),
            (7.0, Rounding::Whole, "7"),
            (0.1, Rounding::Exact, "0.1"),
            (-0.0, Rounding::Exact, "0"),
        ] {
            assert_eq!(number(value, rounding), digits, "{value} {rounding:?}");
        }
    }

    #[test]
    fn what_is_no_number_is_a_word() {
        for rounding in
            [Rounding::Length, Rounding::LengthUp, Rounding::Figures, Rounding::Whole, Rounding::Exact]
        {
            assert_eq!(number(f64::NAN, rounding), "none");
            assert_eq!(number(f64::INFINITY, rounding), "unlimited");
            assert!(!number(f64::MAX, rounding).contains('e'));
            assert!(!number(f64::MIN_POSITIVE, rounding).contains('e'));
        }
    }
}
