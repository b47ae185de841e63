//! YAML as a tree in which every key and value knows where it stands, so that all faults of a file can be
//! reported and not only the first. The one module that knows which YAML library is used.

use crate::finding::{Code, FileId, Finding, Span};
use serde::de::{Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};
use serde_yaml::Spanned;

/// Deepest nesting that is read; the format itself needs seven.
const DEPTH: usize = 24;
/// Most nodes of one document: a loom table of a large vehicle has some ten thousand.
const NODES: usize = 400_000;

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
pub(super) fn read(file: FileId, text: &str, start: usize, end: usize) -> Result<Node, Box<Finding>> {
    let part = text.get(start..end).unwrap_or_default();
    let origin = Origin { file, text: part, start };
    let options = serde_yaml::options! {
        budget: serde_yaml::budget! {
            max_depth: DEPTH, max_nodes: NODES, max_aliases: 0, max_anchors: 0, max_documents: 1,
        },
        strict_booleans: true,
        leading_zero_numbers_as_strings: true,
        underscored_numbers_as_strings: true,
        non_finite_float_policy: serde_yaml::NonFiniteFloatPolicy::PassThrough,
        reject_unsupported_tags: true,
        with_snippet: false,
    };
    match serde_yaml::from_str_with_options::<Spanned<Raw>>(part, options) {
        Ok(raw) => Ok(origin.node(raw)),
        Err(error) => Err(Box::new(origin.finding(&error))),
    }
}

struct Origin<'a> {
    file: FileId,
    text: &'a str,
    start: usize,
}

impl Origin<'_> {
    fn span(&self, location: &serde_yaml::Location) -> Span {
        let span = location.span();
        // A syntax error knows only its character offset; bytes are counted here.
        let bytes_of = |chars: u64| {
            let chars = usize::try_from(chars).unwrap_or(usize::MAX);
            self.text.char_indices().nth(chars).map_or(self.text.len(), |(at, _)| at)
        };
        let (from, to) = match (span.byte_offset(), span.byte_len()) {
            (Some(offset), Some(length)) => {
                let offset = usize::try_from(offset).unwrap_or(usize::MAX);
                (offset, offset.saturating_add(usize::try_from(length).unwrap_or(0)))
            }
            _ => (bytes_of(span.offset()), bytes_of(span.offset().saturating_add(span.len()))),
        };
        let limit = self.text.len();
        Span::new(self.file, self.start + from.min(limit), self.start + to.min(limit))
    }

    fn node(&self, raw: Spanned<Raw>) -> Node {
        let span = self.span(&raw.referenced);
        match raw.value {
            Raw::Null => Node { span, kind: Kind::Null },
            Raw::Typed => {
                let from = span.start.saturating_sub(self.start);
                let to = span.end.saturating_sub(self.start);
                let written = self.text.get(from..to).unwrap_or_default().trim();
                Node { span, kind: Kind::Scalar(written.to_owned()) }
            }
            Raw::Text(text) => Node { span, kind: Kind::Scalar(text) },
            Raw::List(items) => {
                let items: Vec<Node> = items.into_iter().map(|item| self.node(item)).collect();
                let end = items.last().map_or(span.end, |last| last.span.end);
                Node { span: Span::new(span.file, span.start, end), kind: Kind::List(items) }
            }
            Raw::Map(entries) => {
                let entries: Vec<(Key, Node)> = entries
                    .into_iter()
                    .map(|(key, value)| {
                        let key = Key { span: self.span(&key.referenced), text: key.value };
                        (key, self.node(value))
                    })
                    .collect();
                let end = entries.last().map_or(span.end, |(_, last)| last.span.end);
                Node { span: Span::new(span.file, span.start, end), kind: Kind::Map(entries) }
            }
        }
    }

    fn finding(&self, error: &serde_yaml::Error) -> Finding {
        let said = error.to_string();
        // The place is shown by the excerpt, so the words that repeat it are cut off.
        let said = said.rfind(" at line ").map_or(said.as_str(), |at| said.get(..at).unwrap_or(&said));
        let span = error
            .location()
            .map_or(Span::new(self.file, self.start, self.start), |location| self.span(&location));
        let (code, headline, note, help) = explain(said);
        Finding::error(Code(code), headline).at(span, note).help_if(help.map(str::to_owned))
    }
}

