//! Every file of a manual with the keys that it may have, as tables for the writer's handbook.

pub mod procedure;
pub mod step;
pub mod table;
pub mod vehicle;

use crate::model::key::{Form, Key};
use crate::model::kind::Kind;
use crate::model::loom::{LOOM, LOOM_COLUMNS};
use crate::model::release::RELEASE;
use crate::model::shop::SHOP;
use crate::model::store::{EVERY_LINE, FIGURE, Store};
use std::fmt::Write as _;

/// A kind of file, or a map that stands in several: what it is called and the keys of it.
#[derive(Clone, Copy, Debug)]
pub struct Part {
    /// Its name, by which the handbook marks where its table stands.
    pub name: &'static str,
    /// Its keys.
    pub keys: &'static [Key],
}

/// Everything that has keys, besides the stores.
pub const PARTS: &[Part] = &[
    Part { name: "shop", keys: SHOP },
    Part { name: "every-line", keys: EVERY_LINE },
    Part { name: "figure", keys: FIGURE },
    Part { name: "vehicle", keys: vehicle::VEHICLE },
    Part { name: "item", keys: vehicle::ITEM },
    Part { name: "from-loom", keys: vehicle::FROM_LOOM },
    Part { name: "join", keys: vehicle::JOIN },
    Part { name: "loom", keys: LOOM },
    Part { name: "loom-columns", keys: LOOM_COLUMNS },
    Part { name: "procedure", keys: procedure::PROCEDURE },
    Part { name: "use", keys: procedure::USE },
    Part { name: "step", keys: step::STEP },
    Part { name: "message", keys: step::MESSAGE },
    Part { name: "table", keys: table::TABLE },
    Part { name: "release", keys: RELEASE },
];

/// The tables of the handbook, each with the name by which the handbook marks where it stands.
pub fn tables() -> Vec<(&'static str, String)> {
    let part = |part: &Part| (part.name, rows_of(part.keys));
    let mut tables: Vec<(&str, String)> = PARTS.iter().map(part).collect();
    tables.push(("kinds", kinds()));
    tables.push(("stores", stores()));
    tables
}

/// Every kind of item with what it alone may say, kinds that say the same together.
fn kinds() -> String {
    let mut text = String::new();
    let mut left: Vec<Kind> = Kind::ALL.to_vec();
    while let Some(first) = left.first().copied() {
        let alike = |kind: &Kind| vehicle::of_kind(*kind) == vehicle::of_kind(first);
        let named: Vec<&str> = left.iter().filter(|kind| alike(kind)).map(|kind| kind.key()).collect();
        left.retain(|kind| !alike(kind));
        // What `join-as` says stands in a table of its own.
        if let Some(keys) = vehicle::of_kind(first).first() {
            let _ = write!(text, "### {}\n\n{}\n", named.join(", "), rows_of(keys));
        }
    }
    text.trim_end().to_owned() + "\n"
}

/// Every kind of store with its keys.
fn stores() -> String {
    let mut text = String::new();
    for store in Store::ALL {
        let declared = store.declaration();
        let _ = write!(text, "### stores/{}.yaml\n\n{}", declared.file, declared.doc);
        if let Some(scheme) = declared.scheme {
            let _ = write!(text, " References begin with `{scheme}:`.");
        }
        let _ = write!(text, "\n\n{}\n", rows_of(declared.keys));
        for list in declared.lists {
            let name = list.name;
            let _ = writeln!(
                text,
                "Beside its lines it may have `{name}`: {}, {}.\n",
                list.form.words(),
                list.doc
            );
        }
    }
    text.trim_end().to_owned() + "\n"
}

/// Keys as a table; a required one in bold.
fn rows_of(keys: &[Key]) -> String {
    let mut text = "| key | means | holds | example |\n| --- | --- | --- | --- |\n".to_owned();
    rows("", keys, &mut text);
    text
}

/// The rows of keys; those of a map follow it, under its name.
fn rows(within: &str, keys: &[Key], text: &mut String) {
    for key in keys {
        let name = format!("{within}{}", key.name);
        let shown = if key.required { format!("**`{name}`**") } else { format!("`{name}`") };
        let cell = |words: &str| words.replace('|', "\\|");
        let (means, holds) = (cell(key.doc), cell(&key.form.words()));
        let _ = writeln!(text, "| {shown} | {means} | {holds} | `{}` |", cell(key.example));
        match key.form {
            Form::Map(keys) | Form::Maps(keys) => rows(&format!("{name}."), keys, text),
            Form::Lines(keys) => rows(&format!("{name}.ID."), keys, text),
            _ => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_keys_of_a_map_follow_it_under_its_name() {
        let (_, shop) = tables().into_iter().find(|(name, _)| *name == "shop").unwrap();
        let lines: Vec<&str> = shop.lines().collect();
        let at = lines.iter().position(|line| line.starts_with("| `units` ")).unwrap();
        assert!(lines[at + 1].starts_with("| `units.length` | unit of lengths | "), "{}", lines[at + 1]);
        assert!(lines.iter().any(|line| line.starts_with("| **`id`** | ")), "{shop}");
    }

    #[test]
    fn every_key_says_what_it_means_and_shows_an_example() {
        fn walk(keys: &[Key]) {
            for (at, key) in keys.iter().enumerate() {
                assert!(key.doc.len() > 1 && !key.example.is_empty(), "{}", key.name);
                assert!(!key.doc.ends_with('.') && !key.example.contains('`'), "{}", key.name);
                assert!(keys[..at].iter().all(|other| other.name != key.name), "`{}` twice", key.name);
                if let Form::Map(keys) | Form::Maps(keys) | Form::Lines(keys) = key.form {
                    walk(keys);
                }
            }
        }
        PARTS.iter().for_each(|part| walk(part.keys));
        for kind in Kind::ALL {
            walk(&vehicle::item_keys(kind).copied().collect::<Vec<_>>());
        }
        for store in Store::ALL {
            walk(store.declaration().keys);
            walk(store.declaration().lists);
        }
    }
}
