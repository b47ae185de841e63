//! Findings for people: source excerpts with carets, over several files, with help.

use super::{Excerpts, FileId, Finding, Severity, Span, line_column, unseen};
use annotate_snippets::{Annotation, AnnotationKind, Group, Level, Renderer, Snippet};

/// Above this many bytes a line is not shown but only named, since nobody can read it.
const LONGEST_LINE: usize = 400;

/// Renders findings one after the other, each followed by an empty line. Colour codes are included when
/// `colour` is set; the caller decides whether the terminal wants them. Whatever a file or its name holds, nothing
/// else in it moves a cursor.
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
    let mut group =
        Group::with_title(level.primary_title(unseen::shown_lines(&finding.headline)).id(finding.code.0));
    if let Some(detail) = &finding.detail {
        group = group.element(Level::NOTE.no_name().message(unseen::shown_lines(detail)));
    }
    if let Some(span) = finding.span {
        group = group.element(snippet(finding, span.file, excerpts));
        for file in other_files(finding, span.file) {
            group = group.element(snippet(finding, file, excerpts));
        }
    }
    if let Some(help) = &finding.help {
        group = group.element(Level::HELP.message(unseen::shown_lines(help)));
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
    // The end of the last line is not part of it, and may be one of Windows.
    let stored = text.get(start..end).unwrap_or_default().trim_end_matches('\r');
    let shown = unseen::shown_source(stored);
    let ranges: Vec<_> =
        marks.iter().map(|(span, ..)| moved(stored, &shown, inside(stored, *span, start))).collect();
    let mut snippet = Snippet::source(shown)
        .path(unseen::shown(excerpts.path(file)))
        .line_start(line_column(text, start).line)
        .fold(true);
    for ((_, kind, words), range) in marks.into_iter().zip(ranges) {
        snippet = snippet.annotation(kind.span(range).label(unseen::shown_lines(words)));
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

/// A range of a stored text in the same text as it is shown, character by character.
fn moved(stored: &str, shown: &str, range: std::ops::Range<usize>) -> std::ops::Range<usize> {
    // A sign may take other bytes than what it stands for; most texts hold none.
    if stored == shown {
        return range;
    }
    let at = |at: usize| {
        let before = stored.get(..at).unwrap_or_default().chars().count();
        shown.char_indices().nth(before).map_or(shown.len(), |(at, _)| at)
    };
    at(range.start)..at(range.end)
}

fn boundary(text: &str, mut at: usize) -> usize {
    while at > 0 && !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finding::Code;

    /// One file.
    struct One(&'static str, &'static str);

    impl Excerpts for One {
        fn path(&self, _: FileId) -> &str {
            self.0
        }

        fn text(&self, _: FileId) -> &str {
            self.1
        }
    }

    /// A finding at the first place of some words, with all its texts the same.
    fn at(file: &One, words: &str, said: &str) -> Vec<Finding> {
        let start = file.1.find(words).unwrap();
        let span = Span::new(FileId(0), start, start + words.len());
        vec![Finding::error(Code("SRC-01"), said).detail(said).at(span, said).label(span, said).help(said)]
    }

    #[test]
    fn nothing_of_a_file_moves_the_cursor_and_the_caret_stands_under_its_word() {
        // Escape, delete, C1 control sequence introducer, right-to-left override, zero width space, a lone return.
        let file = One("a\u{1b}]0;x\u{7}.md", "x\r\n\u{1b}[2J\u{7f}\u{9b}é\u{202e}\u{200b}\r word end\r\n");
        let said = "\u{9b}31m\u{1b}[31m\rred";
        let text = render(&at(&file, "word", said), &file, false);
        let moves =
            |c: &char| (c.is_control() && *c != '\n') || unseen::turns(*c) || unseen::has_no_width(*c);
        assert_eq!(text.chars().filter(moves).collect::<String>(), "", "{text}");
        assert!(text.contains("a\u{241b}]0;x\u{2407}.md:2:12"), "{text}");
        let lines: Vec<Vec<char>> = text.lines().map(|line| line.chars().collect()).collect();
        let column = |row: usize, sign: &str| {
            let sign: Vec<char> = sign.chars().collect();
            lines[row].windows(sign.len()).position(|part| part == sign)
        };
        let row = lines.iter().position(|line| line.iter().collect::<String>().contains("word end")).unwrap();
        assert!(column(row, "word").is_some() && lines[row].ends_with(&['e', 'n', 'd']), "{text}");
        assert_eq!(column(row, "word"), column(row + 1, "^^^^"), "{text}");
        assert!(
            lines[row]
                .iter()
                .collect::<String>()
                .contains("\u{241b}[2J\u{2421}\u{fffd}é\u{fffd}\u{fffd}\u{240d} word")
        );
    }

    #[test]
    fn what_is_pointed_at_may_itself_be_unseen() {
        let file = One("a.md", "Tighten to \u{202e}21\u{202c} N·m");
        let text = render(&at(&file, "\u{202e}", "here"), &file, false);
        assert!(text.contains("a.md:1:12"), "{text}");
        assert!(text.contains("Tighten to \u{fffd}21\u{fffd} N·m"), "{text}");
    }
}
