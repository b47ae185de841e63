//! The timings of a trial: one row for each step that was gone through, written at once, so that a walk that
//! is broken off keeps what it has.

use super::card::Card;
use crate::cli::Exit;
use std::fs::{File, OpenOptions};
use std::io::{self, ErrorKind, Write};
use std::path::Path;
use std::time::Duration;

/// A file of timings.
pub(super) struct Timings {
    file: File,
}

impl Timings {
    /// Makes the file with its heading; one that is there already is left alone.
    pub(super) fn create(path: &Path) -> Result<Timings, (Exit, String)> {
        let made = OpenOptions::new().write(true).create_new(true).open(path);
        let mut file = made.map_err(|error| match error.kind() {
            ErrorKind::AlreadyExists => (
                Exit::Usage,
                format!(
                    "`{}` is there already; name a file that is not\n  help: timings never overwrite",
                    path.display()
                ),
            ),
            _ => (Exit::Machine, format!("cannot write `{}`: {error}", path.display())),
        })?;
        let wrote = writeln!(file, "step,title,planned minutes,taken seconds");
        wrote.map_err(|error| (Exit::Machine, format!("cannot write `{}`: {error}", path.display())))?;
        Ok(Timings { file })
    }

    /// Writes a row; a step that nobody was waited for at has no time.
    pub(super) fn row(&mut self, card: &Card, taken: Option<Duration>) -> io::Result<()> {
        let planned = card.minutes.map_or_else(String::new, |minutes| minutes.to_string());
        let taken = taken.map_or_else(String::new, |taken| format!("{:.1}", taken.as_secs_f64()));
        writeln!(self.file, "{},{},{planned},{taken}", cell(&card.id), cell(&card.title))
    }
}

/// A cell as CSV wants it (RFC 4180).
fn cell(text: &str) -> String {
    if text.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    }
}
