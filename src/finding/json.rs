//! Findings for programs: a JSON array whose fields are a contract (added to, never renamed).

use super::{Excerpts, Finding, Span, line_column};
use serde::Serialize;

#[derive(Serialize)]
#[serde(rename_all = "kebab-case")]
struct Row<'a> {
    code: &'a str,
    severity: &'a str,
    message: String,
    file: Option<&'a str>,
    line: Option<usize>,
    column: Option<usize>,
    end_line: Option<usize>,
    end_column: Option<usize>,
    procedure: Option<&'a str>,
    step: Option<&'a str>,
    labels: Vec<LabelRow<'a>>,
    help: Option<&'a str>,
}

#[derive(Serialize)]
struct LabelRow<'a> {
    file: &'a str,
    line: usize,
    column: usize,
    text: &'a str,
}

/// Renders findings as a JSON array with a line feed at its end.
pub fn render(findings: &[Finding], excerpts: &dyn Excerpts) -> serde_json::Result<String> {
    let rows: Vec<Row<'_>> = findings.iter().map(|finding| row(finding, excerpts)).collect();
    Ok(serde_json::to_string_pretty(&rows)? + "\n")
}

fn row<'a>(finding: &'a Finding, excerpts: &'a dyn Excerpts) -> Row<'a> {
    let start = finding.span.map(|span| line_column(excerpts.text(span.file), span.start));
    let end = finding.span.map(|span| line_column(excerpts.text(span.file), span.end));
    Row {
        code: finding.code.0,
        severity: finding.severity.word(),
        message: finding.message(),
        file: finding.span.map(|span| excerpts.path(span.file)),
        line: start.map(|at| at.line),
        column: start.map(|at| at.column),
        end_line: end.map(|at| at.line),
        end_column: end.map(|at| at.column),
        procedure: finding.procedure.as_deref(),
        step: finding.step.as_deref(),
        labels: finding.labels.iter().map(|label| label_row(label.span, &label.text, excerpts)).collect(),
        help: finding.help.as_deref(),
    }
}

fn label_row<'a>(span: Span, text: &'a str, excerpts: &'a dyn Excerpts) -> LabelRow<'a> {
    let at = line_column(excerpts.text(span.file), span.start);
    LabelRow { file: excerpts.path(span.file), line: at.line, column: at.column, text }
}
