//! `bind`: inspects a manual, then writes it as a site.

use super::terminal::{Terminal, counted};
use super::{Exit, manual};
use crate::BindError;
use crate::write::{self, WriteError};
use clap::Args;
use std::path::PathBuf;

/// The arguments of `bind`.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  benchleaf bind                               the manual here or above, into `bound`
  benchleaf bind procedures --into /srv/bench  another manual, to where a web server reads")]
pub(super) struct Bind {
    /// The manual's folder.
    folder: Option<PathBuf>,
    /// Where to write the site [default: `bound` here; in the manual's folder, where that was found above this one].
    #[arg(long, value_name = "DIR")]
    into: Option<PathBuf>,
}

impl Bind {
    pub(super) fn run(&self, terminal: &Terminal) -> Exit {
        let found = match manual::find(self.folder.as_deref()) {
            Ok(found) => found,
            Err(why) => return terminal.fail(Exit::Usage, &why),
        };
        let run = match manual::open(&found.folder, terminal) {
            Ok(run) => run,
            Err(exit) => return exit,
        };
        let into = self.place(&found);
        let ready = write::tidy_on_signals().and_then(|()| write::prepare(&into, run.source().root()));
        if let Err(error) = ready {
            return refuse(terminal, &error);
        }
        match run.bind(&into) {
            Ok((written, checked)) => {
                terminal.findings(checked.findings(), run.source());
                let (files, size) = (written.files(), written.bytes() / 1024);
                let front = written.place().join("index.html");
                terminal.say(&format!(
                    "{}, {size} kB; open {}",
                    counted(files, "file", "files"),
                    front.display()
                ));
                Exit::Done
            }
            Err(BindError::Rejected(rejected)) => {
                terminal.findings(rejected.findings(), run.source());
                terminal.say(&format!("nothing was written: `{}` is as it was", into.display()));
                Exit::Faults
            }
            Err(BindError::Write(error)) => refuse(terminal, &error),
        }
    }
}

impl Bind {
    /// Where the site goes: a manual that was found above keeps its site, from wherever in it one binds.
    fn place(&self, found: &manual::Found) -> PathBuf {
        match &self.into {
            Some(into) => into.clone(),
            None if found.above => found.folder.join("bound"),
            None => PathBuf::from("bound"),
        }
    }
}

fn refuse(terminal: &Terminal, error: &WriteError) -> Exit {
    let exit = if error.is_the_place() { Exit::Usage } else { Exit::Machine };
    terminal.fail(exit, &error.to_string())
}
