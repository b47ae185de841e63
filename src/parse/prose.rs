//! Markdown: what a piece of prose holds that must resolve, and what it must not hold.

use super::fields::{self, place, shorten};
use crate::finding::{Code, FileId, Finding, Sink, Span, nearest, or_list};
use crate::model::{Place, Prose, Reference, Scheme};
use pulldown_cmark::{Event, LinkType, Options, Parser, Tag};
use std::ops::Range;

/// Raw HTML, images and links that the format refuses.
const HTML: Code = Code("SRC-11");
/// Links that leave the folder or cannot be followed.
const LINK: Code = Code("SRC-09");

/// The Markdown that the format reads: CommonMark, tables, footnotes, task lists, definition lists, heading
/// attributes.
pub(super) fn options() -> Options {
    Options::ENABLE_TABLES
        | Options::ENABLE_FOOTNOTES
        | Options::ENABLE_TASKLISTS
        | Options::ENABLE_DEFINITION_LIST
        | Options::ENABLE_HEADING_ATTRIBUTES
}

/// A reference met in prose, with its place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Seen {
    /// The reference.
    pub reference: Reference,
    /// Where it stands.
    pub place: Place,
}

/// The events of a piece of prose, as every stage reads it.
pub fn read_prose(prose: &Prose) -> impl Iterator<Item = (Event<'_>, Range<usize>)> {
    Parser::new_ext(&prose.text, options()).into_offset_iter()
}

impl Seen {
    /// The references of a piece of prose, in order.
    pub fn all(prose: &Prose) -> Vec<Seen> {
        let mut seen = Vec::new();
        if !prose.text.contains(':') {
            return seen;
        }
        for (event, range) in read_prose(prose) {
            if let Event::Start(Tag::Link { dest_url, .. } | Tag::Image { dest_url, .. }) = event
                && Reference::looks_like(&dest_url)
                && let Ok(reference) = Reference::parse(&dest_url)
            {
                seen.push(Seen { reference, place: within(prose, &range) });
            }
        }
        seen
    }
}

/// The place of a range of a piece of prose.
fn within(prose: &Prose, range: &Range<usize>) -> Place {
    let narrow = |at: usize| u32::try_from(at).unwrap_or(u32::MAX);
    let start = prose.place.start;
    let (from, to) = (narrow(range.start), narrow(range.end));
    Place { file: prose.place.file, start: start.saturating_add(from), end: start.saturating_add(to) }
}

/// A checker that is shown every event of a body once and reports what the format refuses.
pub(super) struct Lint<'a> {
    file: FileId,
    text: &'a str,
    /// Where the run of text began that is being read, to find references that are not links.
    run: Option<Range<usize>>,
}

