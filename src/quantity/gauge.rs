//! American wire gauge: a name for a diameter, by the rule of ASTM B258, turned into copper area.
//!
//! No. 36 is 0.005 in and No. 0000 is 0.460 in, with 39 equal ratio steps between: d = 0.127 mm · 92^((36 − n)/39).
//! The rule is for solid wire; a stranded wire of the same name can hold 5 to 20 % more or less copper.

use std::f64::consts::PI;

/// The thickest gauge, 4/0, as a number.
const THICKEST: i32 = -3;
/// The thinnest gauge that is read.
const THINNEST: i32 = 40;

/// Copper area in mm² of gauge `number`, where 0 is 1/0, −1 is 2/0, −2 is 3/0 and −3 is 4/0 (ASTM B258).
pub fn gauge_area(number: i32) -> f64 {
    let diameter = 0.127 * 92f64.powf(f64::from(36 - number) / 39.0);
    PI / 4.0 * diameter * diameter
}

/// The name of a gauge: `18 AWG`, `1/0 AWG`, `4/0 AWG`.
pub fn gauge_name(number: i32) -> String {
    if number > 0 { format!("{number} AWG") } else { format!("{}/0 AWG", 1 - number) }
}

/// The gauge written in `text` (`18 AWG`, `AWG 18`, `4/0 AWG`, `000 AWG`): none where the text names no gauge,
/// an error of its own where it names one that does not exist.
pub(crate) fn parse_gauge(text: &str) -> Option<Result<i32, ()>> {
    let upper = text.trim().to_ascii_uppercase();
    let rest = upper.strip_suffix("AWG").or_else(|| upper.strip_prefix("AWG"))?.trim();
    let number = if let Some(noughts) = rest.strip_suffix("/0") {
        noughts.trim().parse::<i32>().ok().filter(|count| (1..=4).contains(count)).map(|count| 1 - count)
    } else if !rest.is_empty() && rest.len() <= 4 && rest.bytes().all(|byte| byte == b'0') {
        i32::try_from(rest.len()).ok().map(|count| 1 - count)
    } else {
        rest.parse::<i32>().ok().filter(|number| *number > 0)
    };
    Some(number.filter(|number| (THICKEST..=THINNEST).contains(number)).ok_or(()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn spellings_of_gauges() {
        assert_eq!(parse_gauge("18 AWG"), Some(Ok(18)));
        assert_eq!(parse_gauge("AWG18"), Some(Ok(18)));
        assert_eq!(parse_gauge("4/0 AWG"), Some(Ok(-3)));
        assert_eq!(parse_gauge("000 awg"), Some(Ok(-2)));
        assert_eq!(parse_gauge("0 AWG"), Some(Ok(0)));
        assert_eq!(parse_gauge("99 AWG"), Some(Err(())));
        assert_eq!(parse_gauge("-1 AWG"), Some(Err(())));
        assert_eq!(parse_gauge("18 mm"), None);
    }

    #[test]
    fn names_follow_the_numbers() {
        assert_eq!(gauge_name(18), "18 AWG");
        assert_eq!(gauge_name(-3), "4/0 AWG");
    }

    #[test]
    fn the_defining_sizes_hold() {
        let area = |inches: f64| PI / 4.0 * (inches * 25.4).powi(2);
        assert!((gauge_area(36) - area(0.005)).abs() < 1e-12);
        assert!((gauge_area(-3) - area(0.46)).abs() < 1e-9);
    }
}
