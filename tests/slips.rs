//! Slips of a writer as data: each entry of tests/slips/slips.yaml changes one thing in the small manual of
//! tests/slips/manual/, which inspects without a word, and must give exactly one finding that names its cause.
//! Adding a slip is adding an entry.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "tests read and write files")]

mod workbench;

use serde::Deserialize;
use std::fs;
use std::path::PathBuf;
use workbench::inspection::{Found, inspect};

/// One slip.
#[derive(Debug, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
struct Slip {
    /// What the writer did.
    slip: String,
    /// The file that is changed, or a new one.
    file: String,
    /// What stands there; without it, the whole file is written anew.
    from: Option<String>,
    /// What the writer wrote instead.
    to: String,
    /// Whether every place is changed, and not only the first.
    #[serde(default)]
    everywhere: bool,
    /// Whether the file is saved in Windows-1252.
    #[serde(default)]
    windows_1252: bool,
    /// The one code that is found; none where the slip does no harm and is passed over.
    finds: Option<String>,
    /// What the line of the finding holds.
    at: Option<String>,
    /// What message or help say of the cause.
    #[serde(default)]
    says: Vec<String>,
}

fn folder() -> PathBuf {
    workbench::root().join("tests/slips")
}

/// The bytes of a text in Windows-1252, as far as its letters are those of Latin-1.
fn windows_1252(text: &str) -> Vec<u8> {
    text.chars().map(|letter| u8::try_from(u32::from(letter)).unwrap_or(b'?')).collect()
}

/// What is wrong with the answer to one slip.
fn faults(slip: &Slip) -> Vec<String> {
    let keep = workbench::folder();
    let manual = keep.path().join("manual");
    workbench::copy(&folder().join("manual"), &manual);
    let path = manual.join(&slip.file);
    let text = match &slip.from {
        None => slip.to.clone(),
        Some(from) => {
            let text = fs::read_to_string(&path).unwrap();
            assert!(text.contains(from.as_str()), "{}: `{from}` is not there", slip.slip);
            if slip.everywhere { text.replace(from, &slip.to) } else { text.replacen(from, &slip.to, 1) }
        }
    };
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    fs::write(&path, if slip.windows_1252 { windows_1252(&text) } else { text.clone().into_bytes() })
        .unwrap();
    let found = inspect(&manual);
    let said: String = found.iter().map(|found| format!("\n{}", found.shown)).collect();
    match (&slip.finds, found.as_slice()) {
        (None, []) => Vec::new(),
        (Some(code), [one]) if one.code == *code => answers(slip, &text, one),
        (wanted, all) => vec![format!("{}: {wanted:?} is wanted, and {} found:{said}", slip.slip, all.len())],
    }
}

/// Whether the one finding stands where it should and names the cause.
fn answers(slip: &Slip, text: &str, found: &Found) -> Vec<String> {
    let mut wrong = Vec::new();
    if found.file.as_deref().is_none_or(|file| !file.ends_with(&slip.file)) {
        wrong.push(format!("{}: another file is named: {found}", slip.slip));
    }
    let number = usize::try_from(found.line.unwrap_or(0)).unwrap();
    let line = text.lines().nth(number.saturating_sub(1)).unwrap_or_default();
    if slip.at.as_ref().is_some_and(|at| !line.contains(at.as_str())) {
        wrong.push(format!("{}: it stands at `{line}`:\n{}", slip.slip, found.shown));
    }
    let both = format!("{} {}", found.message, found.help.as_deref().unwrap_or_default());
    for words in slip.says.iter().filter(|words| !both.contains(words.as_str())) {
        wrong.push(format!("{}: nothing says `{words}`:\n{}", slip.slip, found.shown));
    }
    if found.help.is_none() && !found.message.contains("write") {
        wrong.push(format!("{}: nothing says what to write:\n{}", slip.slip, found.shown));
    }
    wrong
}

#[test]
fn the_manual_without_slips_is_passed_without_a_word() {
    let found = inspect(&folder().join("manual"));
    let said: String = found.iter().map(|found| format!("\n{}", found.shown)).collect();
    assert!(found.is_empty(), "{said}");
}

#[test]
fn each_slip_gives_the_one_finding_that_names_its_cause() {
    let text = fs::read_to_string(folder().join("slips.yaml")).unwrap();
    let slips: Vec<Slip> = serde_yaml::from_str(&text).unwrap();
    assert!(slips.len() >= 40, "only {} slips", slips.len());
    let wrong: Vec<String> = slips.iter().flat_map(faults).collect();
    assert!(wrong.is_empty(), "{} faults:\n{}", wrong.len(), wrong.join("\n"));
}
