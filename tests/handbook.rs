//! The tables of keys in the writer's handbook are those that the code declares. `UPDATE=1` writes them anew,
//! each between the two marks that name it.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "tests read and write files")]

mod workbench;

use benchleaf::model::{State, Verb, format};
use std::fs;

/// The handbook with a table set between its marks; nothing where the marks are not there.
fn with(text: &str, name: &str, table: &str) -> Option<String> {
    let (begin, end) = (format!("<!-- keys of {name} -->\n"), format!("<!-- end of {name} -->\n"));
    let (before, rest) = text.split_once(&begin)?;
    let (_, after) = rest.split_once(&end)?;
    Some(format!("{before}{begin}{table}{end}{after}"))
}

#[test]
fn the_handbook_holds_the_keys_that_are_declared() {
    let path = workbench::root().join("docs/handbook.md");
    let held = fs::read_to_string(&path).unwrap();
    let mut wanted = held.clone();
    for (name, table) in format::tables() {
        wanted = with(&wanted, name, &table).unwrap_or_else(|| panic!("no marks for the keys of {name}"));
    }
    if std::env::var_os("UPDATE").is_some() {
        fs::write(&path, &wanted).unwrap();
        return;
    }
    assert!(
        held == wanted,
        "docs/handbook.md does not hold the keys as declared; `UPDATE=1 cargo test --test handbook` writes them"
    );
}

/// The table of lives is written for people; it leaves no verb and no state out.
#[test]
fn the_table_of_lives_names_every_verb_and_state() {
    let held = fs::read_to_string(workbench::root().join("docs/handbook.md")).unwrap();
    let table = held.split_once("| kind | life: states and verbs |").unwrap().1.split("\n\n").next().unwrap();
    let plain = table.replace(['`', '|', ';', ',', '(', ')', '→'], " ");
    let words: Vec<&str> = plain.split_whitespace().collect();
    for word in Verb::words().chain(State::words()) {
        assert!(words.contains(&word), "`{word}` stands nowhere in the handbook's table of lives");
    }
}

#[test]
fn a_table_stands_between_its_marks() {
    let text = "a\n<!-- keys of x -->\nold\n<!-- end of x -->\nb\n";
    assert_eq!(with(text, "x", "new\n").unwrap(), "a\n<!-- keys of x -->\nnew\n<!-- end of x -->\nb\n");
    assert_eq!(with(text, "y", "new\n"), None);
}
