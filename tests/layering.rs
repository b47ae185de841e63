//! The shape of the code, executed: which module may import which, no circles, and how a file is written.
//! The table is the one of the design; an edge that it does not hold is a question for a review, not for
//! this test.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "tests read files")]

mod workbench;

use std::collections::{BTreeMap, BTreeSet};
use std::fs;

/// Values and nouns.
const BASE: &[&str] = &["phrase", "quantity", "finding", "model"];
/// Pure kits.
const KITS: &[&str] = &["workings", "drawings", "ledger"];
/// What lies over all stages and may name each of them.
const TOP: &[&str] = &["lib", "run", "cli"];

/// Each module with what it may import.
fn table() -> BTreeMap<&'static str, BTreeSet<&'static str>> {
    let with = |groups: &[&[&'static str]]| groups.iter().flat_map(|group| group.iter().copied()).collect();
    BTreeMap::from([
        ("phrase", with(&[])),
        ("quantity", with(&[&["phrase"]])),
        ("finding", with(&[&["phrase"]])),
        ("model", with(&[&["phrase", "quantity"]])),
        ("workings", with(&[&["phrase", "quantity"]])),
        ("drawings", with(&[&["phrase", "quantity", "workings"]])),
        ("ledger", with(&[&["model"]])),
        ("source", with(&[&["finding"]])),
        ("stylesheet", with(&[])),
        ("picture", with(&[&["finding", "stylesheet"]])),
        ("parse", with(&[BASE, &["source", "picture"]])),
        ("work", with(&[BASE, KITS, &["parse"]])),
        ("check", with(&[BASE, KITS, &["parse", "work", "source"]])),
        ("theme", with(&[BASE, &["source", "stylesheet"]])),
        ("page", with(&[BASE, KITS, &["parse", "work", "check", "theme"]])),
        ("search", with(&[&["page"]])),
        ("write", with(&[&["page"]])),
        ("proof", with(&[&["page"]])),
        ("release", with(&[&["write", "source", "finding"]])),
        ("main", with(&[&["cli"]])),
    ])
}

/// Of the reading, the pages take only these: a span for a place, and prose as it is rendered.
const PAGE_TAKES_OF_PARSE: &[&str] = &["span", "read_prose", "Seen"];

/// What leads from one stage to the next: only the one road takes these.
const ARROWS: &[[&str; 2]] = &[
    ["source", "Source::read"],
    ["parse", "parse"],
    ["work", "work"],
    ["theme", "Theme::load"],
    ["check", "check"],
    ["page", "draw"],
    ["page", "render"],
    ["search", "add"],
    ["search", "script"],
    ["write", "Draft"],
];

/// A source file without its tests, its comments and the insides of its strings.
struct Code {
    name: String,
    text: String,
    code: String,
}

fn sources() -> Vec<Code> {
    let root = workbench::root().join("src");
    let names = workbench::files(&root).into_iter().filter(|name| name.ends_with(".rs"));
    let texts: Vec<(String, String)> = names
        .map(|name| (name.clone(), fs::read_to_string(root.join(name)).expect("source is UTF-8")))
        .collect();
    let tests: BTreeSet<String> = texts.iter().flat_map(|(name, text)| test_files(name, text)).collect();
    texts
        .into_iter()
        .map(|(name, text)| {
            // A file of tests is all tests; elsewhere they stand at the end.
            let code = if tests.contains(&name) { "" } else { text.split(TESTS).next().unwrap_or_default() };
            let code = bare(code);
            Code { name, text, code }
        })
        .collect()
}

/// What stands before the tests of a file.
const TESTS: &str = "#[cfg(test)]\nmod tests {";

/// The files that a file takes in for its tests only, with `#[cfg(test)] mod name;`.
fn test_files(name: &str, text: &str) -> Vec<String> {
    let folder = match name.rsplit_once('/') {
        Some((folder, "mod.rs")) => format!("{folder}/"),
        _ if matches!(name, "lib.rs" | "main.rs") => String::new(),
        _ => format!("{}/", name.trim_end_matches(".rs")),
    };
    text.match_indices("#[cfg(test)]\n")
        .filter_map(|(at, mark)| {
            let declared = text[at + mark.len()..].lines().next()?.trim().rsplit_once("mod ")?.1;
            declared.strip_suffix(';').map(|module| format!("{folder}{module}.rs"))
        })
        .collect()
}

/// The code with comments and the insides of strings replaced by nothing, line by line.
fn bare(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some(next) = rest.chars().next() {
        let skipped = if rest.starts_with("//") {
            rest.find('\n').unwrap_or(rest.len())
        } else if rest.starts_with("/*") {
            rest.find("*/").map_or(rest.len(), |end| end + 2)
        } else if let Some(length) = raw_string(rest) {
            length
        } else if next == '"' {
            string(rest)
        } else if rest.starts_with("'\"'") {
            3
        } else if let Some(escaped) = rest.strip_prefix("'\\") {
            // What follows the backslash may itself be a quotation mark.
            let end = escaped.char_indices().skip(1).find(|(_, character)| *character == '\'');
            end.map_or(rest.len(), |(end, _)| end + 3)
        } else {
            0
        };
        if skipped > 0 {
            out.extend(rest[..skipped].chars().filter(|c| *c == '\n'));
            rest = &rest[skipped..];
        } else {
            out.push(next);
            rest = &rest[next.len_utf8()..];
        }
    }
    out
}

/// The length of a raw string that begins here.
fn raw_string(text: &str) -> Option<usize> {
    let after = text.strip_prefix('r')?;
    let hashes = after.len() - after.trim_start_matches('#').len();
    let inner = after[hashes..].strip_prefix('"')?;
    let close = format!("\"{}", "#".repeat(hashes));
    let end = inner.find(&close).map_or(inner.len(), |at| at + close.len());
    Some(1 + hashes + 1 + end)
}

/// The length of the string that begins here.
fn string(text: &str) -> usize {
    let mut escaped = false;
    for (at, character) in text.char_indices().skip(1) {
        match character {
            _ if escaped => escaped = false,
            '\\' => escaped = true,
            '"' => return at + 1,
            _ => {}
        }
    }
    text.len()
}

/// The module that a file belongs to: its folder, or its own name.
fn module(name: &str) -> &str {
    name.split('/').next().unwrap_or_default().trim_end_matches(".rs")
}

/// Every path that begins at the crate's root, without `crate`.
fn paths(code: &str) -> BTreeSet<Vec<String>> {
    let mut found = paths_from(code, "crate::");
    found.extend(paths_from(code, "benchleaf::"));
    found
}

/// Every path that begins with `start`, without it.
fn paths_from(code: &str, start: &str) -> BTreeSet<Vec<String>> {
    let mut found = BTreeSet::new();
    for (at, _) in code.match_indices(start) {
        let before = code[..at].chars().next_back();
        if before.is_none_or(|c| !c.is_alphanumeric() && c != '_' && c != ':') {
            expand(&code[at + start.len()..], &mut Vec::new(), &mut found);
        }
    }
    found
}

/// Follows one path, into the braces of a group; returns what stands after it.
fn expand<'a>(text: &'a str, path: &mut Vec<String>, found: &mut BTreeSet<Vec<String>>) -> &'a str {
    let text = text.trim_start();
    if let Some(mut rest) = text.strip_prefix('{') {
        loop {
            rest = expand(rest, path, found).trim_start();
            match rest.strip_prefix(',') {
                Some(more) if !more.trim_start().starts_with('}') => rest = more,
                Some(more) => return more.trim_start().trim_start_matches('}'),
                None => return rest.strip_prefix('}').unwrap_or(rest),
            }
        }
    }
    let end = text.find(|c: char| !c.is_alphanumeric() && c != '_').unwrap_or(text.len());
    path.push(text[..end].to_owned());
    let mut rest = &text[end..];
    if let Some(inner) = rest.strip_prefix("::") {
        rest = expand(inner, path, found);
    } else {
        found.insert(path.clone());
        if let Some(renamed) = rest.trim_start().strip_prefix("as ") {
            rest = renamed.trim_start().trim_start_matches(|c: char| c.is_alphanumeric() || c == '_');
        }
    }
    path.pop();
    rest
}

