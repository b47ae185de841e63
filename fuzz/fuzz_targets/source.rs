//! The front that reads what people write: any bytes as a procedure, a vehicle, a table or a stores file become
//! findings or a manual, and every finding can be shown. Run it with
//! `RUSTC_BOOTSTRAP=1 cargo fuzz run source -- -max_len=4096 -max_total_time=60`.
#![no_main]

use benchleaf::Run;
use benchleaf::finding::{json, text};
use benchleaf::source::{Content, Source};
use libfuzzer_sys::fuzz_target;

const SHOP: &str = "id: fuzz\nname: Fuzz\n";
const NAMES: [&str; 5] = ["a.md", "stores/tools.yaml", "vehicles/van.yaml", "tables/t.yaml", "shop.yaml"];

fuzz_target!(|data: &[u8]| {
    let Some((first, rest)) = data.split_first() else { return };
    let name = NAMES[usize::from(*first) % NAMES.len()];
    let content = match std::str::from_utf8(rest) {
        Ok(text) => Content::Text(text.to_owned()),
        Err(_) => Content::Binary(rest.to_vec()),
    };
    let mut files = vec![(name.to_owned(), content)];
    if name != "shop.yaml" {
        files.push(("shop.yaml".to_owned(), Content::Text(SHOP.to_owned())));
    }
    let run = Run::of(Source::held(files));
    let (_, findings) = run.parse();
    let _ = text::render(&findings, run.source(), false);
    let _ = json::render(&findings, run.source());
});
