//! A site takes its place whole: killed at any moment, asked to end, read while it changes, under any umask, and
//! where it may not go.
#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "tests read files and wait")]

mod workbench;

use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::os::unix::process::ExitStatusExt;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

const PROGRAM: &str = env!("CARGO_BIN_EXE_benchleaf");

/// A manual that binds quickly, as `manual` in a fresh folder.
fn small() -> tempfile::TempDir {
    let keep = workbench::folder();
    workbench::copy(&workbench::root().join("tests/rules/base"), &keep.path().join("manual"));
    keep
}

fn bind(folder: &Path, manual: &Path) -> Command {
    let mut command = Command::new(PROGRAM);
    command.args(["--quiet", "bind"]).arg(manual).args(["--into", "bound"]).current_dir(folder);
    command.stdout(Stdio::null()).stderr(Stdio::piped());
    command
}

fn bound(folder: &Path) {
    let ended = bind(folder, Path::new("manual")).output().unwrap();
    assert!(ended.status.success(), "{}", String::from_utf8_lossy(&ended.stderr));
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

/// Of the 500 moments each of this many folders takes its share, side by side.
const FOLDERS: usize = 4;
const MOMENTS: usize = 500;

#[test]
fn killed_at_any_moment_the_site_is_whole_and_the_next_run_leaves_no_litter() {
    let litter: usize = std::thread::scope(|scope| {
        let share = |seed| scope.spawn(move || kill_often(seed, MOMENTS / FOLDERS));
        let shares: Vec<_> = (0..FOLDERS).map(share).collect();
        shares.into_iter().map(|share| share.join().unwrap()).sum()
    });
    // Otherwise every run was killed before it began to write, or after it had ended.
    assert!(litter > MOMENTS / 50, "only {litter} of {MOMENTS} runs were killed while they wrote");
}

/// Kills that many runs at random moments of their time; how many of them left something for the next.
fn kill_often(seed: usize, moments: usize) -> usize {
    let keep = small();
    let begun = Instant::now();
    bound(keep.path());
    let mut length = begun.elapsed();
    let mut random = workbench::seeded::Seeded::new(u64::try_from(seed).unwrap() + 1);
    let mut littered = 0;
    for moment in 0..moments {
        // The text changes, so that a site of pages from two runs does not fit its manifest.
        let shop = keep.path().join("manual/shop.yaml");
        let text = fs::read_to_string(&shop).unwrap();
        let text = text.split("\n# moment").next().unwrap();
        fs::write(&shop, format!("{text}\n# moment {moment}\n")).unwrap();
        let begun = Instant::now();
        let mut run = bind(keep.path(), Path::new("manual")).spawn().unwrap();
        // Pages are written towards the end of a run.
        std::thread::sleep(length * u32::try_from(300 + random.below(800)).unwrap() / 1000);
        let ended = run.try_wait().unwrap().is_some();
        let _ = run.kill();
        run.wait().unwrap();
        if ended {
            length = begun.elapsed().min(length);
        }
        let site = keep.path().join("bound");
        assert_eq!(workbench::manifest_faults(&site), Vec::<String>::new(), "after moment {moment}");
        littered += usize::from(names(keep.path()).len() > 2);
    }
    bound(keep.path());
    assert_eq!(names(keep.path()), ["bound", "manual"]);
    littered
}

#[cfg(target_os = "linux")]
#[test]
fn who_reads_while_sites_change_never_misses_one() {
    let keep = small();
    bound(keep.path());
    let front = keep.path().join("bound/index.html");
    let done = AtomicBool::new(false);
    let (read, missed) = std::thread::scope(|scope| {
        let reader = scope.spawn(|| {
            let (mut read, mut missed) = (0_usize, 0_usize);
            while !done.load(Ordering::Relaxed) {
                match fs::read(&front) {
                    Ok(bytes) if bytes.ends_with(b"</html>\n") => read += 1,
                    _ => missed += 1,
                }
            }
            (read, missed)
        });
        for _ in 0..10 {
            bound(keep.path());
        }
        done.store(true, Ordering::Relaxed);
        reader.join().unwrap()
    });
    assert!(missed == 0 && read > 100, "{missed} of {read} looks found no whole page");
}

/// Waits until a run has begun to write beside its place.
fn writes(run: &mut Child, folder: &Path) -> bool {
    loop {
        if names(folder).iter().any(|name| name.starts_with(".benchleaf-")) {
            return true;
        }
        if run.try_wait().unwrap().is_some() {
            return false;
        }
        std::thread::sleep(Duration::from_millis(1));
    }
}

/// Whether this process ignores a signal, and what it starts with it, as far as the system tells.
fn is_ignored(number: u32) -> bool {
    let status = fs::read_to_string("/proc/self/status").unwrap_or_default();
    let mask = status.lines().find_map(|line| line.strip_prefix("SigIgn:"));
    let mask = mask.and_then(|mask| u64::from_str_radix(mask.trim(), 16).ok()).unwrap_or(0);
    mask & (1 << (number - 1)) != 0
}

#[test]
fn a_signal_takes_the_draft_away_and_is_the_exit() {
    let keep = workbench::folder();
    // POSIX has these numbers: HUP 1, INT 2, TERM 15; a shell shows 128 more.
    for (name, number) in [("HUP", 1), ("INT", 2), ("TERM", 15)] {
        // What is started in the background of a script, or by `nohup`, inherits that it ignores one of them.
        if is_ignored(number) {
            continue;
        }
        let mut run = bind(keep.path(), &workbench::demo()).spawn().unwrap();
        assert!(writes(&mut run, keep.path()), "the run ended before it wrote");
        let sent = Command::new("kill").args(["-s", name, &run.id().to_string()]).status().unwrap();
        assert!(sent.success());
        assert_eq!(run.wait().unwrap().signal(), i32::try_from(number).ok(), "{name}");
        assert_eq!(names(keep.path()), Vec::<String>::new(), "{name} left something behind");
    }
}

#[test]
fn a_signal_that_was_ignored_from_the_start_stays_ignored() {
    let keep = small();
    let mut run = Command::new("nohup");
    run.arg(PROGRAM).args(["--quiet", "bind"]).arg(workbench::demo()).args(["--into", "bound"]);
    let mut run = run
        .current_dir(keep.path())
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    assert!(writes(&mut run, keep.path()), "the run ended before it wrote");
    Command::new("kill").args(["-s", "HUP", &run.id().to_string()]).status().unwrap();
    assert!(run.wait().unwrap().success());
    assert_eq!(names(keep.path()), ["bound", "manual"]);
}

#[test]
fn everybody_may_read_a_site_whatever_the_umask() {
    for umask in ["077", "000", "022"] {
        let keep = small();
        let line = format!("umask {umask} && exec \"$0\" --quiet bind manual --into bound");
        let ended =
            Command::new("sh").args(["-c", &line, PROGRAM]).current_dir(keep.path()).output().unwrap();
        assert!(ended.status.success(), "{}", String::from_utf8_lossy(&ended.stderr));
        for entry in walkdir::WalkDir::new(keep.path().join("bound")) {
            let entry = entry.unwrap();
            let mode = entry.metadata().unwrap().permissions().mode() & 0o777;
            let wanted = if entry.file_type().is_dir() { 0o755 } else { 0o644 };
            assert_eq!(mode, wanted, "{} under {umask}: {mode:o}", entry.path().display());
        }
    }
}

/// Runs the program as a user who owns nothing here: root, whom nothing is refused, becomes another first.
fn as_nobody(folder: &Path, into: &str) -> (Option<i32>, String) {
    let is_root = Command::new("id").arg("-u").output().unwrap().stdout == b"0\n";
    let mut command = if is_root {
        let mut command = Command::new("setpriv");
        command.args(["--reuid=65534", "--regid=65534", "--clear-groups"]).arg(PROGRAM);
        command
    } else {
        Command::new(PROGRAM)
    };
    let ended = command.args(["bind", "manual", "--into", into]).current_dir(folder).output().unwrap();
    (ended.status.code(), String::from_utf8(ended.stderr).unwrap())
}

#[test]
fn a_site_that_may_not_be_changed_is_left_with_a_word_and_nothing_beside_it() {
    let keep = small();
    bound(keep.path());
    let allow = |path: &str, mode: u32| {
        fs::set_permissions(keep.path().join(path), fs::Permissions::from_mode(mode)).unwrap();
    };
    let before = workbench::snapshot(&keep.path().join("bound"));
    // The folder that is closed, from the whole down to a part of the old site; the others are open to all.
    let all = walkdir::WalkDir::new(keep.path().join("bound")).into_iter().map(Result::unwrap);
    let all = all.filter(|entry| entry.file_type().is_dir());
    let all = all.map(|entry| entry.path().strip_prefix(keep.path()).unwrap().to_str().unwrap().to_owned());
    let folders: Vec<String> = std::iter::once(".".to_owned()).chain(all).collect();
    for closed in [".", "bound", "bound/assets"] {
        for folder in &folders {
            allow(folder, if folder == closed { 0o555 } else { 0o777 });
        }
        let (exit, told) = as_nobody(keep.path(), "bound");
        assert_eq!(exit, Some(3), "{closed}: {told}");
        let named = if closed == "." { "`.` may not be changed" } else { closed };
        assert!(told.contains(named) && told.contains("--into"), "{closed}: {told}");
        assert_eq!(names(keep.path()), ["bound", "manual"], "{closed}");
    }
    assert!(workbench::snapshot(&keep.path().join("bound")) == before);
    folders.iter().for_each(|folder| allow(folder, 0o777));
}

#[test]
fn a_chain_of_folders_is_not_made() {
    let keep = small();
    let (exit, told) = as_nobody(keep.path(), "a/b");
    assert_eq!(exit, Some(2), "{told}");
    assert!(told.contains("the folder `a` is not there"), "{told}");
    assert_eq!(names(keep.path()), ["manual"]);
}
