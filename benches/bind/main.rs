//! How long an inspection and a full bind take for manuals of 10, 100 and 1,000 procedures, the bind against the
//! floor, and how much memory: `cargo bench`. The floor is the least that any such program does: the same text
//! through the CommonMark parser alone, and the same bytes written to as many files.
//!
//! Each measurement runs in a process of its own, so that its peak of memory is its own; what is printed is
//! the median of several. Other sizes: `cargo bench -- 10 50`.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]
#![allow(
    clippy::disallowed_methods,
    clippy::print_stdout,
    unreachable_pub,
    reason = "a benchmark reads clocks and prints"
)]

#[path = "../../tests/workbench/binding.rs"]
mod binding;
mod generator;
#[path = "../../tests/workbench/seeded.rs"]
mod seeded;

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Instant;

/// What one process measured.
#[derive(Clone, Copy)]
struct Measured {
    seconds: f64,
    peak: f64,
}

fn main() {
    let arguments: Vec<String> =
        std::env::args().skip(1).filter(|argument| !argument.starts_with("--")).collect();
    match arguments.first().map(String::as_str) {
        Some("measure-inspect") => report(|| inspect(Path::new(&arguments[1]))),
        Some("measure-bind") => report(|| bind(Path::new(&arguments[1]), Path::new(&arguments[2]))),
        Some("measure-floor") => {
            let pages = read_all(Path::new(&arguments[2]));
            report(|| floor(Path::new(&arguments[1]), &pages, Path::new(&arguments[3])));
        }
        _ => {
            let sizes: Vec<usize> = arguments.iter().filter_map(|size| size.parse().ok()).collect();
            compare(if sizes.is_empty() { &[10, 100, 1_000] } else { &sizes });
        }
    }
}

/// Prints the table.
fn compare(sizes: &[usize]) {
    let demo = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("procedures");
    println!(
        "procedures    files       MB  inspect s     bind s    floor s   bind/floor   ms/procedure   bind peak MB   floor peak MB"
    );
    for &size in sizes {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let (manual, site, again) =
            (folder.path().join("manual"), folder.path().join("bound"), folder.path().join("again"));
        fs::create_dir(&manual).expect("a folder");
        generator::write(&demo, &manual, size).expect("the manual is written");
        let runs = if size >= 1_000 { 3 } else { 5 };
        let inspect = median(runs, || child(&["measure-inspect".as_ref(), manual.as_ref()]));
        let bind = median(runs, || {
            let _ = fs::remove_dir_all(&site);
            child(&["measure-bind".as_ref(), manual.as_ref(), site.as_ref()])
        });
        let floor = median(runs, || {
            let _ = fs::remove_dir_all(&again);
            child(&["measure-floor".as_ref(), manual.as_ref(), site.as_ref(), again.as_ref()])
        });
        let files = read_all(&site);
        let bytes: usize = files.iter().map(|(_, bytes)| bytes.len()).sum();
        println!(
            "{size:>10} {:>8} {:>8.1} {:>10.3} {:>10.3} {:>10.3} {:>12.1} {:>14.2} {:>14.1} {:>15.1}",
            files.len(),
            bytes as f64 / 1e6,
            inspect.seconds,
            bind.seconds,
            floor.seconds,
            bind.seconds / floor.seconds,
            bind.seconds * 1e3 / size as f64,
            bind.peak,
            floor.peak,
        );
    }
}

fn median(runs: usize, mut run: impl FnMut() -> Measured) -> Measured {
    let mut all: Vec<Measured> = (0..runs).map(|_| run()).collect();
    all.sort_by(|a, b| a.seconds.total_cmp(&b.seconds));
    let peak = all.iter().map(|measured| measured.peak).fold(0.0, f64::max);
    Measured { seconds: all[runs / 2].seconds, peak }
}

/// Runs one measurement in a process of its own.
fn child(arguments: &[&std::ffi::OsStr]) -> Measured {
    let this = std::env::current_exe().expect("this program");
    let out = Command::new(this).args(arguments).output().expect("it runs");
    let said = String::from_utf8_lossy(&out.stdout).into_owned();
    assert!(out.status.success(), "{}{said}", String::from_utf8_lossy(&out.stderr));
    let mut numbers = said.split_whitespace().map(|word| word.parse::<f64>().expect("a number"));
    let mut next = || numbers.next().expect("two numbers");
    Measured { seconds: next(), peak: next() }
}

/// Runs a task and prints its seconds and the process's peak of memory in MB (nought where the system does
/// not tell).
fn report(task: impl FnOnce()) {
    let start = Instant::now();
    task();
    let seconds = start.elapsed().as_secs_f64();
    let status = fs::read_to_string("/proc/self/status").unwrap_or_default();
    let peak = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    let kilobytes =
        peak.and_then(|line| line.trim().trim_end_matches(" kB").parse::<f64>().ok()).unwrap_or(0.0);
    println!("{seconds} {}", kilobytes / 1024.0);
}

/// Reads and inspects, as the command does: what was worked is not taken apart.
fn inspect(manual: &Path) {
    let run = benchleaf::Run::read(manual).expect("the manual is read");
    let checked = run.inspect();
    assert!(checked.is_ok(), "the generated manual has faults");
    std::mem::forget((run, checked));
}

fn bind(manual: &Path, site: &Path) {
    let bound = binding::bind(manual, site);
    assert!(bound.is_ok(), "the generated manual does not bind: {}", bound.unwrap_err());
}

/// The same text through the parser alone, and the same bytes to as many files.
fn floor(manual: &Path, pages: &[(PathBuf, Vec<u8>)], site: &Path) {
    let mut length = 0;
    for (name, text) in read_all(manual) {
        if name.extension().is_some_and(|ending| ending == "md") {
            let text = String::from_utf8(text).expect("the manual is text");
            let mut html = String::new();
            pulldown_cmark::html::push_html(
                &mut html,
                pulldown_cmark::Parser::new_ext(&text, pulldown_cmark::Options::all()),
            );
            length += html.len();
        }
    }
    assert!(length > 0, "there was something to parse");
    for (name, bytes) in pages {
        let path = site.join(name);
        fs::create_dir_all(path.parent().expect("a folder")).expect("the folder is made");
        fs::write(path, bytes).expect("the file is written");
    }
}

fn read_all(folder: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    walkdir::WalkDir::new(folder)
        .into_iter()
        .map(|entry| entry.expect("the folder is read"))
        .filter(|entry| entry.file_type().is_file())
        .map(|entry| {
            let name = entry.path().strip_prefix(folder).expect("below the folder").to_owned();
            (name, fs::read(entry.path()).expect("the file is read"))
        })
        .collect()
}
