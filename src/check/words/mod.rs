//! The words that the rules know, by the shop's language: verbs that begin a step, vague words, signal words.
//! Each language is a plain text file beside this one, so that a contributor adds a word without touching code.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

/// Languages with their files: words, and the help of the rules on wording.
const FILES: [(&str, &str, &str); 5] = [
    ("en", include_str!("en.txt"), include_str!("help/en.txt")),
    ("nl", include_str!("nl.txt"), include_str!("help/nl.txt")),
    ("de", include_str!("de.txt"), include_str!("help/de.txt")),
    ("fr", include_str!("fr.txt"), include_str!("help/fr.txt")),
    ("es", include_str!("es.txt"), include_str!("help/es.txt")),
];

static ALL: LazyLock<BTreeMap<&'static str, Words>> = LazyLock::new(|| {
    FILES.iter().map(|(language, text, help)| (*language, Words::read(text, help))).collect()
});

static NONE: LazyLock<Words> = LazyLock::new(|| Words::read("", ""));

/// Which lists a text may hold words of, so that most texts are passed over at once.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Marks(u16);

impl Marks {
    pub(crate) const VAGUE: Marks = Marks(1);
    pub(crate) const NEGATIVE: Marks = Marks(2);
    pub(crate) const SIGNAL: Marks = Marks(4);
    pub(crate) const CHECKING: Marks = Marks(8);
    pub(crate) const WAITING: Marks = Marks(16);
    pub(crate) const REVERSE: Marks = Marks(32);
    pub(crate) const JOINING: Marks = Marks(64);
    pub(crate) const WITHIN: Marks = Marks(128);

    /// The sections of a language's file that have a mark.
    const SECTIONS: [(&'static str, Marks); 8] = [
        ("vague", Marks::VAGUE),
        ("negative", Marks::NEGATIVE),
        ("signal", Marks::SIGNAL),
        ("checking", Marks::CHECKING),
        ("waiting", Marks::WAITING),
        ("reverse", Marks::REVERSE),
        ("joining", Marks::JOINING),
        ("within", Marks::WITHIN),
    ];

    /// Both.
    pub(crate) fn and(self, other: Marks) -> Marks {
        Marks(self.0 | other.0)
    }

    /// Whether any of another's stand here.
    pub(crate) fn any_of(self, other: Marks) -> bool {
        self.0 & other.0 != 0
    }
}

/// Single words.
pub(crate) type Set = BTreeSet<&'static str>;

/// Phrases of one word or more, by their first.
#[derive(Debug, Default)]
pub(crate) struct Phrases {
    by_first: BTreeMap<String, Vec<Vec<String>>>,
}

impl Phrases {
    /// Phrases as written, in lower case.
    pub(crate) fn of<'p>(phrases: impl IntoIterator<Item = &'p str>) -> Phrases {
        let mut all = Phrases::default();
        for phrase in phrases {
            let words: Vec<String> = phrase.split_whitespace().map(str::to_lowercase).collect();
            let Some(first) = words.first() else { continue };
            all.by_first.entry(first.clone()).or_default().push(words);
        }
        // The longest first, so that `not to` is not found as `not`.
        all.by_first.values_mut().for_each(|known| known.sort_by_key(|words| std::cmp::Reverse(words.len())));
        all
    }

    /// The number of words of the longest phrase that begins a run of words.
    pub(crate) fn starts(&self, words: &[&str]) -> Option<usize> {
        let known = self.by_first.get(*words.first()?)?;
        known
            .iter()
            .find(|phrase| {
                phrase.len() <= words.len() && phrase.iter().zip(words).all(|(one, other)| one == other)
            })
            .map(Vec::len)
    }

    /// Every phrase in a run of words: its first word and how many.
    pub(crate) fn find(&self, words: &[&str]) -> Vec<(usize, usize)> {
        let mut found = Vec::new();
        let mut at = 0;
        while at < words.len() {
            match words.get(at..).and_then(|rest| self.starts(rest)) {
                Some(length) => {
                    found.push((at, length));
                    at += length;
                }
                None => at += 1,
            }
        }
        found
    }

    #[cfg(test)]
    fn len(&self) -> usize {
        self.by_first.values().map(Vec::len).sum()
    }
}

