//! The exchange of two sites, with a disk that refuses a step or kills the process at it.

use super::disk::{Disk, Machine};
use super::workplace::{Workplace, recover};
use super::{Draft, MANIFEST, WriteError, is_site, swap};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::atomic::{AtomicUsize, Ordering};

/// What a child process is told by: the folder, how many steps it takes before it dies, whether the step at which
/// it dies is still done, and whether the disk can exchange.
const TOLD: &str = "BENCHLEAF_TEST_CHILD";

/// A disk that may have no exchange, and at which the process dies before or after a certain step.
struct Trial {
    exchanges: bool,
    refused: io::ErrorKind,
    dies: Option<(usize, bool)>,
    steps: AtomicUsize,
}

impl Trial {
    fn new(exchanges: bool, dies: Option<(usize, bool)>) -> Trial {
        Trial { exchanges, refused: io::ErrorKind::Unsupported, dies, steps: AtomicUsize::new(0) }
    }

    fn step(&self, step: impl FnOnce() -> io::Result<()>) -> io::Result<()> {
        let at = self.steps.fetch_add(1, Ordering::SeqCst);
        match self.dies {
            Some((dies, done)) if dies == at => {
                if done {
                    let _ = step();
                }
                std::process::abort()
            }
            _ => step(),
        }
    }
}

impl Disk for Trial {
    fn exchange(&self, one: &Path, other: &Path) -> io::Result<()> {
        if !self.exchanges {
            return Err(self.refused.into());
        }
        self.step(|| Machine.exchange(one, other))
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.step(|| Machine.rename(from, to))
    }

    fn remove(&self, folder: &Path) -> io::Result<()> {
        self.step(|| Machine.remove(folder))
    }
}

/// A folder with room for a site `bound` in it.
fn folder() -> tempfile::TempDir {
    tempfile::Builder::new().prefix("benchleaf-test-").tempdir().unwrap()
}

fn site(words: &str) -> Vec<(String, Vec<u8>)> {
    let file = |path: &str| (path.to_owned(), words.as_bytes().to_vec());
    vec![file("index.html"), file("assets/style.css"), file("procedures/one/index.html")]
}

/// Writes a site to `bound` in `folder`, as `bind` does.
fn bind(folder: &Path, words: &str) -> Result<(), WriteError> {
    let mut draft = Draft::begin(&folder.join("bound"), &folder.join("manual"))?;
    draft.put(site(words))?;
    draft.finish().map(|_| ())
}

/// What a whole site says; a site of which a file is missing or from another site stops the test.
fn says(folder: &Path) -> String {
    let bound = folder.join("bound");
    let read = |path: &str| fs::read_to_string(bound.join(path)).unwrap_or_else(|e| panic!("{path}: {e}"));
    let words = read("index.html");
    for (path, _) in site("") {
        assert_eq!(read(&path), words, "`{path}` is of another site");
        let hash = super::manifest::hash(words.as_bytes());
        assert!(read(MANIFEST).contains(&format!("{hash}  {path}\n")), "`{path}` is not listed as it is");
    }
    words
}

/// The names in a folder.
fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> =
        fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

/// Makes the site that says `new` and swaps it in on a disk.
fn replace(disk: &Trial, folder: &Path) -> Result<(), WriteError> {
    let mut draft = Draft::begin(&folder.join("bound"), &folder.join("manual"))?;
    draft.put(site("new"))?;
    let manifest = super::manifest::manifest(&draft.hashes);
    super::put(&draft.workplace.made().join(MANIFEST), manifest.as_bytes())?;
    swap::swap(disk, &draft.workplace, &draft.place)
}

/// Runs the process that dies; it is this test's own binary, told to run [`child`] alone.
fn run_child(folder: &Path, action: &str, dies: usize, done: bool, exchanges: bool) -> bool {
    let told = format!("{action} {dies} {done} {exchanges} {}", folder.display());
    let child = Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "write::tests::child", "--quiet"])
        .env(TOLD, told)
        .output()
        .unwrap();
    child.status.success()
}

/// The process that dies, when it is told to; of itself it has nothing to do.
#[test]
fn child() {
    let Ok(told) = std::env::var(TOLD) else { return };
    let mut told = told.splitn(5, ' ');
    let mut next = || told.next().unwrap();
    let (action, dies, done, exchanges) = (next(), next(), next(), next());
    let folder = PathBuf::from(next());
    let disk = Trial::new(exchanges == "true", Some((dies.parse().unwrap(), done == "true")));
    match action {
        "replace" => replace(&disk, &folder).unwrap(),
        "recover" => recover(&disk, &folder).unwrap(),
        other => panic!("`{other}` is no action"),
    }
}