#[test]
fn every_import_is_in_the_table() {
    let table = table();
    let mut wrong = Vec::new();
    for file in sources() {
        let from = module(&file.name);
        if TOP.contains(&from) {
            continue;
        }
        let Some(may) = table.get(from) else {
            wrong.push(format!("src/{}: the module `{from}` is not in the table", file.name));
            continue;
        };
        for path in paths(&file.code) {
            let to = path[0].as_str();
            if to == from {
                continue;
            }
            if !may.contains(to) {
                wrong.push(format!("src/{}: `{from}` may not import `{to}`", file.name));
            } else if from == "page" && to == "parse" && !PAGE_TAKES_OF_PARSE.contains(&path[1].as_str()) {
                wrong.push(format!("src/{}: of `parse`, a page does not take `{}`", file.name, path[1]));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn only_the_one_road_leads_from_stage_to_stage() {
    let mut wrong = Vec::new();
    let mut taken = BTreeSet::new();
    for file in sources() {
        for [module, arrow] in ARROWS {
            // A function is called by its own name, or through its module.
            let imported = paths(&file.code).contains(&vec![(*module).to_owned(), (*arrow).to_owned()]);
            let through = format!("{module}::{arrow}(");
            // What a type makes is called by the type's name, which may be imported for other reasons.
            let of_a_type = arrow.contains("::") && file.code.contains(&format!("{arrow}("));
            if !imported && !of_a_type && !file.code.contains(&through) {
                continue;
            }
            if file.name == "run.rs" {
                taken.insert([*module, *arrow]);
            } else {
                wrong.push(format!("src/{}: `{module}::{arrow}` is for the one road alone", file.name));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert_eq!(taken.len(), ARROWS.len(), "the road takes only {taken:?}");
}

#[test]
fn no_two_modules_import_each_other_in_a_circle() {
    let mut edges: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for (from, to) in table() {
        edges.entry(from.into()).or_default().extend(to.into_iter().map(str::to_owned));
    }
    for file in sources() {
        let from = module(&file.name).to_owned();
        if TOP.contains(&from.as_str()) {
            continue;
        }
        let to = paths(&file.code).into_iter().map(|path| path[0].clone()).filter(|to| *to != from);
        edges.entry(from.clone()).or_default().extend(to);
    }
    let circle = in_circles(edges);
    assert!(circle.is_empty(), "these hang in a circle: {circle:?}");
}

/// What is left of a graph when what leads nowhere and what nothing leads to are taken away, again and again: the
/// circles, and what lies between two of them.
fn in_circles(mut edges: BTreeMap<String, BTreeSet<String>>) -> BTreeMap<String, BTreeSet<String>> {
    loop {
        let from: BTreeSet<String> = edges.keys().cloned().collect();
        edges.values_mut().for_each(|to| to.retain(|to| from.contains(to)));
        let to: BTreeSet<String> = edges.values().flatten().cloned().collect();
        let before = edges.len();
        edges.retain(|from, leads_to| to.contains(from) && !leads_to.is_empty());
        if edges.len() == before {
            return edges;
        }
    }
}

/// The module that a file is, name by name from the crate's root.
fn module_path(file: &str) -> Vec<String> {
    let name = file.trim_end_matches(".rs");
    let name = name.strip_suffix("/mod").unwrap_or(name);
    if matches!(name, "lib" | "main") { Vec::new() } else { name.split('/').map(str::to_owned).collect() }
}

/// The paths that a file names in its own crate, each from the crate's root.
fn from_the_root(file: &Code) -> BTreeSet<Vec<String>> {
    let here = module_path(&file.name);
    let above = &here[..here.len().saturating_sub(1)];
    let mut found = paths(&file.code);
    for (start, base) in [("self::", &here[..]), ("super::", above)] {
        let named = paths_from(&file.code, start).into_iter();
        found.extend(named.map(|path| base.iter().cloned().chain(path).collect::<Vec<_>>()));
    }
    found
}

/// The names that a module takes from the modules inside it, each with the one that it is from: who asks the
/// module for such a name asks that one.
fn taken_in(file: &Code, inside: &BTreeSet<String>) -> BTreeMap<String, String> {
    let mut found = BTreeMap::new();
    for start in inside {
        for path in paths_from(&file.code, &format!("{start}::")) {
            if let Some(name) = path.last().filter(|name| name.as_str() != "self") {
                found.insert(name.clone(), start.clone());
            }
        }
    }
    found
}

/// Within each folder, which of its modules asks for which other one.
fn neighbours(sources: &[Code]) -> BTreeMap<Vec<String>, BTreeMap<String, BTreeSet<String>>> {
    let modules: BTreeSet<Vec<String>> = sources.iter().map(|file| module_path(&file.name)).collect();
    let inside = |folder: &[String]| -> BTreeSet<String> {
        let below = modules.iter().filter(|module| module.len() > folder.len() && module.starts_with(folder));
        below.map(|module| module[folder.len()].clone()).collect()
    };
    let mut found: BTreeMap<Vec<String>, BTreeMap<String, BTreeSet<String>>> = BTreeMap::new();
    for file in sources {
        let here = module_path(&file.name);
        for path in from_the_root(file) {
            for depth in 1..here.len() {
                let folder = &here[..depth];
                if path.len() <= depth || !path.starts_with(folder) {
                    continue;
                }
                let inside = inside(folder);
                let holder = sources.iter().find(|file| module_path(&file.name) == folder);
                let through = || holder.and_then(|holder| taken_in(holder, &inside).remove(&path[depth]));
                let to = if inside.contains(&path[depth]) { Some(path[depth].clone()) } else { through() };
                if let Some(to) = to.filter(|to| *to != here[depth]) {
                    let edges = found.entry(folder.to_vec()).or_default();
                    edges.entry(here[depth].clone()).or_default().insert(to);
                }
            }
        }
    }
    found
}

#[test]
fn no_two_files_of_a_folder_import_each_other_in_a_circle() {
    let circles = neighbours(&sources()).into_iter().filter_map(|(folder, edges)| {
        let circle = in_circles(edges);
        (!circle.is_empty())
            .then(|| format!("in src/{}, these hang in a circle: {circle:?}", folder.join("/")))
    });
    let circles: Vec<String> = circles.collect();
    assert!(circles.is_empty(), "{}", circles.join("\n"));
}

#[test]
fn circles_are_found_in_all_their_forms() {
    let file = |name: &str, code: &str| Code { name: name.into(), text: String::new(), code: bare(code) };
    let circles = |one: &str, other: &str| {
        let holder = file("a/mod.rs", "mod b;\nmod c;\npub(crate) use b::B;\nuse c::{C as D, E};");
        let found =
            neighbours(&[holder, file("a/b.rs", one), file("a/c/mod.rs", ""), file("a/c/d.rs", other)]);
        found.into_values().map(in_circles).filter(|circle| !circle.is_empty()).count()
    };
    // By its own path, from above, and by a name that the folder's module passes on.
    for one in
        ["use crate::a::c::E;", "use super::c;", "use super::{x, c::{E}};", "use crate::a::E;", "super::E(0)"]
    {
        for other in ["use crate::a::b::B;", "use crate::a::{B};"] {
            assert_eq!(circles(one, other), 1, "{one} {other}");
        }
        assert_eq!(circles(one, "use crate::a::F; use super::E;"), 0, "{one}");
        assert_eq!(circles(one, "// use crate::a::B;"), 0, "{one}");
    }
    assert_eq!(circles("use crate::b;", "use crate::a::b::B;"), 0);
}

/// Within one module's folder, `super::` between neighbours is fine; it never reaches the crate's root, from
/// where it would get round the table, and never climbs twice.
#[test]
fn nothing_climbs_out_of_its_module() {
    let mut wrong = Vec::new();
    for file in sources() {
        let at_the_top =
            !file.name.contains('/') || file.name.matches('/').count() == 1 && file.name.ends_with("/mod.rs");
        if file.code.contains("super::super") {
            wrong.push(format!("src/{}: climbs twice with `super::super`", file.name));
        }
        if at_the_top && file.code.contains("super::") {
            wrong.push(format!("src/{}: `super::` leads to the crate's root here", file.name));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_file_says_what_it_is_and_is_short() {
    let mut wrong = Vec::new();
    for file in sources() {
        if !file.text.starts_with("//! ") {
            wrong.push(format!("src/{}: does not open with `//!`", file.name));
        }
        let lines = file.text.lines().count();
        // A table of data may pass the ceiling when its head says that it is one.
        let is_data = file
            .text
            .lines()
            .take_while(|line| line.starts_with("//!"))
            .any(|line| line.contains("data table"));
        if lines > 600 && !is_data {
            wrong.push(format!("src/{}: {lines} lines, and 600 is the ceiling", file.name));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn nothing_stops_at_once_outside_tests() {
    let mut wrong = Vec::new();
    for file in sources() {
        for (line, text) in (1..).zip(file.code.lines()) {
            for word in [".unwrap()", ".expect(", "panic!(", "todo!(", "unimplemented!("] {
                if text.contains(word) {
                    wrong.push(format!("src/{}:{line}: `{word}`", file.name));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn imports_are_read_in_all_their_forms() {
    let code = bare(
        "use crate::{a::{self, b}, c as d, e::f::g};\nlet x = crate::h::i(r#\"crate::no\"#, '\"'); // crate::no\n\"crate::no\"",
    );
    let found: Vec<String> = paths(&code).into_iter().map(|path| path.join("::")).collect();
    assert_eq!(found, ["a::b", "a::self", "c", "e::f::g", "h::i"]);
}
