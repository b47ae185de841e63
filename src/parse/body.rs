//! A procedure's body: `##` stages, `###` steps, each step's block and text.

use super::fields::{FORM, not_an_id, place};
use super::prose::{Lint, options, piece};
use super::step;
use crate::finding::{Code, FileId, Finding, Sink, Span};
use crate::model::{Prose, Stage, is_id, slug};
use pulldown_cmark::{CodeBlockKind, Event, HeadingLevel, Parser, Tag, TagEnd};
use std::collections::BTreeMap;
use std::ops::Range;

/// Headings and blocks that are not where the format wants them.
const SHAPE: Code = Code("SRC-12");

/// What a body holds.
pub(super) struct Body {
    pub(super) intro: Prose,
    pub(super) stages: Vec<Stage>,
}

/// A heading or a step's block, with its stretch of the file.
struct Mark {
    kind: MarkKind,
    range: Range<usize>,
}

enum MarkKind {
    Heading {
        level: HeadingLevel,
        id: Option<String>,
        inner: Range<usize>,
        plain: String,
    },
    /// A step's block; holds the stretch of its YAML.
    Block(Range<usize>),
}

/// Reads the body that begins at byte `start`.
pub(super) fn read(file: FileId, text: &str, start: usize, sink: &mut Sink) -> Body {
    let marks = marks(file, text, start, sink);
    let mut builder = Builder {
        file,
        text,
        intro: None,
        stages: Vec::new(),
        number: 0,
        ids: BTreeMap::new(),
        open: start,
        misplaced: false,
    };
    for mark in marks {
        builder.take(mark, sink);
    }
    builder.close(text.len());
    let intro = builder.intro.unwrap_or_else(|| piece(file, text, start..text.len()));
    if builder.stages.is_empty() {
        sink.push(
            Finding::error(SHAPE, "this procedure has no stage")
                .at(Span::new(file, start.min(text.len()), start.min(text.len())), "its body begins here")
                .help("write a heading `## Stage {#id}` and below it `### Step` headings"),
        );
    }
    Body { intro, stages: builder.stages }
}

/// The headings and step blocks at the top level of a body; everything else is only linted.
fn marks(file: FileId, text: &str, start: usize, sink: &mut Sink) -> Vec<Mark> {
    let body = text.get(start..).unwrap_or_default();
    let mut marks = Vec::new();
    let mut lint = Lint::new(file, text);
    let mut depth = 0_usize;
    let mut heading: Option<Mark> = None;
    let mut block: Option<(Range<usize>, Option<Range<usize>>)> = None;
    for (event, range) in Parser::new_ext(body, options()).into_offset_iter() {
        let range = start + range.start..start + range.end;
        if block.is_none() {
            lint.look(&event, &range, sink);
        }
        match &event {
            Event::Start(Tag::Heading { level, id, .. }) => {
                let id = id.as_ref().map(ToString::to_string);
                if depth == 0 {
                    let kind = MarkKind::Heading {
                        level: *level,
                        id,
                        inner: range.end..range.end,
                        plain: String::new(),
                    };
                    heading = Some(Mark { kind, range: range.clone() });
                } else {
                    sink.push(nested(Span::new(file, range.start, range.end), "a heading"));
                }
            }
            Event::End(TagEnd::Heading(_)) => marks.extend(heading.take()),
            Event::Start(Tag::CodeBlock(CodeBlockKind::Fenced(info))) => {
                closed(file, text, &range, sink);
                if info.split_whitespace().next() == Some("step") {
                    if depth == 0 {
                        block = Some((range.clone(), None));
                    } else {
                        sink.push(nested(Span::new(file, range.start, range.end), "a step's block"));
                    }
                }
            }
            Event::End(TagEnd::CodeBlock) => {
                if let Some((whole, inner)) = block.take() {
                    let inner = inner.unwrap_or(whole.start..whole.start);
                    marks.push(Mark { kind: MarkKind::Block(inner), range: whole });
                }
            }
            Event::Text(_) if block.is_some() => {
                if let Some((_, inner)) = &mut block {
                    let from = inner.as_ref().map_or(range.start, |inner| inner.start);
                    *inner = Some(from..range.end);
                }
            }
            _ => {}
        }
        if let Some(Mark { kind: MarkKind::Heading { inner, plain, .. }, .. }) = &mut heading {
            note_heading(&event, &range, inner, plain);
        }
        match event {
            Event::Start(_) => depth += 1,
            Event::End(_) => depth = depth.saturating_sub(1),
            _ => {}
        }
    }
    lint.finish(sink);
    marks
}

/// Widens a heading's inner stretch by an event, and keeps its words.
fn note_heading(event: &Event<'_>, range: &Range<usize>, inner: &mut Range<usize>, plain: &mut String) {
    if matches!(event, Event::Start(Tag::Heading { .. }) | Event::End(TagEnd::Heading(_))) {
        return;
    }
    *inner = if inner.start >= inner.end { range.clone() } else { inner.start..range.end.max(inner.end) };
    match event {
        Event::Text(words) | Event::Code(words) => plain.push_str(words),
        Event::SoftBreak | Event::HardBreak => plain.push(' '),
        _ => {}
    }
}

fn nested(span: Span, what: &str) -> Finding {
    Finding::error(SHAPE, format!("{what} stands inside a list or a quotation"))
        .at(span, "move it out to the left margin")
}

