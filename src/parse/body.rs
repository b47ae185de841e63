//! A procedure's body: `##` stages, `###` steps, each step's block and text.

use super::fields::{FORM, not_an_id, place};
use super::headings::SHAPE;
use super::prose::{Lint, options, piece};
use super::{headings, step, yaml};
use crate::finding::{FileId, Finding, Sink, Span, nearest};
use crate::model::format::step::STEP;
use crate::model::{Prose, Stage, Unread, is_id, slug};
use pulldown_cmark::{CodeBlockKind, Event, HeadingLevel, Parser, Tag, TagEnd};
use std::collections::BTreeMap;
use std::ops::Range;

/// What a body holds.
pub(super) struct Body {
    pub(super) intro: Prose,
    pub(super) stages: Vec<Stage>,
    pub(super) unread: Unread,
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
    /// A fenced block of another kind, which may be a step's block all the same: what its fence says, and the
    /// stretch of its text.
    Listing(String, Range<usize>),
    /// A block that takes in all that follows it.
    Endless,
}

/// Reads the body that begins at byte `start`.
pub(super) fn read(file: FileId, text: &str, start: usize, sink: &mut Sink) -> Body {
    let (marks, broken) = marks(file, text, start, sink);
    let mut builder = Builder {
        file,
        text,
        intro: None,
        stages: Vec::new(),
        number: 0,
        ids: BTreeMap::new(),
        open: start,
        unread: Unread { whole: broken, ..Unread::default() },
        filled: false,
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
    Body { intro, stages: builder.stages, unread: builder.unread }
}

/// The headings and blocks at the top level of a body, and whether any stands where it cannot be read;
/// everything else is only linted.
fn marks(file: FileId, text: &str, start: usize, sink: &mut Sink) -> (Vec<Mark>, bool) {
    let mut reader =
        Reader { file, text, marks: Vec::new(), heading: None, block: None, depth: 0, broken: false };
    let mut lint = Lint::new(file, text);
    let body = text.get(start..).unwrap_or_default();
    for (event, range) in Parser::new_ext(body, options()).into_offset_iter() {
        let range = start + range.start..start + range.end;
        if reader.block.is_none() {
            lint.look(&event, &range, sink);
        }
        reader.take(&event, &range, sink);
    }
    reader.broken |= lint.finish(sink);
    (reader.marks, reader.broken)
}

/// What is open while the events of a body go by.
struct Reader<'a> {
    file: FileId,
    text: &'a str,
    marks: Vec<Mark>,
    heading: Option<Mark>,
    /// A fenced block, with what its fence says and the stretch of its text.
    block: Option<(Range<usize>, String, Option<Range<usize>>)>,
    depth: usize,
    broken: bool,
}

