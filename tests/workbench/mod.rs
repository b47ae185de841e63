//! What several tests share: copies of manuals in temporary folders, and the demo as it is committed.
#![allow(dead_code, reason = "every test takes what it needs of this")]

pub mod binding;
pub mod cases;
pub mod html;
pub mod inspection;
pub mod purity;
pub mod seeded;
pub mod things;

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// The folder of this crate.
pub fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// The demo manual.
pub fn demo() -> PathBuf {
    root().join("procedures")
}

/// The demo manual as bound and committed.
pub fn site() -> PathBuf {
    root().join("site-demo")
}

/// A fresh temporary folder, deleted when dropped.
pub fn folder() -> tempfile::TempDir {
    tempfile::Builder::new().prefix("benchleaf-test-").tempdir().expect("a temporary folder")
}

/// A copy of the demo in a fresh temporary folder, as `manual` in it.
pub fn demo_copy() -> (tempfile::TempDir, PathBuf) {
    let keep = folder();
    let manual = keep.path().join("manual");
    copy(&demo(), &manual);
    (keep, manual)
}

/// Copies a folder with all that is in it.
pub fn copy(from: &Path, to: &Path) {
    for name in files(from) {
        let target = to.join(&name);
        fs::create_dir_all(target.parent().expect("a folder")).expect("the folder is made");
        fs::copy(from.join(&name), target).expect("the file is copied");
    }
}

/// Every file below a folder, by path with `/`, sorted by byte.
pub fn files(root: &Path) -> Vec<String> {
    let mut names: Vec<String> = walkdir::WalkDir::new(root)
        .into_iter()
        .map(|entry| entry.unwrap_or_else(|error| panic!("{}: {error}", root.display())))
        .filter(|entry| !entry.file_type().is_dir())
        .map(|entry| {
            let below = entry.path().strip_prefix(root).expect("below the root");
            below.components().map(|part| part.as_os_str().to_string_lossy()).collect::<Vec<_>>().join("/")
        })
        .collect();
    names.sort();
    names
}

/// Every file below a folder with its bytes.
pub fn snapshot(root: &Path) -> BTreeMap<String, Vec<u8>> {
    let read = |name: String| {
        let bytes = fs::read(root.join(&name)).unwrap_or_else(|error| panic!("{name}: {error}"));
        (name, bytes)
    };
    files(root).into_iter().map(read).collect()
}

/// What the pages and drawings of a site hold and may not.
pub fn impurities(site: &Path) -> Vec<String> {
    let shown = |name: &String| name.ends_with(".html") || name.ends_with(".svg");
    let faults = files(site).into_iter().filter(shown).flat_map(|name| {
        let bytes = fs::read(site.join(&name)).unwrap_or_default();
        purity::faults_of(&name, &String::from_utf8_lossy(&bytes))
    });
    faults.collect()
}

/// What is wrong with a bound site when it is held against its own manifest; nothing where it is whole.
pub fn manifest_faults(site: &Path) -> Vec<String> {
    use sha2::{Digest, Sha256};
    const NAME: &str = "manifest-sha256.txt";
    let mut held = snapshot(site);
    let Some(manifest) = held.remove(NAME) else { return vec![format!("there is no {NAME}")] };
    let mut faults = Vec::new();
    for line in String::from_utf8_lossy(&manifest).lines() {
        let Some((hash, name)) = line.split_once("  ") else {
            faults.push(format!("`{line}` is not a line that sha256sum reads"));
            continue;
        };
        match held.remove(name) {
            None => faults.push(format!("`{name}` is listed and missing")),
            Some(bytes) => {
                let is: String = Sha256::digest(&bytes).iter().map(|byte| format!("{byte:02x}")).collect();
                if is != hash {
                    faults.push(format!("`{name}` holds other bytes than listed"));
                }
            }
        }
    }
    faults.extend(held.into_keys().map(|name| format!("`{name}` is not listed")));
    faults
}
