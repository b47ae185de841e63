//! What goes to the terminal, and how: results to stdout, findings and progress to stderr.

use super::{Colour, Exit};
use crate::finding::{Excerpts, Finding, text, unseen};
use anstream::AutoStream;
use anstream::ColorChoice;
use std::io::Write as _;

/// A count with its noun in the right number.
pub(super) fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// How to print.
pub(super) struct Terminal {
    pub(super) quiet: bool,
    pub(super) color: Colour,
}

impl Terminal {
    fn choice(&self) -> ColorChoice {
        match self.color {
            Colour::Auto => ColorChoice::Auto,
            Colour::Always => ColorChoice::Always,
            Colour::Never => ColorChoice::Never,
        }
    }

    /// Prints findings for people, with how many there were.
    pub(super) fn findings(&self, findings: &[Finding], excerpts: &dyn Excerpts) {
        let rendered = text::render(findings, excerpts, true);
        // A closed pipe is the reader's choice and no fault.
        let _ = write!(AutoStream::new(std::io::stderr(), self.choice()), "{rendered}");
        if !findings.is_empty() {
            self.say(&text::tally(findings));
        }
    }

    /// Prints progress.
    pub(super) fn say(&self, line: &str) {
        if !self.quiet {
            let _ = writeln!(std::io::stderr(), "{}", unseen::shown_lines(line));
        }
    }

    /// Prints a result for people: whatever names and texts of a manual it holds, they move no cursor.
    pub(super) fn result(&self, text: &str) -> Exit {
        self.data(&unseen::shown_lines(text))
    }

    /// Prints a result for programs, as it is.
    pub(super) fn data(&self, text: &str) -> Exit {
        match write!(std::io::stdout(), "{text}") {
            Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
                self.fail(Exit::Machine, &error.to_string())
            }
            _ => Exit::Done,
        }
    }

    /// Prints why a command stops, and gives its exit code.
    pub(super) fn fail(&self, exit: Exit, why: &str) -> Exit {
        let why = unseen::shown_lines(why);
        let _ = writeln!(
            AutoStream::new(std::io::stderr(), self.choice()),
            "\u{1b}[1m\u{1b}[91merror\u{1b}[0m\u{1b}[1m: {why}\u{1b}[0m"
        );
        exit
    }
}
