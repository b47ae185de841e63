//! From sources to pages: any text in a procedure, a drawing, a style, a label file, a loom or the stores is
//! refused, or becomes a site in which nothing runs, nothing is inline and nothing is fetched. Run it with
//! `RUSTC_BOOTSTRAP=1 cargo fuzz run site -- -max_len=4096 -max_total_time=60`.
#![no_main]

#[path = "../../tests/workbench/html.rs"]
mod html;
#[path = "../../tests/workbench/purity.rs"]
mod purity;

use benchleaf::Run;
use benchleaf::source::{Content, Source};
use libfuzzer_sys::fuzz_target;

/// A small manual that binds.
const BASE: [(&str, &str); 12] = [
    ("clean.md", include_str!("../../tests/faults/none-a-clean-lid.md")),
    ("figures/lid.svg", include_str!("../../tests/faults/base/figures/lid.svg")),
    ("shop.yaml", include_str!("../../tests/faults/base/shop.yaml")),
    ("stores/cables.yaml", include_str!("../../tests/faults/base/stores/cables.yaml")),
    ("stores/fasteners.yaml", include_str!("../../tests/faults/base/stores/fasteners.yaml")),
    ("stores/hazards.yaml", include_str!("../../tests/faults/base/stores/hazards.yaml")),
    ("stores/joins.yaml", include_str!("../../tests/faults/base/stores/joins.yaml")),
    ("stores/protection.yaml", include_str!("../../tests/faults/base/stores/protection.yaml")),
    ("stores/services.yaml", include_str!("../../tests/faults/base/stores/services.yaml")),
    ("stores/sleeves.yaml", include_str!("../../tests/faults/base/stores/sleeves.yaml")),
    ("stores/tools.yaml", include_str!("../../tests/faults/base/stores/tools.yaml")),
    ("vehicles/van.yaml", include_str!("../../tests/faults/base/vehicles/van.yaml")),
];

/// Where the bytes go: into the words of the procedure, or as a whole file.
const PLACES: [&str; 8] = [
    "clean.md",
    "figures/lid.svg",
    "dress/card.css",
    "dress/en.yaml",
    "stores/tools.yaml",
    "vehicles/van.yaml",
    "vehicles/loom.csv",
    "figures/lid.png",
];

/// The sentence of the procedure whose place the bytes take.
const WORDS: &str = "The lamp sits behind the lid.";

fuzz_target!(|data: &[u8]| {
    let Some((first, rest)) = data.split_first() else { return };
    let place = PLACES[usize::from(*first) % PLACES.len()];
    let mut files: Vec<(String, Content)> = BASE
        .iter()
        .filter(|(path, _)| *path != place || place == "clean.md")
        .map(|(path, text)| match (*path == place, std::str::from_utf8(rest)) {
            (true, Ok(words)) => ((*path).to_owned(), Content::Text(text.replacen(WORDS, words, 1))),
            _ => ((*path).to_owned(), Content::Text((*text).to_owned())),
        })
        .collect();
    if place != "clean.md" {
        let content = match std::str::from_utf8(rest) {
            Ok(text) => Content::Text(text.to_owned()),
            Err(_) => Content::Binary(rest.to_vec()),
        };
        files.push((place.to_owned(), content));
    }
    let Ok((pages, _)) = Run::of(Source::held(files)).render() else { return };
    for (name, bytes) in pages.files() {
        if name.ends_with(".html") || name.ends_with(".svg") {
            let faults = purity::faults_of(name, &String::from_utf8_lossy(bytes));
            assert!(faults.is_empty(), "{faults:?}");
        }
    }
});
