//! The colours of wires, drawn beside the letters that name them. What is drawn only helps the eye: the letters
//! stand in the drawing, and every fact in its list.

use crate::drawings::svg::paint::{Fill, Pen};
use crate::drawings::svg::{Point, Sheet};

/// The letters of IEC 60757 and a tone for each. The standard names colours and gives no tones: these are our own,
/// chosen to tell them apart on paper and on a screen.
const TONES: &[(&str, &str)] = &[
    ("BK", "#1c1c1a"),
    ("BN", "#7a4a22"),
    ("RD", "#c4161c"),
    ("OG", "#ee7f00"),
    ("YE", "#f2cf00"),
    ("GN", "#2c8a3c"),
    ("BU", "#1f5fb0"),
    ("VT", "#7d3f98"),
    ("GY", "#8e9296"),
    ("WH", "#ffffff"),
    ("PK", "#f2a3b8"),
    ("GD", "#c9a227"),
    ("TQ", "#2bb5ad"),
    ("SR", "#c4c8cc"),
];

/// The tone of two letters.
fn tone(letters: &str) -> Option<&'static str> {
    TONES.iter().find(|(known, _)| *known == letters).map(|(_, tone)| *tone)
}

/// The ground and, where there is one, the stripe of a colour as written: `GY/BK`, `GNYE`. None where it is not
/// in the letters of the standard.
fn tones(colour: &str) -> Option<(&'static str, Option<&'static str>)> {
    if colour == "GNYE" {
        return Some((tone("GN")?, tone("YE")));
    }
    match colour.split_once('/') {
        Some((ground, stripe)) => Some((tone(ground.trim())?, Some(tone(stripe.trim())?))),
        None => Some((tone(colour.trim())?, None)),
    }
}

impl Sheet {
    /// A length of insulation between two corners in its colour, its stripe along the middle, with an outline that
    /// shows it on white paper. Answers whether the colour is known.
    pub(crate) fn insulation(&mut self, colour: &str, from: Point, to: Point) -> bool {
        let Some((ground, stripe)) = tones(colour) else { return false };
        self.rect(Fill::Wire(ground), Pen::Thin, from, to, 0.0);
        if let Some(stripe) = stripe {
            let third = (to.1 - from.1) / 3.0;
            self.rect(Fill::Wire(stripe), Pen::None, (from.0, from.1 + third), (to.0, to.1 - third), 0.0);
        }
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn grounds_and_stripes_are_told_apart() {
        assert_eq!(tones("GY/BK"), Some(("#8e9296", Some("#1c1c1a"))));
        assert_eq!(tones("GNYE"), Some(("#2c8a3c", Some("#f2cf00"))));
        assert_eq!(tones("RD"), Some(("#c4161c", None)));
        for unknown in ["", "XX", "GY/XX", "grey"] {
            assert_eq!(tones(unknown), None, "{unknown}");
        }
    }
}
