//! Words and sentences by their places: what the reading of a text yields, and what every part of it speaks of.

/// A word, with where it stands in the passage's text and in the source.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Word {
    /// First byte in the passage's text.
    pub(crate) from: u32,
    /// One past the last.
    pub(crate) to: u32,
    /// First byte in the file.
    pub(crate) start: u32,
    /// One past the last.
    pub(crate) end: u32,
    /// The sign that follows it at once; a space where none does.
    pub(crate) after: char,
}

impl Word {
    /// The word in a passage's text, or in that text in lower case.
    pub(crate) fn of<'t>(&self, text: &'t str) -> &'t str {
        let (from, to) = (usize::try_from(self.from), usize::try_from(self.to));
        match (from, to) {
            (Ok(from), Ok(to)) => text.get(from..to).unwrap_or_default(),
            _ => "",
        }
    }
}

/// A sentence: a run of words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Sentence {
    /// First word.
    pub(crate) from: usize,
    /// One past the last.
    pub(crate) to: usize,
    /// Whether it stands in a table.
    pub(crate) in_table: bool,
    /// Whether a paragraph or a list's line begins with it.
    pub(crate) opens: bool,
}
