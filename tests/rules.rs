//! The rules, each held to cases that are found by folder: `tests/rules/CODE/fails-NAME/` and `passes-NAME/`
//! hold files that are laid over a copy of `tests/rules/base/`. Adding a case is adding a folder.
//!
//! A comment `# finds: CODE` at the end of a line marks a finding there. A line `# finds: CODE at TEXT` in a
//! front matter marks the last line that holds TEXT, where no comment can stand. `says WORDS` at the end of
//! either holds the finding as it is shown, its labels and its help, to WORDS.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "tests read and write files")]

mod workbench;

use benchleaf::check;
use benchleaf::finding::Severity;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use workbench::inspection::{Found, inspect};

fn cases() -> PathBuf {
    workbench::root().join("tests/rules")
}

/// A finding by file, line and code.
type Mark = (String, u64, String);

/// The findings that a file marks, each with the words that it is held to.
fn marks(name: &str, text: &str) -> Vec<(Mark, String)> {
    const SIGN: &str = "# finds: ";
    let mut marks = Vec::new();
    for (number, line) in (1..).zip(text.lines()) {
        let Some((_, said)) = line.split_once(SIGN) else { continue };
        let (said, words) = said.split_once(" says ").unwrap_or((said, ""));
        let (code, at) = said.split_once(" at ").unwrap_or((said, ""));
        let line = if at.is_empty() {
            number
        } else {
            let holds = |(_, line): &(u64, &str)| line.contains(at) && !line.contains(SIGN);
            (1..).zip(text.lines()).filter(holds).last().unwrap_or_else(|| panic!("{name}: no `{at}`")).0
        };
        marks.push(((name.to_owned(), line, code.trim().to_owned()), words.trim().to_owned()));
    }
    marks
}

/// A case in a temporary folder, and what it marks.
fn laid_out(case: &Path) -> (tempfile::TempDir, PathBuf, Vec<(Mark, String)>) {
    let (keep, manual) = workbench::cases::rule(case);
    let mut wanted = Vec::new();
    for name in workbench::files(case) {
        if let Ok(text) = fs::read_to_string(case.join(&name)) {
            wanted.extend(marks(&name, &text));
        }
    }
    (keep, manual, wanted)
}

fn mark_of(manual: &Path, found: &Found) -> Mark {
    let file = found.file.clone().unwrap_or_default();
    let below = Path::new(&file).strip_prefix(manual).map_or(file.clone(), |path| path.display().to_string());
    (below, found.line.unwrap_or(0), found.code.clone())
}

/// Whether a finding says some words, wherever its lines are broken. The excerpt, which holds the mark itself,
/// does not count.
fn said(found: &Found, words: &str) -> bool {
    let lines = found.shown.lines().map(|line| line.split("# finds: ").next().unwrap_or_default());
    let plain = |text: String| text.split_whitespace().collect::<Vec<_>>().join(" ");
    plain(lines.collect::<Vec<_>>().join(" ")).contains(&plain(words.to_owned()))
}

/// What is wrong with one case.
fn faults_of(code: &str, name: &str, case: &Path) -> Vec<String> {
    let (_keep, manual, wanted) = laid_out(case);
    let found = inspect(&manual);
    let counts = |found: &&Found| found.is_error() || found.code == code;
    let mut got: BTreeMap<Mark, Vec<&Found>> = BTreeMap::new();
    for found in found.iter().filter(counts) {
        got.entry(mark_of(&manual, found)).or_default().push(found);
    }
    let mut wrong = Vec::new();
    for (mark @ (file, line, code), words) in &wanted {
        match got.get(mark).map(Vec::as_slice) {
            None => wrong.push(format!("{name}: {code} is missing at {file}:{line}")),
            Some(all) if !all.iter().any(|found| said(found, words)) => {
                wrong.push(format!("{name}: `{words}` stands nowhere in {}", all[0].shown));
            }
            Some(_) => {}
        }
    }
    wrong.extend(
        got.iter()
            .filter(|(mark, _)| !wanted.iter().any(|(wanted, _)| wanted == *mark))
            .flat_map(|(_, all)| all.iter().map(|found| format!("{name}: not marked: {found}"))),
    );
    let own = wanted.iter().any(|((.., marked), _)| marked == code);
    if own != name.contains("/fails-") {
        wrong.push(format!("{name}: does it fail or pass?"));
    }
    // Codes that the reading and the working share say what to write in their headline.
    let shared = ["VAL-02", "VAL-06", "LED-10", "DOC-01"];
    for found in found.iter().filter(|found| found.code == code) {
        if found.help.is_none() && !shared.contains(&code) {
            wrong.push(format!("{name}: {found} does not say what to write"));
        }
    }
    wrong
}

