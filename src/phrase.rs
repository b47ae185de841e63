//! Sentences of the program's own that may be told in several languages.
//!
//! A [`Phrase`] keeps the English sentence that stands in the code, with named holes, and what fills them. It
//! prints in English; a page looks the sentence up in its language's labels and fills the holes of what it
//! finds there. So the words stand beside the logic that says them, and a translation may move the holes.

use std::fmt;

/// A sentence with named holes and what fills them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Phrase {
    english: &'static str,
    holes: Vec<(&'static str, Part)>,
}

/// What fills a hole.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Part {
    /// A figure, a name, an id: the same in every language.
    Text(String),
    /// A phrase inside the phrase.
    Phrase(Phrase),
    /// Phrases one after the other, with what stands between two of them.
    List(Vec<Phrase>, &'static str),
}

/// Tells phrases in one language.
pub trait Language: fmt::Debug + Send + Sync {
    /// The phrase in this language; in English where it has no words for it.
    fn tell(&self, phrase: &Phrase) -> String;
}

/// The language in which phrases are written.
#[derive(Clone, Copy, Debug, Default)]
pub struct English;

impl Language for English {
    fn tell(&self, phrase: &Phrase) -> String {
        phrase.to_string()
    }
}

impl Phrase {
    /// A sentence without holes. Made by `phrase!`, which a test finds.
    pub const fn bare(english: &'static str) -> Phrase {
        Phrase { english, holes: Vec::new() }
    }

    /// A sentence with what fills its holes. Made by `phrase!`, which holds the names
    /// against the sentence.
    pub fn filled(english: &'static str, holes: Vec<(&'static str, Part)>) -> Phrase {
        Phrase { english, holes }
    }

    /// Words that are nobody's to translate: a figure, an id, what an author wrote.
    pub fn verbatim(words: impl Into<String>) -> Phrase {
        Phrase { english: "{words}", holes: vec![("words", Part::Text(words.into()))] }
    }

    /// Phrases one after the other.
    pub fn list(items: Vec<Phrase>, between: &'static str) -> Phrase {
        Phrase { english: "{items}", holes: vec![("items", Part::List(items, between))] }
    }

    /// The sentence as it stands in the code, its holes open.
    pub fn english(&self) -> &'static str {
        self.english
    }

    /// The phrase with every sentence in it replaced by what `find` has for it.
    pub fn told(&self, find: &dyn Fn(&'static str) -> Option<String>) -> String {
        let sentence = find(self.english);
        let mut rest = sentence.as_deref().unwrap_or(self.english);
        let mut words = String::with_capacity(rest.len() + 16);
        while let Some((before, after)) = rest.split_once('{') {
            words.push_str(before);
            let Some((name, beyond)) = after.split_once('}') else {
                words.push('{');
                rest = after;
                continue;
            };
            match self.holes.iter().find(|(known, _)| *known == name) {
                Some((_, part)) => words.push_str(&part.told(find)),
                None => words.push_str(&format!("{{{name}}}")),
            }
            rest = beyond;
        }
        words.push_str(rest);
        words
    }
}

impl Part {
    fn told(&self, find: &dyn Fn(&'static str) -> Option<String>) -> String {
        match self {
            Part::Text(text) => text.clone(),
            Part::Phrase(phrase) => phrase.told(find),
            Part::List(items, between) => {
                items.iter().map(|item| item.told(find)).collect::<Vec<_>>().join(between)
            }
        }
    }
}

impl fmt::Display for Phrase {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.told(&|_| None))
    }
}

/// What can fill a hole.
pub trait Fill {
    /// It as a part of a phrase.
    fn part(&self) -> Part;
}

impl<T: Fill + ?Sized> Fill for &T {
    fn part(&self) -> Part {
        (*self).part()
    }
}

impl Fill for str {
    fn part(&self) -> Part {
        Part::Text(self.to_owned())
    }
}

impl Fill for String {
    fn part(&self) -> Part {
        Part::Text(self.clone())
    }
}

impl Fill for usize {
    fn part(&self) -> Part {
        Part::Text(self.to_string())
    }
}

impl Fill for u32 {
    fn part(&self) -> Part {
        Part::Text(self.to_string())
    }
}

impl Fill for Phrase {
    fn part(&self) -> Part {
        Part::Phrase(self.clone())
    }
}

/// A [`Phrase`] from an English sentence and what fills its holes: `phrase!("{n} wires", n = 3_usize)`.
///
/// The sentence is a literal, so that it can be found in the sources, and the compiler refuses a hole that
/// nothing fills and a value without its hole.
macro_rules! phrase {
    ($english:literal $(,)?) => {{
        const _: fn() = || {
            let _ = format_args!($english);
        };
        $crate::phrase::Phrase::bare($english)
    }};
    ($english:literal, $($name:ident = $value:expr),+ $(,)?) => {{
        const _: fn() = || {
            let _ = format_args!($english, $($name = ""),+);
        };
        $crate::phrase::Phrase::filled(
            $english,
            vec![$((stringify!($name), $crate::phrase::Fill::part(&$value))),+],
        )
    }};
}
pub(crate) use phrase;

#[cfg(test)]
mod tests {
    use super::*;

    fn backwards(english: &'static str) -> Option<String> {
        match english {
            "{n} of {what}" => Some("{what}: {n}".to_owned()),
            "wires" => Some("Drähte".to_owned()),
            _ => None,
        }
    }

    #[test]
    fn a_phrase_prints_in_english_and_is_told_in_another_language() {
        let phrase = phrase!("{n} of {what}", n = 3_usize, what = phrase!("wires"));
        assert_eq!(phrase.to_string(), "3 of wires");
        assert_eq!(phrase.told(&backwards), "Drähte: 3");
        assert_eq!(English.tell(&phrase), "3 of wires");
    }

    #[test]
    fn what_fills_a_hole_is_not_read_again() {
        let phrase = phrase!("{n} of {what}", n = "{what}", what = Phrase::verbatim("a {n}"));
        assert_eq!(phrase.to_string(), "{what} of a {n}");
    }

    #[test]
    fn a_list_is_told_item_by_item() {
        let list = Phrase::list(vec![phrase!("wires"), Phrase::verbatim("wires")], "; ");
        assert_eq!(list.told(&backwards), "Drähte; wires");
    }

    #[test]
    fn a_translation_with_a_hole_of_its_own_or_an_open_brace_keeps_it_as_written() {
        let phrase = phrase!("wires");
        assert_eq!(phrase.told(&|_| Some("a {b} c {d".to_owned())), "a {b} c {d");
    }
}
