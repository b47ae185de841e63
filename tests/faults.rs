//! Faults as data: each file of tests/faults/ is put into the small manual of tests/faults/base/ and must
//! give exactly the errors that it expects, each at its line. Adding a case is adding a file.
//!
//! A comment `# expect: CODE` marks the line that it stands on; `# expect: CODE at TEXT` on a line of its own
//! marks the last line that holds TEXT. ` => WORDS` after either wants the words in the finding's help. A
//! Markdown file becomes a procedure; a YAML file says in its first line where it goes (`# put: PATH`).
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "tests read and write files")]

mod workbench;

use std::fs;
use std::path::{Path, PathBuf};
use workbench::cases;
use workbench::inspection::{Found, inspect};

/// An error that a case wants.
#[derive(Debug)]
struct Expected {
    code: String,
    /// The line; none for a fault whose place inside the file is not fixed.
    line: Option<u64>,
    help: String,
}

/// The expectations written into a case.
fn expectations(text: &str) -> Vec<Expected> {
    let mark = "# expect: ";
    let mut wanted = Vec::new();
    for (number, line) in (1..).zip(text.lines()) {
        let Some((before, said)) = line.split_once(mark) else { continue };
        let (said, help) = said.split_once(" => ").unwrap_or((said, ""));
        let (code, at) = said.split_once(" at ").unwrap_or((said, ""));
        let line = if !at.is_empty() {
            let source = |line: &str| line.split(mark).next().unwrap_or_default().contains(at);
            let found = (1..).zip(text.lines()).filter(|(_, line)| source(line));
            Some(found.last().unwrap_or_else(|| panic!("no line holds `{at}`")).0)
        } else if before.trim().is_empty() {
            None
        } else {
            Some(number)
        };
        wanted.push(Expected { code: code.trim().into(), line, help: help.trim().into() });
    }
    wanted
}

/// What differs between the errors wanted and those found.
fn differences(name: &str, file: &str, wanted: &[Expected], found: &[Found]) -> Vec<String> {
    let mut wrong = Vec::new();
    let mut left: Vec<&Found> = found.iter().filter(|found| found.is_error()).collect();
    for want in wanted {
        let fits = |found: &&Found| {
            found.code == want.code
                && found.file.as_deref().is_some_and(|path| path.ends_with(file))
                && want.line.is_none_or(|line| found.line == Some(line))
        };
        match left.iter().position(fits) {
            Some(at) => {
                let found = left.remove(at);
                if !found.help.as_deref().unwrap_or_default().contains(&want.help) {
                    wrong.push(format!(
                        "{name}: the help of {found} does not say `{}`: {:?}",
                        want.help, found.help
                    ));
                }
            }
            None => wrong.push(format!("{name}: {} is missing at line {:?}", want.code, want.line)),
        }
    }
    wrong.extend(left.iter().map(|found| format!("{name}: not expected: {found}")));
    wrong
}

/// What a finding owes its reader: a place, and the line there with a caret under it.
fn owed(name: &str, manual: &Path, found: &Found) -> Vec<String> {
    let mut wrong = Vec::new();
    let (Some(file), Some(line), Some(column)) = (&found.file, found.line, found.column) else {
        return vec![format!("{name}: {found} has no place")];
    };
    if !found.shown.contains(&format!("{file}:{line}:{column}")) {
        wrong.push(format!("{name}: {found} does not show {file}:{line}:{column} but\n{}", found.shown));
    }
    let path = if Path::new(file).is_absolute() { PathBuf::from(file) } else { manual.join(file) };
    let text = fs::read_to_string(path).unwrap_or_default();
    let source = text.lines().nth(usize::try_from(line).unwrap() - 1).unwrap_or_default().trim();
    if !source.is_empty() && source.len() < 400 && !found.shown.contains(source) {
        wrong.push(format!("{name}: {found} does not show its line:\n{}", found.shown));
    }
    if !source.is_empty() && !found.shown.contains('^') {
        wrong.push(format!("{name}: {found} has no caret:\n{}", found.shown));
    }
    wrong
}

