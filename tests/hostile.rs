//! Hostile sources: whatever stands in prose stays words, and what a drawing must not hold is refused at its
//! place. Adding a case to prose is adding lines to `prose.md`.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "tests read and write files")]

mod workbench;

use std::fs;
use std::path::{Path, PathBuf};
use workbench::{binding, html, purity};

/// The folder of the cases.
fn cases() -> PathBuf {
    workbench::root().join("tests/hostile")
}

/// A small manual that binds, in a temporary folder, with words in its introduction.
fn manual(introduction: &str) -> (tempfile::TempDir, PathBuf) {
    let keep = workbench::folder();
    let manual = keep.path().join("manual");
    workbench::copy(&workbench::root().join("tests/faults/base"), &manual);
    let clean = fs::read_to_string(workbench::root().join("tests/faults/none-a-clean-lid.md")).unwrap();
    let text = clean.replacen("The lamp sits behind the lid.", introduction, 1);
    assert!(text.contains(introduction), "the clean case has lost its introduction");
    fs::write(manual.join("clean.md"), text).unwrap();
    (keep, manual)
}

/// The page of the procedure of a bound site.
fn page(site: &Path) -> String {
    fs::read_to_string(site.join("procedures/none-a-clean-lid/index.html")).unwrap()
}

#[test]
fn hostile_prose_stays_words_on_every_page() {
    let (keep, manual) = manual(&fs::read_to_string(cases().join("prose.md")).unwrap());
    let site = keep.path().join("site");
    binding::bind(&manual, &site).unwrap();
    assert_eq!(purity::faults(&site), Vec::<String>::new());
    let tags = html::tags(&page(&site));
    let alternatives: Vec<&str> = tags
        .iter()
        .filter(|tag| tag.name == "img" && tag.attribute("src").is_some_and(|src| src.ends_with("lid.svg")))
        .filter_map(|tag| tag.attribute("alt"))
        .collect();
    for wanted in [
        "a\" onerror=\"x\" style=\"position:fixed\" b",
        "a 12\" <b onload=x> & 'quoted' code bold Hexalobular driver 25 lid",
        "outer inner\" onload=\"x end",
    ] {
        assert!(alternatives.contains(&wanted), "{wanted} is none of {alternatives:?}");
    }
}

#[test]
fn the_judge_of_pages_knows_what_it_looks_for() {
    for bad in [
        "<p onclick=\"x\">",
        "<p style=\"x\">",
        "<script>x</script>",
        "<script src=\"//example.org/x.js\"></script>",
        "<a href=\"java\tscript:x\">",
        "<img src=\"https://example.org/x.png\">",
        "<a href=\"data:text/html,x\">",
        "<iframe src=\"x.html\">",
        "<style>x</style>",
    ] {
        assert_eq!(purity::faults_of("a.html", bad).len(), 1, "{bad}");
    }
    for good in [
        "<a href=\"https://example.org/\">",
        "<a href=\"../a/b.html#c:d\">",
        "<script src=\"assets/a.js\"></script>",
        "<script type=\"application/json\">{}</script>",
        "<p data-on=\"x\" alt=\"a onclick=b\">",
    ] {
        assert_eq!(purity::faults_of("a.html", good), Vec::<String>::new(), "{good}");
    }
}
