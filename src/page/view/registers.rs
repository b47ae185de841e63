//! Which registers a manual has, and what they are called.

use crate::model::{Key, Register, Store};
use crate::page::{Manual, address};

/// The kinds of store that have a page of their own in this manual: those that hold a line, themselves or
/// beside them. Hazards stand in steps too, so that their page is always there.
pub fn stores<'m>(manual: &'m Manual<'_>) -> impl Iterator<Item = Store> + 'm {
    let holds = |store: Store| manual.worked.parsed().stores().lines(store).next().is_some();
    let listed = move |store: &Store| *store == Store::Hazards || holds(*store) || beside(*store).any(holds);
    Store::ALL.into_iter().filter(|store| store.declaration().register == Register::Own).filter(listed)
}

/// The kinds of store that stand on the page of another.
pub fn beside(store: Store) -> impl Iterator<Item = Store> {
    Store::ALL.into_iter().filter(move |other| *other != store && other.listed_with() == Some(store))
}

/// The title of a register and the sentence below it: from the labels, else as the kind declares itself.
pub fn words(manual: &Manual<'_>, store: Store) -> (String, String) {
    let declared = store.declaration();
    let title = manual.theme.known(declared.file).unwrap_or_else(|| sentence(declared.file));
    let lead = manual.theme.known(&format!("{}_lead", declared.file));
    (title, lead.unwrap_or_else(|| declared.doc.to_owned()))
}

/// What a key is called: from the labels, else its own words.
pub fn key(manual: &Manual<'_>, key: &str) -> String {
    let label = manual.theme.known(&format!("key_{}", key.replace('-', "_")));
    label.unwrap_or_else(|| sentence(key))
}

/// Every page on which something can be looked up, in the order of the front page, with its title and the kind
/// of store whose lines it lists.
pub fn pages(manual: &Manual<'_>) -> Vec<(String, String, Option<Store>)> {
    let mut pages = Vec::new();
    for store in stores(manual) {
        pages.push((address::register(store), words(manual, store).0, Some(store)));
        // What is tightened stands beside what is driven.
        if store == Store::Fasteners {
            pages.push((address::TORQUE.to_owned(), manual.theme.say("torque"), None));
        }
    }
    pages.push((address::WAIVERS.to_owned(), manual.theme.say("waivers"), None));
    pages
}

/// A word of the format as the words of a sentence: `per-length` gives `Per length`.
fn sentence(word: &str) -> String {
    let words = word.replace('-', " ");
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// The figures of a line that are keys of its own, in the order in which they are declared.
pub fn keys(store: Store) -> impl Iterator<Item = &'static Key> {
    store.declaration().keys.iter()
}