fn assert_none(wrong: &[String]) {
    assert!(wrong.is_empty(), "{} faults:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn every_case_gives_the_errors_that_it_expects() {
    let (mut wrong, mut cases) = (Vec::new(), 0);
    for name in cases::faults() {
        let (_keep, manual, target, text) = cases::fault(&name);
        let found = inspect(&manual);
        let wanted = expectations(&text);
        assert_eq!(wanted.is_empty(), name.starts_with("none-"), "{name}: what does it expect?");
        wrong.extend(differences(&name, &target, &wanted, &found));
        wrong.extend(found.iter().flat_map(|found| owed(&name, &manual, found)));
        cases += 1;
    }
    assert!(cases >= 60, "only {cases} cases were found");
    assert_none(&wrong);
}

/// A change to a clean manual, the code that it must give, and the file that must be named.
type Change = (&'static str, fn(&Path), &'static str, &'static str);

/// What no text file can hold.
const CHANGES: &[Change] = &[
    (
        "not UTF-8",
        |at| fs::write(at.join("latin.md"), b"---\ntitle: Caf\xe9\n---\n").unwrap(),
        "SRC-01",
        "latin.md",
    ),
    ("a nought byte", |at| append(&at.join("clean.md"), b"\na\0b\n"), "SRC-01", "clean.md"),
    (
        "above the shop's limit",
        |at| append(&at.join("clean.md"), &vec![b'\n'; 3 << 20]),
        "SRC-02",
        "clean.md",
    ),
    ("above any limit", |at| sparse(&at.join("huge.md"), 65 << 20), "SRC-02", "huge.md"),
    (
        "a shop file of a megabyte",
        |at| append(&at.join("shop.yaml"), &vec![b'\n'; 1 << 20]),
        "SRC-02",
        "shop.yaml",
    ),
    ("no front matter", |at| fs::write(at.join("plain.md"), "Only text.\n").unwrap(), "SRC-08", "plain.md"),
    ("an empty procedure", |at| fs::write(at.join("empty.md"), "").unwrap(), "SRC-08", "empty.md"),
    ("a link out of the folder", |at| link("/etc/hostname", &at.join("out.md")), "SRC-09", "out.md"),
    ("a link to its own folder", |at| link(".", &at.join("loop")), "SRC-09", "loop"),
    ("a link to nothing", |at| link("nothing", &at.join("figures/gone.svg")), "SRC-09", "figures/gone.svg"),
    ("a figure elsewhere", |at| fs::write(at.join("lid.png"), b"\x89PNG").unwrap(), "SRC-09", "lid.png"),
    (
        "an unknown store",
        |at| fs::write(at.join("stores/tolls.yaml"), "a: {}\n").unwrap(),
        "SRC-06",
        "stores/tolls.yaml",
    ),
    (
        "a second procedure of one id",
        |at| fs::write(at.join("copy.md"), fs::read(at.join("clean.md")).unwrap()).unwrap(),
        "SRC-07",
        "copy.md",
    ),
    ("too few cells", |at| loom(at, "id,from,to\na,b\n"), "SRC-10", "vehicles/door.csv"),
    ("an unknown column", |at| loom(at, "id,form,to\na,b,c\n"), "SRC-10", "vehicles/door.csv"),
    ("a cell without end", |at| loom(at, "id,from,to\n\"a,b,c\n"), "SRC-10", "vehicles/door.csv"),
];

fn append(path: &Path, more: &[u8]) {
    let mut bytes = fs::read(path).unwrap();
    bytes.extend_from_slice(more);
    fs::write(path, bytes).unwrap();
}

fn sparse(path: &Path, length: u64) {
    fs::File::create(path).unwrap().set_len(length).unwrap();
}

fn link(target: &str, at: &Path) {
    #[cfg(unix)]
    std::os::unix::fs::symlink(target, at).unwrap();
}

fn loom(manual: &Path, table: &str) {
    fs::write(manual.join("vehicles/door.csv"), table).unwrap();
    fs::write(manual.join("vehicles/other.yaml"), "name: Other\nlooms: {door: {table: door.csv}}\n").unwrap();
}

#[test]
#[cfg_attr(not(unix), ignore = "symbolic links need a right that not every account has")]
fn what_no_case_can_hold_is_refused_by_name() {
    let mut wrong = Vec::new();
    for (name, change, code, file) in CHANGES {
        let (_keep, manual) = cases::fault_base();
        change(&manual);
        let found = inspect(&manual);
        let named = |found: &&Found| found.file.as_deref().is_some_and(|path| path.ends_with(file));
        if !found.iter().filter(named).any(|found| found.is_error() && found.code == *code) {
            let codes: Vec<String> = found.iter().map(ToString::to_string).collect();
            wrong.push(format!("{name}: {code} is missing at {file}: {codes:?}"));
        }
    }
    assert_none(&wrong);
}

#[test]
fn a_folder_that_is_no_manual_is_said_to_be_none() {
    let keep = workbench::folder();
    let found = inspect(keep.path());
    assert!(found.iter().any(|found| found.is_error() && found.message.contains("shop.yaml")), "{found:?}");
}

/// One typo hides no other: a manual with all cases of its ledger at once reports each of them.
#[test]
fn all_faults_of_a_run_are_reported() {
    let folder = workbench::root().join("tests/faults");
    let (_keep, manual) = cases::fault_base();
    let mut wanted = Vec::new();
    let cases = workbench::files(&folder).into_iter().filter(|name| name.ends_with(".md"));
    for name in cases.filter(|name| name.starts_with("LED-") || name.starts_with("SRC-")) {
        let text = fs::read_to_string(folder.join(&name)).unwrap();
        wanted.extend(expectations(&text).into_iter().map(|want| (name.clone(), want.code)));
        fs::write(manual.join(&name), text).unwrap();
    }
    let found = inspect(&manual);
    let missing: Vec<String> = wanted
        .into_iter()
        .filter(|(name, code)| {
            !found
                .iter()
                .any(|f| f.code == *code && f.file.as_deref().is_some_and(|file| file.ends_with(name)))
        })
        .map(|(name, code)| format!("{name}: {code} is hidden by the other faults"))
        .collect();
    assert_none(&missing);
}
