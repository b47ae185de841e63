//! Safety signs by their numbers of ISO 7010, and what people write in their place.

/// The kinds of sign: warning, prohibition, safe condition, fire equipment, mandatory action.
const KINDS: &str = "WPEFM";

/// Whether a text is a sign's number: a letter of its kind and three digits, as in `W017`.
pub fn is_sign(text: &str) -> bool {
    let mut characters = text.chars();
    characters.next().is_some_and(|kind| KINDS.contains(kind))
        && characters.clone().count() == 3
        && characters.all(|digit| digit.is_ascii_digit())
}

/// The number that was probably meant: `M4`, `m-04` and `ISO 7010 M004` give `M004`.
pub fn sign_meant(text: &str) -> Option<String> {
    let bare: String = text.to_uppercase().replace("ISO 7010", "").replace([' ', '-', '_', '.', ':'], "");
    let digits = bare.get(1..).filter(|digits| !digits.is_empty() && digits.len() <= 3)?;
    let number: u16 = digits.parse().ok()?;
    let meant = format!("{}{number:03}", bare.get(..1)?);
    is_sign(&meant).then_some(meant)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sign_is_its_kind_and_three_digits() {
        for good in ["W001", "M004", "P003", "E004", "F001"] {
            assert!(is_sign(good), "{good}");
        }
        for bad in ["", "M4", "M04", "M0004", "m004", "X004", "0004", "M00x"] {
            assert!(!is_sign(bad), "{bad}");
        }
    }

    #[test]
    fn what_people_write_leads_to_the_number() {
        for written in ["M4", "M04", "m004", "M-004", "ISO 7010 M004", "ISO 7010-M004"] {
            assert_eq!(sign_meant(written).as_deref(), Some("M004"), "{written}");
        }
        for unknown in ["", "M", "eye", "X4", "M1234"] {
            assert_eq!(sign_meant(unknown), None, "{unknown}");
        }
    }
}
