//! Drawings: SVG is read as XML and judged, since a browser that opens one runs what it holds.

use crate::finding::{FileId, Finding, Sink, Span, line_column};
use crate::picture::{Picture, UNDRAWABLE, UNSAFE, undrawable};
use crate::stylesheet::{self, Fault};
use roxmltree::{Attribute, Document, Error, Node, NodeType, ParsingOptions};
use std::ops::Range;

/// The namespace of SVG 2 and 1.1.
const SVG: &str = "http://www.w3.org/2000/svg";
/// The namespace of XHTML: its elements work inside a drawing as they do on a page.
const XHTML: &str = "http://www.w3.org/1999/xhtml";
/// The namespaces whose attributes lead somewhere.
const XLINK: &str = "http://www.w3.org/1999/xlink";
const XML: &str = "http://www.w3.org/XML/1998/namespace";
/// Most elements of a drawing: one from a drawing office has some ten thousand.
const MOST_NODES: u32 = 200_000;

/// Elements that run something, or hold what is no drawing (SVG 1.1, 18 and 23.3; SVG Tiny 1.2, 15).
const REFUSED: [&str; 12] = [
    "script",
    "foreignobject",
    "iframe",
    "object",
    "embed",
    "audio",
    "video",
    "canvas",
    "source",
    "handler",
    "listener",
    "discard",
];

/// Attributes that hold names, words or coordinates and never a style.
const PLAIN: [&str; 9] = ["id", "class", "d", "points", "lang", "role", "unicode", "name", "glyph-name"];

/// Pictures that may stand inside a drawing, in full.
const INSIDE: [&str; 3] = ["data:image/png;", "data:image/jpeg;", "data:image/webp;"];

/// Reads a drawing and judges it; nothing when it must not be shown.
pub(super) fn look_through(file: FileId, name: &str, text: &str, sink: &mut Sink) -> Option<Picture> {
    if let Some(finding) = declared(file, name, text) {
        sink.push(finding);
        return None;
    }
    let options = ParsingOptions { nodes_limit: MOST_NODES, ..ParsingOptions::default() };
    let document = match Document::parse_with_options(text, options) {
        Ok(document) => document,
        Err(error) => {
            sink.push(unreadable(file, name, text, &error));
            return None;
        }
    };
    let root = document.root_element();
    if root.tag_name().name() != "svg" || root.tag_name().namespace() != Some(SVG) {
        let span = span(file, root.range(), text);
        sink.push(
            Finding::error(UNDRAWABLE, format!("`{name}` is no drawing that a browser shows"))
                .at(span, "its first element is not `svg` in the namespace of SVG")
                .help(format!("it begins with `<svg xmlns=\"{SVG}\" …>`")),
        );
        return None;
    }
    let mut judge = Judge { file, name, text, findings: Vec::new() };
    judge.size(root);
    for node in document.descendants() {
        judge.node(node);
    }
    let sound = judge.findings.is_empty();
    judge.findings.into_iter().for_each(|finding| sink.push(finding));
    sound.then(|| Picture { title: title(root) })
}

/// A document type or another encoding, which stand before the first element.
fn declared(file: FileId, name: &str, text: &str) -> Option<Finding> {
    let head = text.get(..text.find("<svg").unwrap_or(text.len())).unwrap_or_default();
    if let Some(at) = head.find("<!DOCTYPE") {
        let line = head.get(at..).and_then(|rest| rest.lines().next()).map_or(0, str::len);
        return Some(
            Finding::error(UNSAFE, format!("the drawing `{name}` declares a document type"))
                .at(Span::new(file, at, at + line), "entities could be declared here")
                .help("delete the `<!DOCTYPE …>`: a drawing needs none"),
        );
    }
    let declaration = head.strip_prefix("<?xml")?.split("?>").next()?;
    let encoding = declaration.split_once("encoding")?.1.trim_start_matches(['=', ' ', '"', '\'']);
    let encoding = encoding.split(['"', '\'']).next().unwrap_or_default();
    let known =
        ["utf-8", "utf8", "us-ascii", "ascii"].iter().any(|known| encoding.eq_ignore_ascii_case(known));
    (!known).then(|| {
        Finding::error(UNDRAWABLE, format!("the drawing `{name}` says that it is not UTF-8"))
            .at(Span::new(file, 0, declaration.len() + 7), "another encoding")
            .help("write `encoding=\"UTF-8\"`")
    })
}

