//! The cases that are kept as data, each laid out as a manual in a temporary folder.

use super::{copy, files, folder, root};
use std::fs;
use std::path::{Path, PathBuf};

/// The small manual of `tests/faults/base/` with a clean procedure: one without any would be a case of its own.
pub fn fault_base() -> (tempfile::TempDir, PathBuf) {
    let keep = folder();
    let manual = keep.path().join("manual");
    copy(&root().join("tests/faults/base"), &manual);
    fs::copy(root().join("tests/faults/none-a-clean-lid.md"), manual.join("clean.md"))
        .expect("the clean case is copied");
    (keep, manual)
}

/// The names of the cases of `tests/faults/`.
pub fn faults() -> Vec<String> {
    let names = files(&root().join("tests/faults")).into_iter();
    names.filter(|name| !name.starts_with("base/")).collect()
}

/// A case of `tests/faults/` with its manual, its path in the manual and its text.
pub fn fault(name: &str) -> (tempfile::TempDir, PathBuf, String, String) {
    let text = fs::read_to_string(root().join("tests/faults").join(name)).expect("a case is text");
    let put = text.lines().next().and_then(|line| line.strip_prefix("# put: "));
    let target = put.map_or_else(|| format!("cases/{name}"), str::to_owned);
    let (keep, manual) = fault_base();
    let path = manual.join(&target);
    fs::create_dir_all(path.parent().expect("a folder")).expect("the folder is made");
    fs::write(&path, &text).expect("the case is written");
    if name.starts_with("none-a-clean-lid") {
        fs::remove_file(manual.join("clean.md")).expect("the case itself takes its place");
    }
    (keep, manual, target, text)
}

/// The names of the cases of `tests/rules/`, as `CODE/NAME`.
pub fn rules() -> Vec<String> {
    let names = files(&root().join("tests/rules")).into_iter().filter(|name| !name.starts_with("base/"));
    let mut cases: Vec<String> =
        names.map(|name| name.splitn(3, '/').take(2).collect::<Vec<_>>().join("/")).collect();
    cases.dedup();
    cases
}

/// A case of `tests/rules/`: its files laid over the base.
pub fn rule(case: &Path) -> (tempfile::TempDir, PathBuf) {
    let keep = folder();
    let manual = keep.path().join("manual");
    copy(&root().join("tests/rules/base"), &manual);
    copy(case, &manual);
    (keep, manual)
}