impl Reader<'_> {
    fn take(&mut self, event: &Event<'_>, range: &Range<usize>, sink: &mut Sink) {
        let span = Span::new(self.file, range.start, range.end);
        match event {
            Event::Start(Tag::Heading { level, id, .. }) => {
                self.begin(*level, id.as_ref().map(ToString::to_string), range, sink);
            }
            Event::End(TagEnd::Heading(_)) => self.marks.extend(self.heading.take()),
            Event::Start(Tag::Paragraph) if self.depth == 0 => self.tight_headings(range, sink),
            Event::Start(Tag::CodeBlock(CodeBlockKind::Fenced(info))) => {
                let kind = info.split_whitespace().next().unwrap_or_default().to_owned();
                if !closed(self.file, self.text, range, sink) {
                    self.broken = true;
                    self.marks.push(Mark { kind: MarkKind::Endless, range: range.clone() });
                } else if self.depth == 0 {
                    self.block = Some((range.clone(), kind, None));
                } else if kind == "step" {
                    sink.push(nested(span, "a step's block"));
                    self.broken = true;
                }
            }
            Event::End(TagEnd::CodeBlock) => {
                if let Some((whole, kind, inner)) = self.block.take() {
                    let inner = inner.unwrap_or(whole.start..whole.start);
                    if kind == "step" && self.takes_in_headings(&inner) {
                        sink.push(endless(self.file, self.text, &whole));
                        self.broken = true;
                        self.marks.push(Mark { kind: MarkKind::Endless, range: whole });
                    } else {
                        let kind = match kind.as_str() {
                            "step" => MarkKind::Block(inner),
                            _ => MarkKind::Listing(kind, inner),
                        };
                        self.marks.push(Mark { kind, range: whole });
                    }
                }
            }
            Event::Text(_) => {
                if let Some((_, _, inner)) = &mut self.block {
                    let from = inner.as_ref().map_or(range.start, |inner| inner.start);
                    *inner = Some(from..range.end);
                }
            }
            _ => {}
        }
        if let Some(Mark { kind: MarkKind::Heading { inner, plain, .. }, .. }) = &mut self.heading {
            note_heading(event, range, inner, plain);
        }
        match event {
            Event::Start(_) => self.depth += 1,
            Event::End(_) => self.depth = self.depth.saturating_sub(1),
            _ => {}
        }
    }

    /// Whether a step's block holds headings or the fence of another: its own was never closed.
    fn takes_in_headings(&self, inner: &Range<usize>) -> bool {
        let mut lines = self.text.get(inner.clone()).unwrap_or_default().lines();
        lines.any(|line| ["## ", "### ", "```", "~~~"].iter().any(|sign| line.starts_with(sign)))
    }

    /// A heading begins. Where a line of dashes made it, it is a text to its writer and stays one.
    fn begin(&mut self, level: HeadingLevel, id: Option<String>, range: &Range<usize>, sink: &mut Sink) {
        if self.depth > 0 {
            sink.push(nested(Span::new(self.file, range.start, range.end), "a heading"));
            self.broken = true;
            return;
        }
        if let Some(finding) = headings::underlined(self.file, self.text, range) {
            sink.push(finding);
            return;
        }
        let kind = MarkKind::Heading { level, id, inner: range.end..range.end, plain: String::new() };
        self.heading = Some(Mark { kind, range: range.clone() });
    }

    /// Lines of a paragraph that were meant as headings: each is reported, and read as the heading it was to be.
    fn tight_headings(&mut self, range: &Range<usize>, sink: &mut Sink) {
        for tight in headings::tight(self.text, range) {
            sink.push(tight.finding(self.file));
            let kind = MarkKind::Heading {
                level: tight.level,
                id: tight.id.map(str::to_owned),
                inner: tight.inner,
                plain: tight.words.to_owned(),
            };
            self.marks.push(Mark { kind, range: tight.range });
        }
    }
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
fn closed(file: FileId, text: &str, range: &Range<usize>, sink: &mut Sink) -> bool {
    let block = text.get(range.clone()).unwrap_or_default().trim_end();
    let fence: String = block.chars().take_while(|c| matches!(c, '`' | '~')).collect();
    let last = block.lines().next_back().unwrap_or_default().trim_start_matches(['>', ' ', '\t']);
    let closed = block.lines().count() > 1 && last.starts_with(&fence);
    if !closed {
        sink.push(endless(file, text, range));
    }
    closed
}

/// The finding of a block that takes in what follows it.
fn endless(file: FileId, text: &str, range: &Range<usize>) -> Finding {
    let line = text.get(range.clone()).and_then(|block| block.lines().next()).unwrap_or_default();
    let fence: String = line.chars().take_while(|c| matches!(c, '`' | '~')).collect();
    Finding::error(SHAPE, "this block is never closed")
        .at(
            Span::new(file, range.start, range.start + line.len()),
            "it begins here and takes in all that follows",
        )
        .help(format!("close it with a line `{fence}`"))
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
    unread: Unread,
    /// Whether the step that is open has its block.
    filled: bool,
}

