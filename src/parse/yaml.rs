//! YAML as a tree in which every key and value knows where it stands, so that all faults of a file can be
//! reported and not only the first. The one module that knows which YAML library is used.
//!
//! The tree is built from the library's events: they carry bytes for every node and the text as its author
//! wrote it, so that `2.40`, `0755` and `no` stay what they were. Data bindings would take three times as long.

use super::yaml_fault::{self, Cause};
use crate::finding::{Code, FileId, Finding, Severity, Sink, Span, Words, shorten, unseen};
use serde_yaml::granit_parser::{self as events, Event, Parser, ScalarStyle, ScanError, StrInput};
use std::collections::BTreeSet;

/// Deepest nesting that is read; the format itself needs seven.
const DEPTH: usize = 24;
/// Most nodes of one document: a loom table of a large vehicle has some ten thousand.
const NODES: usize = 400_000;

/// Most entries of a map in which a key is looked for one by one.
const SHORT: usize = 32;

/// A node with its place.
#[derive(Clone, Debug)]
pub(super) struct Node {
    pub(super) span: Span,
    pub(super) kind: Kind,
}

/// What a node is.
#[derive(Clone, Debug)]
pub(super) enum Kind {
    Null,
    /// A scalar, as its author wrote it (a plain `2.40` keeps its nought).
    Scalar(String),
    List(Vec<Node>),
    Map(Vec<(Key, Node)>),
}

/// A key with its place.
#[derive(Clone, Debug)]
pub(super) struct Key {
    pub(super) span: Span,
    pub(super) text: String,
}

impl Node {
    /// What kind of node it is, in a sentence.
    pub(super) fn noun(&self) -> &'static str {
        match self.kind {
            Kind::Null => "nothing",
            Kind::Scalar(_) => "a text",
            Kind::List(_) => "a list",
            Kind::Map(_) => "a map of keys",
        }
    }
}

/// Reads one document that stands in `text` from byte `start` to `end`.
pub(super) fn read(file: FileId, text: &str, start: usize, end: usize) -> Read<Node> {
    let part = text.get(start..end).unwrap_or_default();
    let mut options = events::Options::default();
    options.set_emit_comments(false);
    let events = Parser::new_from_str_with_options(part, options);
    let mut builder = Builder { file, text: part, start, events, nodes: 0, depth: 0 };
    match yaml_fault::unseen_indent(part) {
        Some(cause) => builder.stop(cause),
        None => builder.document(),
    }
}

/// Builds the tree from events.
struct Builder<'a> {
    file: FileId,
    text: &'a str,
    start: usize,
    events: Parser<'a, StrInput<'a>>,
    nodes: usize,
    depth: usize,
}

/// What was read, or why reading stopped.
type Read<T> = Result<T, Box<Finding>>;

/// What is inside a list or a map, and where its last value ends.
type Inside = (Kind, Option<usize>);

/// An event with its place.
type Placed<'a> = (Event<'a>, Span);

impl<'a> Builder<'a> {
    /// The one document; nothing where there is none.
    fn document(&mut self) -> Read<Node> {
        let mut node = Node { span: Span::new(self.file, self.start, self.start), kind: Kind::Null };
        let mut seen = false;
        loop {
            let (event, span) = self.next()?;
            match event {
                Event::StreamEnd => return Ok(node),
                Event::DocumentStart(..) if seen => {
                    return refused(
                        "a second YAML document begins here",
                        "the limit is passed here",
                        span,
                        None,
                    );
                }
                Event::DocumentStart(..) => {
                    seen = true;
                    let first = self.next()?;
                    node = self.node(first)?;
                }
                _ => {}
            }
        }
    }

