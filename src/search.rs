//! Pages → Pages: adds the search index, one classic script that assigns to one global, so that it loads
//! from a disk as well as from a server.

use crate::page::{File, Pages, Record, address};
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;

/// Words that would find everything are left out.
const LEAST: usize = 2;

/// Adds the index to a site.
pub(crate) fn add(pages: Pages, fingerprint: &str) -> Pages {
    let script = script(pages.records(), fingerprint);
    pages.with(script)
}

/// The index as a file of the site.
pub(crate) fn script(records: &[Record], fingerprint: &str) -> File {
    let script = format!("window.benchleafIndex={};\n", index(records));
    (address::asset(&address::search_data(fingerprint)), script.into_bytes())
}

/// Entries as `[address, title, note]`, and each term with its entries and weights in base 36.
fn index(records: &[Record]) -> Value {
    let mut terms: BTreeMap<String, BTreeMap<usize, u32>> = BTreeMap::new();
    for (at, record) in records.iter().enumerate() {
        for (text, weight) in &record.texts {
            for term in words(text) {
                let known = terms.entry(term).or_default().entry(at).or_default();
                *known = (*known).max(*weight);
            }
        }
    }
    let terms: Map<String, Value> = terms
        .into_iter()
        .map(|(term, entries)| {
            let postings = entries.into_iter().map(|(at, weight)| {
                format!("{}:{}", base36(at), base36(usize::try_from(weight).unwrap_or(1)))
            });
            (term, Value::from(postings.collect::<Vec<_>>().join(" ")))
        })
        .collect();
    let entries: Vec<Value> =
        records.iter().map(|record| json!([record.address, record.title, record.note])).collect();
    json!({ "entries": entries, "terms": terms })
}

/// The folded words of a text, as the page's script folds what is typed.
fn words(text: &str) -> impl Iterator<Item = String> {
    let folded = fold(text);
    let parts: Vec<String> = folded
        .split(|c: char| !c.is_alphanumeric() && c != '.')
        .map(|word| word.trim_matches('.').to_owned())
        .filter(|word| word.chars().count() >= LEAST || word.chars().all(|c| c.is_ascii_digit()))
        .filter(|word| !word.is_empty())
        .collect();
    parts.into_iter()
}

/// Lower case without accents: what deunicode makes of letters beyond ASCII, the rest as it is.
fn fold(text: &str) -> String {
    let mut folded = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            'Ω' => folded.push_str("ohm"),
            'µ' | 'μ' => folded.push('u'),
            '²' => folded.push('2'),
            _ if character.is_ascii() => folded.push(character.to_ascii_lowercase()),
            _ if character.is_alphabetic() => {
                folded.push_str(&deunicode::deunicode_char(character).unwrap_or("").to_lowercase());
            }
            _ => folded.push(' '),
        }
    }
    folded
}

fn base36(mut number: usize) -> String {
    let mut digits = Vec::new();
    loop {
        let digit = u32::try_from(number % 36).unwrap_or(0);
        digits.extend(char::from_digit(digit, 36));
        number /= 36;
        if number == 0 {
            return digits.into_iter().rev().collect();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_folded_and_split() {
        let found: Vec<String> = words("Größe 2.5 mm², GY/BK (door-loom).").collect();
        assert_eq!(found, ["grosse", "2.5", "mm2", "gy", "bk", "door", "loom"]);
    }

    #[test]
    fn the_best_weight_of_a_term_holds() {
        let record = Record {
            group: "tools",
            address: "tools.html#a".into(),
            title: "Gun".into(),
            note: String::new(),
            texts: vec![("gun".into(), 1), ("Gun".into(), 8)],
        };
        let index = index(&[record]);
        assert_eq!(index["terms"]["gun"], "0:8");
        assert_eq!(index["entries"][0][0], "tools.html#a");
    }

    #[test]
    fn numbers_are_written_as_the_script_reads_them() {
        assert_eq!((base36(0), base36(35), base36(36)), ("0".into(), "z".into(), "10".into()));
    }
}