/// Reports a fence that is never closed: it would swallow the rest of the file without a word.
fn closed(file: FileId, text: &str, range: &Range<usize>, sink: &mut Sink) {
    let block = text.get(range.clone()).unwrap_or_default().trim_end();
    let fence: String = block.chars().take_while(|c| matches!(c, '`' | '~')).collect();
    let last = block.lines().next_back().unwrap_or_default().trim_start_matches(['>', ' ', '\t']);
    if block.lines().count() < 2 || !last.starts_with(&fence) {
        let line = block.lines().next().map_or(0, str::len);
        sink.push(
            Finding::error(SHAPE, "this block is never closed")
                .at(
                    Span::new(file, range.start, range.start + line),
                    "it begins here and takes in all that follows",
                )
                .help(format!("close it with a line `{fence}`")),
        );
    }
}

struct Builder<'a> {
    file: FileId,
    text: &'a str,
    intro: Option<Prose>,
    stages: Vec<Stage>,
    number: u32,
    ids: BTreeMap<String, Span>,
    /// Where the prose began that is not yet closed.
    open: usize,
    misplaced: bool,
}

impl Builder<'_> {
    fn take(&mut self, mark: Mark, sink: &mut Sink) {
        let span = Span::new(self.file, mark.range.start, mark.range.end);
        match mark.kind {
            MarkKind::Heading { level: HeadingLevel::H2, id, inner, plain } => {
                self.close(mark.range.start);
                let id = self.id(id, &plain, span, sink);
                let title = self.words(&inner, &plain);
                let prose = piece(self.file, self.text, mark.range.end..mark.range.end);
                self.stages.push(Stage { id, title, prose, steps: Vec::new(), place: place(span) });
                self.open = mark.range.end;
            }
            MarkKind::Heading { level: HeadingLevel::H3, id, inner, plain } => {
                self.close(mark.range.start);
                self.open = mark.range.end;
                let id = self.id(id, &plain, span, sink);
                self.number += 1;
                let title = piece(self.file, self.text, inner);
                let step = step::bare(id, self.number, title, plain, place(span));
                match self.stages.last_mut() {
                    Some(stage) => stage.steps.push(step),
                    None => {
                        if !self.misplaced {
                            sink.push(
                                Finding::error(SHAPE, "this step stands before the first stage")
                                    .at(span, "a `##` heading is wanted above it"),
                            );
                        }
                        self.misplaced = true;
                    }
                }
            }
            MarkKind::Heading { level, .. } => {
                let help = match level {
                    HeadingLevel::H1 => "the title stands in the front matter: leave this heading out",
                    _ => "a stage is `##`, a step `###`; inside a step use a list or a paragraph",
                };
                sink.push(
                    Finding::error(SHAPE, "headings are `##` and `###`")
                        .at(span, "this one is neither")
                        .help(help),
                );
            }
            MarkKind::Block(yaml) => self.block(&mark.range, &yaml, span, sink),
        }
    }

    /// A step's block: it stands first under its heading.
    fn block(&mut self, range: &Range<usize>, yaml: &Range<usize>, span: Span, sink: &mut Sink) {
        let between = self.text.get(self.open..range.start).unwrap_or_default();
        let (file, text) = (self.file, self.text);
        let Some(step) = self.stages.last_mut().and_then(|stage| stage.steps.last_mut()) else {
            let finding = Finding::error(SHAPE, "this block belongs to no step");
            sink.push(finding.at(span, "a `###` heading is wanted above it"));
            return;
        };
        if !between.trim().is_empty() {
            sink.push(
                Finding::error(SHAPE, "a step's block stands first under its heading, and there is one")
                    .at(span, "something stands between this block and its heading")
                    .label(super::span(step.place), "its heading"),
            );
            return;
        }
        if !yaml.is_empty() {
            step::fill(step, file, text, yaml, sink);
        }
        self.open = range.end;
    }

    /// Gives the open stretch of prose to what it belongs to.
    fn close(&mut self, end: usize) {
        let prose = piece(self.file, self.text, self.open..end.max(self.open));
        match self.stages.last_mut() {
            None => {
                if self.intro.is_none() {
                    self.intro = Some(prose);
                }
            }
            Some(stage) => match stage.steps.last_mut() {
                Some(step) => step.prose = prose,
                None => stage.prose = prose,
            },
        }
    }

    /// The words of a stage's heading, without its attributes.
    fn words(&self, inner: &Range<usize>, plain: &str) -> String {
        let raw = self.text.get(inner.clone()).unwrap_or_default();
        if raw.contains('<') { raw.trim().to_owned() } else { plain.trim().to_owned() }
    }

    /// The id of a heading: written, or made of its words; two alike are an error.
    fn id(&mut self, written: Option<String>, plain: &str, span: Span, sink: &mut Sink) -> String {
        let id = match written {
            Some(id) if is_id(&id) => id,
            Some(id) => {
                sink.push(not_an_id(&id, span));
                slug(plain)
            }
            None => slug(plain),
        };
        if !is_id(&id) {
            sink.push(
                Finding::error(FORM, "this heading gives no id")
                    .at(span, "no letters or figures to make one of")
                    .help("write one: `### Heading {#id}`"),
            );
        } else if let Some(first) = self.ids.get(&id) {
            sink.push(
                Finding::error(FORM, format!("two headings have the id `{id}`"))
                    .at(span, "the second")
                    .label(*first, "the first")
                    .help(format!("give one of them its own: `{{#{id}-2}}`")),
            );
        } else {
            self.ids.insert(id.clone(), span);
        }
        id
    }
}
