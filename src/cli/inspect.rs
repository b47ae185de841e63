//! `inspect`: replays and checks a manual.

use super::terminal::Terminal;
use super::{Exit, manual};
use crate::check::rules;
use crate::finding::{Finding, Severity, json, nearest, sarif};
use crate::source::Source;
use clap::{Args, ValueEnum};
use std::path::PathBuf;

/// The arguments of `inspect`.
#[derive(Debug, Args)]
pub(super) struct Inspect {
    /// The manual's folder.
    folder: Option<PathBuf>,
    /// How to report; json and sarif go to stdout.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
    /// Exit with 1 for an unwaived warning too.
    #[arg(long)]
    strict: bool,
    /// Explain a rule, such as LED-01, and inspect nothing.
    #[arg(long, value_name = "CODE", exclusive = true)]
    why: Option<String>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Format {
    Text,
    Json,
    Sarif,
}

impl Inspect {
    pub(super) fn run(&self, terminal: &Terminal) -> Exit {
        if let Some(code) = &self.why {
            return why(code, terminal);
        }
        let source = match manual::read(self.folder.as_deref(), terminal) {
            Ok(source) => source,
            Err(exit) => return exit,
        };
        let (findings, checked) = match crate::inspect(&source) {
            Ok(checked) => (checked.findings, Some(checked.worked)),
            Err(rejected) => (rejected.findings, None),
        };
        let printed = self.print(&findings, &source, terminal);
        if printed != Exit::Done {
            return printed;
        }
        let warned = findings.iter().any(|finding| finding.severity == Severity::Warning);
        match checked {
            Some(worked) if !(self.strict && warned) => {
                let steps: usize =
                    worked.procedures.values().map(|procedure| procedure.route.legs.len()).sum();
                let count = worked.procedures.len();
                terminal
                    .say(&format!("{count} procedures replayed over {steps} steps: nothing is left open"));
                Exit::Done
            }
            _ => Exit::Faults,
        }
    }

    fn print(&self, findings: &[Finding], source: &Source, terminal: &Terminal) -> Exit {
        let rendered = match self.format {
            Format::Text => {
                terminal.findings(findings, source);
                return Exit::Done;
            }
            Format::Json => json::render(findings, source),
            Format::Sarif => {
                let pages = rules::register().iter().map(|rule| rule.page());
                let rules: Vec<(&str, &str)> = pages.map(|page| (page.code.0, page.rule)).collect();
                sarif::render(findings, source, &rules)
            }
        };
        match rendered {
            Ok(text) => terminal.result(&text),
            Err(error) => terminal.fail(Exit::Machine, &error.to_string()),
        }
    }
}

/// Explains a rule.
fn why(code: &str, terminal: &Terminal) -> Exit {
    if let Some(page) = crate::check::why(code) {
        return terminal.result(&page);
    }
    let near = nearest(code, rules::register().iter().map(|rule| rule.page().code.0));
    let help = near.map_or_else(|| "docs/rules.md lists them".to_owned(), |near| format!("write `{near}`"));
    terminal.fail(Exit::Usage, &format!("there is no rule `{code}`\n  help: {help}"))
}
