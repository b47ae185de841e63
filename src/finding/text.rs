//! Findings for people: source excerpts with carets, over several files, with help.

use super::{Excerpts, FileId, Finding, Severity, Span, line_column};
use annotate_snippets::{Annotation, AnnotationKind, Group, Level, Renderer, Snippet};

/// Above this many bytes a line is not shown but only named, since nobody can read it.
const LONGEST_LINE: usize = 400;

/// Renders findings one after the other, each followed by an empty line. Colour codes are included when
/// `colour` is set; the caller decides whether the terminal wants them.
pub fn render(findings: &[Finding], excerpts: &dyn Excerpts, colour: bool) -> String {
    let renderer = if colour { Renderer::styled() } else { Renderer::plain() };
    let mut out = String::new();
    for finding in findings {
        out.push_str(&renderer.render(&[group(finding, excerpts)]));
        out.push_str("\n\n");
    }
    out
}

/// `3 errors, 1 warning`; `nothing found` when there is none.
pub fn tally(findings: &[Finding]) -> String {
    let count = |severity, one: &str, many: &str| {
        let number = findings.iter().filter(|finding| finding.severity == severity).count();
        (number > 0).then(|| format!("{number} {}", if number == 1 { one } else { many }))
    };
    let parts: Vec<String> = [
        count(Severity::Error, "error", "errors"),
        count(Severity::Warning, "warning", "warnings"),
        count(Severity::Advice, "piece of advice", "pieces of advice"),
    ]
    .into_iter()
    .flatten()
    .collect();
    if parts.is_empty() { "nothing found".to_owned() } else { parts.join(", ") }
}

fn group<'a>(finding: &'a Finding, excerpts: &'a dyn Excerpts) -> Group<'a> {
    let level = match finding.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
        Severity::Advice => Level::INFO.with_name("advice"),
    };
    let mut group = Group::with_title(level.primary_title(finding.headline.as_str()).id(finding.code.0));
    if let Some(detail) = &finding.detail {
        group = group.element(Level::NOTE.no_name().message(detail.as_str()));
    }
    if let Some(span) = finding.span {
        group = group.element(snippet(finding, span.file, excerpts));
        for file in other_files(finding, span.file) {
            group = group.element(snippet(finding, file, excerpts));
        }
    }
    if let Some(help) = &finding.help {
        group = group.element(Level::HELP.message(help.as_str()));
    }
    group
}

/// The files that labels point into besides the first, each once, in order.
fn other_files(finding: &Finding, first: FileId) -> Vec<FileId> {
    let mut files = Vec::new();
    for label in &finding.labels {
        if label.span.file != first && !files.contains(&label.span.file) {
            files.push(label.span.file);
        }
    }
    files
}

fn snippet<'a>(
    finding: &'a Finding,
    file: FileId,
    excerpts: &'a dyn Excerpts,
) -> Snippet<'a, Annotation<'a>> {
    let primary = finding.span.filter(|span| span.file == file);
    let labels = finding.labels.iter().filter(|label| label.span.file == file);
    let marks: Vec<(Span, AnnotationKind, &str)> = primary
        .map(|span| (span, AnnotationKind::Primary, finding.note.as_str()))
        .into_iter()
        .chain(labels.map(|label| (label.span, AnnotationKind::Context, label.text.as_str())))
        .collect();
    let text = excerpts.text(file);
    let (start, end) = window(text, &marks);
    let shown = text.get(start..end).unwrap_or_default();
    let mut snippet =
        Snippet::source(shown).path(excerpts.path(file)).line_start(line_column(text, start).line).fold(true);
    for (span, kind, words) in marks {
        let range = inside(shown, span, start);
        snippet = snippet.annotation(kind.span(range).label(words));
    }
    snippet
}

/// The stretch of whole lines that holds all marks, so that a large file is not handed to the renderer;
/// where those lines are too long to read, only the text near the first mark.
fn window(text: &str, marks: &[(Span, AnnotationKind, &str)]) -> (usize, usize) {
    let first = marks.iter().map(|(span, ..)| span.start).min().unwrap_or(0).min(text.len());
    let last = marks.iter().map(|(span, ..)| span.end).max().unwrap_or(0).clamp(first, text.len());
    let start = text.get(..first).and_then(|before| before.rfind('\n')).map_or(0, |at| at + 1);
    let end = text.get(last..).and_then(|after| after.find('\n')).map_or(text.len(), |at| last + at);
    let longest = text.get(start..end).unwrap_or_default().lines().map(str::len).max().unwrap_or(0);
    if longest <= LONGEST_LINE {
        return (start, end);
    }
    (boundary(text, first.saturating_sub(40).max(start)), boundary(text, (first + 80).min(end)))
}

/// A span's range inside the shown text, cut to it and to whole characters.
fn inside(shown: &str, span: Span, offset: usize) -> std::ops::Range<usize> {
    let start = boundary(shown, span.start.saturating_sub(offset).min(shown.len()));
    let end = boundary(shown, span.end.saturating_sub(offset).min(shown.len()));
    start..end.max(start)
}

fn boundary(text: &str, mut at: usize) -> usize {
    while at > 0 && !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}
