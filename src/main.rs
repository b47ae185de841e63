//! The `benchleaf` command.

fn main() -> std::process::ExitCode {
    benchleaf::cli::run(std::env::args_os())
}
