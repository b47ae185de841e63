//! Hostile sources: whatever stands in prose stays words, and what a drawing must not hold is refused at its
//! place. Adding a case to prose is adding lines to `prose.md`.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "tests read and write files")]

mod workbench;

use std::fs;
use std::path::{Path, PathBuf};
use workbench::inspection::inspect;
use workbench::{binding, html, purity};

/// The folder of the cases.
fn cases() -> PathBuf {
    workbench::root().join("tests/hostile")
}

/// A small manual that binds, in a temporary folder, with words in its introduction.
fn manual(introduction: &str) -> (tempfile::TempDir, PathBuf) {
    let keep = workbench::folder();
    let manual = keep.path().join("manual");
    workbench::copy(&workbench::root().join("tests/faults/base"), &manual);
    let clean = fs::read_to_string(workbench::root().join("tests/faults/none-a-clean-lid.md")).unwrap();
    let text = clean.replacen("The lamp sits behind the lid.", introduction, 1);
    assert!(text.contains(introduction), "the clean case has lost its introduction");
    fs::write(manual.join("clean.md"), text).unwrap();
    (keep, manual)
}

/// The page of the procedure of a bound site.
fn page(site: &Path) -> String {
    fs::read_to_string(site.join("procedures/none-a-clean-lid/index.html")).unwrap()
}

#[test]
fn hostile_prose_stays_words_on_every_page() {
    let (keep, manual) = manual(&fs::read_to_string(cases().join("prose.md")).unwrap());
    let site = keep.path().join("site");
    binding::bind(&manual, &site).unwrap();
    assert_eq!(workbench::impurities(&site), Vec::<String>::new());
    let names = workbench::files(&site);
    for asset in names.iter().filter(|name| name.starts_with("assets/")) {
        let hash = asset.rsplit('.').nth(1).unwrap_or_default();
        assert!(hash.len() == 10 && hash.bytes().all(|byte| byte.is_ascii_hexdigit()), "{asset}");
    }
    assert!(!page(&site).contains("unseen-"), "a comment is printed");
    let tags = html::tags(&page(&site));
    let alternatives: Vec<&str> = tags
        .iter()
        .filter(|tag| tag.name == "img" && tag.attribute("src").is_some_and(|src| src.ends_with("lid.svg")))
        .filter_map(|tag| tag.attribute("alt"))
        .collect();
    for wanted in [
        "a\" onerror=\"x\" style=\"position:fixed\" b",
        "a 12\" <b onload=x> & 'quoted' code bold Hexalobular driver 25 lid",
        "outer inner\" onload=\"x end",
    ] {
        assert!(alternatives.contains(&wanted), "{wanted} is none of {alternatives:?}");
    }
}

/// The codes that the remarks of a drawing want, each with its line.
fn wanted(text: &str) -> Vec<(String, u64)> {
    let lines = (1..).zip(text.lines());
    let marked = lines.filter_map(|(line, text)| Some((line, text.split_once("<!-- finds: ")?.1)));
    let codes = marked.flat_map(|(line, said)| {
        let codes = said.split(" -->").next().unwrap_or_default().split(' ');
        codes.map(move |code| (code.to_owned(), line))
    });
    codes.collect()
}

