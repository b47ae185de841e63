//! A kind of store that is declared is read, referred to, listed, found and sought, without a line of code of its
//! own: fuses, which nothing else in the program names, are the proof.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "tests read and write files")]

mod workbench;

use std::fs;
use std::path::{Path, PathBuf};
use workbench::binding::bind;
use workbench::inspection::inspect;

/// A small manual with fuses, one of which its procedure names.
fn manual(fuses: &str, text: &str) -> (tempfile::TempDir, PathBuf) {
    let keep = workbench::folder();
    let manual = keep.path().join("manual");
    workbench::copy(&workbench::root().join("tests/faults/base"), &manual);
    let clean = workbench::root().join("tests/faults/none-a-clean-lid.md");
    let procedure = fs::read_to_string(clean).unwrap();
    let opening = "The lamp sits behind the lid.";
    assert!(procedure.contains(opening));
    fs::write(manual.join("clean.md"), procedure.replace(opening, &format!("{opening} {text}"))).unwrap();
    fs::write(manual.join("stores/fuses.yaml"), fuses).unwrap();
    (keep, manual)
}

const FUSES: &str =
    "blade-10: {name: Blade fuse 10 A, rating: 10 A, resistance: 7.7 mΩ, source: invented, also: [mini]}\n";

fn page(place: &Path, name: &str) -> String {
    fs::read_to_string(place.join(name)).unwrap_or_default()
}

#[test]
fn fuses_have_a_register_a_place_in_the_search_and_references() {
    let (keep, manual) = manual(FUSES, "Its feed is behind <fuse:blade-10>, of <fuse:blade-10.resistance>.");
    let place = keep.path().join("site");
    bind(&manual, &place).unwrap();
    let register = page(&place, "fuses.html");
    for wanted in ["id=\"blade-10\"", "Blade fuse 10 A", "Rated current", "Cold resistance", "7.7"] {
        assert!(register.contains(wanted), "fuses.html lacks {wanted}");
    }
    assert!(page(&place, "index.html").contains("href=\"fuses.html\""), "the front page does not lead there");
    assert!(page(&place, "search.html").contains("href=\"fuses.html#blade-10\""), "search does not list it");
    let procedure = page(&place, "procedures/none-a-clean-lid/index.html");
    assert!(procedure.contains("href=\"../../fuses.html#blade-10\""), "the reference leads nowhere");
}

#[test]
fn a_manual_without_fuses_has_no_register_of_them() {
    let (keep, manual) = manual("", "");
    let place = keep.path().join("site");
    bind(&manual, &place).unwrap();
    assert!(!place.join("fuses.html").exists());
    assert!(!page(&place, "index.html").contains("fuses.html"));
}

#[test]
fn a_misspelt_fuse_and_a_wrong_key_of_one_are_told() {
    let (_keep, misspelt) = manual(FUSES, "It is behind <fuse:blade-01>.");
    let found = inspect(&misspelt);
    let helps: Vec<_> =
        found.iter().filter(|found| found.is_error()).map(|found| found.help.clone()).collect();
    assert!(matches!(helps.as_slice(), [Some(help)] if help.contains("blade-10")), "{found:?}");
    let (_keep, wrong) = manual(&FUSES.replace("7.7 mΩ", "0 mΩ"), "");
    let found = inspect(&wrong);
    let errors: Vec<_> = found.iter().filter(|found| found.is_error()).collect();
    assert!(matches!(errors.as_slice(), [one] if one.shown.contains("more than 0 mΩ")), "{found:?}");
}