/// The words of a language.
#[derive(Debug)]
#[allow(missing_docs, reason = "each is the section of the file that it names")]
pub(crate) struct Words {
    /// What begins a step.
    pub(crate) verbs: Set,
    /// Nouns that are verbs as well, where one of the determiners or particles follows: `earth the strap`.
    doubtful: Set,
    /// What makes a verb of a doubtful word: `power up`.
    particles: Set,
    /// What may stand before the verb that begins a step.
    openers: Phrases,
    /// What begins a remark that is no message of safety.
    pub(crate) notes: Phrases,
    /// Verbs that hold a state and do no work: `keep`, `wear`.
    pub(crate) constraints: Set,
    pub(crate) joining: Set,
    pub(crate) determiners: Set,
    pub(crate) conditions: Set,
    pub(crate) vague: Phrases,
    pub(crate) negative: Phrases,
    pub(crate) signal: Phrases,
    pub(crate) checking: Set,
    /// What says that something is still to be done.
    pub(crate) to_do: Phrases,
    /// What says what a check is for: `that`, `whether`.
    pub(crate) saying: Set,
    pub(crate) waiting: Set,
    pub(crate) until: Set,
    pub(crate) reverse: Set,
    pub(crate) reverse_of: Set,
    /// What stands before a figure that wants a unit.
    pub(crate) before_figures: Set,
    /// What has a figure of its own after `of`.
    pub(crate) figure_of: Set,
    /// What may follow a figure that lacks its unit.
    pub(crate) after_figures: Set,
    pub(crate) within: Phrases,
    /// Stems, looked for inside words.
    pub(crate) time: Vec<&'static str>,
    pub(crate) load: Vec<&'static str>,
    pub(crate) relief: Vec<&'static str>,
    pub(crate) twist: Vec<&'static str>,
    pub(crate) solder: Vec<&'static str>,
    pub(crate) maker: Vec<&'static str>,
    pub(crate) tighten: Set,
    pub(crate) wear: Phrases,
    /// What begins the second of two ways.
    pub(crate) others: Phrases,
    /// Endings with which a word is still the same.
    pub(crate) endings: Vec<&'static str>,
    /// Whether a step may end with its verb instead of beginning with it.
    pub(crate) verb_last: bool,
    /// What to do about what the rules on wording find, by key.
    help: BTreeMap<&'static str, &'static str>,
    /// The first words of the lists that have a mark.
    marks: BTreeMap<&'static str, Marks>,
}

impl Words {
    /// The words of a language; of English where there are none.
    pub(crate) fn of(language: &str) -> &'static Words {
        ALL.get(language).or_else(|| ALL.get("en")).unwrap_or(&NONE)
    }

    fn read(text: &'static str, help: &'static str) -> Words {
        let sections = sections(text);
        let list = |name: &str| sections.get(name).cloned().unwrap_or_default();
        let set = |name: &str| list(name).into_iter().collect::<Set>();
        let phrases = |name: &str| Phrases::of(list(name));
        let mut marks: BTreeMap<&str, Marks> = BTreeMap::new();
        for (name, mark) in Marks::SECTIONS {
            for first in list(name).into_iter().filter_map(|entry| entry.split_whitespace().next()) {
                let known = marks.entry(first).or_default();
                *known = known.and(mark);
            }
        }
        Words {
            marks,
            help: helps(help),
            verbs: set("verbs"),
            doubtful: set("verbs-before"),
            particles: set("particles"),
            openers: phrases("openers"),
            notes: phrases("notes"),
            constraints: set("constraints"),
            joining: set("joining"),
            determiners: set("determiners"),
            conditions: set("conditions"),
            vague: phrases("vague"),
            negative: phrases("negative"),
            signal: phrases("signal"),
            checking: set("checking"),
            to_do: phrases("to-do"),
            saying: set("saying"),
            waiting: set("waiting"),
            until: set("until"),
            reverse: set("reverse"),
            reverse_of: set("reverse-of"),
            before_figures: set("before-figures"),
            figure_of: set("figure-of"),
            after_figures: set("after-figures"),
            within: phrases("within"),
            time: list("time"),
            load: list("load"),
            relief: list("relief"),
            twist: list("twist"),
            solder: list("solder"),
            maker: list("maker"),
            tighten: set("tighten"),
            wear: phrases("wear"),
            others: phrases("others"),
            endings: list("endings"),
            verb_last: list("verb-last") == ["yes"],
        }
    }

    /// What to do about a finding, in the manual's language; each name in braces is replaced.
    pub(crate) fn help(&self, key: &str, names: &[(&str, &str)]) -> String {
        let text = self.help.get(key).copied().unwrap_or(key);
        names.iter().fold(text.to_owned(), |text, (name, value)| text.replace(&format!("{{{name}}}"), value))
    }

    /// The lists that have an entry beginning with a word.
    pub(crate) fn marks(&self, word: &str) -> Marks {
        self.marks.get(word).copied().unwrap_or_default()
    }

    /// Whether a run of words begins with a verb, after words that only open it: `then`, `carefully`. Vague ones
    /// among these are for another rule to tell.
    pub(crate) fn begins_with_verb(&self, words: &[&str]) -> bool {
        let mut rest = words;
        while let Some((first, after)) = rest.split_first() {
            if self.is_verb(first, after.first().copied()) {
                return true;
            }
            let length = self.openers.starts(rest).or_else(|| self.vague.starts(rest));
            match length.and_then(|length| rest.get(length..)) {
                Some(after) => rest = after,
                None => return false,
            }
        }
        false
    }

    /// Whether a word is a verb, with the word after it. An elided word before it counts with it: `s'assurer`.
    fn is_verb(&self, word: &str, next: Option<&str>) -> bool {
        let bare = word
            .split_once(['\'', '’'])
            .filter(|(elided, _)| elided.len() < 3)
            .map_or(word, |(_, bare)| bare);
        let known = |word: &str| self.verbs.contains(word);
        known(word)
            || known(bare)
            || self.doubtful.contains(word)
                && next.is_some_and(|next| self.determiners.contains(next) || self.particles.contains(next))
    }

    /// Whether a word is another, or the same with an ending.
    pub(crate) fn same(&self, word: &str, known: &str) -> bool {
        word.strip_prefix(known).is_some_and(|rest| rest.is_empty() || self.endings.contains(&rest))
    }

    /// Whether a word is a unit of time, in any number.
    pub(crate) fn is_time(&self, word: &str) -> bool {
        self.time.iter().any(|stem| word.starts_with(stem))
    }
}

