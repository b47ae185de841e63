//! The demo in a real browser, from disk, with the network watched: no complaint, no failed or foreign
//! request, no dead link, whole without scripts, and a job sheet that prints.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "tests read files and wait for a browser")]

mod devtools;
mod firefox;
mod links;
mod paper;
#[path = "../workbench/mod.rs"]
mod workbench;

use devtools::{Browser, Seen, address_of};
use std::fs;
use std::path::{Path, PathBuf};

/// Every page of the bound demo.
fn pages() -> Vec<PathBuf> {
    let site = workbench::site();
    let pages: Vec<PathBuf> = workbench::files(&site)
        .into_iter()
        .filter(|name| name.ends_with(".html"))
        .map(|name| site.join(name))
        .collect();
    assert!(!pages.is_empty(), "site-demo/ holds no page: `UPDATE=1 ./test --test demo` writes it");
    pages
}

/// What is wrong with how a page of the site behaved.
fn faults(page: &Path, site: &Path, seen: &Seen) -> Vec<String> {
    let name = page.strip_prefix(site).unwrap_or(page).display();
    let home = address_of(site);
    let foreign = seen.requests.iter().filter(|to| !to.starts_with(&home) && !to.starts_with("data:"));
    let foreign = foreign.map(|to| format!("{name}: a request outside the site: {to}"));
    let complaints = seen.complaints.iter().map(|text| format!("{name}: on the console: {text}"));
    let failures = seen.failures.iter().map(|text| format!("{name}: a request failed: {text}"));
    foreign.chain(complaints).chain(failures).collect()
}

fn assert_none(faults: &[String]) {
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
}

#[test]
fn every_page_opens_from_disk_without_complaint() {
    let site = workbench::site();
    let mut browser = Browser::start();
    let mut found = Vec::new();
    for page in pages() {
        let seen = browser.open(&page);
        assert!(seen.requests.contains(&address_of(&page)), "the network is not watched: {seen:?}");
        found.extend(faults(&page, &site, &seen));
    }
    assert_none(&found);
}

/// One page of each kind, and an empty one that shows what the check is worth.
#[test]
fn a_second_engine_draws_every_kind_of_page() {
    let site = workbench::site();
    let empty = workbench::folder();
    fs::write(empty.path().join("empty.html"), "<!DOCTYPE html><title>Empty</title>").unwrap();
    let nothing = firefox::picture(&empty.path().join("empty.html")).bytes;
    let mut found = Vec::new();
    for name in [
        "index.html",
        "cables.html",
        "search.html",
        "tables/sleeve-chart.html",
        "procedures/door-loom/index.html",
        "procedures/door-loom/join-schedule.html",
        "procedures/door-loom/workings.html",
        "procedures/door-loom/parking.html",
    ] {
        let picture = firefox::picture(&site.join(name));
        if picture.size.0 != firefox::width() {
            found.push(format!("{name}: {} px wide", picture.size.0));
        }
        if picture.bytes < 4 * nothing {
            found.push(format!("{name}: {} bytes, and an empty page has {nothing}", picture.bytes));
        }
    }
    assert_none(&found);
}

/// The other tests are worth something only if a fault would be seen; here is one of each.
#[test]
fn a_page_with_faults_is_seen_through() {
    let folder = workbench::folder();
    let page = folder.path().join("index.html");
    fs::write(folder.path().join("wrong.js"), "console.error('planted'); undeclared.call();").unwrap();
    let text = r#"<!doctype html><meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; script-src 'self'; img-src *">
<title>Planted</title><script src="wrong.js"></script><script>1</script>
<img src="missing.png" alt=""><img src="http://127.0.0.1:9/elsewhere.png" alt="">"#;
    fs::write(&page, text).unwrap();
    let seen = Browser::start().open(&page);
    let found = faults(&page, folder.path(), &seen).join("\n");
    for planted in [
        "planted",
        "undeclared",
        "Content Security Policy",
        "missing.png",
        "elsewhere.png",
        "a request failed",
    ] {
        assert!(found.contains(planted), "`{planted}` is not in:\n{found}");
    }
}