    /// The next event.
    fn next(&mut self) -> Read<Placed<'a>> {
        match self.events.next_event() {
            Some(Ok((event, span))) => {
                let span = self.span(span);
                Ok((event, span))
            }
            Some(Err(error)) => self.unreadable(&error),
            // The library ends every stream with an event of its own.
            None => Ok((Event::StreamEnd, Span::new(self.file, self.start, self.start))),
        }
    }

    /// The node that begins with an event.
    fn node(&mut self, (event, span): Placed<'a>) -> Read<Node> {
        self.nodes += 1;
        if self.nodes > NODES {
            let headline = format!("this holds more than Benchleaf reads in one document ({NODES} values)");
            return refused(headline, "the limit is passed here", span, None);
        }
        let (anchor, tag) = match &event {
            Event::Scalar(_, _, anchor, tag)
            | Event::SequenceStart(_, anchor, tag)
            | Event::MappingStart(_, anchor, tag) => (*anchor != 0, tag.is_some()),
            _ => (true, false),
        };
        if anchor {
            let help = "write the value out in both places, or put it into the stores and refer to it by id";
            return refused("YAML anchors and aliases are refused", "an anchor or alias", span, Some(help));
        }
        if tag {
            let help = "leave the `!` word out, or put the text into quotes";
            return refused("YAML tags are refused", "a tag", span, Some(help));
        }
        match event {
            Event::SequenceStart(..) => self.inside(span, Self::list),
            Event::MappingStart(..) => self.inside(span, Self::map),
            Event::Scalar(text, ScalarStyle::Plain, ..) if is_nothing(&text) => {
                Ok(Node { span, kind: Kind::Null })
            }
            Event::Scalar(text, ..) => {
                // Written as they are, such marks were reported with the file.
                let written = || self.text.get(span.start - self.start..span.end - self.start);
                if text.chars().any(unseen::turns)
                    && !written().unwrap_or_default().chars().any(unseen::turns)
                {
                    return Err(Box::new(super::unseen::turns_by_escape(span)));
                }
                Ok(Node { span, kind: Kind::Scalar(text.into_owned()) })
            }
            _ => Ok(Node { span, kind: Kind::Null }),
        }
    }

    /// Goes one level down.
    fn inside(&mut self, span: Span, read: fn(&mut Self) -> Read<Inside>) -> Read<Node> {
        self.depth += 1;
        if self.depth > DEPTH {
            let headline = format!("this nests deeper than {DEPTH} levels");
            return refused(headline, "the limit is passed here", span, None);
        }
        let (kind, end) = read(self)?;
        self.depth -= 1;
        // A block ends where its last value ends, not where the next line begins.
        Ok(Node { span: Span::new(span.file, span.start, end.unwrap_or(span.end)), kind })
    }

    fn list(&mut self) -> Read<Inside> {
        let mut items: Vec<Node> = Vec::new();
        loop {
            match self.next()? {
                (Event::SequenceEnd, _) => break,
                event => items.push(self.node(event)?),
            }
            if let [.., whole, decimals] = items.as_mut_slice()
                && self.is_decimal_comma(whole, decimals.span)
                && matches!(&decimals.kind, Kind::Scalar(text) if has_unit(text))
                && matches!(&whole.kind, Kind::Scalar(text) if !has_unit(text))
            {
                self.rejoin(whole, decimals.span);
                items.pop();
            }
        }
        let end = items.last().map(|last| last.span.end);
        Ok((Kind::List(items), end))
    }

    fn map(&mut self) -> Read<Inside> {
        let mut entries: Vec<(Key, Node)> = Vec::new();
        let mut known: BTreeSet<String> = BTreeSet::new();
        loop {
            let event = self.next()?;
            if matches!(event.0, Event::MappingEnd) {
                break;
            }
            let key = self.key(event)?;
            // A short map is looked through; only a long one is worth an index.
            let twice = if entries.len() < SHORT {
                entries.iter().any(|(known, _)| known.text == key.text)
            } else {
                if known.is_empty() {
                    known.extend(entries.iter().map(|(known, _)| known.text.clone()));
                }
                !known.insert(key.text.clone())
            };
            if twice {
                let headline = format!("the key `{}` stands twice", key.text);
                return stopped(
                    Finding::error(Code("SRC-04"), headline)
                        .at(key.span, "the second time")
                        .help("keep one of the two: a key stands once in its map"),
                );
            }
            let event = self.next()?;
            let value = self.node(event)?;
            if let (Kind::Null, Some((_, before))) = (&value.kind, entries.last_mut())
                && self.is_decimal_comma(before, key.span)
            {
                self.rejoin(before, key.span);
                continue;
            }
            entries.push((key, value));
        }
        let end = entries.last().map(|(_, last)| last.span.end);
        Ok((Kind::Map(entries), end))
    }

    /// Whether a comma between two figures, without a space, parts a value from what follows: in a flow map or
    /// list YAML ends the value there, and the writer meant its decimals.
    fn is_decimal_comma(&self, whole: &Node, decimals: Span) -> bool {
        let Kind::Scalar(text) = &whole.kind else { return false };
        let comma = self.written(whole.span.end, decimals.start) == ",";
        let figure = self.written(decimals.start, decimals.end).starts_with(|c: char| c.is_ascii_digit());
        comma && figure && text.ends_with(|c: char| c.is_ascii_digit())
    }

    /// Puts the decimals back behind their comma, so that whoever reads the value can say what to write.
    fn rejoin(&self, whole: &mut Node, decimals: Span) {
        let text = self.written(whole.span.start, decimals.end).to_owned();
        *whole = Node { span: whole.span.to(decimals), kind: Kind::Scalar(text) };
    }

    /// What stands from one byte of the file to another.
    fn written(&self, start: usize, end: usize) -> &'a str {
        let within = |at: usize| at.saturating_sub(self.start);
        self.text.get(within(start)..within(end)).unwrap_or_default()
    }

    fn key(&mut self, event: Placed<'a>) -> Read<Key> {
        let node = self.node(event)?;
        match node.kind {
            Kind::Scalar(text) => Ok(Key { span: node.span, text }),
            Kind::Null => Ok(Key { span: node.span, text: String::new() }),
            Kind::List(_) | Kind::Map(_) => stopped(
                Finding::error(Code("SRC-03"), "a key is a word, and not a list or a map")
                    .at(node.span, "reading stopped here")
                    .help("a text that begins with `[` or `{` goes into quotes"),
            ),
        }
    }

    /// Where an event stands in the whole file.
    fn span(&self, span: events::Span) -> Span {
        Span::new(self.file, self.byte(&span.start), self.byte(&span.end))
    }

    /// The byte of a mark in the whole file.
    fn byte(&self, mark: &events::Marker) -> usize {
        let counted = || self.text.char_indices().nth(mark.index()).map_or(self.text.len(), |(at, _)| at);
        self.start + mark.byte_offset().unwrap_or_else(counted).min(self.text.len())
    }

    /// What the library cannot read, with what usually helps.
    fn unreadable<T>(&self, error: &ScanError) -> Read<T> {
        let at = self.byte(error.marker());
        let span = Span::new(self.file, at, at);
        if matches!(error.kind(), events::ErrorKind::UnknownAnchor) {
            return refused("YAML anchors and aliases are refused", "an anchor or alias", span, None);
        }
        self.stop(yaml_fault::cause(self.text, at - self.start, &error.info()))
    }

    /// Reading stops for a cause.
    fn stop<T>(&self, Cause { range, headline, note, help }: Cause) -> Read<T> {
        let span = Span::new(self.file, self.start + range.start, self.start + range.end);
        stopped(Finding::error(Code("SRC-03"), headline).at(span, note).help_if(help))
    }
}

