//! Colours of conductors in the letters of IEC 60757, and what people write in their place.

/// The letters of IEC 60757 with the names that people write for them in English, German, French, Spanish and
/// Dutch, and the older letters of DIN 47100. Ambiguous letters (`G`, `B`, `R`, `V`) are left to the writer.
const COLOURS: [(&str, &[&str]); 14] = [
    ("BK", &["black", "blk", "schwarz", "sw", "noir", "negro", "zwart"]),
    ("BN", &["brown", "brn", "br", "braun", "brun", "marron", "marrón", "bruin"]),
    ("RD", &["red", "rot", "rt", "rouge", "rojo", "rood"]),
    ("OG", &["orange", "org", "oranje", "naranja"]),
    ("YE", &["yellow", "yel", "yl", "gelb", "ge", "jaune", "amarillo", "geel"]),
    ("GN", &["green", "grn", "grün", "gruen", "vert", "verde", "groen"]),
    ("BU", &["blue", "blu", "bl", "blau", "bleu", "azul", "blauw"]),
    ("VT", &["violet", "purple", "vio", "vi", "violett", "lila", "violeta", "paars"]),
    ("GY", &["grey", "gray", "gry", "gr", "grau", "gris", "grijs"]),
    ("WH", &["white", "wht", "weiss", "weiß", "ws", "blanc", "blanco", "wit"]),
    ("PK", &["pink", "rosa", "rs", "rose", "roze"]),
    ("GD", &["gold", "oro", "goud"]),
    ("TQ", &["turquoise", "tr", "türkis", "turquesa", "turkoois"]),
    ("SR", &["silver", "silber", "argent", "plata", "zilver"]),
];

/// Whether a text names a colour by its letters: `RD`, `GY/BK`, `GN-YE`, `GNYE`.
pub fn is_colour(text: &str) -> bool {
    text.split(['/', '-']).all(|part| part == "GNYE" || COLOURS.iter().any(|(letters, _)| *letters == part))
}

/// The letters that were probably meant: `Red/White` gives `RD/WH`.
pub fn colour_meant(text: &str) -> Option<String> {
    let parts = text.split(['/', '-', ' ', ',', '+']).filter(|part| !part.is_empty() && *part != "with");
    let letters: Option<Vec<&str>> = parts.map(letters).collect();
    letters.filter(|letters| !letters.is_empty()).map(|letters| letters.join("/"))
}

/// The letters of one colour, however it was written.
fn letters(part: &str) -> Option<&'static str> {
    let lower = part.to_lowercase();
    if lower == "gnye" {
        return Some("GNYE");
    }
    let meant = |(letters, names): &&(&'static str, &[&str])| {
        letters.to_lowercase() == lower || names.contains(&lower.as_str())
    };
    COLOURS.iter().find(meant).map(|(letters, _)| *letters)
}

#[cfg(test)]
mod tests {
    use super::*;

    // The letters are those of IEC 60757:2021, table 1, from memory.
    #[test]
    fn letters_of_the_standard_serve_alone_and_together() {
        for good in ["RD", "GY/BK", "GN-YE", "GNYE", "WH/GNYE", "SR"] {
            assert!(is_colour(good), "{good}");
        }
        for bad in ["", "Red", "rd", "RD/", "/RD", "RD WH", "XX", "RD/XX", "GNY"] {
            assert!(!is_colour(bad), "{bad}");
        }
    }

    #[test]
    fn what_people_write_leads_to_the_letters() {
        for (written, meant) in [
            ("Red/White", "RD/WH"),
            ("rd/wh", "RD/WH"),
            ("red with white", "RD/WH"),
            ("sw-ge", "BK/YE"),
            ("grün", "GN"),
            ("gnye", "GNYE"),
        ] {
            assert_eq!(colour_meant(written).as_deref(), Some(meant), "{written}");
            assert!(is_colour(meant), "{meant}");
        }
        for unknown in ["", "tartan", "red/tartan", "R"] {
            assert_eq!(colour_meant(unknown), None, "{unknown}");
        }
    }
}