#[test]
fn a_run_that_is_killed_at_any_step_leaves_a_site_that_the_next_makes_whole() {
    for exchanges in [true, false] {
        for old in [true, false] {
            let mut died = 0;
            for (dies, done) in (0..20).flat_map(|dies| [(dies, false), (dies, true)]) {
                let keep = folder();
                if old {
                    bind(keep.path(), "old").unwrap();
                }
                if run_child(keep.path(), "replace", dies, done, exchanges) {
                    break;
                }
                died += 1;
                // With an exchange there is a whole site at every moment; without, at the latest when the next
                // run has begun.
                if exchanges && old {
                    says(keep.path());
                }
                recover(&Machine, keep.path()).unwrap();
                let found = names(keep.path());
                if old || found == ["bound"] {
                    assert_eq!(found, ["bound"], "left after step {dies}");
                    says(keep.path());
                } else {
                    assert!(found.is_empty(), "left after step {dies}: {found:?}");
                }
                bind(keep.path(), "next").unwrap();
                assert_eq!(says(keep.path()), "next");
                assert_eq!(names(keep.path()), ["bound"]);
            }
            // Where nothing stands at the place the exchange fails, and a rename puts the site there.
            let steps = if exchanges && old { 1 } else { 2 };
            assert_eq!(died, 2 * steps, "exchanges: {exchanges}, old site: {old}");
        }
    }
}

/// A folder in which a run was killed between its two renames: there is no site at the place.
fn between_renames() -> tempfile::TempDir {
    let keep = folder();
    bind(keep.path(), "old").unwrap();
    assert!(!run_child(keep.path(), "replace", 0, true, false));
    assert!(!keep.path().join("bound").exists() && names(keep.path()).len() == 1);
    keep
}

#[test]
fn a_recovery_that_is_killed_itself_is_made_good_by_the_next() {
    let mut died = 0;
    for (dies, done) in (0..20).flat_map(|dies| [(dies, false), (dies, true)]) {
        let keep = between_renames();
        if run_child(keep.path(), "recover", dies, done, false) {
            break;
        }
        died += 1;
        recover(&Machine, keep.path()).unwrap();
        assert_eq!(says(keep.path()), "old");
        assert_eq!(names(keep.path()), ["bound"]);
    }
    assert_eq!(died, 6, "one rename and two removals");
}

#[test]
fn a_site_moved_away_goes_back_unless_another_stands_there() {
    let keep = between_renames();
    let there = keep.path().join("bound");
    super::prepare(&there, &keep.path().join("manual")).unwrap();
    assert_eq!(says(keep.path()), "old");

    let keep = between_renames();
    let there = keep.path().join("bound");
    fs::create_dir(&there).unwrap();
    fs::write(there.join("mine.txt"), "mine").unwrap();
    recover(&Machine, keep.path()).unwrap();
    assert_eq!((names(keep.path()), names(&there)), (vec!["bound".into()], vec!["mine.txt".into()]));
}

#[test]
fn an_exchange_that_is_refused_is_made_by_two_renames() {
    for refused in [io::ErrorKind::Unsupported, io::ErrorKind::InvalidInput] {
        let keep = folder();
        bind(keep.path(), "old").unwrap();
        replace(&Trial { refused, ..Trial::new(false, None) }, keep.path()).unwrap();
        assert_eq!((says(keep.path()).as_str(), names(keep.path())), ("new", vec!["bound".into()]));
    }
    let keep = folder();
    bind(keep.path(), "old").unwrap();
    let busy = Trial { refused: io::ErrorKind::ResourceBusy, ..Trial::new(false, None) };
    let error = replace(&busy, keep.path()).unwrap_err();
    assert!(matches!(error, WriteError::Mounted(_)) && error.is_the_place(), "{error}");
    assert_eq!((says(keep.path()).as_str(), names(keep.path())), ("old", vec!["bound".into()]));
}

/// A disk on which the new site cannot follow the old one that was moved away.
struct Half;

impl Disk for Half {
    fn exchange(&self, _: &Path, _: &Path) -> io::Result<()> {
        Err(io::ErrorKind::Unsupported.into())
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        if from.ends_with("made") { Err(io::ErrorKind::StorageFull.into()) } else { Machine.rename(from, to) }
    }