/// The cases of a rule.
fn names(code: &str) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(cases().join(code))
        .unwrap_or_else(|_| panic!("{code} has no folder in tests/rules/"))
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[test]
fn every_case_finds_what_it_marks_and_nothing_else() {
    let mut wrong = Vec::new();
    for rule in check::rules::register() {
        let code = rule.page().code.0;
        let folder = cases().join(code);
        let names = names(code);
        for kind in ["fails-", "passes-"] {
            if !names.iter().any(|name| name.starts_with(kind)) {
                wrong.push(format!("{code} has no case `{kind}…`"));
            }
        }
        for name in names {
            wrong.extend(faults_of(code, &format!("{code}/{name}"), &folder.join(&name)));
        }
    }
    assert!(wrong.is_empty(), "{} faults:\n{}", wrong.len(), wrong.join("\n"));
}

/// Rules that judge a procedure's work as a whole, and rules that judge by figures of the stores: beside an act or
/// a line that cannot be read they would only tell that again, and stay silent in every case in which they speak.
#[test]
fn what_only_follows_from_what_cannot_be_read_is_not_told() {
    const OF_THE_WHOLE: [&str; 8] =
        ["CLO-01", "ELE-01", "ELE-02", "ELE-04", "ELE-09", "ELE-10", "SAF-07", "STR-10"];
    const OF_THE_STORES: [&str; 8] =
        ["ELE-05", "ELE-06", "KIT-03", "KIT-04", "SAF-11", "VAL-01", "VAL-07", "KIT-02"];
    const UNREAD_ACT: &str = "### Look at the seal {#unread}\n\n```step\ndoes:\n  - remov: trim-rivets\ncheck: The \
                              seal is whole\n```\n\n";
    let mut wrong = Vec::new();
    let mut asked = 0;
    for code in OF_THE_WHOLE.into_iter().chain(OF_THE_STORES) {
        for name in names(code).iter().filter(|name| name.starts_with("fails-")) {
            let (_keep, manual, _) = laid_out(&cases().join(code).join(name));
            let tells = |manual: &Path| inspect(manual).iter().any(|found| found.code == code);
            assert!(tells(&manual), "{code}/{name}");
            if OF_THE_WHOLE.contains(&code) || code == "KIT-02" {
                for entry in fs::read_dir(manual.join("jobs")).unwrap() {
                    let path = entry.unwrap().path();
                    let text = fs::read_to_string(&path).unwrap();
                    fs::write(
                        &path,
                        text.replacen("\n## Close-out", &format!("\n{UNREAD_ACT}## Close-out"), 1),
                    )
                    .unwrap();
                }
            } else {
                fs::write(manual.join("stores/parts.yaml"), "seal-plug: {name: Plug, reuse: nevr}\n")
                    .unwrap();
            }
            asked += 1;
            if tells(&manual) {
                wrong.push(format!("{code}/{name}"));
            }
        }
    }
    assert!(asked >= 40 && wrong.is_empty(), "{asked} asked; told all the same: {}", wrong.join(", "));
}

