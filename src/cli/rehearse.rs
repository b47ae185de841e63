//! `rehearse`: walks one procedure step by step in the terminal, with what is open after each step.

mod card;
mod prose;
mod timings;
mod ways;

use super::terminal::Terminal;
use super::{Exit, manual};
use crate::finding::{Finding, nearest, unseen};
use card::{Card, Ground, Walkthrough};
use clap::Args;
use std::collections::VecDeque;
use std::io::{self, BufRead, IsTerminal, Write};
use std::path::PathBuf;
use std::time::Instant;
use timings::Timings;
use ways::{Ask, To, Way};

/// The arguments of `rehearse`.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  benchleaf rehearse door-lining                        step by step, Enter goes on
  benchleaf rehearse rodent-screening --choose 2,1      takes these ways where one must be chosen
  benchleaf rehearse door-lining --timings trial.csv    keeps how long each step took")]
pub(super) struct Rehearse {
    /// The procedure's id.
    procedure: String,
    /// The manual's folder.
    folder: Option<PathBuf>,
    /// Take these ways, by their numbers, at the steps that let choose, one after another
    #[arg(long, value_name = "NUMBER", value_delimiter = ',')]
    choose: Vec<usize>,
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
            chosen: self.choose.iter().copied().collect(),
        };
        let ground = Walkthrough { worked: &worked, procedure, known };
        match walk.run(&card::heading(procedure), &ground) {
            Err(Stopped::Choice(why)) => terminal.fail(Exit::Usage, &why),
            Err(Stopped::Machine(error)) if error.kind() != io::ErrorKind::BrokenPipe => {
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
    On(To),
    Back,
    End,
}

/// Why a walk stops before its end.
#[derive(Debug)]
enum Stopped {
    /// A way was named that there is not.
    Choice(String),
    /// It cannot be printed or read on.
    Machine(io::Error),
}

impl From<io::Error> for Stopped {
    fn from(error: io::Error) -> Stopped {
        Stopped::Machine(error)
    }
}

/// A walk over steps: where it prints and what it is answered.
struct Walk<I, O> {
    answers: I,
    /// Whether it waits after each step.
    waits: bool,
    out: O,
    timings: Option<Timings>,
    /// The ways that are named beforehand, for the next steps at which one must be chosen.
    chosen: VecDeque<usize>,
}

impl<I: BufRead, O: Write> Walk<I, O> {
    fn run(&mut self, heading: &str, ground: &impl Ground) -> Result<(), Stopped> {
        self.print(heading)?;
        let mut path = vec![0];
        while let Some(card) = ground.card(&path) {
            let at = path.last().copied().unwrap_or(0);
            self.print(&card.text)?;
            let began = Instant::now();
            let answer = self.answer(&card, at, ground)?;
            if let (Some(timings), Answer::On(_)) = (&mut self.timings, answer) {
                timings.row(&card, self.waits.then(|| began.elapsed()))?;
            }
            match answer {
                Answer::End => break,
                // Before the first step there is nothing.
                Answer::Back => path.truncate((path.len() - 1).max(1)),
                Answer::On(To::Leg(next)) => path.push(next),
                Answer::On(To::End | To::Nowhere) => {
                    self.print("\nThe job ends here, with what is open.\n")?;
                    break;
                }
            }
        }
        Ok(self.out.flush()?)
    }

    /// Whatever a manual's texts hold, they move no cursor.
    fn print(&mut self, text: &str) -> io::Result<()> {
        write!(self.out, "{}", unseen::shown_lines(text))
    }

    /// What follows a card: the first way that is taken of those that it asks for, or the next leg.
    fn answer(&mut self, card: &Card, at: usize, ground: &impl Ground) -> Result<Answer, Stopped> {
        for ask in &card.asks {
            let way = match self.named(ask, card)? {
                Some(way) => Some(way),
                None if self.waits => {
                    self.offer(ask, at, ground)?;
                    match self.ask(ask.ways.len(), ask.must)? {
                        Reply::Way(number) => ask.ways.get(number - 1),
                        Reply::On => None,
                        Reply::Back => return Ok(Answer::Back),
                        Reply::End => return Ok(Answer::End),
                    }
                }
                None => None,
            };
            let Some(way) = way else {
                if ask.must && !self.waits {
                    let next = ground.called(card.next);
                    self.print(&format!("   on        {next}, since nobody chose (`--choose` does)\n"))?;
                }
                continue;
            };
            let (said, leads) = led(way, at, ground);
            self.print(&said)?;
            if leads {
                return Ok(Answer::On(way.to));
            }
        }
        if self.waits && card.asks.is_empty() {
            return Ok(match self.ask(0, false)? {
                Reply::Way(_) | Reply::On => Answer::On(To::Leg(card.next)),
                Reply::Back => Answer::Back,
                Reply::End => Answer::End,
            });
        }
        // Where somebody goes on at a branch, nothing is skipped.
        Ok(Answer::On(To::Leg(if self.waits { at + 1 } else { card.next })))
    }

    /// The way that was named beforehand, where one must be chosen.
    fn named<'a>(&mut self, ask: &'a Ask, card: &Card) -> Result<Option<&'a Way>, Stopped> {
        let Some(number) = ask.must.then(|| self.chosen.pop_front()).flatten() else { return Ok(None) };
        let way = number.checked_sub(1).and_then(|at| ask.ways.get(at));
        way.map(Some).ok_or_else(|| {
            let most = ask.ways.len();
            Stopped::Choice(format!("`--choose` names way {number} at `{}`, which has 1 to {most}", card.id))
        })
    }

    /// Shows the ways that may be taken.
    fn offer(&mut self, ask: &Ask, at: usize, ground: &impl Ground) -> io::Result<()> {
        let by =
            if ask.owner == at { String::new() } else { format!(", asked by {}", ground.called(ask.owner)) };
        self.print(&format!("\nWhich way on{by}?\n"))?;
        for (number, way) in (1..).zip(&ask.ways) {
            let to = match way.to {
                To::Leg(leg) => ground.called(leg),
                To::End => "the job ends".to_owned(),
                To::Nowhere => "a step that is not gone through here".to_owned(),
            };
            self.print(&format!("   {number}  {}: {to}\n", way.when))?;
        }
        Ok(())
    }

    /// Asks until the answer is one; the end of the input ends the walk.
    fn ask(&mut self, ways: usize, must: bool) -> io::Result<Reply> {
        let on = if must { "" } else { "Enter: on, " };
        let choose = match ways {
            0 => String::new(),
            1 => "1: this way, ".to_owned(),
            _ => format!("1 to {ways}: this way, "),
        };
        loop {
            write!(self.out, "\n[{on}{choose}b: back, q: end] ")?;
            self.out.flush()?;
            let mut line = String::new();
            if self.answers.read_line(&mut line)? == 0 {
                writeln!(self.out)?;
                return Ok(Reply::End);
            }
            match line.trim() {
                "" if !must => return Ok(Reply::On),
                "b" => return Ok(Reply::Back),
                "q" => return Ok(Reply::End),
                said => match said.parse() {
                    Ok(number) if (1..=ways).contains(&number) => return Ok(Reply::Way(number)),
                    _ => {}
                },
            }
        }
    }
}

