//! `rehearse`: walks one procedure step by step in the terminal, with what is open after each step.

mod card;
mod timings;

use super::terminal::Terminal;
use super::{Exit, manual};
use crate::finding::{Finding, nearest, unseen};
use card::Card;
use clap::Args;
use std::io::{self, BufRead, IsTerminal, Write};
use std::path::PathBuf;
use std::time::Instant;
use timings::Timings;

/// The arguments of `rehearse`.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  benchleaf rehearse door-lining                        step by step, Enter goes on
  benchleaf rehearse door-lining --timings trial.csv    keeps how long each step took")]
pub(super) struct Rehearse {
    /// The procedure's id.
    procedure: String,
    /// The manual's folder.
    folder: Option<PathBuf>,
    /// Write how long each step took into a new file, as CSV.
    #[arg(long, value_name = "FILE")]
    timings: Option<PathBuf>,
}

impl Rehearse {
    pub(super) fn run(&self, terminal: &Terminal) -> Exit {
        let (worked, findings) = match manual::read(self.folder.as_deref(), terminal) {
            Ok(run) => run.work(),
            Err(exit) => return exit,
        };
        let both =
            (worked.parsed().procedures().get(&self.procedure), worked.procedures().get(&self.procedure));
        let (Some(procedure), Some(known)) = both else {
            return terminal
                .fail(Exit::Usage, &unknown(&self.procedure, worked.parsed().procedures().keys()));
        };
        if findings.iter().any(Finding::is_error) || !known.replay.faults.is_empty() {
            terminal.say("this manual has faults, so the walk may mislead: `benchleaf inspect` shows them");
        }
        let timings = match self.timings.as_deref().map(Timings::create).transpose() {
            Ok(timings) => timings,
            Err((exit, why)) => return terminal.fail(exit, &why),
        };
        let mut walk = Walk {
            answers: io::stdin().lock(),
            waits: io::stdin().is_terminal(),
            out: io::stdout().lock(),
            timings,
        };
        match walk.run(&card::heading(procedure), &card::all(&worked, procedure, known)) {
            Err(error) if error.kind() != io::ErrorKind::BrokenPipe => {
                terminal.fail(Exit::Machine, &error.to_string())
            }
            _ => Exit::Done,
        }
    }
}

/// There is no such procedure, and what was probably meant.
fn unknown<'a>(wanted: &str, known: impl Iterator<Item = &'a String>) -> String {
    let help = nearest(wanted, known.map(String::as_str))
        .map_or_else(String::new, |near| format!("\n  help: write `{near}`"));
    format!("there is no procedure `{wanted}`{help}")
}

/// What is answered after a step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Answer {
    On,
    Back,
    End,
}

/// A walk over steps: where it prints and what it is answered.
struct Walk<I, O> {
    answers: I,
    /// Whether it waits after each step.
    waits: bool,
    out: O,
    timings: Option<Timings>,
}

impl<I: BufRead, O: Write> Walk<I, O> {
    fn run(&mut self, heading: &str, cards: &[Card]) -> io::Result<()> {
        write!(self.out, "{}", unseen::shown_lines(heading))?;
        let mut at = 0;
        while let Some(card) = cards.get(at) {
            write!(self.out, "{}", unseen::shown_lines(&card.text))?;
            let began = Instant::now();
            let answer = if self.waits { self.ask()? } else { Answer::On };
            if answer == Answer::End {
                break;
            }
            if let Some(timings) = &mut self.timings {
                timings.row(card, self.waits.then(|| began.elapsed()))?;
            }
            at = if answer == Answer::Back { at.saturating_sub(1) } else { at + 1 };
        }
        self.out.flush()
    }

    /// Asks until the answer is one; the end of the input ends the walk.
    fn ask(&mut self) -> io::Result<Answer> {
        loop {
            write!(self.out, "\n[Enter: on, b: back, q: end] ")?;
            self.out.flush()?;
            let mut line = String::new();
            if self.answers.read_line(&mut line)? == 0 {
                writeln!(self.out)?;
                return Ok(Answer::End);
            }
            match line.trim() {
                "" => return Ok(Answer::On),
                "b" => return Ok(Answer::Back),
                "q" => return Ok(Answer::End),
                _ => {}
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cards() -> Vec<Card> {
        let card = |id: &str| Card {
            id: id.to_owned(),
            title: format!("Do {id}, \"well\""),
            minutes: Some(2.5),
            text: format!("<{id}>\n"),
        };
        ["one", "two", "three"].map(card).into()
    }

    /// The steps that a walk shows for some answers.
    fn shown(answers: &str, waits: bool) -> Vec<String> {
        let mut walk = Walk { answers: answers.as_bytes(), waits, out: Vec::new(), timings: None };
        walk.run("", &cards()).unwrap();
        let text = String::from_utf8(walk.out).unwrap();
        text.split('<').skip(1).map(|part| part.split('>').next().unwrap().to_owned()).collect()
    }

    #[test]
    fn enter_goes_on_and_b_back_and_q_ends() {
        assert_eq!(shown("\n\n\n", true), ["one", "two", "three"]);
        assert_eq!(shown("\nb\n\n\n\n", true), ["one", "two", "one", "two", "three"]);
        assert_eq!(shown("b\n\nq\n", true), ["one", "one", "two"]);
        assert_eq!(shown("what\n\nq\n", true), ["one", "two"]);
        assert_eq!(shown("", true), ["one"]);
    }

    #[test]
    fn without_a_terminal_nothing_waits() {
        assert_eq!(shown("", false), ["one", "two", "three"]);
    }

    #[test]
    fn timings_are_rows_that_a_spreadsheet_reads() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("trial.csv");
        let timings = Some(Timings::create(&file).unwrap());
        let mut walk = Walk { answers: "\n\nq\n".as_bytes(), waits: true, out: Vec::new(), timings };
        walk.run("", &cards()).unwrap();
        let text = std::fs::read_to_string(&file).unwrap();
        let rows: Vec<&str> = text.lines().collect();
        assert_eq!(rows.len(), 3, "the step at which the walk ended was not finished: {text}");
        assert_eq!(rows[0], "step,title,planned minutes,taken seconds");
        assert!(rows[1].starts_with("one,\"Do one, \"\"well\"\"\",2.5,"), "{}", rows[1]);
        assert!(rows[2].rsplit(',').next().unwrap().parse::<f64>().unwrap() < 5.0);
    }
}
