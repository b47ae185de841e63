//! The plain text of a piece of Markdown, block by block, with where each stretch of it comes from.

use crate::model::{Place, Prose, Reference};
use crate::parse::{Seen, read_prose};
use pulldown_cmark::{Event, Tag, TagEnd};

/// What a reference that shows no words of its own reads like: one word.
const STAND_IN: &str = "\u{fffc}";

/// The text of a piece of prose, and the references in it.
pub(super) fn read(prose: &Prose) -> (Draft, Vec<Seen>) {
    let mut seen = Vec::new();
    let draft = if is_plain(&prose.text) { plain(prose) } else { marked_up(prose, &mut seen) };
    (draft, seen)
}

/// Where a stretch of a passage's text comes from.
#[derive(Clone, Copy, Debug)]
pub(super) struct Piece {
    /// First byte in the text.
    pub(super) at: usize,
    /// The bytes in the file.
    pub(super) from: u32,
    pub(super) to: u32,
    /// Whether text and file agree byte by byte.
    pub(super) exact: bool,
}

/// The text of a passage while it is put together.
#[derive(Default)]
pub(super) struct Draft {
    text: String,
    pieces: Vec<Piece>,
    blocks: Vec<(usize, bool)>,
}

impl Draft {
    /// A text of the front matter or of a step's block, which holds no Markdown, with its bytes in the file.
    pub(super) fn line(text: &str, from: u32, to: u32) -> Draft {
        let mut draft = Draft::default();
        draft.block(false);
        draft.push(text, from, to);
        draft
    }

    /// What it reads like.
    pub(super) fn text(&self) -> &str {
        &self.text
    }

    /// What it reads like, when nothing else of it is wanted any more.
    pub(super) fn into_text(self) -> String {
        self.text
    }

    /// Where each stretch of the text comes from, in order.
    pub(super) fn pieces(&self) -> &[Piece] {
        &self.pieces
    }

    /// Where blocks begin: byte in the text, and whether the block is a table's cell.
    pub(super) fn blocks(&self) -> &[(usize, bool)] {
        &self.blocks
    }

    fn push(&mut self, text: &str, from: u32, to: u32) {
        let exact = usize::try_from(to.saturating_sub(from)).is_ok_and(|length| length == text.len());
        self.pieces.push(Piece { at: self.text.len(), from, to, exact });
        self.text.push_str(text);
    }

    fn block(&mut self, in_table: bool) {
        if !self.text.is_empty() {
            self.text.push('\n');
        }
        self.blocks.push((self.text.len(), in_table));
    }
}

/// Whether a text is one paragraph without any mark of Markdown, so that no parser is needed.
fn is_plain(text: &str) -> bool {
    let mark = |byte: u8| {
        matches!(
            byte,
            b'*' | b'_'
                | b'`'
                | b'<'
                | b'>'
                | b'['
                | b'&'
                | b'\\'
                | b'|'
                | b'#'
                | b'~'
                | b'^'
                | b'\r'
                | b'\t'
        )
    };
    let body = text.trim();
    !body.bytes().any(mark)
        && body
            .lines()
            .all(|line| !line.is_empty() && !line.starts_with([' ', '-', '+', '=', ':']) && !listed(line))
}

/// Whether a line begins as one of a numbered list does.
fn listed(line: &str) -> bool {
    let rest = line.trim_start_matches(|letter: char| letter.is_ascii_digit());
    rest.len() < line.len() && rest.starts_with(['.', ')'])
}

fn plain(prose: &Prose) -> Draft {
    let end = prose.place.start.saturating_add(u32::try_from(prose.text.len()).unwrap_or(0));
    Draft::line(&prose.text, prose.place.start, end)
}

fn marked_up(prose: &Prose, seen: &mut Vec<Seen>) -> Draft {
    let mut draft = Draft::default();
    let (mut bare_link, mut in_code, mut in_table) = (false, false, false);
    let narrow = |at: usize| prose.place.start.saturating_add(u32::try_from(at).unwrap_or(u32::MAX));
    for (event, range) in read_prose(prose) {
        let (from, to) = (narrow(range.start), narrow(range.end));
        if let Event::Start(Tag::Link { dest_url, .. } | Tag::Image { dest_url, .. }) = &event
            && Reference::looks_like(dest_url)
            && let Ok(reference) = Reference::parse(dest_url)
        {
            seen.push(Seen { reference, place: Place { file: prose.place.file, start: from, end: to } });
        }
        match event {
            Event::Start(Tag::Link { dest_url, .. }) => {
                let raw = prose.text.get(range.clone()).unwrap_or_default();
                bare_link =
                    raw.starts_with('<') && raw.get(1..).is_some_and(|raw| raw.starts_with(&*dest_url));
                if bare_link {
                    draft.push(STAND_IN, from, to);
                }
            }
            Event::End(TagEnd::Link) => bare_link = false,
            Event::Start(Tag::CodeBlock(_)) => in_code = true,
            Event::End(TagEnd::CodeBlock) => in_code = false,
            Event::Start(Tag::Table(_)) => in_table = true,
            Event::End(TagEnd::Table) => in_table = false,
            Event::Start(
                Tag::Paragraph
                | Tag::Heading { .. }
                | Tag::Item
                | Tag::TableCell
                | Tag::DefinitionListTitle
                | Tag::DefinitionListDefinition,
            ) => draft.block(in_table),
            Event::Text(_) if bare_link || in_code => {}
            Event::Text(text) => draft.push(&text, from, to),
            Event::Code(_) => draft.push(STAND_IN, from, to),
            Event::SoftBreak | Event::HardBreak => draft.push(" ", from, to),
            _ => {}
        }
    }
    draft
}
