//! A job sheet on paper: it is a document with pages, and each names its procedure and revision.

use std::fs;
use std::path::Path;
use std::process::Command;

/// What is wrong with the printed sheet of a procedure.
pub fn faults(sheet: &Path, document: &[u8]) -> Vec<String> {
    let id = sheet.parent().and_then(Path::file_name).map(|name| name.to_string_lossy()).unwrap_or_default();
    if !document.starts_with(b"%PDF") {
        return vec![format!("{id}: what was printed is no PDF")];
    }
    let pages = count(document);
    if pages == 0 {
        return vec![format!("{id}: the printed sheet has no page")];
    }
    let Some(texts) = texts(document) else { return Vec::new() };
    let mut found = Vec::new();
    if texts.len() != pages {
        found.push(format!("{id}: {pages} pages, and text on {}", texts.len()));
    }
    let revision = revision(sheet);
    for (number, text) in (1..).zip(&texts) {
        let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
        if !words.contains(&*id) {
            found.push(format!("{id}: page {number} does not name the procedure"));
        }
        if !words.to_lowercase().contains(&revision.to_lowercase()) {
            found.push(format!("{id}: page {number} does not say `{revision}`"));
        }
    }
    found
}

/// How many pages a document has, by its page objects.
fn count(document: &[u8]) -> usize {
    let text = String::from_utf8_lossy(document);
    text.match_indices("/Type /Page").filter(|(at, found)| !text[at + found.len()..].starts_with('s')).count()
}

/// The text of each page, where the reader of such documents is installed, which `./test` sees to.
fn texts(document: &[u8]) -> Option<Vec<String>> {
    let folder = crate::workbench::folder();
    let path = folder.path().join("sheet.pdf");
    fs::write(&path, document).expect("the document is written");
    let out = Command::new("pdftotext").arg("-layout").arg(&path).arg("-").output().ok()?;
    assert!(out.status.success(), "pdftotext: {}", String::from_utf8_lossy(&out.stderr));
    let text = String::from_utf8_lossy(&out.stdout).into_owned();
    Some(text.trim_end_matches('\u{c}').split('\u{c}').map(str::to_owned).collect())
}

/// `Revision B`, from the procedure's source.
fn revision(sheet: &Path) -> String {
    let id = sheet.parent().and_then(Path::file_name).expect("a folder").to_string_lossy().into_owned();
    let demo = crate::workbench::demo();
    let source = crate::workbench::files(&demo)
        .into_iter()
        .filter(|name| name.ends_with(".md"))
        .map(|name| fs::read_to_string(demo.join(name)).expect("the demo is text"))
        .find(|text| text.lines().any(|line| line == format!("id: {id}")))
        .unwrap_or_else(|| panic!("no procedure of the demo has the id `{id}`"));
    let letter = source.split("letter:").nth(1).expect("a revision").trim_start();
    format!("Revision {}", letter.split([',', '}', '\n']).next().unwrap_or_default().trim())
}