    fn remove(&self, folder: &Path) -> io::Result<()> {
        Machine.remove(folder)
    }
}

#[test]
fn the_old_site_goes_back_when_the_new_one_cannot_follow() {
    let keep = folder();
    bind(keep.path(), "old").unwrap();
    let workplace = Workplace::make(keep.path()).unwrap();
    let error = swap::swap(&Half, &workplace, &keep.path().join("bound")).unwrap_err();
    assert!(matches!(error, WriteError::Io { .. }) && !error.is_the_place(), "{error}");
    assert_eq!(says(keep.path()), "old");
    drop(workplace);
    assert_eq!(names(keep.path()), ["bound"]);
}

#[test]
fn the_folder_of_a_live_run_and_what_only_looks_like_one_stay() {
    let keep = folder();
    let live = Workplace::make(keep.path()).unwrap();
    let near = [
        ".benchleaf-notes",
        ".benchleaf-abc12",
        ".benchleaf-abc1234",
        ".benchleaf-abc1-3",
        "benchleaf-abc123",
    ];
    for name in near {
        fs::create_dir(keep.path().join(name)).unwrap();
    }
    // Named as ours, with something of somebody's in it; and one without a lock, which no run leaves full.
    fs::create_dir_all(keep.path().join(".benchleaf-abc123/made")).unwrap();
    fs::write(keep.path().join(".benchleaf-abc123/lock"), "").unwrap();
    fs::write(keep.path().join(".benchleaf-abc123/letter.txt"), "mine").unwrap();
    fs::create_dir_all(keep.path().join(".benchleaf-abc124/made")).unwrap();
    let before = names(keep.path());
    // These two are dead: an empty folder, and one whose lock nobody holds.
    fs::create_dir(keep.path().join(".benchleaf-abc125")).unwrap();
    fs::create_dir_all(keep.path().join(".benchleaf-abc126/made/half")).unwrap();
    fs::write(keep.path().join(".benchleaf-abc126/lock"), "").unwrap();
    recover(&Machine, keep.path()).unwrap();
    assert_eq!(names(keep.path()), before);
    assert!(live.made().is_dir());
    drop(live);
    assert_eq!(names(keep.path()).len(), before.len() - 1);
}

#[test]
fn two_runs_at_once_both_come_about() {
    let keep = folder();
    let ended: Vec<Result<(), String>> = std::thread::scope(|scope| {
        let run = |words: &'static str| {
            let at = keep.path();
            scope.spawn(move || (0..50).try_for_each(|_| bind(at, words)).map_err(|error| error.to_string()))
        };
        let runs = [run("one"), run("other")];
        runs.into_iter().map(|run| run.join().unwrap()).collect()
    });
    assert_eq!(ended, [Ok(()), Ok(())]);
    assert!(["one", "other"].contains(&says(keep.path()).as_str()));
    assert_eq!(names(keep.path()), ["bound"]);
}

#[test]
fn a_place_without_its_folder_or_with_a_strangers_file_is_refused() {
    let keep = folder();
    let manual = keep.path().join("manual");
    let deep = keep.path().join("a/b");
    let error = Draft::begin(&deep, &manual).unwrap_err();
    assert!(matches!(&error, WriteError::NoParent { parent, .. } if parent.ends_with("a")), "{error}");
    assert!(names(keep.path()).is_empty());

    bind(keep.path(), "old").unwrap();
    let bound = keep.path().join("bound");
    let mut draft = Draft::begin(&bound, &manual).unwrap();
    draft.put(site("new")).unwrap();
    fs::write(bound.join("letter.txt"), "mine").unwrap();
    let error = draft.finish().unwrap_err();
    assert!(matches!(error, WriteError::Stranger { .. }), "{error}");
    assert_eq!((says(keep.path()).as_str(), is_site(&bound)), ("old", true));
    assert_eq!(names(keep.path()), ["bound"]);
}

/// `/proc` is a file system of its own on every Linux.
#[cfg(target_os = "linux")]
#[test]
fn a_place_where_a_disk_is_mounted_is_refused_with_what_to_do() {
    let error = super::prepare(Path::new("/proc"), Path::new("/etc")).unwrap_err();
    assert!(matches!(error, WriteError::Mounted(_)), "{error}");
    assert!(error.to_string().contains("--into") && error.to_string().contains("/proc/manual"), "{error}");
}
