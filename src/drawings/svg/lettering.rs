//! Letters on a sheet: words, figures, headlines, paragraphs, and how wide they get.

use crate::drawings::svg::{Point, Sheet};
use std::fmt::Write as _;

/// Letter height of figures and of words, in units; 12 is the least that a drawing may use.
pub(crate) const LETTER: f64 = 13.0;

/// Letter height of the one figure that a drawing is looked up for.
const HEADLINE: f64 = 22.0;

/// Distance between the lines of a paragraph.
pub(crate) const LEADING: f64 = 18.0;

/// Where a text stands to its point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Anchor {
    /// The text starts there.
    Start,
    /// The text is centred there.
    Middle,
    /// The text ends there.
    End,
}

impl Sheet {
    /// Words; `at` is on the base line.
    pub(crate) fn text(&mut self, at: Point, anchor: Anchor, words: &str) {
        self.letters(("d-text", "sans-serif", LETTER), at, anchor, words);
    }

    /// A figure, in the figure face.
    pub(crate) fn figure(&mut self, at: Point, anchor: Anchor, words: &str) {
        self.letters(("d-figure", "monospace", LETTER), at, anchor, words);
    }

    /// The number of a callout.
    pub(crate) fn number(&mut self, at: Point, words: &str) {
        self.letters(("d-number", "monospace", LETTER), (at.0, at.1 + 0.35 * LETTER), Anchor::Middle, words);
    }

    /// The figure that the drawing is looked up for, large.
    pub(crate) fn headline(&mut self, at: Point, words: &str) {
        self.letters(("d-figure", "monospace", HEADLINE), at, Anchor::Start, words);
    }

    /// Words from `left` to the right edge in as many lines as they need, the first on the base line `y`.
    /// Answers the base line of the last one.
    pub(crate) fn paragraph(&mut self, left: f64, y: f64, words: &str) -> f64 {
        let mut base = y;
        for (place, line) in lines(words, self.width - left - 12.0).iter().enumerate() {
            base = y + LEADING * place as f64;
            self.text((left, base), Anchor::Start, line);
        }
        base
    }

    /// A text element of a class, a face and a height.
    fn letters(&mut self, look: (&str, &str, f64), at: Point, anchor: Anchor, words: &str) {
        let (class, face, height) = look;
        let (x, y) = (self.at(at.0), self.at(at.1));
        self.reach(at.1 + 4.0);
        let anchor = match anchor {
            Anchor::Start => "",
            Anchor::Middle => r#" text-anchor="middle""#,
            Anchor::End => r#" text-anchor="end""#,
        };
        let words = escape(words);
        let mut element = String::new();
        let _ = write!(
            element,
            r##"<text class="{class}" x="{x}" y="{y}"{anchor} font-family="{face}" font-size="{height}" fill="#000">{words}</text>"##
        );
        self.raw(&element);
    }
}

/// Words broken into lines that are at most `wide` units; a word that is wider by itself is broken too.
fn lines(words: &str, wide: f64) -> Vec<String> {
    let most = ((wide / width_of("x")).floor() as usize).max(1);
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in words.split(' ').filter(|word| !word.is_empty()) {
        let long = line.chars().count() + usize::from(!line.is_empty()) + word.chars().count();
        if long > most && !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        for letter in word.chars() {
            if line.chars().count() >= most {
                lines.push(std::mem::take(&mut line));
            }
            line.push(letter);
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// The width that `words` take at most, in units. Both faces are counted as wide as the figure face.
pub(crate) fn width_of(words: &str) -> f64 {
    words.chars().fold(0.0, |sum, _| sum + 0.61 * LETTER)
}

/// Text made safe for element content and for attributes; letters that XML does not know are left out.
pub(crate) fn escape(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            '\t' | '\n' | '\r' => safe.push(' '),
            '\u{fffe}' | '\u{ffff}' => {}
            other if other.is_control() => {}
            other => safe.push(other),
        }
    }
    safe
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_paragraph_breaks_between_words_and_inside_a_word_that_is_too_long() {
        let wide = width_of("xxxxxxxx");
        assert_eq!(lines("one two three", wide), ["one two", "three"]);
        assert_eq!(lines("a terminations", wide), ["a", "terminat", "ions"]);
        assert_eq!(lines("", wide), Vec::<String>::new());
    }
}
