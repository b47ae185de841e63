//! Labels: every word that the pages print of their own, one flat file a language.
//!
//! A file holds the labels of the furniture under short keys and, except the English one, what the phrases of the
//! program are in its language, each under its English sentence.

use crate::finding::{FileId, Finding, Sink, Span, nearest};
use crate::phrase::{Language, Phrase};
use crate::theme::{LABEL, built_in, line_span};
use std::collections::{BTreeMap, BTreeSet};

/// The languages that the built-in theme speaks.
pub const LANGUAGES: [&str; 5] = ["en", "nl", "de", "fr", "es"];

/// The words of one language.
#[derive(Debug)]
pub struct Labels {
    words: BTreeMap<String, String>,
}

impl Labels {
    /// The built-in words of a language (English where it is unknown), a shop's own in their place.
    pub(super) fn load(language: &str, own: &BTreeMap<String, (FileId, String)>, sink: &mut Sink) -> Labels {
        let name = format!("{language}.yaml");
        let files: BTreeMap<&str, &str> = built_in("labels").collect();
        let text = files.get(name.as_str()).or_else(|| files.get("en.yaml")).copied().unwrap_or_default();
        let mut words = read(text).unwrap_or_default();
        if let Some((file, text)) = own.get(&name) {
            match read(text) {
                Ok(changed) => {
                    // Phrases stand in the files of all languages but English, and may be changed there too.
                    let known: BTreeSet<String> = files
                        .values()
                        .filter_map(|text| read(text).ok())
                        .flat_map(Words::into_keys)
                        .collect();
                    let places = places(text);
                    for key in changed.keys().filter(|key| !known.contains(*key)) {
                        let at = places.get(key.as_str()).copied().unwrap_or(0);
                        sink.push(unknown(key, Span::new(*file, at, at + key.len()), &known));
                    }
                    words.extend(changed);
                }
                Err((message, line)) => sink.push(
                    Finding::error(LABEL, format!("the labels `{name}` cannot be read: {message}"))
                        .at(line_span(*file, text, line), "here"),
                ),
            }
        }
        Labels { words }
    }

    /// A label.
    pub fn get(&self, key: &str) -> Option<&str> {
        self.words.get(key).map(String::as_str)
    }

    /// A label; the key itself where there is none.
    pub fn say(&self, key: &str) -> String {
        self.get(key).unwrap_or(key).to_owned()
    }

    /// A label in the number that a count asks for: all languages here have one and other.
    pub fn count(&self, key: &str, count: &str) -> String {
        let number = if count == "1" { "one" } else { "other" };
        self.get(&format!("{key}.{number}")).map_or_else(|| self.say(key), str::to_owned)
    }
}

impl Language for Labels {
    fn tell(&self, phrase: &Phrase) -> String {
        // A key has plain spaces, so that it can be read and typed.
        phrase.told(&|english| self.get(&english.replace('\u{a0}', " ")).map(str::to_owned))
    }
}

type Words = BTreeMap<String, String>;

fn read(text: &str) -> Result<Words, (String, usize)> {
    serde_yaml::from_str::<Words>(text).map_err(|error| {
        let line = error.location().map_or(1, |at| usize::try_from(at.line()).unwrap_or(1));
        (error.without_snippet().to_string(), line)
    })
}

/// Where each key begins that stands at the beginning of a line, in quotes or not.
fn places(text: &str) -> BTreeMap<&str, usize> {
    let mut places = BTreeMap::new();
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        let key = match line.strip_prefix('"') {
            Some(quoted) => quoted.split_once('"').map(|(key, _)| (key, start + 1)),
            None => line.split_once(':').map(|(key, _)| (key.trim_end(), start)),
        };
        if let Some((key, at)) = key {
            places.entry(key).or_insert(at);
        }
        start += line.len();
    }
    places
}

fn unknown(key: &str, place: Span, known: &BTreeSet<String>) -> Finding {
    let near = nearest(key, known.iter().map(String::as_str)).map(|near| format!("write `{near}`"));
    Finding::error(LABEL, format!("no page asks for the label `{key}`")).at(place, "this label").help_if(near)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn language(name: &str) -> Words {
        let file = format!("{name}.yaml");
        let text = built_in("labels").find(|(known, _)| *known == file).unwrap().1;
        read(text).unwrap()
    }

    #[test]
    fn every_language_has_the_same_labels_and_the_same_holes_to_fill() {
        let english = language("en");
        for name in LANGUAGES {
            let words = language(name);
            // A label has a short key; what is more is a phrase under its English sentence.
            let missing: Vec<&String> = english.keys().filter(|key| !words.contains_key(*key)).collect();
            assert!(missing.is_empty(), "{name}: {missing:?}");
            for (key, text) in words.iter().filter(|(key, _)| english.contains_key(*key)) {
                assert!(!text.trim().is_empty(), "{name}: {key}");
                for hole in ["{n}", "{what}", "{who}"] {
                    assert_eq!(text.contains(hole), english[key].contains(hole), "{name}: {key} {hole}");
                }
            }
        }
    }

    #[test]
    fn every_label_that_a_template_asks_for_is_there() {
        let english = language("en");
        for (name, text) in built_in("templates") {
            for (at, _) in text.match_indices("| say") {
                let before = text[..at].trim_end();
                let quote = before.chars().next_back().unwrap();
                let key = before[..before.len() - 1].rsplit(quote).next().unwrap();
                let plural = format!("{key}.one");
                assert!(english.contains_key(key) || english.contains_key(&plural), "{name}: {key}");
            }
        }
    }

    #[test]
    fn a_key_is_found_where_it_stands_and_not_where_another_begins_with_it() {
        let text = "check1: a\r\ncheck : b\n# c: d\n\"a: b\": c\n\"open\n";
        let found = places(text);
        assert_eq!(found.get("check1"), Some(&0));
        for key in ["check", "a: b"] {
            assert!(text[found[key]..].starts_with(key), "{found:?}");
        }
        assert_eq!(found["check"], text.find("check :").unwrap());
    }

    #[test]
    fn a_count_takes_its_number() {
        let labels = Labels { words: language("en") };
        assert_eq!(labels.count("minutes_n", "1"), "{n} minute");
        assert_eq!(labels.count("minutes_n", "2"), "{n} minutes");
        assert_eq!(labels.count("check", "2"), "Check.");
    }
}
