//! Places in source files: spans of bytes, and the lines and columns that people read.

/// A file of the manual, by its number in the sorted walk.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FileId(pub u32);

/// A stretch of bytes in a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Span {
    /// The file.
    pub file: FileId,
    /// First byte.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
}

impl Span {
    /// A stretch of a file; an end before the start counts as empty.
    pub fn new(file: FileId, start: usize, end: usize) -> Span {
        Span { file, start, end: end.max(start) }
    }

    /// The start of a file, for what concerns the whole of it.
    pub fn whole(file: FileId) -> Span {
        Span { file, start: 0, end: 0 }
    }

    /// From the start of this span to the end of the other, in the file of this one.
    pub fn to(self, other: Span) -> Span {
        Span::new(self.file, self.start, other.end)
    }
}

/// A position for people: both counted from 1, columns in characters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LineColumn {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
}

/// The line and column of a byte offset; an offset past the end counts as the end.
pub fn line_column(text: &str, offset: usize) -> LineColumn {
    let mut end = offset.min(text.len());
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    let before = text.get(..end).unwrap_or_default();
    let line = before.bytes().filter(|byte| *byte == b'\n').count() + 1;
    let start = before.rfind('\n').map_or(0, |at| at + 1);
    let column = before.get(start..).unwrap_or_default().chars().count() + 1;
    LineColumn { line, column }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters_not_bytes() {
        assert_eq!(line_column("a\nmΩ/m", 5), LineColumn { line: 2, column: 3 });
    }

    #[test]
    fn an_offset_inside_a_character_or_past_the_end_is_moved_back() {
        assert_eq!(line_column("Ω", 1), LineColumn { line: 1, column: 1 });
        assert_eq!(line_column("ab", 99), LineColumn { line: 1, column: 3 });
    }
}
