//! Characters that nobody sees and that make a text read otherwise than it is stored.

/// Whether a character turns the direction of what follows (Unicode Standard Annex 9, 2.1 to 2.5: embeddings,
/// overrides, isolates): `21` could be read as 12.
pub fn turns(character: char) -> bool {
    matches!(character, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// Whether a character takes no room: words that look alike are not, and a search misses them.
pub fn has_no_width(character: char) -> bool {
    matches!(character, '\u{61c}' | '\u{200b}'..='\u{200f}' | '\u{2060}' | '\u{feff}')
}

/// What stands for a character where it is shown: for whatever would move a terminal's cursor, turn its line or
/// take no room, a sign that is as wide as any other, so that what is pointed at stands where it seems to. Control
/// characters have pictures of their own (Unicode block Control Pictures, U+2400 to U+2421).
fn sign(character: char) -> char {
    let number = u32::from(character);
    match character {
        '\u{0}'..='\u{1f}' => char::from_u32(0x2400 + number).unwrap_or(char::REPLACEMENT_CHARACTER),
        '\u{7f}' => '\u{2421}',
        '\u{2028}' | '\u{2029}' => char::REPLACEMENT_CHARACTER,
        _ if character.is_control() || turns(character) || has_no_width(character) => {
            char::REPLACEMENT_CHARACTER
        }
        _ => character,
    }
}

/// A name for showing, in one line whatever it holds.
pub fn shown(text: &str) -> String {
    text.chars().map(sign).collect()
}

/// A text of several lines for showing; ends of lines and tabs stay. It has as many characters as before.
pub fn shown_lines(text: &str) -> String {
    text.chars().map(|c| if matches!(c, '\n' | '\t') { c } else { sign(c) }).collect()
}

/// A piece of source for showing, as [`shown_lines`]; the ends of its lines may be those of Windows.
pub fn shown_source(text: &str) -> String {
    let mut characters = text.chars().peekable();
    let mut shown = String::with_capacity(text.len());
    while let Some(character) = characters.next() {
        let end = matches!(character, '\n' | '\t') || character == '\r' && characters.peek() == Some(&'\n');
        shown.push(if end { character } else { sign(character) });
    }
    shown
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
        for within in ['\u{61c}', '\u{200b}', '\u{200d}', '\u{200f}', '\u{2060}', '\u{feff}'] {
            assert!(has_no_width(within));
        }
        for beside in ['\u{61b}', '\u{61d}', '\u{200a}', '\u{2010}', '\u{205f}', '\u{2061}', ' '] {
            assert!(!has_no_width(beside), "U+{:04X}", u32::from(beside));
        }
    }

    /// The pictures by name: SYMBOL FOR NULL, ESCAPE, UNIT SEPARATOR, DELETE, LINE FEED, CARRIAGE RETURN, TABULATION.
    #[test]
    fn what_would_move_the_cursor_or_takes_no_room_is_shown_as_a_sign() {
        assert_eq!(shown("a\u{1b}[2J\u{202e}b"), "a\u{241b}[2J\u{fffd}b");
        assert_eq!(shown("\0\u{1f} \u{7f}~\u{9b}\u{a0}"), "\u{2400}\u{241f} \u{2421}~\u{fffd}\u{a0}");
        assert_eq!(shown("\u{200b}\u{2028}\u{61c}"), "\u{fffd}\u{fffd}\u{fffd}");
        assert_eq!(shown("\n\r\t"), "\u{240a}\u{240d}\u{2409}");
        assert_eq!(shown_lines("a\n\tb\r\n"), "a\n\tb\u{240d}\n");
        assert_eq!(shown_source("a\r\n\tb\rc"), "a\r\n\tb\u{240d}c");
    }
}