/// What a reader types.
enum Reply {
    Way(usize),
    On,
    Back,
    End,
}

/// What is said of a way that is taken, and whether it leads anywhere.
fn led(way: &Way, at: usize, ground: &impl Ground) -> (String, bool) {
    match way.to {
        To::End => (String::new(), true),
        To::Nowhere => {
            ("   on        the next step: where this way leads is not gone through here\n".to_owned(), false)
        }
        To::Leg(leg) if leg <= at => (format!("   back      to {}\n", ground.called(leg)), true),
        To::Leg(leg) => (format!("   on        {}\n", ground.called(leg)), true),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Three steps; the second may ask for a way.
    struct Three {
        asks: fn() -> Vec<Ask>,
    }

    impl Ground for Three {
        fn card(&self, path: &[usize]) -> Option<Card> {
            let at = *path.last()?;
            let id = *["one", "two", "three"].get(at)?;
            let asks = if at == 1 { (self.asks)() } else { Vec::new() };
            let (title, text) = (format!("Do {id}, \"well\""), format!("<{id}>\n"));
            Some(Card { id: id.to_owned(), title, minutes: Some(2.5), text, asks, next: at + 1 })
        }

        fn called(&self, leg: usize) -> String {
            format!("step {}", leg + 1)
        }
    }

    const PLAIN: Three = Three { asks: Vec::new };

    /// The second step leads back to the first, on to the third, or ends the job.
    fn three_ways() -> Vec<Ask> {
        let way = |when: &str, to| Way { when: when.to_owned(), to };
        let ways = vec![way("dirty", To::Leg(0)), way("clean", To::Leg(2)), way("gone", To::End)];
        vec![Ask { owner: 1, ways, must: true }]
    }

    /// A branch that need not be taken.
    fn a_branch() -> Vec<Ask> {
        vec![Ask { owner: 1, ways: vec![Way { when: "off".to_owned(), to: To::Leg(0) }], must: false }]
    }

    /// What a walk prints for some answers.
    fn printed(ground: &Three, answers: &str, waits: bool, chosen: &[usize]) -> Result<String, Stopped> {
        let chosen = chosen.iter().copied().collect();
        let mut walk = Walk { answers: answers.as_bytes(), waits, out: Vec::new(), timings: None, chosen };
        walk.run("", ground)?;
        Ok(String::from_utf8(walk.out).unwrap())
    }

    /// The steps that it shows.
    fn steps(printed: &str) -> Vec<String> {
        printed.split('<').skip(1).map(|part| part.split('>').next().unwrap().to_owned()).collect()
    }

    fn shown(answers: &str, waits: bool) -> Vec<String> {
        steps(&printed(&PLAIN, answers, waits, &[]).unwrap())
    }

    #[test]
    fn a_way_is_chosen_by_its_number_and_nothing_else_goes_on() {
        let ground = Three { asks: three_ways };
        let said = |answers: &str| printed(&ground, answers, true, &[]).unwrap();
        assert_eq!(steps(&said("\n\n4\n0\n2\n\n")), ["one", "two", "three"]);
        let back = said("\n1\n\n3\n");
        assert_eq!(steps(&back), ["one", "two", "one", "two"]);
        assert!(back.contains("   back      to step 1\n") && back.contains("The job ends here"), "{back}");
        assert!(
            back.contains("   1  dirty: step 1\n") && back.contains("   3  gone: the job ends\n"),
            "{back}"
        );
        assert_eq!(steps(&said("\nb\n\n2\nq\n")), ["one", "two", "one", "two", "three"]);
    }

    #[test]
    fn a_branch_is_taken_or_passed_by() {
        let ground = Three { asks: a_branch };
        let said = |answers: &str| steps(&printed(&ground, answers, true, &[]).unwrap());
        assert_eq!(said("\n\n\n"), ["one", "two", "three"]);
        assert_eq!(said("\n1\n\n\n\n"), ["one", "two", "one", "two", "three"]);
    }

    #[test]
    fn ways_that_are_named_beforehand_are_taken_in_order() {
        let ground = Three { asks: three_ways };
        let said = |chosen: &[usize]| printed(&ground, "", false, chosen);
        assert_eq!(steps(&said(&[1, 1, 2]).unwrap()), ["one", "two", "one", "two", "one", "two", "three"]);
        assert_eq!(steps(&said(&[3]).unwrap()), ["one", "two"]);
        // Past the last that is named, the way that skips nothing is taken, and that is said.
        let plain = said(&[]).unwrap();
        assert!(plain.contains("   on        step 3, since nobody chose"), "{plain}");
        assert_eq!(steps(&plain), ["one", "two", "three"]);
        for wrong in [0, 4] {
            assert!(matches!(said(&[wrong]), Err(Stopped::Choice(why)) if why.contains("1 to 3")));
        }
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
        let answers = "\n\nq\n".as_bytes();
        let mut walk = Walk { answers, waits: true, out: Vec::new(), timings, chosen: VecDeque::new() };
        walk.run("", &PLAIN).unwrap();
        let text = std::fs::read_to_string(&file).unwrap();
        let rows: Vec<&str> = text.lines().collect();
        assert_eq!(rows.len(), 3, "the step at which the walk ended was not finished: {text}");
        assert_eq!(rows[0], "step,title,planned minutes,taken seconds");
        assert!(rows[1].starts_with("one,\"Do one, \"\"well\"\"\",2.5,"), "{}", rows[1]);
        assert!(rows[2].rsplit(',').next().unwrap().parse::<f64>().unwrap() < 5.0);
    }
}
