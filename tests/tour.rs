//! The README's ten minutes, done: every file that it has the reader write makes a manual that inspects
//! clean, and the deletion that it suggests is found as it says.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::disallowed_methods)]

use benchleaf::Run;
use std::path::Path;

/// The files of the tour: fences whose info says `file=PATH`.
fn files() -> Vec<(String, String)> {
    let readme = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md")).unwrap();
    let mut files: Vec<(String, String)> = Vec::new();
    let mut open: Option<(String, String, String)> = None;
    for line in readme.lines() {
        let fence: String = line.chars().take_while(|c| *c == '`').collect();
        match &mut open {
            Some((until, ..)) if line == until => {
                let (_, path, text) = open.take().unwrap();
                files.push((path, text));
            }
            Some((_, _, text)) => {
                text.push_str(line);
                text.push('\n');
            }
            None => {
                if let (true, Some((_, path))) = (fence.len() >= 3, line.split_once(" file=")) {
                    open = Some((fence, path.to_owned(), String::new()));
                }
            }
        }
    }
    files
}

fn lay_out(folder: &Path, files: &[(String, String)]) {
    for (path, text) in files {
        let path = folder.join(path);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    }
}

#[test]
fn the_tour_binds() {
    let folder = tempfile::tempdir().unwrap();
    let files = files();
    assert_eq!(files.len(), 7, "shop, four stores, vehicle, procedure");
    lay_out(folder.path(), &files);
    let run = Run::read(folder.path()).unwrap();
    let checked = run.inspect().unwrap_or_else(|rejected| {
        panic!("{}", benchleaf::finding::text::render(rejected.findings(), run.source(), false))
    });
    let said = benchleaf::finding::text::render(checked.findings(), run.source(), false);
    assert!(checked.findings().is_empty(), "{said}");
}

#[test]
fn the_deleted_line_is_found_where_the_screws_came_out() {
    let folder = tempfile::tempdir().unwrap();
    let mut files = files();
    let procedure = &mut files.last_mut().unwrap().1;
    *procedure = procedure.replace("  - fasten: trim-screws\n", "");
    lay_out(folder.path(), &files);
    let run = Run::read(folder.path()).unwrap();
    let rejected = run.inspect().unwrap_err();
    let found = rejected.findings().iter().find(|finding| finding.code.0 == "LED-01").unwrap();
    let text = run.source().file(found.span.unwrap().file).unwrap().text().unwrap();
    let at = found.span.unwrap();
    assert_eq!(&text[at.start..at.end], "remove: trim-screws");
    assert!(found.help.as_ref().unwrap().contains("`- fasten: trim-screws`"), "{found:?}");
}

#[test]
fn a_site_written_page_by_page_is_the_one_rendered_whole() {
    let folder = tempfile::tempdir().unwrap();
    let (manual, place) = (folder.path().join("manual"), folder.path().join("site"));
    lay_out(&manual, &files());
    let run = Run::read(&manual).unwrap();
    let (pages, _) = run.render().map_err(|rejected| rejected.findings().to_vec()).unwrap();
    let (written, _) = run.bind(&place).unwrap();
    assert_eq!(written.files(), pages.files().len() + 1, "the manifest is one more");
    for (path, bytes) in pages.files() {
        assert_eq!(&std::fs::read(place.join(path)).unwrap(), bytes, "{path}");
    }
}
