//! Findings for tools that gather them: SARIF 2.1.0 (OASIS), one run in one log. Field names are the
//! standard's.

use super::{Excerpts, Finding, Severity, Span, line_column};
use serde::Serialize;
use std::path::{Path, is_separator};

const SCHEMA: &str =
    "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json";

#[derive(Serialize)]
struct Log<'a> {
    #[serde(rename = "$schema")]
    schema: &'a str,
    version: &'a str,
    runs: [Run<'a>; 1],
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Run<'a> {
    tool: Tool<'a>,
    column_kind: &'a str,
    results: Vec<Outcome<'a>>,
}

#[derive(Serialize)]
struct Tool<'a> {
    driver: Driver<'a>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Driver<'a> {
    name: &'a str,
    semantic_version: &'a str,
    rules: Vec<RuleRow<'a>>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct RuleRow<'a> {
    id: &'a str,
    short_description: Plain<'a>,
}

/// A text that is shown as it is, unlike a message.
#[derive(Serialize)]
struct Plain<'a> {
    text: &'a str,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Outcome<'a> {
    rule_id: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    rule_index: Option<usize>,
    level: &'a str,
    message: Message,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    locations: Vec<Location>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    related_locations: Vec<Location>,
}

#[derive(Serialize)]
struct Message {
    text: String,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Location {
    physical_location: Physical,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    logical_locations: Vec<Logical>,
    #[serde(skip_serializing_if = "Option::is_none")]
    message: Option<Message>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Physical {
    artifact_location: Artifact,
    region: Region,
}

#[derive(Serialize)]
struct Artifact {
    uri: String,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Region {
    start_line: usize,
    start_column: usize,
    end_line: usize,
    end_column: usize,
}

/// A procedure, or a step of it.
#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Logical {
    name: String,
    fully_qualified_name: String,
}

/// Renders findings as a SARIF log with a line feed at its end. `rules` are the codes that there are, each
/// with what it wants.
///
/// # Errors
/// Never in practice: nothing here refuses to become JSON.
pub fn render(
    findings: &[Finding],
    excerpts: &dyn Excerpts,
    rules: &[(&str, &str)],
) -> serde_json::Result<String> {
    let driver = Driver {
        name: "benchleaf",
        semantic_version: env!("CARGO_PKG_VERSION"),
        rules: rules.iter().map(|(id, text)| RuleRow { id, short_description: Plain { text } }).collect(),
    };
    let run = Run {
        tool: Tool { driver },
        column_kind: "unicodeCodePoints",
        results: findings.iter().map(|finding| outcome(finding, excerpts, rules)).collect(),
    };
    let log = Log { schema: SCHEMA, version: "2.1.0", runs: [run] };
    Ok(serde_json::to_string_pretty(&log)? + "\n")
}

fn outcome<'a>(finding: &'a Finding, excerpts: &dyn Excerpts, rules: &[(&str, &str)]) -> Outcome<'a> {
    let text = match &finding.help {
        Some(help) => format!("{}\nHelp: {help}", finding.message()),
        None => finding.message(),
    };
    let primary = finding.span.map(|span| Location {
        physical_location: physical(span, excerpts),
        logical_locations: logical(finding).into_iter().collect(),
        message: (!finding.note.is_empty()).then(|| message(&finding.note)),
    });
    let related = finding.labels.iter().map(|label| Location {
        physical_location: physical(label.span, excerpts),
        logical_locations: Vec::new(),
        message: Some(message(&label.text)),
    });
    Outcome {
        rule_id: finding.code.0,
        rule_index: rules.iter().position(|(code, _)| *code == finding.code.0),
        level: match finding.severity {
            Severity::Error => "error",
            Severity::Warning => "warning",
            Severity::Advice => "note",
        },
        message: message(&text),
        locations: primary.into_iter().collect(),
        related_locations: related.collect(),
    }
}

/// In a message braces enclose placeholders unless they are doubled, and brackets a link's text unless they
/// are escaped (SARIF 2.1.0, 3.11.5 and 3.11.6).
fn message(text: &str) -> Message {
    let text = text.replace('{', "{{").replace('}', "}}");
    Message { text: if text.contains("](") { text.replace('[', "\\[") } else { text } }
}

fn logical(finding: &Finding) -> Option<Logical> {
    let procedure = finding.procedure.as_ref()?;
    Some(match &finding.step {
        Some(step) => Logical { name: step.clone(), fully_qualified_name: format!("{procedure}/{step}") },
        None => Logical { name: procedure.clone(), fully_qualified_name: procedure.clone() },
    })
}

fn physical(span: Span, excerpts: &dyn Excerpts) -> Physical {
    let text = excerpts.text(span.file);
    let (start, end) = (line_column(text, span.start), line_column(text, span.end));
    Physical {
        artifact_location: Artifact { uri: uri(excerpts.path(span.file)) },
        region: Region {
            start_line: start.line,
            start_column: start.column,
            end_line: end.line,
            end_column: end.column,
        },
    }
}

/// A path as a reference: relative as it was typed, or with the scheme of files where it is absolute.
fn uri(path: &str) -> String {
    let parts: Vec<String> =
        path.split(is_separator).filter(|part| !part.is_empty() && *part != ".").map(encoded).collect();
    let joined = parts.join("/");
    if Path::new(path).is_absolute() { format!("file:///{joined}") } else { joined }
}

/// Everything but unreserved characters (RFC 3986, 2.3) as percent and two digits for each byte.
fn encoded(part: &str) -> String {
    let one = |byte: u8| match byte {
        b'A'..=b'Z' | b'a'..=b'z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' => char::from(byte).to_string(),
        _ => format!("%{byte:02X}"),
    };
    part.bytes().map(one).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_become_references() {
        assert_eq!(uri("./rear doors/loom.md"), "rear%20doors/loom.md");
        assert_eq!(uri("a/größe:1.md"), "a/gr%C3%B6%C3%9Fe%3A1.md");
        assert_eq!(uri("../there/x.md"), "../there/x.md");
        assert_eq!(uri("100%.md"), "100%25.md");
    }

    #[cfg(unix)]
    #[test]
    fn an_absolute_path_names_its_scheme() {
        assert_eq!(uri("/shop/a b.md"), "file:///shop/a%20b.md");
    }

    #[test]
    fn braces_and_links_in_messages_are_literal() {
        assert_eq!(message("write `{of: x}`").text, "write `{{of: x}}`");
        assert_eq!(message("[a](b)").text, "\\[a](b)");
        assert_eq!(message("`tools: [x]`").text, "`tools: [x]`");
    }
}