/// Every sentence of the program, put between brackets by a dress of the shop: a headline that begins outside of them
/// is one that no other language says. A day that is none is told by the reading.
#[test]
fn what_a_rule_finds_is_a_sentence_with_words_in_every_language() {
    let german = fs::read_to_string(workbench::root().join("themes/labels/de.yaml")).unwrap();
    let sentences: BTreeMap<String, String> = serde_yaml::from_str(&german).unwrap();
    let sentences = sentences.keys().filter(|key| key.contains([' ', '{']));
    let bracketed: BTreeMap<&String, String> = sentences.map(|key| (key, format!("⟦{key}⟧"))).collect();
    let dress = serde_json::to_string(&bracketed).unwrap();
    let (mut plain, mut told) = (BTreeSet::new(), 0);
    for rule in check::rules::register() {
        let code = rule.page().code.0;
        for name in names(code).iter().filter(|name| name.starts_with("fails-")) {
            let (_keep, manual, _) = laid_out(&cases().join(code).join(name));
            if !fs::read_to_string(manual.join("shop.yaml")).unwrap().contains("language: en") {
                continue;
            }
            fs::create_dir_all(manual.join("dress")).unwrap();
            fs::write(manual.join("dress/en.yaml"), &dress).unwrap();
            let found = inspect(&manual);
            for found in found.iter().filter(|found| found.code == code) {
                told += 1;
                if !found.message.starts_with('⟦') && !found.message.ends_with("is not a day of the calendar")
                {
                    plain.insert(format!("{code}: {}", found.message));
                }
            }
        }
    }
    assert!(told > 150 && plain.is_empty(), "{told}: {}", plain.into_iter().collect::<Vec<_>>().join("\n"));
}

#[test]
fn no_folder_of_cases_is_without_a_rule() {
    let known: BTreeSet<&str> = check::rules::register().iter().map(|rule| rule.page().code.0).collect();
    for entry in fs::read_dir(cases()).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        assert!(name == "base" || known.contains(name.as_str()), "tests/rules/{name} belongs to no rule");
    }
}

#[test]
fn the_base_inspects_clean() {
    let found = inspect(&cases().join("base"));
    let said: Vec<String> = found.iter().map(ToString::to_string).collect();
    assert!(said.is_empty(), "{}", said.join("\n"));
}

/// What a rule weighs in the design: errors block a bind, so a slip here is a broken promise.
#[test]
fn every_rule_weighs_what_it_says() {
    let warnings = [
        "LED-07", "LED-11", "VAL-03", "VAL-04", "STR-01", "STR-02", "STR-05", "STR-06", "STR-08", "STR-09",
        "KIT-02", "KIT-03", "KIT-04", "ELE-02", "ELE-04", "ELE-06", "ELE-08", "ELE-09", "ELE-10", "SAF-03",
        "SAF-04", "SAF-10", "DOC-05", "DOC-06",
    ];
    let advice = ["STR-03", "STR-04", "STR-07", "SAF-05"];
    for rule in check::rules::register() {
        let page = rule.page();
        let wanted = if warnings.contains(&page.code.0) {
            Severity::Warning
        } else if advice.contains(&page.code.0) {
            Severity::Advice
        } else {
            Severity::Error
        };
        assert_eq!(
            page.severity, wanted,
            "{}: name it in the list of its severity here, and in no other",
            page.code
        );
    }
}

#[test]
fn two_rules_weigh_more_in_their_grave_cases() {
    for (case, code) in
        [("LED-07/fails-window-stops", "LED-07"), ("ELE-02/fails-pair-without-its-twist", "ELE-02")]
    {
        let (_keep, manual, _) = laid_out(&cases().join(case));
        let found = inspect(&manual);
        assert!(found.iter().any(|found| found.code == code && found.is_error()), "{case}");
    }
    let (_keep, manual, _) = laid_out(&cases().join("LED-07/fails-clock"));
    assert!(inspect(&manual).iter().all(|found| !found.is_error()));
}

/// A waiver with a rule, a reason and a name takes a warning away, and nothing else.
#[test]
fn a_warning_is_waived_where_it_stands() {
    let (_keep, manual, _) = laid_out(&cases().join("STR-05/fails-check-without-what"));
    let path = manual.join("jobs/case.md");
    let text = fs::read_to_string(&path).unwrap();
    let waived = text.replace(
        "tools: [meter]\n```\n\n## Close-out",
        "tools: [meter]\nwaive: {rule: STR-05, reason: The next step says it, by: Bench lead}\n```\n\n## Close-out",
    );
    assert_ne!(waived, text);
    assert!(inspect(&manual).iter().any(|found| found.code == "STR-05"));
    fs::write(&path, waived).unwrap();
    assert!(inspect(&manual).iter().all(|found| found.code != "STR-05"));
}