/// Reports texts without quotes that a ` #` cuts short: what follows is a remark to YAML, and seldom to the
/// writer. A remark is written with a space after its sign.
pub(super) fn cut_short(file: FileId, text: &str, start: usize, end: usize, sink: &mut Sink) {
    let part = text.get(start..end).unwrap_or_default();
    let tight = |at: &usize| part.get(at + 2..).is_some_and(|rest| !rest.starts_with(char::is_whitespace));
    let signs: Vec<usize> = part.match_indices(" #").map(|(at, _)| at).filter(tight).collect();
    if signs.is_empty() {
        return;
    }
    let mut options = events::Options::default();
    options.set_emit_comments(false);
    let events = Parser::new_from_str_with_options(part, options);
    let mut builder = Builder { file, text: part, start, events, nodes: 0, depth: 0 };
    let mut texts: Vec<(Span, bool)> = Vec::new();
    while let Ok((event, span)) = builder.next() {
        match event {
            Event::StreamEnd => break,
            Event::Scalar(_, style, ..) => texts.push((span, style == ScalarStyle::Plain)),
            _ => {}
        }
    }
    for at in signs.into_iter().map(|at| start + at) {
        let inside = texts.iter().any(|(span, _)| span.start <= at && at + 1 < span.end);
        let before = texts.iter().rev().find(|(span, _)| span.end <= at + 1);
        let Some((whole, true)) = before.filter(|_| !inside) else { continue };
        if text.get(whole.end..at).is_none_or(|between| !between.trim().is_empty() || between.contains('\n'))
        {
            continue;
        }
        let line = text.get(at..end).and_then(|rest| rest.lines().next()).unwrap_or_default();
        let kept = text.get(whole.start..whole.end).unwrap_or_default();
        sink.push(
            Finding::new(
                Code("SRC-17"),
                Severity::Warning,
                format!("this text is cut short to `{}`", shorten(kept)),
            )
            .at(Span::new(file, at + 1, at + line.len()), "to YAML this is a remark")
            .help(format!(
                "put it into quotes: `\"{}{}\"`; a remark has a space after its `#`",
                shorten(kept),
                shorten(line)
            )),
        );
    }
}

