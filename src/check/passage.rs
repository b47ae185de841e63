//! A piece of text as the rules read it: its words in sentences, each with its place in the source, and the
//! numbers and references in it. It is read once, for all rules.

use super::numbers::{self, Number};
use super::tokens;
use super::words::{Marks, Words};
use crate::model::{Place, Prose, Reference, Step};
use crate::parse::{Seen, read_prose};
use pulldown_cmark::{Event, Tag, TagEnd};

/// What a reference that shows no words of its own reads like: one word.
pub(crate) const STAND_IN: char = '\u{fffc}';

/// What a piece of text is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Role {
    /// Front matter: title, summary, start state.
    Front,
    /// What stands before the first stage.
    Intro,
    /// A stage's heading.
    StageTitle,
    /// What stands before a stage's first step.
    Stage,
    /// A step's heading.
    Title,
    /// A step's text.
    Step,
    /// A check in plain words, or what is measured.
    Check,
    /// What is to be written down.
    Record,
    /// When a way is taken.
    Choice,
}

impl Role {
    /// Whether it tells people what to do.
    pub(crate) fn instructs(self) -> bool {
        matches!(self, Role::Title | Role::Step)
    }
}

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

/// A piece of text.
#[derive(Debug)]
pub(crate) struct Passage<'a> {
    /// What it is for.
    pub(crate) role: Role,
    /// The step that it belongs to.
    pub(crate) step: Option<&'a Step>,
    /// Its words.
    pub(crate) words: Vec<Word>,
    /// Its sentences.
    pub(crate) sentences: Vec<Sentence>,
    /// Its numbers.
    pub(crate) numbers: Vec<Number>,
    /// Its references.
    pub(crate) seen: Vec<Seen>,
    /// The lists that it may hold words of.
    pub(crate) marks: Marks,
    text: String,
    lower: String,
    file: u32,
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
    pub(super) text: String,
    pub(super) pieces: Vec<Piece>,
    /// Where blocks begin: byte in the text, and whether the block is a table's cell.
    pub(super) blocks: Vec<(usize, bool)>,
}

impl Draft {
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

impl<'a> Passage<'a> {
    /// Reads Markdown.
    pub(crate) fn prose(words: &Words, role: Role, step: Option<&'a Step>, prose: &Prose) -> Option<Passage<'a>> {
        if prose.text.trim().is_empty() {
            return None;
        }
        let mut seen = Vec::new();
        let draft = if is_plain(&prose.text) { plain(prose) } else { marked_up(prose, &mut seen) };
        Some(Passage::of(words, role, step, draft, seen, prose.place.file))
    }

    /// Reads a text of the front matter or of a step's block.
    pub(crate) fn line(words: &Words, role: Role, step: Option<&'a Step>, text: &str, place: Place) -> Passage<'a> {
        let mut draft = Draft::default();
        draft.block(false);
        let (length, own) = (place.end.saturating_sub(place.start), u32::try_from(text.len()).unwrap_or(0));
        match length.checked_sub(own) {
            Some(0) => draft.push(text, place.start, place.end),
            // In quotes, without a sign that had to be escaped.
            Some(2) => draft.push(text, place.start + 1, place.end - 1),
            _ => draft.push(text, place.start, place.end),
        }
        Passage::of(words, role, step, draft, Vec::new(), place.file)
    }

    fn of(listed: &Words, role: Role, step: Option<&'a Step>, draft: Draft, seen: Vec<Seen>, file: u32) -> Passage<'a> {
        let (words, sentences) = tokens::read(&draft);
        let lower = lower(&draft.text);
        let mut passage = Passage {
            role,
            step,
            words,
            sentences,
            numbers: Vec::new(),
            seen,
            text: draft.text,
            lower,
            file,
        };
        passage.numbers = numbers::all(&passage);
        passage
    }

    /// A word as written.
    pub(crate) fn text(&self, word: &Word) -> &str {
        slice(&self.text, word)
    }

    /// A word in lower case.
    pub(crate) fn lower(&self, word: &Word) -> &str {
        slice(&self.lower, word)
    }

    /// The words of a sentence.
    pub(crate) fn of_sentence(&self, sentence: &Sentence) -> &[Word] {
        self.words.get(sentence.from..sentence.to).unwrap_or_default()
    }

    /// The words of a sentence, in lower case.
    pub(crate) fn lowers(&self, sentence: &Sentence) -> Vec<&str> {
        self.of_sentence(sentence).iter().map(|word| self.lower(word)).collect()
    }

    /// The whole text in lower case, to look for stems.
    pub(crate) fn all_lower(&self) -> &str {
        &self.lower
    }

    /// Where a run of words stands.
    pub(crate) fn place(&self, first: &Word, last: &Word) -> Place {
        Place { file: self.file, start: first.start, end: last.end.max(first.start) }
    }

    /// Where a sentence stands.
    pub(crate) fn place_of(&self, sentence: &Sentence) -> Place {
        match (self.of_sentence(sentence).first(), self.of_sentence(sentence).last()) {
            (Some(first), Some(last)) => self.place(first, last),
            _ => Place { file: self.file, ..Place::default() },
        }
    }

    /// A run of words as written, for messages.
    pub(crate) fn quote(&self, first: &Word, last: &Word) -> String {
        let from = usize::try_from(first.from).unwrap_or_default();
        let to = usize::try_from(last.to).unwrap_or_default();
        self.text.get(from..to).unwrap_or_default().replace('\n', " ")
    }
}

fn slice<'t>(text: &'t str, word: &Word) -> &'t str {
    let (from, to) = (usize::try_from(word.from), usize::try_from(word.to));
    match (from, to) {
        (Ok(from), Ok(to)) => text.get(from..to).unwrap_or_default(),
        _ => "",
    }
}

/// Lower case, letter by letter, so that every byte keeps its place.
fn lower(text: &str) -> String {
    if text.is_ascii() {
        return text.to_ascii_lowercase();
    }
    let fold = |letter: char| {
        let mut small = letter.to_lowercase();
        match (small.next(), small.next()) {
            (Some(one), None) if one.len_utf8() == letter.len_utf8() => one,
            _ => letter,
        }
    };
    text.chars().map(fold).collect()
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
    let mut draft = Draft::default();
    draft.block(false);
    let end = prose.place.start.saturating_add(u32::try_from(prose.text.len()).unwrap_or(0));
    draft.push(&prose.text, prose.place.start, end);
    draft
}

fn marked_up(prose: &Prose, seen: &mut Vec<Seen>) -> Draft {
    let mut draft = Draft::default();
    let (mut bare_link, mut in_code, mut in_table) = (false, false, false);
    let narrow = |at: usize| prose.place.start.saturating_add(u32::try_from(at).unwrap_or(u32::MAX));
    let stand_in = STAND_IN.to_string();
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
                    draft.push(&stand_in, from, to);
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
            Event::Code(_) => draft.push(&stand_in, from, to),
            Event::SoftBreak | Event::HardBreak => draft.push(" ", from, to),
            _ => {}
        }
    }
    draft
}
