//! Markdown: what a piece of prose holds that must resolve, and what it must not hold.

use super::fields::{self, place, shorten};
use crate::finding::{Code, FileId, Finding, Sink, Span, nearest, or_list, unseen};
use crate::model::{Place, Prose, Reference, Scheme, is_id, slug};
use pulldown_cmark::{Event, LinkType, Options, Parser, Tag};
use std::ops::Range;

/// Raw HTML, images and links that the format refuses.
const HTML: Code = Code("SRC-11");
/// Most bytes up to the colon of a scheme.
const LONGEST_SCHEME: usize = 16;
/// Longest text in brackets, in bytes, that is taken for a reference: a scheme and three ids.
const LONGEST_REFERENCE: usize = 200;
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

/// The events of a piece of prose, as every stage reads it. Comments, the only HTML that is not refused, are
/// notes among writers and are left out.
pub fn read_prose(prose: &Prose) -> impl Iterator<Item = (Event<'_>, Range<usize>)> {
    let mut open = false;
    Parser::new_ext(&prose.text, options()).into_offset_iter().filter(move |(event, _)| match event {
        Event::Html(html) | Event::InlineHtml(html) => !is_comment(html, &mut open),
        _ => true,
    })
}

/// Whether a piece of HTML is nothing but notes among writers, between `<!--` and `-->`; `open` says whether
/// one of them is not yet closed.
fn is_comment(html: &str, open: &mut bool) -> bool {
    let mut rest = html;
    loop {
        if *open {
            let Some((_, after)) = rest.split_once("-->") else { return true };
            *open = false;
            rest = after;
        }
        rest = rest.trim_start();
        let Some(after) = rest.strip_prefix("<!--") else { return rest.is_empty() };
        *open = true;
        rest = after;
    }
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
    /// Where the comment began that is not yet closed.
    comment: Option<Span>,
}

impl<'a> Lint<'a> {
    pub(super) fn new(file: FileId, text: &'a str) -> Lint<'a> {
        Lint { file, text, run: None, comment: None }
    }

    /// Looks at one event; the range is of the whole file.
    pub(super) fn look(&mut self, event: &Event<'_>, range: &Range<usize>, sink: &mut Sink) {
        let span = Span::new(self.file, range.start, range.end);
        match event {
            Event::Text(words) => {
                self.turned(words, range, sink);
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
            Event::Html(html) | Event::InlineHtml(html) => {
                let mut open = self.comment.is_some();
                let comment = is_comment(html, &mut open);
                self.comment = open.then(|| self.comment.unwrap_or(span));
                if !comment {
                    sink.push(
                        Finding::error(HTML, "raw HTML is refused")
                            .at(span, "this would be HTML")
                            .help("write it as Markdown: a blank line begins a paragraph, `*…*` stresses; a `<` that is meant as such is written `\\<`"),
                    );
                }
            }
            Event::Start(Tag::Link { link_type, dest_url, .. }) => {
                self.link(*link_type, dest_url, span, sink);
            }
            Event::Start(Tag::Image { dest_url, .. }) => self.image(dest_url, span, sink),
            _ => {}
        }
        let run = self.run.take();
        self.report_run(run, sink);
    }

    /// Ends the last run of text; says whether a comment took in all that follows it.
    pub(super) fn finish(&mut self, sink: &mut Sink) -> bool {
        let open = self.comment.take();
        if let Some(span) = open {
            sink.push(
                Finding::error(HTML, "this comment is never closed")
                    .at(span, "it begins here and takes in all that follows")
                    .help("close it with `-->`"),
            );
        }
        let run = self.run.take();
        self.report_run(run, sink);
        open.is_some()
    }

    /// Refuses marks that turn a text and are written as character references.
    fn turned(&self, words: &str, range: &Range<usize>, sink: &mut Sink) {
        let written = self.text.get(range.clone()).unwrap_or_default();
        if words.chars().any(unseen::turns) && !written.chars().any(unseen::turns) {
            let span = Span::new(self.file, range.start, range.end);
            sink.push(super::unseen::turns_by_escape(span));
        }
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
            let closing = if opening == "<" { b'>' } else { b')' };
            let before = text.get(..at).unwrap_or_default();
            if opening == "(" && !before.ends_with(']') {
                continue;
            }
            let colon = rest.bytes().take(LONGEST_SCHEME).position(|byte| byte == b':');
            let scheme = colon.and_then(|colon| rest.get(..colon)).and_then(Scheme::of);
            if scheme.is_none() {
                continue;
            }
            // A reference is short, and a run of openings is looked through once and not for each of them.
            let end = rest.bytes().take(LONGEST_REFERENCE).position(|byte| byte == b'\n' || byte == closing);
            let Some(inner) = end.and_then(|end| rest.get(..end)) else { continue };
            if rest.as_bytes().get(inner.len()) == Some(&closing) {
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
                    .help(by_id(target)),
            ),
        }
    }

    fn image(&self, target: &str, span: Span, sink: &mut Sink) {
        match Reference::parse(target) {
            Ok(Reference { scheme: Scheme::Figure, .. }) => {}
            _ => sink.push(
                Finding::error(LINK, format!("the figure `{}` is not named as one", shorten(target)))
                    .at(span, "figures stand under figures/ and are named by their file")
                    .help(format!("write `![what it shows](figure:{})`", figure_name(target))),
            ),
        }
    }
}

/// What to write for a link that leads to a file.
fn by_id(target: &str) -> String {
    let name = target.rsplit('/').next().unwrap_or(target);
    match name.strip_suffix(".md").map(slug).filter(|id| is_id(id)) {
        Some(id) => format!("name the thing by its id, for example `procedure:{id}`"),
        None => "write for example `procedure:ID`, `step:ID` or `figure:NAME.svg`".to_owned(),
    }
}

/// The name of a figure below `figures/`, as far as a path tells it.
fn figure_name(target: &str) -> String {
    let below = target.rsplit_once("figures/").map_or(target, |(_, below)| below);
    let name = below.split(':').next_back().unwrap_or(below);
    if name.is_empty() { "NAME.svg".to_owned() } else { shorten(name) }
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

#[cfg(test)]
mod tests {
    use super::*;

    fn found(text: &str) -> Vec<Finding> {
        let (mut sink, mut lint) = (Sink::new(), Lint::new(FileId(0), text));
        for (event, range) in Parser::new_ext(text, options()).into_offset_iter() {
            lint.look(&event, &range, &mut sink);
        }
        lint.finish(&mut sink);
        sink.into_sorted()
    }

    #[test]
    fn what_looks_like_a_reference_is_found_up_to_its_greatest_length() {
        // With a blank in it Markdown takes it for words and not for a link.
        let long = |length: usize| format!("a <value:A {}> b", "A".repeat(length - "value:A ".len()));
        assert_eq!(found(&long(LONGEST_REFERENCE - 1)).len(), 1);
        assert_eq!(found(&long(LONGEST_REFERENCE)).len(), 0);
        assert_eq!(found("a <value:A b> and <value:C\nd> b").len(), 1);
    }

    #[test]
    fn a_run_of_openings_gives_no_more_findings_than_fit_before_its_end() {
        let openings = format!("a {}>", "<value:A ".repeat(2_000));
        assert!(found(&openings).len() <= LONGEST_REFERENCE / "<value:A ".len());
    }

    #[test]
    fn a_mark_that_turns_a_text_is_refused_as_a_character_reference_too() {
        assert_eq!(found("Tighten to &#x202E;21&#8236; turns").len(), 2);
        assert_eq!(found("Tighten to &#x2013;21 turns").len(), 0);
    }
}
