//! `inspect`: replays and checks a manual.

use super::terminal::Terminal;
use super::{Exit, manual, propose, watch};
use crate::check;
use crate::finding::{Finding, Severity, json, nearest, sarif};
use crate::source::Source;
use crate::work::Worked;
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
        if !self.watch {
            return self.once(terminal);
        }
        match manual::find(self.folder.as_deref()) {
            Ok(folder) => watch::on_save(&folder, terminal, || self.once(terminal)),
            Err(why) => terminal.fail(Exit::Usage, &why),
        }
    }

    fn once(&self, terminal: &Terminal) -> Exit {
        let run = match manual::read(self.folder.as_deref(), terminal) {
            Ok(run) => run,
            Err(exit) => return exit,
        };
        let inspected = run.inspect();
        let (findings, worked) = match &inspected {
            Ok(checked) => (checked.findings(), checked.worked()),
            Err(rejected) => (rejected.findings(), rejected.worked()),
        };
        let printed = self.print(findings, run.source(), terminal);
        let printed = if printed == Exit::Done { self.propose(worked, terminal) } else { printed };
        if printed != Exit::Done {
            return printed;
        }
        let warned = findings.iter().any(|finding| finding.severity == Severity::Warning);
        let exit = match &inspected {
            Ok(_) if !(self.strict && warned) => {
                let steps: usize =
                    worked.procedures().values().map(|procedure| procedure.route.legs.len()).sum();
                let count = worked.procedures().len();
                terminal
                    .say(&format!("{count} procedures replayed over {steps} steps: nothing is left open"));
                Exit::Done
            }
            _ => Exit::Faults,
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
            Ok(text) => terminal.result(&text),
            Err(error) => terminal.fail(Exit::Machine, &error.to_string()),
        }
    }
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