/// What is wrong with the XML, at its place.
fn unreadable(file: FileId, name: &str, text: &str, error: &Error) -> Finding {
    match error {
        Error::DtdDetected => undrawable(
            file,
            format!("the drawing `{name}` declares a document type"),
            "delete the `<!DOCTYPE …>`",
        ),
        Error::NodesLimitReached | Error::AttributesLimitReached | Error::NamespacesLimitReached => {
            undrawable(
                file,
                format!("the drawing `{name}` holds more than {MOST_NODES} parts"),
                "simplify its paths, or export it as PNG",
            )
        }
        _ => {
            let place = error.pos();
            let at = match error {
                // What is missing is missing at the end.
                Error::NoRootNode | Error::UnclosedRootNode => text.trim_end().len(),
                _ => offset(text, place.row, place.col),
            };
            let said = error.to_string();
            let said = said.split(" at ").next().unwrap_or_default();
            Finding::error(UNDRAWABLE, format!("the drawing `{name}` is not XML that can be read: {said}"))
                .at(Span::new(file, at, at), "reading stopped here")
                .help("export it again as plain SVG")
        }
    }
}

/// The byte at a line and a column that counts characters, both from 1.
fn offset(text: &str, row: u32, column: u32) -> usize {
    let rows = usize::try_from(row).unwrap_or(1).saturating_sub(1);
    let start: usize = text.split_inclusive('\n').take(rows).map(str::len).sum();
    let line = text.get(start..).unwrap_or_default();
    let columns = usize::try_from(column).unwrap_or(1).saturating_sub(1);
    debug_assert!(start >= text.len() || line_column(text, start).line == rows + 1);
    start + line.char_indices().nth(columns).map_or(line.len(), |(at, _)| at)
}

/// A range without what stands on later lines, since an element may go on to the end of the file.
fn span(file: FileId, range: Range<usize>, text: &str) -> Span {
    let line = text.get(range.clone()).and_then(|all| all.lines().next()).map_or(0, str::len);
    Span::new(file, range.start, range.start + line)
}

/// The title of the whole drawing: a `title` directly below its root.
fn title(root: Node<'_, '_>) -> Option<String> {
    let title = root.children().find(|node| node.has_tag_name((SVG, "title")))?;
    let words: String =
        title.descendants().filter_map(|node| node.is_text().then(|| node.text()).flatten()).collect();
    let words = words.split_whitespace().collect::<Vec<_>>().join(" ");
    (!words.is_empty()).then_some(words)
}

struct Judge<'a> {
    file: FileId,
    name: &'a str,
    text: &'a str,
    findings: Vec<Finding>,
}

impl Judge<'_> {
    fn refuse(&mut self, what: &str, range: Range<usize>, note: &str, help: &str) {
        let at = span(self.file, range, self.text);
        let headline = format!("the drawing `{}` {what}", self.name);
        self.findings.push(Finding::error(UNSAFE, headline).at(at, note).help(help));
    }

    /// A drawing without width or height, or whose view is nothing, shows nothing.
    fn size(&mut self, root: Node<'_, '_>) {
        let nothing = |text: &str| {
            let digits = text.trim().trim_end_matches(|c: char| c.is_ascii_alphabetic() || c == '%');
            digits.parse::<f64>().is_ok_and(|number| number <= 0.0)
        };
        let view: Vec<&str> = root
            .attribute("viewBox")
            .unwrap_or_default()
            .split([' ', ','])
            .filter(|part| !part.is_empty())
            .collect();
        let sides = ["width", "height"].into_iter().filter_map(|side| root.attribute(side));
        let sides = sides.chain(view.iter().skip(2).copied());
        if let Some(side) = sides.into_iter().find(|side| nothing(side)) {
            let headline = format!("the drawing `{}` is {side} wide or high", self.name);
            let at = span(self.file, root.range(), self.text);
            let finding = Finding::error(UNDRAWABLE, headline).at(at, "its size stands here");
            self.findings.push(finding.help("give it a `viewBox` and no width or height of nothing"));
        }
    }

    fn node(&mut self, node: Node<'_, '_>) {
        match node.node_type() {
            NodeType::PI => self.refuse(
                "holds an instruction to a program",
                node.range(),
                "it may name a style sheet that is fetched",
                "delete the `<?…?>`",
            ),
            NodeType::Element => self.element(node),
            _ => {}
        }
    }

    fn element(&mut self, node: Node<'_, '_>) {
        let tag = node.tag_name();
        let local = tag.name().to_ascii_lowercase();
        if REFUSED.contains(&local.as_str()) || tag.namespace() == Some(XHTML) {
            self.refuse(
                &format!("holds a `{}`", tag.name()),
                node.range(),
                "a drawing runs nothing and embeds nothing",
                "delete this element; words are drawn with `text`",
            );
            return;
        }
        // What belongs to no namespace of a browser is passed over by it: the notes of a drawing program.
        if tag.namespace() != Some(SVG) {
            return;
        }
        if local == "style" {
            for text in node.children().filter(Node::is_text) {
                self.style(text.text().unwrap_or_default(), text.range());
            }
        }
        for attribute in node.attributes() {
            self.attribute(&local, &attribute);
        }
    }

    fn attribute(&mut self, element: &str, attribute: &Attribute<'_, '_>) {
        // An attribute of a program's own namespace is a note to itself.
        if attribute.namespace().is_some_and(|space| !matches!(space, XLINK | XML)) {
            return;
        }
        let name = attribute.name().to_ascii_lowercase();
        // What animates an attribute is judged by the attribute that it sets.
        let animated = name == "attributename"
            && matches!(element, "set" | "animate" | "animatetransform" | "animatemotion");
        let set = attribute.value().rsplit(':').next().unwrap_or_default().to_ascii_lowercase();
        if name.starts_with("on") || (animated && set.starts_with("on")) {
            return self.refuse(
                "runs a script",
                attribute.range(),
                "this attribute is a script",
                "delete it",
            );
        }
        if animated && matches!(set.as_str(), "href" | "src" | "style" | "base") {
            return self.refuse(
                &format!("changes `{set}` by itself"),
                attribute.range(),
                "a drawing could lead elsewhere in time",
                "delete this element",
            );
        }
        let target = attribute.value().trim_start().to_ascii_lowercase();
        if target.starts_with("javascript:") {
            return self.refuse("runs a script", attribute.range(), "this target is a script", "delete it");
        }
        let leads = matches!(name.as_str(), "href" | "src" | "base" | "ping" | "action" | "data" | "srcset");
        if leads && !stays_inside(attribute.value()) {
            return self.refuse(
                "refers to something outside itself",
                attribute.range(),
                "a manual fetches nothing",
                "draw it here, embed a photograph as `data:image/png;base64,…`, or refer to `#id`",
            );
        }
        let words = name.starts_with("aria-") || name.starts_with("data-");
        if !words && !PLAIN.contains(&name.as_str()) {
            self.style(attribute.value(), attribute.range());
        }
    }

    /// A style, or the value of an attribute that may be one.
    fn style(&mut self, style: &str, range: Range<usize>) {
        let written = self.text.get(range.clone()).unwrap_or_default();
        // The place inside the style is known unless references of XML stand in it.
        let start = written.find(style).map(|inner| range.start + inner);
        for (at, fault) in stylesheet::faults(style, &stays_inside) {
            let (what, help) = match fault {
                Fault::Fetches(_) => (
                    "has a style that fetches something",
                    "only `url(#id)` stays inside the drawing: draw it here",
                ),
                Fault::Nests => ("has a style that nests without end", "write the style in one level"),
            };
            let from = start.map_or(range.start, |start| start + at);
            self.refuse(what, from..range.end.max(from), "here", help);
        }
    }
}