/// `UPDATE=1` writes docs/rules.md anew.
#[test]
fn the_page_of_the_handbook_is_made_from_the_rules() {
    let path = workbench::root().join("docs/rules.md");
    let wanted = check::handbook();
    if std::env::var_os("UPDATE").is_some() {
        fs::write(&path, &wanted).unwrap();
    }
    let held = fs::read_to_string(&path).unwrap_or_default();
    assert!(
        held == wanted,
        "docs/rules.md is not what the rules say; `UPDATE=1 cargo test --test rules` writes it"
    );
}

#[test]
fn a_rule_explains_itself_on_a_terminal() {
    let text = check::why("led-01").unwrap();
    assert!(text.starts_with("LED-01 (error): "), "{text}");
    for part in ["Source: ", "This breaks it:", "This keeps it:"] {
        assert!(text.contains(part), "{text}");
    }
    assert_eq!(check::why("LED-99"), None);
}

/// The texts between `Code("` and the quote that ends them, in every file of the program.
fn printed_codes() -> BTreeSet<String> {
    let root = workbench::root().join("src");
    let files = workbench::files(&root).into_iter().filter(|name| name.ends_with(".rs"));
    let texts = files.map(|name| fs::read_to_string(root.join(name)).unwrap());
    let codes = |text: String| -> Vec<String> {
        let after = text.split("Code(\"").skip(1);
        after.filter_map(|rest| rest.split_once('"')).map(|(code, _)| code.to_owned()).collect()
    };
    texts.flat_map(codes).filter(|code| code.contains('-')).collect()
}

/// Whatever code is printed has its page in the handbook, answers to `--why`, and is printed somewhere.
#[test]
fn every_code_has_its_page() {
    let pages: BTreeSet<String> = check::pages().iter().map(|page| page.code.0.to_owned()).collect();
    assert_eq!(printed_codes(), pages);
    let handbook = check::handbook();
    for code in pages {
        assert!(check::why(&code).is_some(), "{code}");
        assert!(handbook.contains(&format!("\n## {code}\n")), "{code} has no page in the handbook");
    }
}

/// What to do about a wording is said in the manual's language.
#[test]
fn help_on_wording_speaks_the_language_of_the_manual() {
    let (_keep, manual, _) = laid_out(&cases().join("STR-02/fails-in-german"));
    let found = inspect(&manual);
    let help = found.iter().find(|found| found.code == "STR-02").and_then(|found| found.help.clone());
    assert!(help.is_some_and(|help| help.contains("was zu tun ist")), "{found:?}");
}

/// Who isolates for others cannot teach again what the isolation loses: the help says to hand it on.
#[test]
fn help_for_a_setting_lost_for_others_is_to_say_so() {
    for (case, says) in [("fails-left-lost-for-others", "`clock: lost`"), ("fails-clock", "re-teach: clock")]
    {
        let (_keep, manual, _) = laid_out(&cases().join("LED-07").join(case));
        let found = inspect(&manual);
        let help = found.iter().find(|found| found.code == "LED-07").and_then(|found| found.help.clone());
        let help = help.unwrap_or_default();
        let hands_on = help.contains("`leaves`");
        assert!(help.contains(says) && hands_on == (case != "fails-clock"), "{case}: {help}");
    }
}

/// What a finding says is told in the language of the manual, headline and note as the help.
#[test]
fn a_finding_speaks_the_language_of_the_manual() {
    for (language, says) in [
        ("en", "this step does not start with a verb"),
        ("de", "kein Verb"),
        ("nl", "niet met een werkwoord"),
        ("fr", "ne commence pas par un verbe"),
        ("es", "no empieza por un verbo"),
    ] {
        let (_keep, manual, _) = laid_out(&cases().join("STR-02/fails-noun-first"));
        let shop = manual.join("shop.yaml");
        let text = fs::read_to_string(&shop).unwrap();
        fs::write(&shop, text.replace("language: en", &format!("language: {language}"))).unwrap();
        let found = inspect(&manual);
        let said = found.iter().filter(|found| found.code == "STR-02").map(ToString::to_string);
        let said: Vec<String> = said.collect();
        assert!(said.iter().any(|line| line.contains(says)), "{language}: {said:?}");
    }
}
