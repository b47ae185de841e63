//! One road: whatever a manual's fault is, an inspection and a bind say the same of it, and a bind writes exactly
//! what an inspection lets pass. Held over every case of `tests/faults/` and `tests/rules/`.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "tests read and write files")]

mod workbench;

use benchleaf::finding::Finding;
use benchleaf::{BindError, Run};
use std::fs;
use std::path::Path;
use workbench::cases;

/// What an inspection finds, and whether it lets the manual pass.
fn inspected(run: &Run) -> (Vec<Finding>, bool) {
    match run.inspect() {
        Ok(checked) => (checked.findings().to_vec(), true),
        Err(rejected) => (rejected.findings().to_vec(), false),
    }
}

/// What a bind finds, and whether it lets the manual pass.
fn bound(run: &Run, place: &Path) -> (Vec<Finding>, bool) {
    match run.bind(place) {
        Ok((_, checked)) => (checked.findings().to_vec(), true),
        Err(BindError::Rejected(rejected)) => (rejected.findings().to_vec(), false),
        Err(BindError::Write(error)) => panic!("{}: {error}", place.display()),
    }
}

/// What is wrong with one case: `keep` is the folder that holds the manual and nothing else.
fn disagreement(name: &str, keep: &Path, manual: &Path) -> Option<String> {
    let run = Run::read(manual).unwrap();
    let (said, passes) = inspected(&run);
    assert_eq!(passes, said.iter().all(|finding| !finding.is_error()), "{name}: what blocks it?");
    let place = keep.join("site");
    let (bound, written) = bound(&run, &place);
    if bound != said {
        return Some(format!("{name}: inspect finds\n{said:#?}\nand bind finds\n{bound:#?}"));
    }
    if written != passes {
        return Some(format!("{name}: inspect passes it: {passes}; bind writes it: {written}"));
    }
    let mut left: Vec<String> = fs::read_dir(keep)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    left.sort();
    let wanted: &[&str] = if passes { &["manual", "site"] } else { &["manual"] };
    if left != wanted {
        return Some(format!("{name}: beside the manual stands {left:?} and not {wanted:?}"));
    }
    let faults = if passes { workbench::manifest_faults(&place) } else { Vec::new() };
    (!faults.is_empty()).then(|| format!("{name}: {faults:?}"))
}

#[test]
fn inspect_and_bind_agree_on_every_fault() {
    let mut wrong = Vec::new();
    let names = cases::faults();
    for name in &names {
        let (keep, manual, ..) = cases::fault(name);
        wrong.extend(disagreement(name, keep.path(), &manual));
    }
    assert!(names.len() >= 60, "only {} cases were found", names.len());
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn inspect_and_bind_agree_on_every_case_of_the_rules() {
    let mut wrong = Vec::new();
    let names = cases::rules();
    for name in &names {
        let (keep, manual) = cases::rule(&workbench::root().join("tests/rules").join(name));
        wrong.extend(disagreement(name, keep.path(), &manual));
    }
    assert!(names.len() >= 100, "only {} cases were found", names.len());
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// What blocks a manual leaves a site that was bound before as it was.
#[test]
fn a_bind_that_is_refused_leaves_the_site_before_it() {
    let (keep, manual) = cases::fault_base();
    let place = keep.path().join("site");
    assert!(bound(&Run::read(&manual).unwrap(), &place).1);
    let before = workbench::snapshot(&place);
    fs::write(manual.join("stores/tools.yaml"), "a: [").unwrap();
    assert!(!bound(&Run::read(&manual).unwrap(), &place).1);
    assert_eq!(workbench::snapshot(&place), before);
}