/// The library's words for a fault, turned into ours: code, headline, note, help.
fn explain(said: &str) -> (&'static str, String, String, Option<&'static str>) {
    if let Some(rest) = said.strip_prefix("duplicate mapping key: ") {
        let key = rest.split(',').next().unwrap_or(rest);
        return (
            "SRC-04",
            format!("the key `{key}` stands twice"),
            "the second time".to_owned(),
            Some("keep one of the two: a key stands once in its map"),
        );
    }
    if said.contains("Anchors") || said.contains("Aliases") || said.contains("alias") {
        return (
            "SRC-05",
            "YAML anchors and aliases are refused".to_owned(),
            "an anchor or alias".to_owned(),
            Some("write the value out in both places, or put it into the stores and refer to it by id"),
        );
    }
    if said.contains("tag") {
        return (
            "SRC-05",
            "YAML tags are refused".to_owned(),
            "a tag".to_owned(),
            Some("leave the `!` word out, or put the text into quotes"),
        );
    }
    if let Some(breach) = said.strip_prefix("budget breached: ") {
        let headline = match breach.split(' ').next() {
            Some("Depth") => format!("this nests deeper than {DEPTH} levels"),
            Some("Documents") => "a second YAML document begins here".to_owned(),
            _ => format!("this holds more than Benchleaf reads in one document ({NODES} values)"),
        };
        return ("SRC-05", headline, "the limit is passed here".to_owned(), None);
    }
    let headline = format!("this is not YAML that can be read: {said}");
    let help = if said.contains("mapping values") || said.contains("plain scalar") {
        Some("a text that holds `: `, ` #` or begins with a sign of YAML goes into quotes")
    } else if said.contains("tab") {
        Some("indent with spaces, not with tabs")
    } else if said.contains("expected key") || said.contains("block") {
        Some("the lines of one list or map begin in the same column")
    } else {
        None
    };
    ("SRC-03", headline, "reading stopped here".to_owned(), help)
}

/// The tree as the library hands it over. Numbers and truth values are not kept: their text is taken from
/// the source, so that `2.40`, `0755` and `no` stay what was written.
enum Raw {
    Null,
    Typed,
    Text(String),
    List(Vec<Spanned<Raw>>),
    Map(Vec<(Spanned<String>, Spanned<Raw>)>),
}

impl<'de> Deserialize<'de> for Raw {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Raw, D::Error> {
        deserializer.deserialize_any(RawVisitor)
    }
}

struct RawVisitor;

impl<'de> Visitor<'de> for RawVisitor {
    type Value = Raw;

    fn expecting(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str("a text, a list or a map")
    }

    fn visit_bool<E>(self, _: bool) -> Result<Raw, E> {
        Ok(Raw::Typed)
    }

    fn visit_i64<E>(self, _: i64) -> Result<Raw, E> {
        Ok(Raw::Typed)
    }

    fn visit_i128<E>(self, _: i128) -> Result<Raw, E> {
        Ok(Raw::Typed)
    }

    fn visit_u64<E>(self, _: u64) -> Result<Raw, E> {
        Ok(Raw::Typed)
    }

    fn visit_u128<E>(self, _: u128) -> Result<Raw, E> {
        Ok(Raw::Typed)
    }

    fn visit_f64<E>(self, _: f64) -> Result<Raw, E> {
        Ok(Raw::Typed)
    }

    fn visit_str<E>(self, text: &str) -> Result<Raw, E> {
        Ok(Raw::Text(text.to_owned()))
    }

    fn visit_string<E>(self, text: String) -> Result<Raw, E> {
        Ok(Raw::Text(text))
    }

    fn visit_unit<E>(self) -> Result<Raw, E> {
        Ok(Raw::Null)
    }

    fn visit_none<E>(self) -> Result<Raw, E> {
        Ok(Raw::Null)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut access: A) -> Result<Raw, A::Error> {
        let mut items = Vec::new();
        while let Some(item) = access.next_element()? {
            items.push(item);
        }
        Ok(Raw::List(items))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut access: A) -> Result<Raw, A::Error> {
        let mut entries = Vec::new();
        while let Some(entry) = access.next_entry()? {
            entries.push(entry);
        }
        Ok(Raw::Map(entries))
    }
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
        let deep = format!("a: {}1{}", "[".repeat(60), "]".repeat(60));
        for (text, code, words) in [
            ("a: 1\na: 2", "SRC-04", "`a` stands twice"),
            ("a: &x 1\nb: *x", "SRC-05", "anchors"),
            ("a: !foo 1", "SRC-05", "tags"),
            ("a: 1\n---\nb: 2", "SRC-05", "second YAML document"),
            (deep.as_str(), "SRC-05", "nests deeper"),
            ("a: [1, 2", "SRC-03", "not YAML"),
            ("a: b\n c: d: e", "SRC-03", "not YAML"),
        ] {
            let finding = read(FileId(0), text, 0, text.len()).unwrap_err();
            assert_eq!(finding.code.0, code, "{text}");
            assert!(finding.headline.contains(words), "{}: {}", text, finding.headline);
        }
    }
}
