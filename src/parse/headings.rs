//! Headings that are not written as such: signs without a space behind them, and texts that a line of dashes
//! under them turns into headings.

use crate::finding::{Code, FileId, Finding, Span, shorten};
use pulldown_cmark::HeadingLevel;
use std::ops::Range;

/// Headings and blocks that are not where the format wants them.
pub(super) const SHAPE: Code = Code("SRC-12");

/// A line that begins with the signs of a heading and lacks the space behind them.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Tight<'t> {
    pub(super) level: HeadingLevel,
    pub(super) range: Range<usize>,
    pub(super) inner: Range<usize>,
    pub(super) words: &'t str,
    pub(super) id: Option<&'t str>,
    line: &'t str,
}

/// The lines of a paragraph that begin with two signs of a heading or more and a letter.
pub(super) fn tight<'t>(text: &'t str, range: &Range<usize>) -> Vec<Tight<'t>> {
    let mut found = Vec::new();
    let mut start = range.start;
    for line in text.get(range.clone()).unwrap_or_default().split_inclusive('\n') {
        found.extend(tight_line(start, line.trim_end()));
        start += line.len();
    }
    found
}

fn tight_line(start: usize, line: &str) -> Option<Tight<'_>> {
    let rest = line.trim_start_matches('#');
    let signs = line.len() - rest.len();
    let level = match signs {
        2 => HeadingLevel::H2,
        3..=6 => HeadingLevel::H3,
        _ => return None,
    };
    if !rest.starts_with(char::is_alphabetic) {
        return None;
    }
    let (words, id) = match rest.split_once("{#") {
        Some((words, id)) => (words.trim(), Some(id.trim_end_matches('}'))),
        None => (rest, None),
    };
    let inner = start + signs..start + signs + words.len();
    Some(Tight { level, range: start..start + line.len(), inner, words, id, line })
}

impl Tight<'_> {
    pub(super) fn finding(&self, file: FileId) -> Finding {
        let signs = if self.level == HeadingLevel::H2 { "##" } else { "###" };
        let words = self.line.trim_start_matches('#');
        Finding::error(SHAPE, "a space is missing after the signs of this heading")
            .at(Span::new(file, self.range.start, self.range.end), "without the space it is a paragraph")
            .help(format!("write `{signs} {}`", shorten(words)))
    }
}

/// The finding of a heading that a line of dashes or equals signs made of the text above it.
pub(super) fn underlined(file: FileId, text: &str, range: &Range<usize>) -> Option<Finding> {
    let written = text.get(range.clone()).unwrap_or_default().trim_end();
    if written.trim_start().starts_with('#') {
        return None;
    }
    Some(
        Finding::error(SHAPE, "the line under this text turns it into a heading")
            .at(Span::new(file, range.start, range.start + written.len()), "a heading, and no text")
            .help("for a rule, leave an empty line between the two; for a stage, write `## …`"),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(text: &str) -> Vec<(HeadingLevel, &str, Option<&str>)> {
        tight(text, &(0..text.len())).into_iter().map(|tight| (tight.level, tight.words, tight.id)).collect()
    }

    #[test]
    fn two_signs_and_a_letter_are_a_heading_without_its_space() {
        assert_eq!(words("###Solder it {#it}"), [(HeadingLevel::H3, "Solder it", Some("it"))]);
        assert_eq!(words("A line\n##Refit"), [(HeadingLevel::H2, "Refit", None)]);
        assert_eq!(words("#2 screws"), []);
        assert_eq!(words("##2 screws"), []);
        assert_eq!(words("#######Seven"), []);
        assert_eq!(words("a ##b"), []);
    }

    #[test]
    fn only_a_line_beneath_makes_a_heading_of_a_text() {
        let at = |text: &str| underlined(FileId(0), text, &(0..text.len())).is_some();
        assert!(at("Wrap it\n-----"));
        assert!(!at("## Wrap it"));
    }
}
