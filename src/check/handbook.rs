//! What the rules say of themselves: on a terminal, and as a page of the writer's handbook.

use super::refusals;
use super::rule::Page;
use super::rules::register;
use crate::finding::Severity;
use std::fmt::Write;

/// The page of every code that is ever printed, sorted by code: of each rule, and of each refusal.
pub fn pages() -> Vec<&'static Page> {
    let mut pages: Vec<&Page> = register().iter().map(|rule| rule.page()).chain(refusals::PAGES).collect();
    pages.sort_by_key(|page| page.code);
    pages
}

/// The page of a code for a terminal; nothing where there is no such code. Letter case does not count.
pub fn why(code: &str) -> Option<String> {
    let page = pages().into_iter().find(|page| page.code.0.eq_ignore_ascii_case(code))?;
    Some(format!(
        "{} ({}): {}\n\n{}\nSource: {}.\n\nThis breaks it:\n\n{}\n\nThis keeps it:\n\n{}\n",
        page.code,
        page.severity.word(),
        page.rule,
        page.why,
        page.source,
        indented(page.fails),
        indented(page.passes)
    ))
}

fn indented(text: &str) -> String {
    let lines: Vec<String> = text.lines().map(|line| format!("    {line}")).collect();
    lines.join("\n")
}

/// All rules as a page of the writer's handbook, in Markdown.
pub fn handbook() -> String {
    let pages = pages();
    let mut out = String::from(
        "# The rules\n\n\
         `benchleaf inspect` replays every procedure and holds it against these rules. An error blocks a bind.\n\
         A warning is mended, or waived with a reason and a name, before a release. Advice only advises.\n\
         `benchleaf inspect --why CODE` prints one of them. This page is made from the rules themselves;\n\
         `UPDATE=1 cargo test --test rules` writes it.\n\n\
         | code | rule | weighs |\n| --- | --- | --- |\n",
    );
    for page in &pages {
        let anchor = page.code.0.to_lowercase();
        let _ =
            writeln!(out, "| [{}](#{anchor}) | {} | {} |", page.code, cell(page.rule), page.severity.word());
    }
    for page in &pages {
        let _ = write!(
            out,
            "\n## {}\n\n**{}**: {}.\n\n{}\n\nSource: {}.\n\nThis breaks it:\n\n```{}\n{}\n```\n\nThis keeps it:\n\n```{}\n{}\n```\n",
            page.code,
            weight(page.severity),
            page.rule,
            page.why,
            page.source,
            language(page.fails),
            page.fails,
            language(page.passes),
            page.passes
        );
    }
    out
}

fn weight(severity: Severity) -> &'static str {
    match severity {
        Severity::Error => "Error",
        Severity::Warning => "Warning",
        Severity::Advice => "Advice",
    }
}

fn cell(text: &str) -> String {
    text.replace('|', "\\|")
}

/// Whether an example is Markdown or YAML.
fn language(example: &str) -> &'static str {
    let yaml = example.lines().any(|line| {
        line.trim_start().starts_with("- ")
            || line.split_once(": ").is_some_and(|(key, _)| !key.contains(' ') && !key.contains('<'))
    });
    if yaml && !example.starts_with('#') { "yaml" } else { "markdown" }
}
