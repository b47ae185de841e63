//! Characters that nobody sees and that make a text read otherwise than it is stored.

/// Whether a character turns the direction of what follows (Unicode Standard Annex 9, 2.1 to 2.5: embeddings,
/// overrides, isolates): `21` could be read as 12.
pub fn turns(character: char) -> bool {
    matches!(character, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// Whether a character takes no room: words that look alike are not, and a search misses them.
pub fn has_no_width(character: char) -> bool {
    matches!(character, '\u{200b}'..='\u{200f}' | '\u{2060}' | '\u{feff}')
}

/// A text for showing, with a replacement for whatever would move a terminal's cursor or turn its line.
pub fn shown(text: &str) -> String {
    text.chars().map(|c| if c.is_control() || turns(c) { '\u{fffd}' } else { c }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ranges_hold_from_both_sides() {
        for (first, last) in [('\u{202a}', '\u{202e}'), ('\u{2066}', '\u{2069}')] {
            assert!(turns(first) && turns(last));
        }
        for beside in ['\u{2029}', '\u{202f}', '\u{2065}', '\u{206a}', '\u{200f}', 'א'] {
            assert!(!turns(beside), "U+{:04X}", u32::from(beside));
        }
        for within in ['\u{200b}', '\u{200d}', '\u{200f}', '\u{2060}', '\u{feff}'] {
            assert!(has_no_width(within));
        }
        for beside in ['\u{200a}', '\u{2010}', '\u{205f}', '\u{2061}', ' '] {
            assert!(!has_no_width(beside), "U+{:04X}", u32::from(beside));
        }
        assert_eq!(shown("a\u{1b}[2J\u{202e}b"), "a\u{fffd}[2J\u{fffd}b");
    }
}
