//! `inspect`: replays and checks a manual.

use super::terminal::{Terminal, counted};
use super::{Exit, manual, propose, watch};
use crate::check;
use crate::finding::{FileId, Finding, Severity, json, nearest, sarif};
use crate::source::Source;
use crate::work::Worked;
use clap::{Args, ValueEnum};
use std::path::{Path, PathBuf};

/// The arguments of `inspect`.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  benchleaf inspect                            the manual here or above
  benchleaf inspect doors/lining.md            what is found in that file of the manual that holds it
  benchleaf inspect --strict --format sarif    for a gate
  benchleaf inspect --why LED-01               what a rule wants, and why
  benchleaf inspect --propose                  the steps that close what is open")]
pub(super) struct Inspect {
    /// The manual's folder, or a file in it whose findings are to be shown.
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
    /// Print the steps that would close what is left open, ready to paste and edit.
    #[arg(long)]
    propose: bool,
    /// Propose for this procedure alone.
    #[arg(long, value_name = "ID", requires = "propose")]
    procedure: Option<String>,
    /// Inspect again after every save.
    #[arg(long)]
    watch: bool,
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
        if self.propose && self.format != Format::Text {
            return terminal.fail(Exit::Usage, "--propose goes without --format: both print to stdout");
        }
        let found = match manual::find(self.folder.as_deref()) {
            Ok(found) => found,
            Err(why) => return terminal.fail(Exit::Usage, &why),
        };
        let file = found.file.as_deref();
        if self.watch {
            watch::on_save(&found.folder, terminal, |folder| self.once(folder, file, terminal))
        } else {
            self.once(&found.folder, file, terminal)
        }
    }

    fn once(&self, folder: &Path, file: Option<&str>, terminal: &Terminal) -> Exit {
        let run = match manual::open(folder, terminal) {
            Ok(run) => run,
            Err(exit) => return exit,
        };
        let only = match only(file, run.source()) {
            Ok(only) => only,
            Err(why) => return terminal.fail(Exit::Usage, &why),
        };
        let inspected = run.inspect();
        let (all, worked) = match &inspected {
            Ok(checked) => (checked.findings(), checked.worked()),
            Err(rejected) => (rejected.findings(), rejected.worked()),
        };
        let of_file =
            |finding: &&Finding| only.is_none_or(|only| finding.span.is_some_and(|span| span.file == only));
        let findings: Vec<Finding> = all.iter().filter(of_file).cloned().collect();
        let printed = self.print(&findings, run.source(), terminal);
        let printed = if printed == Exit::Done { self.propose(worked, terminal) } else { printed };
        if printed != Exit::Done {
            return printed;
        }
        let blocks =
            |finding: &Finding| finding.is_error() || self.strict && finding.severity == Severity::Warning;
        let exit = if findings.iter().any(blocks) {
            Exit::Faults
        } else {
            terminal.say(&summary(worked, all.len() - findings.len(), only.is_some()));
            Exit::Done
        };
        if !self.watch {
            // The program ends here: taking a large manual apart, piece by piece, would be a tenth of its time.
            std::mem::forget((run, inspected));
        }
        exit
    }

    /// Prints the steps that close what is left open, where they are asked for.
    fn propose(&self, worked: &Worked, terminal: &Terminal) -> Exit {
        if !self.propose {
            return Exit::Done;
        }
        let procedures = worked.parsed().procedures();
        if let Some(id) = self.procedure.as_ref().filter(|id| !procedures.contains_key(*id)) {
            let help = nearest(id, procedures.keys().map(String::as_str))
                .map_or_else(String::new, |near| format!("\n  help: write `{near}`"));
            return terminal.fail(Exit::Usage, &format!("there is no procedure `{id}`{help}"));
        }
        let mut printed = String::new();
        for (id, procedure) in procedures {
            let asked = self.procedure.as_ref().is_none_or(|asked| asked == id);
            let steps = worked.procedures().get(id).filter(|_| asked);
            let Some(steps) = steps.and_then(|known| propose::steps(worked, procedure, known)) else {
                continue;
            };
            printed.push_str(&steps);
        }
        if printed.is_empty() {
            terminal.say("nothing is left open, so there is nothing to propose");
        }
        terminal.result(&printed)
    }

    fn print(&self, findings: &[Finding], source: &Source, terminal: &Terminal) -> Exit {
        let rendered = match self.format {
            Format::Text => {
                terminal.findings(findings, source);
                return Exit::Done;
            }
            Format::Json => json::render(findings, source),
            Format::Sarif => {
                let rules: Vec<(&str, &str)> =
                    check::pages().into_iter().map(|page| (page.code.0, page.rule)).collect();
                sarif::render(findings, source, &rules)
            }
        };
        match rendered {
            Ok(text) => terminal.data(&text),
            Err(error) => terminal.fail(Exit::Machine, &error.to_string()),
        }
    }
}

/// The file whose findings are wanted, where one is.
fn only(file: Option<&str>, source: &Source) -> Result<Option<FileId>, String> {
    let Some(file) = file else { return Ok(None) };
    match source.at(file) {
        Some((id, _)) => Ok(Some(id)),
        None => Err(format!("`{file}` is no part of the manual in `{}`", source.root().display())),
    }
}

/// What is said of a manual, or of one of its files, in which nothing blocks.
fn summary(worked: &Worked, elsewhere: usize, of_file: bool) -> String {
    if of_file {
        return match elsewhere {
            0 => "nothing in this file stands in the way".to_owned(),
            _ => format!(
                "nothing in this file stands in the way; {} elsewhere in the manual",
                counted(elsewhere, "finding", "findings")
            ),
        };
    }
    let steps = worked.procedures().values().map(|procedure| procedure.route.legs.len()).sum();
    format!(
        "{} replayed over {}: nothing is left open",
        counted(worked.procedures().len(), "procedure", "procedures"),
        counted(steps, "step", "steps")
    )
}

/// Explains a rule.
fn why(code: &str, terminal: &Terminal) -> Exit {
    if let Some(page) = check::why(code) {
        return terminal.result(&page);
    }
    let near = nearest(code, check::pages().into_iter().map(|page| page.code.0));
    let help = near.map_or_else(|| "docs/rules.md lists them".to_owned(), |near| format!("write `{near}`"));
    terminal.fail(Exit::Usage, &format!("there is no rule `{code}`\n  help: {help}"))
}