impl Builder<'_> {
    fn take(&mut self, mark: Mark, sink: &mut Sink) {
        let span = Span::new(self.file, mark.range.start, mark.range.end);
        match mark.kind {
            MarkKind::Heading { level: HeadingLevel::H2, id, inner, plain } => {
                self.close(mark.range.start);
                self.filled = false;
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
                self.filled = false;
                let title = piece(self.file, self.text, inner);
                let step = step::bare(id, self.number, title, plain, place(span));
                if self.stages.is_empty() {
                    sink.push(
                        Finding::error(SHAPE, "this step stands before the first stage")
                            .at(span, "a `##` heading is wanted above it")
                            .help("write the stage's heading above it: `## Strip {#strip}`"),
                    );
                    self.stages.push(self.nameless(place(span)));
                }
                if let Some(stage) = self.stages.last_mut() {
                    stage.steps.push(step);
                }
            }
            MarkKind::Heading { level: HeadingLevel::H1, .. } => {
                let help = "the title stands in the front matter, as `title:`: leave this heading out";
                sink.push(
                    Finding::error(SHAPE, "headings are `##` and `###`")
                        .at(span, "this one is neither")
                        .help(help),
                );
            }
            // A step with a sign too many is a step all the same.
            MarkKind::Heading { id, inner, plain, .. } => {
                let line = self.text.get(mark.range.clone()).unwrap_or_default().trim();
                sink.push(
                    Finding::error(SHAPE, "headings are `##` and `###`")
                        .at(span, "this one is neither")
                        .help(format!(
                            "if this is a step, write `### {}`; inside a step use a list or a paragraph",
                            line.trim_start_matches('#').trim()
                        )),
                );
                let kind = MarkKind::Heading { level: HeadingLevel::H3, id, inner, plain };
                self.take(Mark { kind, range: mark.range }, sink);
            }
            MarkKind::Block(yaml) => self.block(&mark.range, &yaml, span, sink),
            MarkKind::Listing(kind, yaml) => {
                if let Some(finding) = self.unmarked(&kind, &mark.range, &yaml) {
                    sink.push(finding);
                    self.block(&mark.range, &yaml, span, sink);
                }
            }
            MarkKind::Endless => {}
        }
    }

    /// A stage for steps that stand in none, so that their own faults are found.
    fn nameless(&self, at: crate::model::Place) -> Stage {
        let prose = piece(self.file, self.text, self.open..self.open);
        Stage { id: String::new(), title: String::new(), prose, steps: Vec::new(), place: at }
    }

    /// The finding that a block under a step's heading is its block and does not say so.
    fn unmarked(&self, kind: &str, range: &Range<usize>, yaml: &Range<usize>) -> Option<Finding> {
        self.stages.last()?.steps.last()?;
        let first = self.text.get(yaml.clone())?.lines().find(|line| !line.trim().is_empty())?;
        let key = first.split_once(':').map(|(key, _)| key)?;
        let mut keys = STEP.iter().map(|key| key.name);
        let known = keys.any(|known| known == key) || nearest(key, STEP.iter().map(|key| key.name)).is_some();
        let meant = matches!(kind, "" | "yaml" | "yml") || nearest(&kind.to_lowercase(), ["step"]).is_some();
        if self.filled || !self.is_first(range) || !known || !meant {
            return None;
        }
        let line = self.text.get(range.clone())?.lines().next()?;
        let fence: String = line.chars().take_while(|c| matches!(c, '`' | '~')).collect();
        Some(
            Finding::error(SHAPE, "this block holds the keys of a step and is not marked as a step's")
                .at(
                    Span::new(self.file, range.start, range.start + line.len()),
                    "its fence does not say `step`",
                )
                .help(format!("begin it with `{fence}step`")),
        )
    }

    /// Whether nothing but notes among writers stands between a block and its heading.
    fn is_first(&self, range: &Range<usize>) -> bool {
        let mut between = self.text.get(self.open..range.start).unwrap_or_default().trim();
        while let Some(rest) = between.strip_prefix("<!--") {
            between = rest.split_once("-->").map_or("", |(_, after)| after).trim();
        }
        between.is_empty()
    }

    /// A step's block: it stands first under its heading.
    fn block(&mut self, range: &Range<usize>, yaml: &Range<usize>, span: Span, sink: &mut Sink) {
        let first = self.is_first(range);
        let (file, text) = (self.file, self.text);
        let Some(step) = self.stages.last_mut().and_then(|stage| stage.steps.last_mut()) else {
            let finding = Finding::error(SHAPE, "this block belongs to no step")
                .help("write the step's heading above it: `### Remove the screws`");
            sink.push(finding.at(span, "a `###` heading is wanted above it"));
            self.unread.whole = true;
            return;
        };
        let line = text.get(range.clone()).and_then(|block| block.lines().next()).map_or(0, str::len);
        let head = Span::new(file, range.start, range.start + line);
        let errors = sink.errors();
        if self.filled {
            sink.push(
                Finding::error(SHAPE, "a step has one block, and this is its second")
                    .at(head, "a second block")
                    .label(super::span(step.place), "the step's heading")
                    .help("put its keys into the first, or write a `###` heading above it"),
            );
        } else if !first {
            sink.push(
                Finding::error(SHAPE, "a step's block stands first under its heading")
                    .at(head, "something stands between this block and its heading")
                    .label(super::span(step.place), "its heading")
                    .help("move what stands between to below the block"),
            );
        }
        let misplaced = sink.errors() > errors;
        let mut acts = true;
        if text.get(yaml.clone()).is_none_or(|text| text.trim().is_empty()) {
            sink.push(
                Finding::error(SHAPE, "this step's block is empty")
                    .at(head, "nothing stands in it")
                    .help("write what the step does, or leave the block out"),
            );
        } else if !self.filled {
            let whole = sink.errors();
            yaml::cut_short(file, text, yaml.start, yaml.end, sink);
            let cut = sink.errors() > whole;
            acts = step::fill(step, file, text, yaml, sink) || cut || misplaced;
        }
        if sink.errors() > errors {
            self.unread.steps.insert(step.id.clone());
            self.unread.acts |= acts;
        }
        self.filled = true;
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