/// Whether a reference stays inside its drawing.
fn stays_inside(target: &str) -> bool {
    let target = target.trim_matches(|c: char| c.is_whitespace() || c.is_control());
    let lower = target.get(..32).unwrap_or(target).to_ascii_lowercase();
    target.is_empty() || target.starts_with('#') || INSIDE.iter().any(|inside| lower.starts_with(inside))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn judged(inside: &str) -> Vec<Finding> {
        let text =
            format!("<svg xmlns=\"{SVG}\" viewBox=\"0 0 9 9\">\n<title>A <b>lid</b></title>{inside}</svg>");
        let mut sink = Sink::new();
        look_through(FileId(0), "a.svg", &text, &mut sink);
        sink.into_sorted()
    }

    #[test]
    fn what_a_drawing_office_exports_passes() {
        for inside in [
            "<path d='M0 0h9' style='fill:none;stroke:url(#a)' clip-path=\"url('#b')\"/>",
            "<style>.a{fill:url( #a )}</style><use href='#a'/><use xmlns:x='http://www.w3.org/1999/xlink' x:href=' #a'/>",
            "<image href='data:image/png;base64,AAAA'/>",
            "<metadata xmlns:m='urn:x'><m:one on='x' href='http://x/' m:a='url(b)'/></metadata>",
            "<path id='image(1)' aria-label='a\\b' xmlns:m='urn:x' m:label='element(2)'/>",
            "<animate attributeName='opacity' from='0' to='1'/>",
            "<text>javascript: @import url(x)</text>",
        ] {
            assert_eq!(judged(inside), Vec::new(), "{inside}");
        }
    }

    #[test]
    fn the_title_is_the_words_below_the_root() {
        let text =
            format!("<svg xmlns=\"{SVG}\"><g><title>no</title></g><title> A  <b>lid</b></title></svg>");
        let picture = look_through(FileId(0), "a.svg", &text, &mut Sink::new()).unwrap();
        assert_eq!(picture.title.as_deref(), Some("A lid"));
        let bare = format!("<svg xmlns=\"{SVG}\"><title> </title></svg>");
        assert_eq!(look_through(FileId(0), "a.svg", &bare, &mut Sink::new()).unwrap().title, None);
    }

    #[test]
    fn a_place_counts_characters_and_lines() {
        assert_eq!(offset("a\nbΩc\n", 2, 3), 5);
        assert_eq!(offset("a\nbΩc", 2, 9), 6);
        assert_eq!(offset("", 1, 1), 0);
    }
}
