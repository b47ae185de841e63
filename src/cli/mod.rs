//! The commands: the only place that knows flags, prints, and decides exit codes.
#![allow(
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "commands read the working folder and print"
)]

mod bind;
mod inspect;
mod manual;
mod propose;
mod reckon;
mod rehearse;
mod terminal;
mod touches;
mod watch;

use clap::{Parser, Subcommand, ValueEnum};
use std::ffi::OsString;
use std::process::ExitCode;
use terminal::Terminal;

/// Exit codes: a contract of the command line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Exit {
    /// Done.
    Done = 0,
    /// The manual, or the computation, has faults.
    Faults = 1,
    /// Wrong usage.
    Usage = 2,
    /// The machine failed: disk, permissions.
    Machine = 3,
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> ExitCode {
        ExitCode::from(exit as u8)
    }
}

/// Turns a folder of procedures for vehicle electrics into an offline manual, checked by replay and with its
/// values computed.
#[derive(Debug, Parser)]
#[command(name = "benchleaf", version, arg_required_else_help = true)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
    /// Print results only, no progress.
    #[arg(long, global = true)]
    quiet: bool,
    /// Colour the findings.
    #[arg(long, global = true, value_enum, default_value_t = Colour::Auto, value_name = "WHEN")]
    color: Colour,
}

/// When to colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Colour {
    Auto,
    Always,
    Never,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Replay and check a manual.
    Inspect(inspect::Inspect),
    /// Inspect a manual, then write it as a site.
    Bind(bind::Bind),
    /// Walk one procedure step by step.
    Rehearse(rehearse::Rehearse),
    /// Show what a change of one line of the stores touches.
    Touches(touches::Touches),
    /// Do one computation.
    Reckon(reckon::Reckon),
}

/// Runs the command of a command line.
pub fn run(arguments: impl IntoIterator<Item = OsString>) -> ExitCode {
    let arguments = match Arguments::try_parse_from(arguments) {
        Ok(arguments) => arguments,
        Err(error) => {
            let _ = error.print();
            return if error.use_stderr() { Exit::Usage.into() } else { Exit::Done.into() };
        }
    };
    bound_threads();
    let terminal = Terminal::new(arguments.quiet, arguments.color);
    let exit = match arguments.command {
        Command::Inspect(command) => command.run(&terminal),
        Command::Bind(command) => command.run(&terminal),
        Command::Rehearse(command) => command.run(&terminal),
        Command::Touches(command) => command.run(&terminal),
        Command::Reckon(command) => command.run(&terminal),
    };
    exit.into()
}

/// Most threads for each processor. More only cost memory, and some thousands of them end the program.
const MOST_THREADS: usize = 8;

/// Takes no more threads than help, whatever the environment asks for.
fn bound_threads() {
    let most = MOST_THREADS * std::thread::available_parallelism().map_or(1, std::num::NonZero::get);
    let asked = std::env::var("RAYON_NUM_THREADS").ok().and_then(|count| count.trim().parse::<usize>().ok());
    if asked.is_some_and(|asked| asked > most) {
        // The pool can be built once; where it stands already, it stands.
        let _ = rayon::ThreadPoolBuilder::new().num_threads(most).build_global();
    }
}
