//! The demo manual: it inspects clean, its bound form is committed as it is bound, and no line of it that
//! closes something can be taken out unnoticed.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "tests read and write files")]

mod workbench;

use std::fs;
use std::path::Path;
use workbench::binding::bind;
use workbench::inspection::{Found, inspect};

fn lines(findings: &[Found]) -> String {
    findings.iter().map(|found| format!("{found}\n")).collect()
}

#[test]
fn the_demo_inspects_without_error_or_warning() {
    let found: Vec<Found> =
        inspect(&workbench::demo()).into_iter().filter(|found| found.severity != "advice").collect();
    assert!(found.is_empty(), "{}", lines(&found));
}

/// `UPDATE=1` writes site-demo/ anew.
#[test]
fn the_bound_demo_is_committed_byte_for_byte() {
    let site = workbench::site();
    if std::env::var_os("UPDATE").is_some() {
        bind(&workbench::demo(), &site).unwrap();
    }
    let keep = workbench::folder();
    let fresh = keep.path().join("bound");
    bind(&workbench::demo(), &fresh).unwrap();
    let (fresh, held) = (workbench::snapshot(&fresh), workbench::snapshot(&site));
    let mut wrong: Vec<String> = Vec::new();
    wrong
        .extend(fresh.keys().filter(|name| !held.contains_key(*name)).map(|name| format!("missing: {name}")));
    wrong.extend(
        held.keys().filter(|name| !fresh.contains_key(*name)).map(|name| format!("too much: {name}")),
    );
    wrong.extend(
        fresh.iter().filter(|(name, bytes)| held.get(*name).is_some_and(|held| held != *bytes)).map(
            |(name, bytes)| {
                let held = &held[name];
                let at = bytes.iter().zip(held).take_while(|(a, b)| a == b).count();
                format!(
                    "{name} differs from line {} on",
                    bytes[..at].iter().filter(|byte| **byte == b'\n').count() + 1
                )
            },
        ),
    );
    wrong.truncate(20);
    assert!(
        wrong.is_empty(),
        "site-demo/ is not what `bind` makes; `UPDATE=1 ./test --test demo` writes it:\n{}",
        wrong.join("\n")
    );
    assert_eq!(workbench::manifest_faults(&site), Vec::<String>::new());
}

/// The same bytes wherever the manual lies and however many threads work.
#[test]
fn a_bind_depends_on_nothing_but_its_sources() {
    let (keep, manual) = workbench::demo_copy();
    let elsewhere = keep.path().join("some where/else");
    fs::create_dir_all(elsewhere.parent().unwrap()).unwrap();
    bind(&manual, &elsewhere).unwrap();
    let here = keep.path().join("bound");
    assert_cmd::Command::new(assert_cmd::cargo::cargo_bin!("benchleaf"))
        .env("RAYON_NUM_THREADS", "1")
        .env("TZ", "Asia/Tokyo")
        .env("LANG", "tr_TR.UTF-8")
        .current_dir(keep.path())
        .args(["bind", "manual", "--into", "bound"])
        .assert()
        .success();
    assert!(workbench::snapshot(&elsewhere) == workbench::snapshot(&here), "two binds of one manual differ");
}

/// A copy of the demo without one step.
fn without_step(file: &str, heading: &str) -> (tempfile::TempDir, std::path::PathBuf) {
    let (keep, manual) = workbench::demo_copy();
    let path = manual.join(file);
    let text = fs::read_to_string(&path).unwrap();
    let start =
        text.find(&format!("### {heading}")).unwrap_or_else(|| panic!("{file} has no step `{heading}`"));
    let end = text[start + 4..].find("\n##").map_or(text.len(), |at| start + 4 + at + 1);
    fs::write(&path, format!("{}{}", &text[..start], &text[end..])).unwrap();
    (keep, manual)
}

fn line_of(path: &Path, text: &str) -> u64 {
    let source = fs::read_to_string(path).unwrap();
    let at =
        source.lines().position(|line| line.trim() == text).unwrap_or_else(|| panic!("no line `{text}`"));
    at as u64 + 1
}