impl<'a> Lint<'a> {
    pub(super) fn new(file: FileId, text: &'a str) -> Lint<'a> {
        Lint { file, text, run: None }
    }

    /// Looks at one event; the range is of the whole file.
    pub(super) fn look(&mut self, event: &Event<'_>, range: &Range<usize>, sink: &mut Sink) {
        let span = Span::new(self.file, range.start, range.end);
        match event {
            Event::Text(_) => {
                self.run = match self.run.take() {
                    Some(run) if run.end == range.start => Some(run.start..range.end),
                    other => {
                        self.report_run(other, sink);
                        Some(range.clone())
                    }
                };
                return;
            }
            // The end of an element that was refused at its beginning says nothing new.
            Event::InlineHtml(html) if html.starts_with("</") => {}
            Event::Html(_) | Event::InlineHtml(_) => sink.push(
                Finding::error(HTML, "raw HTML is refused")
                    .at(span, "this would be HTML")
                    .help("write it as Markdown; a `<` that is meant as such is written `\\<`"),
            ),
            Event::Start(Tag::Link { link_type, dest_url, .. }) => {
                self.link(*link_type, dest_url, span, sink);
            }
            Event::Start(Tag::Image { dest_url, .. }) => self.image(dest_url, span, sink),
            _ => {}
        }
        let run = self.run.take();
        self.report_run(run, sink);
    }

    /// Ends the last run of text.
    pub(super) fn finish(&mut self, sink: &mut Sink) {
        let run = self.run.take();
        self.report_run(run, sink);
    }

    /// Reports what looks like a reference in a run of text and is none.
    fn report_run(&self, run: Option<Range<usize>>, sink: &mut Sink) {
        let Some(run) = run else { return };
        let Some(text) = self.text.get(run.clone()) else { return };
        if !text.contains(':') {
            return;
        }
        for (at, opening) in text.match_indices(['<', '(']) {
            let rest = text.get(at + opening.len()..).unwrap_or_default();
            let closing = if opening == "<" { '>' } else { ')' };
            let before = text.get(..at).unwrap_or_default();
            if opening == "(" && !before.ends_with(']') {
                continue;
            }
            let Some(inner) = rest.split_once(closing).map(|(inner, _)| inner) else { continue };
            if Reference::looks_like(inner) && !inner.contains('\n') {
                let start = run.start + at + 1;
                let span = Span::new(self.file, start, start + inner.len());
                let headline = format!("`{}` looks like a reference and is none", shorten(inner));
                let finding = match Reference::parse(inner) {
                    Err(error) => {
                        let inner = fields::bad_reference(&error, span);
                        Finding::error(inner.code, headline).at(span, error.to_string()).help_if(inner.help)
                    }
                    Ok(_) => Finding::error(Code("DOC-03"), headline).at(span, "not read as a link here"),
                };
                sink.push(finding);
            }
        }
    }

    fn link(&self, kind: LinkType, target: &str, span: Span, sink: &mut Sink) {
        if matches!(kind, LinkType::Reference | LinkType::Collapsed | LinkType::Shortcut) {
            sink.push(
                Finding::error(LINK, "a link names its target in place")
                    .at(span, "its target stands elsewhere")
                    .help("write `[words](target)`"),
            );
            return;
        }
        let scheme = target.split_once(':').map(|(scheme, _)| scheme);
        match scheme {
            Some("https" | "http" | "mailto" | "tel") => {}
            _ if kind == LinkType::Email => {}
            Some(word) if Scheme::of(word).is_some() => {
                if let Err(error) = Reference::parse(target) {
                    sink.push(fields::bad_reference(&error, span));
                }
            }
            Some(word) => {
                let near = nearest(word, Scheme::words());
                let help = near.map_or_else(
                    || format!("a link begins with {}, or with `https:`", or_list(Scheme::words())),
                    |near| format!("write `{near}:…`"),
                );
                sink.push(
                    Finding::error(LINK, format!("links of the kind `{}:` are refused", shorten(word)))
                        .at(span, "this link")
                        .help(help),
                );
            }
            None if target.starts_with('#') => {}
            None => sink.push(
                Finding::error(LINK, format!("the link `{}` leads to a file", shorten(target)))
                    .at(span, "links lead to things by their id, so that they hold wherever the manual lies")
                    .help("write for example `procedure:ID`, `step:ID` or `figure:NAME.svg`"),
            ),
        }
    }

    fn image(&self, target: &str, span: Span, sink: &mut Sink) {
        match Reference::parse(target) {
            Ok(Reference { scheme: Scheme::Figure, .. }) => {}
            _ => sink.push(
                Finding::error(LINK, format!("the figure `{}` is not named as one", shorten(target)))
                    .at(span, "figures stand under figures/ and are named by their file")
                    .help("write `![what it shows](figure:NAME.svg)`"),
            ),
        }
    }
}

/// A piece of prose from a stretch of a file, without the white space around it.
pub(super) fn piece(file: FileId, text: &str, range: Range<usize>) -> Prose {
    let raw = text.get(range.clone()).unwrap_or_default();
    let trimmed = raw.trim_start_matches(['\n', '\r', ' ', '\t']);
    // Leading blanks of the first line are kept where they make it a code block.
    let start = range.start + (raw.len() - trimmed.len());
    let line = text.get(..start).and_then(|before| before.rfind('\n')).map_or(start, |at| at + 1);
    let start = line.max(range.start).min(start);
    let body = text.get(start..range.end).unwrap_or_default().trim_end();
    Prose { text: body.to_owned(), place: place(Span::new(file, start, start + body.len())) }
}