#[test]
fn no_link_of_the_demo_is_dead() {
    assert_none(&links::dead(&workbench::site()));
}

/// A tap on the front page's first procedure leads there, and its job sheet is one tap further.
#[test]
fn a_reader_walks_from_the_front_page_to_the_job_sheet() {
    let mut browser = Browser::start();
    browser.open(&workbench::site().join("index.html"));
    tap(&mut browser, "main a[href*='procedures/'][href*='index.html']");
    assert!(here(&mut browser).ends_with("/index.html"), "{}", here(&mut browser));
    tap(&mut browser, "a[href*='job-sheet.html']");
    assert!(here(&mut browser).contains("/job-sheet.html"), "{}", here(&mut browser));
    let seen = browser.seen();
    assert!(seen.complaints.is_empty() && seen.failures.is_empty(), "{seen:?}");
}

fn tap(browser: &mut Browser, selector: &str) {
    let before = here(browser);
    let tapped = browser.evaluate(&format!(
        "(() => {{ const a = document.querySelector({selector:?}); if (a) a.click(); return !!a; }})()"
    ));
    assert_eq!(tapped, true, "{before} has no `{selector}`");
    let start = std::time::Instant::now();
    // While the page is exchanged it has no address to tell.
    while browser.ask("location.href").is_none_or(|address| address == before.as_str()) {
        assert!(start.elapsed().as_secs() < 10, "a tap on `{selector}` leads nowhere");
    }
    browser.settle();
}

fn here(browser: &mut Browser) -> String {
    browser.evaluate("location.href").as_str().unwrap_or_default().to_owned()
}

/// A page that needs its script for reading would leave a reader with an old tablet alone.
#[test]
fn pages_hold_the_same_text_without_scripts() {
    let site = workbench::site();
    let mut browser = Browser::start();
    let heads =
        "[...document.querySelectorAll('h1, h2, h3, main table')].map(e => e.textContent.trim()).join('|')";
    for page in pages().into_iter().filter(|page| page.starts_with(site.join("procedures"))).take(12) {
        browser.scripts(false);
        browser.open(&page);
        let without = browser.evaluate(heads);
        browser.scripts(true);
        browser.open(&page);
        let with = browser.evaluate(heads).as_str().unwrap_or_default().to_owned();
        for head in without.as_str().unwrap_or_default().split('|') {
            assert!(with.contains(head), "{}: `{head}` is gone once scripts run", page.display());
        }
        assert!(
            without.as_str().is_some_and(|text| !text.is_empty()),
            "{}: empty without scripts",
            page.display()
        );
    }
}

/// A job sheet is for paper and may be wider.
#[test]
fn no_page_is_wider_than_a_narrow_screen() {
    let site = workbench::site();
    let mut browser = Browser::start();
    browser.resize(360, 740);
    let mut found = Vec::new();
    for page in pages().into_iter().filter(|page| !page.ends_with("job-sheet.html")) {
        browser.open(&page);
        let width = browser.evaluate("document.documentElement.scrollWidth").as_u64().unwrap_or_default();
        if width > 360 {
            found.push(format!("{}: {width} px wide", page.strip_prefix(&site).unwrap().display()));
        }
    }
    assert_none(&found);
}

#[test]
fn every_job_sheet_prints_with_its_header_on_every_page() {
    let sheets: Vec<PathBuf> = pages().into_iter().filter(|page| page.ends_with("job-sheet.html")).collect();
    assert!(!sheets.is_empty(), "the demo holds no job sheet");
    let mut browser = Browser::start();
    let mut found = Vec::new();
    for sheet in sheets {
        let seen = browser.open(&sheet);
        assert!(seen.complaints.is_empty() && seen.failures.is_empty(), "{}: {seen:?}", sheet.display());
        found.extend(paper::faults(&sheet, &browser.print()));
    }
    assert_none(&found);
}