#[test]
fn each_hostile_drawing_is_refused_at_its_lines_and_for_nothing_else() {
    let (_keep, manual) = manual("The lamp sits behind the lid.");
    let mut wrong = Vec::new();
    let names = workbench::files(&cases().join("figures"));
    for name in &names {
        let text = fs::read_to_string(cases().join("figures").join(name)).unwrap();
        // The drawing that the procedures show is the one that is spoilt.
        fs::write(manual.join("figures/lid.svg"), &text).unwrap();
        let found: Vec<(String, u64)> = inspect(&manual)
            .into_iter()
            .filter(|found| found.is_error())
            .map(|found| (found.code, found.line.unwrap_or(0)))
            .collect();
        if found != wanted(&text) {
            wrong.push(format!("{name}: wanted {:?}, found {found:?}", wanted(&text)));
        }
    }
    assert!(names.iter().any(|name| name.starts_with("passes-")));
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn figures_have_names_and_kinds_that_hold_everywhere() {
    let lid = fs::read(workbench::root().join("tests/faults/base/figures/lid.svg")).unwrap();
    for (name, code, help) in [
        ("two words.svg", "SRC-15", "name it `figures/two-words.svg`"),
        ("a\nb.svg", "SRC-15", "name it `figures/a-b.svg`"),
        ("con.svg", "SRC-15", "name it `figures/figure-con.svg`"),
        ("LID.svg", "SRC-15", "give one of them another name: some systems take both for one file"),
        ("lid.heic", "SRC-13", "and name it `lid.jpeg`"),
        ("lid.dng", "SRC-13", "export it as JPEG, and name it `lid.jpeg`"),
        ("lid.png", "SRC-13", "put the photograph itself here"),
    ] {
        let (_keep, manual) = manual("The lamp sits behind the lid.");
        fs::write(manual.join("figures").join(name), &lid).unwrap();
        let found: Vec<_> = inspect(&manual).into_iter().filter(|found| found.is_error()).collect();
        let said =
            found.iter().find(|found| found.code == code).unwrap_or_else(|| panic!("{name}: {found:?}"));
        assert!(said.help.as_deref().unwrap_or_default().ends_with(help), "{name}: {:?}", said.help);
    }
}

#[test]
fn a_dress_without_the_policy_does_not_bind_and_one_with_it_does() {
    let base = fs::read_to_string(workbench::root().join("themes/templates/base.html")).unwrap();
    let policy = base.lines().find(|line| line.contains("Content-Security-Policy")).unwrap();
    let without = base.replacen(policy, "", 1);
    let weaker = base.replacen("script-src 'self'", "script-src *", 1);
    let later = without.replacen("</head>", &format!("{policy}</head>"), 1);
    for (text, binds) in [(base.as_str(), true), (&without, false), (&weaker, false), (&later, false)] {
        let (keep, manual) = manual("The lamp sits behind the lid.");
        fs::create_dir(manual.join("dress")).unwrap();
        fs::write(manual.join("dress/base.html"), text).unwrap();
        let said = binding::bind(&manual, &keep.path().join("site"));
        assert_eq!(said.is_ok(), binds, "{said:?}");
        assert!(binds || said.unwrap_err().contains("THE-05"));
    }
}

#[test]
fn a_dress_that_goes_on_and_on_is_refused_once_and_soon() {
    let loops = "{% for a in range(end=1000) %}{% for b in range(end=1000) %}{% for c in range(end=1000) %}{% endfor %}{% endfor %}{% endfor %}";
    for (own, binds) in [(loops, false), ("{% for a in range(end=1000) %}{% endfor %}", true)] {
        let (keep, manual) = manual("The lamp sits behind the lid.");
        fs::create_dir(manual.join("dress")).unwrap();
        let text =
            format!("{{% extends \"builtin/base.html\" %}}\n{{% block main %}}\n{own}{{% endblock main %}}");
        fs::write(manual.join("dress/front.html"), text).unwrap();
        let found: Vec<_> = inspect(&manual).into_iter().filter(|found| found.is_error()).collect();
        let said = binding::bind(&manual, &keep.path().join("site"));
        assert_eq!(said.is_ok(), binds, "{said:?}");
        let told: Vec<(&str, Option<u64>)> = found.iter().map(|it| (it.code.as_str(), it.line)).collect();
        let wanted: &[(&str, Option<u64>)] = if binds { &[] } else { &[("THE-06", Some(3))] };
        assert_eq!(told, wanted, "{found:?}");
    }
}

/// A short source that asks for much: over the limit of the shop it is refused at its table, and raising it helps.
#[test]
fn tables_that_ask_for_too_much_are_refused_at_once() {
    let table = |name: &str| {
        format!(
            "id: {name}\ntitle: T\nrows: {{w: 1 mm to 500 mm by 1 mm}}\nvalues:\n  v: {{working: total, of: [row:w]}}\ntake: [v.sum]\n"
        )
    };
    for (limit, tables, wanted) in [("5000", 5, 0), ("4999", 5, 1), ("4999", 50, 1)] {
        let (_keep, manual) = manual("The lamp sits behind the lid.");
        let shop = fs::read_to_string(manual.join("shop.yaml")).unwrap();
        fs::write(manual.join("shop.yaml"), format!("{shop}limits: {{cells: {limit}}}\n")).unwrap();
        fs::create_dir_all(manual.join("tables")).unwrap();
        for at in 0..tables {
            fs::write(manual.join(format!("tables/t{at}.yaml")), table(&format!("t{at}"))).unwrap();
        }
        let found: Vec<_> = inspect(&manual).into_iter().filter(|found| found.is_error()).collect();
        assert_eq!(found.len(), wanted, "{found:?}");
        assert!(
            found
                .iter()
                .all(|it| it.code == "SRC-02" && it.help.as_deref().unwrap().contains("limits.cells"))
        );
    }
}

/// A manual in which each procedure carries out the next, and the last one nothing.
fn chain(length: usize) -> (tempfile::TempDir, PathBuf) {
    let (keep, manual) = manual("The lamp sits behind the lid.");
    let clean = fs::read_to_string(manual.join("clean.md")).unwrap();
    for at in 0..length {
        let next = if at + 1 < length { format!("link-{}", at + 1) } else { "none-a-clean-lid".to_owned() };
        let step =
            format!("## Run {{#run}}\n\n### Run it {{#run-it}}\n\n```step\ncarry-out: {next}\n```\n\n## ");
        let text = clean.replacen("id: none-a-clean-lid", &format!("id: link-{at}"), 1);
        fs::write(manual.join(format!("link-{at}.md")), text.replacen("## ", &step, 1)).unwrap();
    }
    (keep, manual)
}

#[test]
fn procedures_carry_one_another_out_up_to_a_depth_and_no_deeper() {
    for (length, wanted) in [(32, 0), (33, 1), (60, 28)] {
        let (_keep, manual) = chain(length);
        let deep =
            inspect(&manual).iter().filter(|found| found.message.contains("more than 32 deep")).count();
        assert_eq!(deep, wanted, "{length} procedures above the last");
    }
}

/// Each of three procedures carries a fourth of three steps out twice: six steps of another each.
#[test]
fn steps_are_carried_out_up_to_the_limit_of_the_shop() {
    for (limit, wanted) in [(18, 0), (17, 1), (11, 1)] {
        let (_keep, manual) = manual("The lamp sits behind the lid.");
        let shop = fs::read_to_string(manual.join("shop.yaml")).unwrap();
        fs::write(manual.join("shop.yaml"), format!("{shop}limits: {{carried: {limit}}}\n")).unwrap();
        let clean = fs::read_to_string(manual.join("clean.md")).unwrap();
        let (head, _) = clean.split_once("## Work").unwrap();
        let end = clean.split_once("## Close-out").unwrap().1;
        let look = |at: usize| format!("### Look at part {at} {{#look-{at}}}\n\nWords.\n\n");
        let run = |at: usize| format!("### Run it {at} {{#run-{at}}}\n\n```step\ncarry-out: looks\n```\n\n");
        let file = |id: &str, steps: String| {
            let head = head.replacen("id: none-a-clean-lid", &format!("id: {id}"), 1);
            let text = format!("{head}## Work {{#work}}\n\n{steps}## Close-out{end}");
            fs::write(manual.join(format!("{id}.md")), text).unwrap();
        };
        // Its close-out has one step, which makes three.
        file("looks", look(0) + &look(1));
        for id in ["run-a", "run-b", "run-c"] {
            file(id, run(0) + &run(1));
        }
        let found: Vec<_> = inspect(&manual).into_iter().filter(|found| found.is_error()).collect();
        assert_eq!(found.len(), wanted, "{limit}: {found:?}");
        let at = if limit == 17 { "run-c.md" } else { "run-b.md" };
        let told = |it: &workbench::inspection::Found| {
            it.code == "SRC-02" && it.file.as_deref().unwrap().ends_with(at)
        };
        assert!(found.iter().all(told), "{found:?}");
    }
}

#[test]
fn the_judge_of_pages_knows_what_it_looks_for() {
    for bad in [
        "<p onclick=\"x\">",
        "<p style=\"x\">",
        "<script>x</script>",
        "<script src=\"//example.org/x.js\"></script>",
        "<a href=\"java\tscript:x\">",
        "<img src=\"https://example.org/x.png\">",
        "<a href=\"data:text/html,x\">",
        "<iframe src=\"x.html\">",
        "<style>x</style>",
    ] {
        assert_eq!(purity::faults_of("a.html", bad).len(), 1, "{bad}");
    }
    for good in [
        "<a href=\"https://example.org/\">",
        "<a href=\"../a/b.html#c:d\">",
        "<script src=\"assets/a.js\"></script>",
        "<script type=\"application/json\">{}</script>",
        "<p data-on=\"x\" alt=\"a onclick=b\">",
    ] {
        assert_eq!(purity::faults_of("a.html", good), Vec::<String>::new(), "{good}");
    }
}