#[test]
fn a_deleted_refit_step_fails_at_the_line_of_the_removal() {
    for (file, step, removal, removed_in) in [
        (
            "rear-doors/door-loom.md",
            "Fasten the pillar cover screws",
            "- remove: pillar-screws",
            "rear-doors/door-loom.md",
        ),
        (
            "rear-doors/door-loom.md",
            "Refit the door lining",
            "- remove: lining-screws",
            "rear-doors/door-lining.md",
        ),
        (
            "rear-doors/door-lining.md",
            "Put back the lining",
            "- take-off: door-lining",
            "rear-doors/door-lining.md",
        ),
    ] {
        let (_keep, manual) = without_step(file, step);
        let line = line_of(&manual.join(removed_in), removal);
        let found = inspect(&manual);
        let there = found.iter().any(|found| {
            found.code == "LED-01"
                && found.is_error()
                && found.line == Some(line)
                && found.file.as_deref().is_some_and(|path| path.ends_with(removed_in))
        });
        assert!(there, "without `{step}`: no LED-01 at {removed_in}:{line} in\n{}", lines(&found));
    }
}

#[test]
fn a_misspelt_tool_is_answered_with_the_right_one() {
    let (_keep, manual) = workbench::demo_copy();
    let path = manual.join("rear-doors/door-lining.md");
    let text = fs::read_to_string(&path).unwrap();
    fs::write(&path, text.replacen("tools: [hexalobular-25]", "tools: [hexalobular-52]", 1)).unwrap();
    let found = inspect(&manual);
    let tool =
        found.iter().find(|found| found.code == "KIT-01").unwrap_or_else(|| panic!("{}", lines(&found)));
    assert!(tool.help.as_deref().is_some_and(|help| help.contains("hexalobular-25")), "{tool:?}");
    assert_eq!(tool.line, Some(line_of(&path, "tools: [hexalobular-52]")));
}

/// Verbs that end what another began.
const CLOSING: &[&str] = &[
    "put-back",
    "renew",
    "refit",
    "tighten",
    "fasten",
    "plug-in",
    "restore",
    "take-away",
    "re-teach",
    "prove-off",
    "sleeve-on",
    "join",
    "insert",
    "run-new",
    "shrink",
    "test",
    "cap",
];

/// Every place in the demo where one of them stands: file and line, from nought.
fn closings() -> Vec<(String, usize)> {
    let demo = workbench::demo();
    let mut places = Vec::new();
    for name in workbench::files(&demo).into_iter().filter(|name| name.ends_with(".md")) {
        let text = fs::read_to_string(demo.join(&name)).unwrap();
        for (number, line) in text.lines().enumerate() {
            let verb = line.trim().strip_prefix("- ").and_then(|rest| rest.split([':', ' ']).next());
            if verb.is_some_and(|verb| CLOSING.contains(&verb)) {
                places.push((name.clone(), number));
            }
        }
    }
    places
}

/// Deletes the line of one closing and inspects; what is wrong when nothing is said about it.
fn deleted(manual: &Path, name: &str, number: usize) -> Option<String> {
    let path = manual.join(name);
    let text = fs::read_to_string(&path).unwrap();
    let kept: Vec<&str> =
        text.lines().enumerate().filter(|(at, _)| *at != number).map(|(_, line)| line).collect();
    fs::write(&path, kept.join("\n") + "\n").unwrap();
    let found = inspect(manual);
    fs::write(&path, &text).unwrap();
    let line = text.lines().nth(number).unwrap().trim();
    let noticed = found.iter().any(|found| {
        let ledger = found.code.starts_with("LED-") || found.code.starts_with("ELE-");
        // A setting that is no matter of safety is worth a warning only.
        ledger && (found.is_error() || line.starts_with("- re-teach:") && found.severity == "warning")
    });
    (!noticed).then(|| format!("{name}:{}: without `{line}` nothing is open:\n{}", number + 1, lines(&found)))
}

#[test]
fn no_line_that_closes_something_can_be_deleted_unnoticed() {
    let places = closings();
    assert!(places.len() > 80, "only {} closing lines were found", places.len());
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let unnoticed: Vec<String> = std::thread::scope(|scope| {
        let workers: Vec<_> = places
            .chunks(places.len().div_ceil(threads))
            .map(|part| {
                scope.spawn(move || {
                    let (_keep, manual) = workbench::demo_copy();
                    part.iter()
                        .filter_map(|(name, number)| deleted(&manual, name, *number))
                        .collect::<Vec<_>>()
                })
            })
            .collect();
        workers.into_iter().flat_map(|worker| worker.join().unwrap()).collect()
    });
    assert!(unnoticed.is_empty(), "{} of {}:\n{}", unnoticed.len(), places.len(), unnoticed.join("\n"));
}
