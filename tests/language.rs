//! The languages of the pages: every sentence of the program has its words in each of them, and a manual that
//! is bound in one of them holds no English sentence of the program's.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "tests read files")]

mod workbench;

use benchleaf::workings::register;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;

/// The languages besides English, in which the sentences are written.
const OTHERS: [&str; 4] = ["nl", "de", "fr", "es"];

type Words = BTreeMap<String, String>;

fn labels(language: &str) -> Words {
    let text = fs::read_to_string(workbench::root().join(format!("themes/labels/{language}.yaml"))).unwrap();
    serde_yaml::from_str(&text).unwrap()
}

/// Every sentence of the program: those of the sources, and those of the workings' declarations.
fn sentences() -> BTreeSet<String> {
    let mut all = written();
    for working in register() {
        let declared = working.declaration();
        let names: Vec<&str> = declared.inputs.iter().map(|input| input.name).collect();
        let names: Vec<&str> =
            names.into_iter().chain(declared.outputs.iter().map(|output| output.name)).collect();
        all.extend([declared.title, declared.purpose].map(str::to_owned));
        all.extend(declared.inputs.iter().map(|input| input.meaning.to_owned()));
        all.extend(declared.outputs.iter().map(|output| output.meaning.to_owned()));
        all.extend(declared.limits.iter().chain(declared.sources).map(|text| (*text).to_owned()));
        let formulas = declared.formulas.iter().map(|formula| formula.text);
        all.extend(formulas.filter(|text| has_words(text, &names)).map(str::to_owned));
    }
    all
}

/// Whether a formula holds more than the names of inputs and outputs, functions and symbols.
fn has_words(formula: &str, names: &[&str]) -> bool {
    const KNOWN: [&str; 11] =
        ["max", "min", "sin", "cos", "asin", "acosh", "log", "AWG", "TE", "round-up", "tail"];
    let letters = |letter: char| letter.is_ascii_alphabetic() || letter == '-';
    let words = formula.split(|letter: char| !letters(letter)).map(|word| word.trim_matches('-'));
    words.filter(|word| word.len() > 2).any(|word| !names.contains(&word) && !KNOWN.contains(&word))
}

/// The sentences of every `phrase!` in the sources, without those that say nothing in words.
fn written() -> BTreeSet<String> {
    let root = workbench::root().join("src");
    let mut all = BTreeSet::new();
    for name in
        workbench::files(&root).into_iter().filter(|name| name.ends_with(".rs") && name != "phrase.rs")
    {
        let text = fs::read_to_string(root.join(name)).unwrap();
        let code = text.split("#[cfg(test)]\nmod tests {").next().unwrap();
        for (at, mark) in code.match_indices("phrase!(") {
            let rest = code[at + mark.len()..].trim_start();
            if let Some(literal) = rest.strip_prefix('"') {
                let sentence = unescaped(literal);
                if says_something(&sentence) {
                    all.insert(sentence);
                }
            }
        }
    }
    all
}

/// Whether two letters stand together outside the holes.
fn says_something(sentence: &str) -> bool {
    let mut depth = 0;
    let outside = sentence.chars().map(|letter| {
        depth += i32::from(letter == '{') - i32::from(letter == '}');
        if depth > 0 { ' ' } else { letter }
    });
    outside
        .collect::<String>()
        .split(|letter: char| !letter.is_alphabetic())
        .any(|word| word.chars().count() > 1)
}

/// A string literal from behind its opening quotation mark, as the labels spell it: with plain spaces.
fn unescaped(literal: &str) -> String {
    let mut out = String::new();
    let mut letters = literal.chars().peekable();
    while let Some(letter) = letters.next() {
        match letter {
            '"' => break,
            '\\' => match letters.next() {
                Some('n') => out.push('\n'),
                Some('u') => {
                    let code: String = letters.by_ref().take_while(|letter| *letter != '}').skip(1).collect();
                    out.push(char::from_u32(u32::from_str_radix(&code, 16).unwrap()).unwrap());
                }
                Some('\n') => while letters.next_if(|letter| letter.is_whitespace()).is_some() {},
                Some(other) => out.push(other),
                None => {}
            },
            other => out.push(other),
        }
    }
    out.replace('\u{a0}', " ")
}

/// The holes of a sentence.
fn holes(sentence: &str) -> BTreeSet<&str> {
    sentence.split('{').skip(1).filter_map(|rest| Some(rest.split_once('}')?.0)).collect()
}

/// What a sentence quotes as code: keys, units, references.
fn quoted(sentence: &str) -> BTreeSet<&str> {
    sentence.split('`').skip(1).step_by(2).collect()
}

#[test]
fn every_sentence_has_its_words_in_every_language_with_the_same_holes() {
    let english = labels("en");
    let sentences = sentences();
    assert!(sentences.len() > 500, "{}", sentences.len());
    let mut wrong = Vec::new();
    for language in OTHERS {
        let words = labels(language);
        for sentence in &sentences {
            match words.get(sentence) {
                _ if english.contains_key(sentence) => {
                    wrong.push(format!("{language}: `{sentence}` is a label's key"))
                }
                None => wrong.push(format!("{language}: no words for `{sentence}`")),
                Some(text) if holes(text) != holes(sentence) || quoted(text) != quoted(sentence) => {
                    wrong.push(format!(
                        "{language}: `{text}` has not the holes and quotations of `{sentence}`"
                    ));
                }
                Some(_) => {}
            }
        }
        let over = words.keys().filter(|key| !english.contains_key(*key) && !sentences.contains(*key));
        wrong.extend(over.map(|key| format!("{language}: nothing says `{key}`")));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn literals_are_read_as_the_compiler_does() {
    assert_eq!(unescaped("a \\\"b\\\" \\\n      c\\u{a0}{d}\", x"), "a \"b\" c {d}");
    assert!(says_something("{a} of {b}") && !says_something("{a} = {bc}") && !says_something("{a}: 3"));
    assert!(
        has_words("lap of two: D = d₁", &["lap"])
            && !has_words("strip = lap + 2·gap", &["strip", "lap", "gap"])
    );
}
