//! Ids: lower-case letters, digits and single hyphens, at most 40 characters.

/// Longest id, in characters: a page's address is made of it and must fit every file system.
const LONGEST: usize = 40;

/// Device names that some systems refuse as file names, whatever their ending.
const DEVICES: [&str; 22] = [
    "con", "prn", "aux", "nul", "com1", "com2", "com3", "com4", "com5", "com6", "com7", "com8", "com9",
    "lpt1", "lpt2", "lpt3", "lpt4", "lpt5", "lpt6", "lpt7", "lpt8", "lpt9",
];

/// Whether a text is an id.
pub fn is_id(text: &str) -> bool {
    !text.is_empty()
        && text.len() <= LONGEST
        && !text.starts_with('-')
        && !text.ends_with('-')
        && !text.contains("--")
        && text.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'-')
        && !DEVICES.contains(&text)
}

/// The id that a heading's text gives: lower case, everything but letters and digits as single hyphens,
/// cut after the last whole word that fits.
pub fn slug(text: &str) -> String {
    let plain = deunicode::deunicode(text).to_ascii_lowercase();
    let words: Vec<&str> =
        plain.split(|c: char| !c.is_ascii_alphanumeric()).filter(|word| !word.is_empty()).collect();
    let mut id = String::new();
    for word in words {
        if !id.is_empty() && id.len() + 1 + word.len() > LONGEST {
            break;
        }
        if !id.is_empty() {
            id.push('-');
        }
        id.push_str(word);
    }
    id.truncate(LONGEST);
    id
}

/// Whether every system can keep a file under this name, and every list of files name it: at most 40 letters,
/// digits, `.`, `-` and `_` of ASCII, a letter or digit first and last, no name of a device.
pub fn is_file_name(name: &str) -> bool {
    let plain = |byte: u8| byte.is_ascii_alphanumeric();
    let stem = name.split('.').next().unwrap_or_default().to_ascii_lowercase();
    name.len() <= LONGEST
        && name.bytes().next().is_some_and(plain)
        && name.bytes().next_back().is_some_and(plain)
        && name.bytes().all(|byte| plain(byte) || matches!(byte, b'.' | b'-' | b'_'))
        && !DEVICES.contains(&stem.as_str())
}

/// The nearest name that every system can keep; the ending stays.
pub fn fit_file_name(name: &str) -> String {
    let (stem, ending) = name.rsplit_once('.').unwrap_or((name, ""));
    let ending: String = ending.chars().filter(char::is_ascii_alphanumeric).collect();
    let mut stem = slug(stem);
    if stem.is_empty() || DEVICES.contains(&stem.as_str()) {
        stem = format!("figure-{stem}").trim_end_matches('-').to_owned();
    }
    let room = LONGEST.saturating_sub(ending.len() + 1);
    stem.truncate(room);
    let stem = stem.trim_end_matches('-');
    if ending.is_empty() { stem.to_owned() } else { format!("{stem}.{}", ending.to_ascii_lowercase()) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_are_what_the_format_says() {
        for good in ["a", "door-loom", "0-5", "x1"] {
            assert!(is_id(good), "{good}");
        }
        for bad in ["", "-a", "a-", "a--b", "A", "a_b", "größe", "con", &"a".repeat(41)] {
            assert!(!is_id(bad), "{bad}");
        }
    }

    #[test]
    fn a_heading_gives_a_legal_id() {
        assert_eq!(slug("Größe prüfen: Teil 2"), "grosse-prufen-teil-2");
        assert!(is_id(&slug("Take out the nine lining screws from the hinge side of the door")));
        assert!(is_id(&slug(&"a".repeat(80))));
    }

    #[test]
    fn names_of_files_hold_on_every_system() {
        let longest = format!("{}.svg", "a".repeat(LONGEST - 4));
        for good in ["lid.svg", "IMG_0001.JPG", "a", "v1.2-b_c.png", longest.as_str()] {
            assert!(is_file_name(good), "{good}");
        }
        let over = format!("{}.svg", "a".repeat(LONGEST - 3));
        for (bad, fit) in [
            ("a b.svg", "a-b.svg"),
            ("a\nb.svg", "a-b.svg"),
            (".hidden.svg", "hidden.svg"),
            ("-a.svg", "a.svg"),
            ("größe.png", "grosse.png"),
            ("con.svg", "figure-con.svg"),
            ("NUL.svg", "figure-nul.svg"),
            ("a.svg.", "a-svg"),
            (over.as_str(), longest.as_str()),
        ] {
            assert!(!is_file_name(bad), "{bad:?}");
            assert_eq!(fit_file_name(bad), fit, "{bad:?}");
            assert!(is_file_name(fit), "{fit}");
        }
    }
}