/// Whether any of a list of stems stands in a text.
pub(crate) fn holds(text: &str, stems: &[&str]) -> bool {
    stems.iter().any(|stem| text.contains(stem))
}

/// The lines of a file of helps, by key.
fn helps(text: &'static str) -> BTreeMap<&'static str, &'static str> {
    text.lines().filter(|line| !line.starts_with('#')).filter_map(|line| line.split_once(": ")).collect()
}

/// The entries of each section of a file.
fn sections(text: &'static str) -> BTreeMap<&'static str, Vec<&'static str>> {
    let mut sections: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    let mut open = "";
    for line in text.lines().map(str::trim).filter(|line| !line.starts_with('#')) {
        match line.strip_prefix('[').and_then(|rest| rest.strip_suffix(']')) {
            Some(name) => open = name,
            None => {
                let entries = line.split(',').map(str::trim).filter(|entry| !entry.is_empty());
                sections.entry(open).or_default().extend(entries);
            }
        }
    }
    sections
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_language_has_every_section_and_no_word_twice() {
        let english: Vec<&str> = sections(FILES[0].1).into_keys().collect();
        for (language, text, help) in FILES {
            assert_eq!(
                helps(help).into_keys().collect::<Vec<_>>(),
                helps(FILES[0].2).into_keys().collect::<Vec<_>>(),
                "{language}"
            );
            let known = sections(text);
            let names: Vec<&str> = known.keys().copied().collect();
            assert_eq!(names, english, "{language}");
            for (name, entries) in known {
                let mut seen = BTreeSet::new();
                for entry in entries {
                    assert!(seen.insert(entry), "{language}: `{entry}` stands twice under [{name}]");
                    assert_eq!(entry, entry.to_lowercase(), "{language}: [{name}]");
                }
            }
        }
    }

    #[test]
    fn there_are_enough_words() {
        for (language, least_verbs, least_vague) in
            [("en", 1000, 60), ("nl", 500, 30), ("de", 500, 30), ("fr", 500, 30), ("es", 500, 25)]
        {
            let words = Words::of(language);
            assert!(words.verbs.len() >= least_verbs, "{language}: {} verbs", words.verbs.len());
            assert!(words.vague.len() >= least_vague, "{language}: {} vague", words.vague.len());
        }
    }

    #[test]
    fn the_longest_phrase_is_found() {
        let phrases = Phrases::of(["not", "not to"]);
        assert_eq!(phrases.find(&["it", "is", "not", "to", "be"]), [(2, 2)]);
    }
}
