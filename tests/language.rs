//! The languages of the pages: every sentence of the program has its words in each of them, and a manual that
//! is bound in one of them holds no English sentence of the program's.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "tests read files")]

mod workbench;

use benchleaf::model::{Life, Store, Verb};
use benchleaf::workings::register;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

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
    all.extend(done());
    // `protection` is a label; a finding says a piece of it.
    let nouns = Store::ALL.into_iter().map(Store::noun).filter(|noun| *noun != "protection");
    all.extend(nouns.map(str::to_owned));
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

/// How a verb reads once it is done, and the head of its column in an item's strip: they stand in the table of lives.
fn done() -> BTreeSet<String> {
    let lives = || Life::ALL.into_iter();
    let verbs = Verb::words().map(|word| Verb::of(word).expect("a verb"));
    let told = verbs
        .flat_map(|verb| lives().flat_map(move |life| [verb.done(), life.done(verb), life.column(verb)]));
    told.map(str::to_owned).collect()
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

/// So that two changes that add a sentence do not meet at the end of every file.
#[test]
fn sentences_stand_in_the_order_of_the_alphabet() {
    for language in OTHERS {
        let text =
            fs::read_to_string(workbench::root().join(format!("themes/labels/{language}.yaml"))).unwrap();
        let keys = text.lines().filter_map(|line| line.strip_prefix('"')?.split_once("\": "));
        let keys: Vec<(String, &str)> = keys.map(|(key, _)| (key.to_lowercase(), key)).collect();
        let wrong = keys.windows(2).find(|pair| pair[0] > pair[1]);
        assert!(
            wrong.is_none(),
            "{language}: `{}` stands after `{}`",
            wrong.unwrap()[0].1,
            wrong.unwrap()[1].1
        );
    }
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

/// The demo bound in memory after `change` was made to the copy of its folder.
fn bound(change: impl Fn(&Path)) -> BTreeMap<String, String> {
    let (_keep, manual) = workbench::demo_copy();
    change(&manual);
    let run = benchleaf::Run::read(&manual).unwrap();
    let Ok((pages, _)) = run.render() else {
        // Why, without the manual itself: it is large.
        let found = workbench::inspection::findings(&run);
        panic!("{}", benchleaf::finding::text::render(&found, run.source(), false));
    };
    let texts = pages.files().iter().filter(|(name, _)| name.ends_with(".html"));
    texts.map(|(name, bytes)| (name.clone(), String::from_utf8(bytes.clone()).unwrap())).collect()
}

fn in_language(manual: &Path, language: &str) {
    let shop = manual.join("shop.yaml");
    let text = fs::read_to_string(&shop).unwrap().replace("language: en", &format!("language: {language}"));
    assert!(text.contains(&format!("language: {language}")));
    fs::write(shop, text).unwrap();
}

/// The words of a page: text nodes, and what is read out in their place.
fn told(html: &str) -> Vec<String> {
    let mut all = Vec::new();
    let mut rest = html;
    while let Some((text, after)) = rest.split_once('<') {
        all.push(text.to_owned());
        let (tag, beyond) = after.split_once('>').unwrap_or((after, ""));
        for attribute in ["alt=\"", "aria-label=\"", "title=\"", "placeholder=\""] {
            if let Some((_, value)) = tag.split_once(attribute) {
                all.push(value.split('"').next().unwrap().to_owned());
            }
        }
        let closed = ["script", "style", "math"].into_iter().find(|name| tag.starts_with(name));
        rest = closed
            .map_or(beyond, |name| beyond.split_once(&format!("</{name}>")).map_or("", |(_, rest)| rest));
    }
    let plain = |text: String| {
        text.replace("&#x27;", "'").replace("&#39;", "'").replace("&quot;", "\"").replace("&amp;", "&")
    };
    all.into_iter().map(plain).map(|text| text.split_whitespace().collect::<Vec<_>>().join(" ")).collect()
}

#[test]
fn a_manual_in_another_language_holds_no_english_sentence_of_the_program() {
    let english: Vec<String> = sentences()
        .into_iter()
        .filter(|sentence| sentence.split_whitespace().filter(|word| says_something(word)).count() >= 3)
        .collect();
    assert!(english.len() > 300);
    let of_the_demo: String = told_of_the_sources();
    for language in OTHERS {
        let mut found = BTreeSet::new();
        for (name, html) in bound(|manual| in_language(manual, language)) {
            let page = told(&html).join("\n");
            for sentence in &english {
                let longest =
                    sentence.split(['{', '}']).step_by(2).max_by_key(|part| part.len()).unwrap().trim();
                let is_words = longest.split_whitespace().count() >= 3;
                if is_words && page.contains(longest) && !of_the_demo.contains(longest) {
                    found.insert(format!("{language}: {name}: {longest}"));
                }
            }
        }
        assert!(found.is_empty(), "{}", found.into_iter().collect::<Vec<_>>().join("\n"));
    }
}

/// Everything that the authors of the demo wrote.
fn told_of_the_sources() -> String {
    let files = workbench::snapshot(&workbench::demo());
    let texts = files.values().filter_map(|bytes| String::from_utf8(bytes.clone()).ok());
    texts.collect::<Vec<_>>().join("\n")
}

/// A text without the ten digits to the base 16 that tell one state of a manual from another: their letters are
/// no word.
fn without_fingerprints(text: &str) -> String {
    let is_one = |word: &str| word.len() == 10 && word.chars().all(|letter| letter.is_ascii_hexdigit());
    text.split_inclusive(|letter: char| !letter.is_alphanumeric())
        .filter(|word| !is_one(word.trim_end_matches(|letter: char| !letter.is_alphanumeric())))
        .collect()
}

/// Labels and sentences are put in brackets: what then stands outside is the authors', or a name of the format.
#[test]
fn every_word_of_a_page_is_the_authors_or_a_label() {
    let mut brackets: BTreeMap<String, String> = BTreeMap::new();
    for key in
        labels("en").into_iter().chain(sentences().into_iter().map(|sentence| (sentence.clone(), sentence)))
    {
        brackets.insert(key.0, format!("⟦{}⟧", key.1));
    }
    let pages = bound(|manual| {
        fs::create_dir_all(manual.join("dress")).unwrap();
        fs::write(manual.join("dress/en.yaml"), serde_json::to_string_pretty(&brackets).unwrap()).unwrap();
    });
    let lower = |text: &str| text.to_lowercase();
    let split = |text: &str| -> Vec<String> {
        let words =
            text.split(|letter: char| !letter.is_alphabetic()).filter(|word| word.chars().count() > 2);
        words.map(lower).collect()
    };
    let mut known: BTreeSet<String> = split(&told_of_the_sources()).into_iter().collect();
    for working in register() {
        let declared = working.declaration();
        known.extend(split(declared.name));
        known.extend(declared.inputs.iter().flat_map(|input| split(input.name)));
        known.extend(declared.outputs.iter().flat_map(|output| split(output.name)));
        known.extend(declared.formulas.iter().flat_map(|formula| split(formula.text)));
    }
    let mut strange: BTreeMap<String, String> = BTreeMap::new();
    for (name, html) in &pages {
        // A sentence may be broken over several lines of a drawing.
        let mut depth = 0;
        for text in told(html) {
            let outside: String = text
                .chars()
                .filter(|letter| {
                    depth += i32::from(*letter == '⟦') - i32::from(*letter == '⟧');
                    depth <= 0 && *letter != '⟧'
                })
                .collect();
            for word in
                split(&without_fingerprints(&outside)).into_iter().filter(|word| !known.contains(word))
            {
                strange.entry(word).or_insert_with(|| format!("{name}: {text}"));
            }
        }
    }
    let told = strange.iter().map(|(word, place)| format!("`{word}` in {place}"));
    assert!(strange.is_empty(), "{}", told.collect::<Vec<_>>().join("\n"));
}

/// A cell that cannot be worked says why in the language of the page, the words of the reading with it.
#[test]
fn what_a_working_refuses_is_said_in_the_language_of_the_page() {
    let chart = "id: odd-chart\ntitle: Odd\nrows: {wire: [loom-050]}\nvalues:\n  \
                 sum: {working: formula, expression: w + 1 V, w: row:wire.outside}\n  \
                 unit: {working: formula, expression: w, w: 3 parsec}\n  \
                 field: {working: formula, expression: w, w: row:wire.colour}\n\
                 take: [sum.result, unit.result, field.result]\n";
    let english = ["cannot be", "a voltage", "is not a unit", "has no `colour`"];
    for language in ["en"].into_iter().chain(OTHERS) {
        let pages = bound(|manual| {
            in_language(manual, language);
            fs::write(manual.join("tables/odd-chart.yaml"), chart).unwrap();
        });
        let page = told(&pages["tables/odd-chart.html"]).join("\n");
        for words in english {
            assert_eq!(page.contains(words), language == "en", "{language}: `{words}` in {page}");
        }
        assert!(page.contains("`colour`") && page.contains("`parsec`"), "{language}: {page}");
    }
}
