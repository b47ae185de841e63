//! What goes to the terminal, and how: results to stdout, findings and progress to stderr.

use super::{Colour, Exit};
use crate::finding::{Excerpts, Finding, text, unseen};
use anstream::AutoStream;
use anstream::ColorChoice;
use std::cell::Cell;
use std::io::Write as _;

/// A count with its noun in the right number.
pub(super) fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// How to print.
pub(super) struct Terminal {
    quiet: bool,
    color: Colour,
    /// How a command that goes on and on ends, once what it prints does not arrive.
    ended: Cell<Option<Exit>>,
}

impl Terminal {
    pub(super) fn new(quiet: bool, color: Colour) -> Terminal {
        Terminal { quiet, color, ended: Cell::new(None) }
    }

    /// Whether what was printed did not arrive, and how to end then: a reader who went away is no fault, a full disk
    /// is one.
    pub(super) fn ended(&self) -> Option<Exit> {
        self.ended.get()
    }

    /// Notes whether something that was printed arrived.
    fn arrived(&self, printed: std::io::Result<()>) {
        if let Err(error) = printed {
            let gone = error.kind() == std::io::ErrorKind::BrokenPipe;
            self.ended.set(Some(if gone { Exit::Done } else { Exit::Machine }));
        }
    }

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
        self.arrived(write!(AutoStream::new(std::io::stderr(), self.choice()), "{rendered}"));
        if !findings.is_empty() {
            self.say(&text::tally(findings));
        }
    }

    /// Prints progress.
    pub(super) fn say(&self, line: &str) {
        if !self.quiet {
            self.arrived(writeln!(std::io::stderr(), "{}", unseen::shown_lines(line)));
        }
    }

    /// Prints a result for people: whatever names and texts of a manual it holds, they move no cursor.
    pub(super) fn result(&self, text: &str) -> Exit {
        self.data(&unseen::shown_lines(text))
    }

    /// Prints a result for programs, as it is.
    pub(super) fn data(&self, text: &str) -> Exit {
        match write!(std::io::stdout(), "{text}") {
            Ok(()) => Exit::Done,
            Err(error) => {
                let gone = error.kind() == std::io::ErrorKind::BrokenPipe;
                let why = format!("cannot print the result: {error}");
                self.arrived(Err(error));
                if gone { Exit::Done } else { self.fail(Exit::Machine, &why) }
            }
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
