//! `bind`: inspects a manual, then writes it as a site.

use super::terminal::Terminal;
use super::{Exit, manual};
use crate::BindError;
use crate::write::{self, WriteError};
use clap::Args;
use std::path::PathBuf;

/// The arguments of `bind`.
#[derive(Debug, Args)]
pub(super) struct Bind {
    /// The manual's folder.
    folder: Option<PathBuf>,
    /// Where to write the site.
    #[arg(long, default_value = "bound", value_name = "DIR")]
    into: PathBuf,
}

impl Bind {
    pub(super) fn run(&self, terminal: &Terminal) -> Exit {
        let run = match manual::read(self.folder.as_deref(), terminal) {
            Ok(run) => run,
            Err(exit) => return exit,
        };
        let ready = write::tidy_on_signals().and_then(|()| write::prepare(&self.into, run.source().root()));
        if let Err(error) = ready {
            return refuse(terminal, &error);
        }
        match run.bind(&self.into) {
            Ok((written, checked)) => {
                terminal.findings(checked.findings(), run.source());
                let (files, size) = (written.files(), written.bytes() / 1024);
                let front = written.place().join("index.html");
                terminal.say(&format!("{files} files, {size} kB; open {}", front.display()));
                Exit::Done
            }
            Err(BindError::Rejected(rejected)) => {
                terminal.findings(rejected.findings(), run.source());
                terminal.say(&format!("nothing was written: `{}` is as it was", self.into.display()));
                Exit::Faults
            }
            Err(BindError::Write(error)) => refuse(terminal, &error),
        }
    }
}

fn refuse(terminal: &Terminal, error: &WriteError) -> Exit {
    let exit = if error.is_the_place() { Exit::Usage } else { Exit::Machine };
    terminal.fail(exit, &error.to_string())
}