/// Something of YAML that a manual does without.
fn refused<T>(headline: impl Into<Words>, note: &str, span: Span, help: Option<&str>) -> Read<T> {
    stopped(Finding::error(Code("SRC-05"), headline).at(span, note).help_if(help.map(str::to_owned)))
}

/// Reading ends here.
fn stopped<T>(finding: Finding) -> Read<T> {
    Err(Box::new(finding))
}

/// Whether a figure has a unit behind it: `5 mm`.
fn has_unit(text: &str) -> bool {
    text.contains(|c: char| c.is_alphabetic() || matches!(c, '%' | '°'))
}

/// The ways to write nothing (YAML 1.2.2, 10.3.2, core schema).
fn is_nothing(text: &str) -> bool {
    matches!(text, "" | "~" | "null" | "Null" | "NULL")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn scalar(text: &str, key: &str) -> String {
        let node = read(FileId(0), text, 0, text.len()).unwrap();
        let Kind::Map(entries) = node.kind else { panic!("no map") };
        match &entries.iter().find(|(k, _)| k.text == key).unwrap().1.kind {
            Kind::Scalar(text) => text.clone(),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn what_the_author_wrote_is_kept() {
        for (text, wanted) in [
            ("a: 2.40", "2.40"),
            ("a: no", "no"),
            ("a: true", "true"),
            ("a: 0755", "0755"),
            ("a: 1e3", "1e3"),
            ("a: 12e999", "12e999"),
            ("a: 2026-09-14", "2026-09-14"),
            ("a: 'x: y'", "x: y"),
        ] {
            assert_eq!(scalar(text, "a"), wanted, "{text}");
        }
    }

    #[test]
    fn places_are_bytes_of_the_whole_file() {
        let text = "xx\na: Ω\nb: c\n";
        let node = read(FileId(0), text, 3, text.len()).unwrap();
        let Kind::Map(entries) = node.kind else { panic!("no map") };
        let (key, value) = &entries[1];
        assert_eq!(&text[key.span.start..key.span.end], "b");
        assert_eq!(&text[value.span.start..value.span.end], "c");
    }

    #[test]
    fn hostile_documents_are_refused_by_name() {
        let many: String = (0..100).map(|at| format!("k{at}: 1\n")).chain(["k7: 2".to_owned()]).collect();
        let deep = format!("a: {}1{}", "[".repeat(60), "]".repeat(60));
        for (text, code, words) in [
            ("a: 1\na: 2", "SRC-04", "`a` stands twice"),
            (many.as_str(), "SRC-04", "`k7` stands twice"),
            ("a: &x 1\nb: *x", "SRC-05", "anchors"),
            ("a: !foo 1", "SRC-05", "tags"),
            ("a: 1\n---\nb: 2", "SRC-05", "second YAML document"),
            (deep.as_str(), "SRC-05", "nests deeper"),
            ("a: \"to \\u202e21\"", "SRC-16", "turns its direction"),
            ("a: [1, 2", "SRC-03", "never closed"),
            ("a: b\n c: d: e", "SRC-03", "colon and a space"),
        ] {
            let finding = read(FileId(0), text, 0, text.len()).unwrap_err();
            assert_eq!(finding.code.0, code, "{text}");
            assert!(finding.headline.contains(words), "{}: {}", text, finding.headline);
        }
    }
}
