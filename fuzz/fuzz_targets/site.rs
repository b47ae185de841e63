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
        let text = String::from_utf8_lossy(bytes);
        let faults = match name.rsplit_once('.').map(|(_, ending)| ending) {
            Some("html") => purity::faults_of(name, &text),
            Some("svg") => drawing_faults(&text),
            _ => continue,
        };
        assert!(faults.is_empty(), "{name}: {faults:?}");
    }
});

/// Namespaces whose elements a browser runs, fetches for or links from. What stands in any other is never more than
/// data, whatever its attributes are called, so that a drawing is judged as XML and not as a page.
const LIVE: [&str; 3] =
    ["http://www.w3.org/2000/svg", "http://www.w3.org/1999/xhtml", "http://www.w3.org/1998/Math/MathML"];
const XLINK: &str = "http://www.w3.org/1999/xlink";
/// Elements of a drawing that run, embed or send.
const NEVER: [&str; 8] =
    ["script", "foreignobject", "iframe", "object", "embed", "handler", "listener", "form"];

/// What a drawing that stands as a file may not hold.
fn drawing_faults(text: &str) -> Vec<String> {
    let document = match roxmltree::Document::parse(text) {
        Ok(document) => document,
        Err(error) => return vec![format!("it is no XML: {error}")],
    };
    let live = document.descendants().filter(|node| {
        node.is_element() && node.tag_name().namespace().is_some_and(|space| LIVE.contains(&space))
    });
    live.flat_map(|node| {
        let name = node.tag_name().name();
        let element = NEVER.contains(&name.to_ascii_lowercase().as_str()).then(|| format!("<{name}>"));
        let attributes = node.attributes().filter_map(move |attribute| {
            let (key, value) = (attribute.name().to_ascii_lowercase(), attribute.value().trim());
            let own = attribute.namespace().is_none();
            let runs = own && key.starts_with("on");
            let leads = (own && ["href", "src"].contains(&key.as_str())
                || attribute.namespace() == Some(XLINK) && key == "href")
                && !value.starts_with('#')
                && !value.starts_with("data:image/");
            (runs || leads).then(|| format!("<{name} {key}=\"{value}\">"))
        });
        element.into_iter().chain(attributes)
    })
    .collect()
}
