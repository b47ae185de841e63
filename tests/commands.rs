//! The commands as a user runs them: exit codes, what goes where, and what is left alone.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "tests read and write files")]

mod workbench;

use serde_json::Value;
use std::fs;
use std::path::Path;
use std::process::Output;

/// Runs the program in a folder.
fn run(folder: &Path, arguments: &[&str]) -> Output {
    let mut program = assert_cmd::Command::new(assert_cmd::cargo::cargo_bin!("benchleaf"));
    program.current_dir(folder).args(arguments).output().unwrap()
}

/// Runs it and holds its exit code against the one wanted; what it said, stdout and stderr.
fn wants(code: i32, folder: &Path, arguments: &[&str]) -> (String, String) {
    let out = run(folder, arguments);
    let (said, told) = (String::from_utf8(out.stdout).unwrap(), String::from_utf8(out.stderr).unwrap());
    assert_eq!(out.status.code(), Some(code), "{arguments:?}:\n{said}\n{told}");
    (said, told)
}

/// A copy of the demo in which a screw stays out, with the line of its removal.
fn faulty() -> (tempfile::TempDir, std::path::PathBuf, u64) {
    let (keep, manual) = workbench::demo_copy();
    let path = manual.join("rear-doors/door-lining.md");
    let text = fs::read_to_string(&path).unwrap();
    fs::write(
        &path,
        text.replacen("  - fasten: lining-screws\n", "", 1).replacen("does:\ntools", "tools", 1),
    )
    .unwrap();
    let line = text.lines().position(|line| line.trim() == "- remove: lining-screws").unwrap() as u64 + 1;
    (keep, manual, line)
}

#[test]
fn wrong_usage_is_two() {
    let here = workbench::folder();
    for arguments in [
        &[][..],
        &["bnid"],
        &["inspect", "--format", "xml"],
        &["inspect", "nowhere"],
        &["inspect"],
        &["bind", "--onto", "x"],
        &["reckon"],
        &["reckon", "bundel"],
        &["reckon", "bundle", "diameters"],
        &["touches"],
        &["touches", "loom-075"],
    ] {
        let (said, told) = wants(2, here.path(), arguments);
        assert!(said.is_empty() && !told.trim().is_empty(), "{arguments:?}");
    }
    assert_eq!(fs::read_dir(here.path()).unwrap().count(), 0, "something was written");
    assert!(wants(2, here.path(), &["reckon", "bundel"]).1.contains("`bundle`"));
}

#[test]
fn help_and_version_are_results() {
    let here = workbench::folder();
    assert!(wants(0, here.path(), &["--help"]).0.contains("bind"));
    assert!(wants(0, here.path(), &["--version"]).0.contains(env!("CARGO_PKG_VERSION")));
}

/// A file where a folder is wanted is for the user to mend.
#[test]
fn a_missing_parent_of_the_place_is_wrong_usage() {
    let keep = workbench::folder();
    fs::write(keep.path().join("file"), "").unwrap();
    let demo = workbench::demo();
    let (_, told) = wants(2, keep.path(), &["bind", demo.to_str().unwrap(), "--into", "file/below"]);
    assert!(told.contains("file"), "{told}");
    assert_eq!(fs::read_dir(keep.path()).unwrap().count(), 1);
}

/// A device that is always full.
#[test]
#[cfg(target_os = "linux")]
fn a_machine_that_fails_is_three() {
    let full = fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
    let mut program = std::process::Command::new(assert_cmd::cargo::cargo_bin!("benchleaf"));
    let status = program.args(["reckon", "--list"]).stdout(full).stderr(std::process::Stdio::null()).status();
    assert_eq!(status.unwrap().code(), Some(3));
}

#[test]
fn findings_go_to_people_on_stderr_and_to_programs_on_stdout() {
    let (_keep, manual, line) = faulty();
    let folder = manual.parent().unwrap();
    let (said, told) = wants(1, folder, &["inspect", "manual"]);
    assert!(said.is_empty(), "{said}");
    assert!(told.contains("error[LED-01]") && told.contains(&format!("door-lining.md:{line}:")), "{told}");
    assert!(told.contains('^') && told.contains("- remove: lining-screws"), "{told}");

    let (said, _) = wants(1, folder, &["inspect", "manual", "--format", "json"]);
    let rows: Vec<Value> = serde_json::from_str(&said).unwrap();
    let row = rows.iter().find(|row| row["code"] == "LED-01").expect("it is in the array");
    assert_eq!(row["severity"], "error");
    assert_eq!(row["line"], line);
    for key in ["message", "file", "column", "end-line", "end-column", "procedure", "step", "labels", "help"]
    {
        assert!(row.get(key).is_some(), "`{key}` is gone from the contract: {row}");
    }
    for label in row["labels"].as_array().unwrap() {
        for key in ["file", "line", "column", "text"] {
            assert!(label.get(key).is_some(), "`{key}` is gone from a label: {row}");
        }
    }
}

#[test]
fn a_clean_manual_is_nought_and_its_array_has_no_error() {
    let demo = workbench::demo();
    let (said, _) = wants(0, &demo, &["inspect", "--format", "json"]);
    let rows: Vec<Value> = serde_json::from_str(&said).unwrap();
    assert!(rows.iter().all(|row| row["severity"] != "error"), "{said}");
}

#[test]
fn colour_is_used_where_it_is_asked_for() {
    let (_keep, manual, _) = faulty();
    let folder = manual.parent().unwrap();
    for (arguments, coloured) in [
        (&["inspect", "manual"][..], false),
        (&["inspect", "manual", "--color", "always"], true),
        (&["inspect", "manual", "--color", "never"], false),
    ] {
        let (_, told) = wants(1, folder, arguments);
        assert_eq!(told.contains('\u{1b}'), coloured, "{arguments:?}");
    }
}

#[test]
fn the_manual_is_found_here_above_and_in_procedures() {
    let (keep, manual) = workbench::demo_copy();
    wants(0, &manual, &["inspect", "--quiet"]);
    wants(0, &manual.join("rear-doors"), &["inspect", "--quiet"]);
    fs::rename(&manual, keep.path().join("procedures")).unwrap();
    wants(0, keep.path(), &["bind", "--quiet"]);
    assert_eq!(workbench::manifest_faults(&keep.path().join("bound")), Vec::<String>::new());
}

#[test]
fn quiet_says_nothing_of_a_clean_manual() {
    let (said, told) = wants(0, &workbench::demo(), &["inspect", "--quiet"]);
    assert_eq!((said.as_str(), told.as_str()), ("", ""));
}

#[test]
fn a_manual_with_faults_leaves_the_old_site_as_it_was() {
    let (_keep, manual, _) = faulty();
    let folder = manual.parent().unwrap();
    wants(1, folder, &["bind", "manual"]);
    assert!(!folder.join("bound").exists(), "half a site was written");

    let demo = workbench::demo();
    wants(0, folder, &["bind", demo.to_str().unwrap()]);
    let before = workbench::snapshot(&folder.join("bound"));
    wants(1, folder, &["bind", "manual"]);
    assert!(workbench::snapshot(&folder.join("bound")) == before, "the old site was touched");
    let mut left: Vec<_> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    left.sort();
    assert_eq!(left, ["bound", "manual"], "something is left beside the site");
}

#[test]
fn a_second_bind_replaces_the_first_whole() {
    let (_keep, manual) = workbench::demo_copy();
    let folder = manual.parent().unwrap();
    wants(0, folder, &["bind", "manual"]);
    let site = folder.join("bound");
    assert!(site.join("procedures/parasitic-drain/index.html").is_file());
    fs::remove_file(manual.join("diagnosis/parasitic-drain.md")).unwrap();
    // The one line that leads to it.
    let path = manual.join("close-out/close-out-test.md");
    let text = fs::read_to_string(&path).unwrap();
    let kept: Vec<&str> = text.lines().filter(|line| !line.contains("<procedure:parasitic-drain>")).collect();
    fs::write(&path, kept.join("\n") + "\n").unwrap();
    wants(0, folder, &["bind", "manual"]);
    assert!(!site.join("procedures/parasitic-drain").exists(), "a page of the old site is still there");
    assert_eq!(workbench::manifest_faults(&site), Vec::<String>::new());
}

#[test]
fn a_folder_that_bind_did_not_make_is_left_alone() {
    let keep = workbench::folder();
    let demo = workbench::demo();
    let demo = demo.to_str().unwrap();
    let mine = keep.path().join("mine");
    fs::create_dir(&mine).unwrap();
    fs::write(mine.join("letter.txt"), "Dear customer").unwrap();
    wants(2, keep.path(), &["bind", demo, "--into", "mine"]);
    fs::write(keep.path().join("letter.txt"), "Dear customer").unwrap();
    wants(2, keep.path(), &["bind", demo, "--into", "letter.txt"]);
    assert_eq!(workbench::files(keep.path()), ["letter.txt", "mine/letter.txt"]);

    // An empty folder is nobody's, and a site to which somebody added a file is somebody's.
    fs::create_dir(keep.path().join("empty")).unwrap();
    wants(0, keep.path(), &["bind", demo, "--into", "empty"]);
    fs::write(keep.path().join("empty/letter.txt"), "Dear customer").unwrap();
    wants(2, keep.path(), &["bind", demo, "--into", "empty"]);
    assert_eq!(fs::read_to_string(keep.path().join("empty/letter.txt")).unwrap(), "Dear customer");
}

#[test]
fn a_manual_is_never_bound_over_itself() {
    let (_keep, manual) = workbench::demo_copy();
    let before = workbench::snapshot(&manual);
    for into in [".", "..", "stores"] {
        wants(2, &manual, &["bind", "--into", into]);
    }
    assert!(workbench::snapshot(&manual) == before);
}

#[test]
fn spoilt_manuals_end_with_a_word_and_never_with_a_panic() {
    for (file, with) in [
        ("shop.yaml", &b"\xff\xfe"[..]),
        ("rear-doors/door-loom.md", b"---\n"),
        ("stores/tools.yaml", b"a: &a [*a, *a]\n"),
        ("vehicles/calder-320.yaml", b"[[[[[[[["),
        ("tables/sleeve-chart.yaml", b"id: sleeve-chart\n"),
    ] {
        let (_keep, manual) = workbench::demo_copy();
        fs::write(manual.join(file), with).unwrap();
        let (_, told) = wants(1, manual.parent().unwrap(), &["bind", "manual"]);
        assert!(told.contains("error[") && !told.contains("panicked"), "{file}: {told}");
        assert!(!manual.parent().unwrap().join("bound").exists());
    }
}

#[test]
fn a_computation_is_an_answer_or_a_fault() {
    let here = workbench::folder();
    let (said, told) = wants(0, here.path(), &["reckon", "bundle", "diameters=2mm,2mm,2mm", "--json"]);
    assert_eq!(told, "");
    let answer: Value = serde_json::from_str(&said).unwrap();
    // Three equal circles touching: the ring round them is 1 + 2/√3 of one.
    let diameter = answer["outputs"]["diameter"]["value"].as_f64().unwrap();
    assert!((diameter - 2.0 * (1.0 + 2.0 / 3f64.sqrt())).abs() < 1e-3, "{answer}");
    assert_eq!(answer["outputs"]["diameter"]["unit"], "mm");
    for key in ["working", "inputs", "steps", "sources", "cautions"] {
        assert!(answer.get(key).is_some(), "`{key}` is gone from the contract: {answer}");
    }
    for wrong in ["diameters=2", "diameters=2V", "diameters=2,5mm", "diameters=-2mm", "diameters=nan mm"] {
        let (said, told) = wants(1, here.path(), &["reckon", "bundle", wrong, "--json"]);
        assert!(said.is_empty() && told.contains("diameters"), "{wrong}: {told}");
    }
    let demo = workbench::demo();
    let shop = ["reckon", "bundle", "diameters=cable:loom-075.outside,cable:loom-075.outside", "--shop"];
    wants(0, here.path(), &[&shop[..], &[demo.to_str().unwrap()]].concat());
}

#[test]
fn every_working_is_listed_with_what_it_takes() {
    let here = workbench::folder();
    let (said, _) = wants(0, here.path(), &["reckon", "--list", "--json"]);
    let rows: Vec<Value> = serde_json::from_str(&said).unwrap();
    let names: Vec<&str> = rows.iter().filter_map(|row| row["working"].as_str()).collect();
    let mut registered: Vec<&str> =
        benchleaf::workings::register().iter().map(|working| working.declaration().name).collect();
    registered.sort_unstable();
    assert_eq!(names, registered);
    let (said, _) = wants(0, here.path(), &["reckon", "--list"]);
    for name in registered {
        assert!(said.contains(&format!("{name}: ")), "`{name}` is not listed");
    }
}

#[test]
fn one_working_is_listed_with_the_words_that_it_allows() {
    let here = workbench::folder();
    let (said, _) = wants(0, here.path(), &["reckon", "--list", "stagger", "--json"]);
    let rows: Vec<Value> = serde_json::from_str(&said).unwrap();
    assert_eq!(rows.len(), 1);
    let input = rows[0]["inputs"].as_array().unwrap().iter().find(|input| input["words"].is_array());
    let (said, _) = wants(0, here.path(), &["reckon", "--list", "stagger"]);
    for word in input.map_or(&[][..], |input| input["words"].as_array().unwrap()) {
        assert!(said.contains(word.as_str().unwrap()), "{word}: {said}");
    }
    assert!(!said.contains("bundle: "), "{said}");
    assert!(wants(2, here.path(), &["reckon", "--list", "stager"]).1.contains("`stagger`"));
    wants(2, here.path(), &["reckon", "--list", "bundle", "diameters=2mm"]);
}

#[test]
fn a_decimal_comma_is_told_and_a_list_is_left_alone() {
    let here = workbench::folder();
    let (_, told) = wants(1, here.path(), &["reckon", "bundle", "diameters=2,5mm"]);
    assert!(told.contains("write `2.5mm`"), "{told}");
    let (_, told) = wants(1, here.path(), &["reckon", "bundle", "diameters=2V,5V"]);
    assert!(!told.contains("write `2"), "{told}");
    wants(0, here.path(), &["reckon", "bundle", "diameters=2mm,5mm"]);
    let (_, told) = wants(1, here.path(), &["reckon", "bundle", "diameters=1,5mm,2,25mm"]);
    assert!(told.contains("write `1.5mm,2.25mm`"), "{told}");
    let (_, told) = wants(1, here.path(), &["reckon", "bundle", "diameters=1,5mm,2mm"]);
    assert!(!told.contains("write `1.5mm"), "an odd comma divides a list: {told}");
}

#[test]
fn an_input_or_a_word_that_is_misspelt_is_named_with_the_nearest() {
    let here = workbench::folder();
    // Its figure has a decimal comma too, which is not what is wrong first.
    let (_, told) = wants(1, here.path(), &["reckon", "sleeve", "ovr=4,6mm"]);
    assert!(told.contains("`sleeve` has no input `ovr`\n  help: did you mean `over`?"), "{told}");
    let (_, told) = wants(1, here.path(), &["reckon", "joint", "by=lapp", "wires=1mm,1mm"]);
    assert!(told.contains("one of `lap`, `meshed`, `barrel`\n  help: write `lap`"), "{told}");
    let (_, told) = wants(1, here.path(), &["reckon", "joint", "by=solder", "wires=1mm,1mm"]);
    assert!(
        told.contains("one of `lap`, `meshed`, `barrel`\nerror: "),
        "no word is near, so none is offered: {told}"
    );
    let (_, told) = wants(1, here.path(), &["reckon", "wire", "size=1mm2"]);
    assert!(told.contains("help: write one of `same`, `chassis`, `none`"), "{told}");
}

/// A site inside its manual is no part of it: bound three times in place, with inspections between, the site and
/// what is said of the manual stay the same.
#[test]
fn a_site_bound_in_place_is_never_read() {
    let (_keep, manual) = workbench::demo_copy();
    let (_, before) = wants(0, &manual, &["inspect"]);
    wants(0, &manual, &["bind"]);
    let first = workbench::snapshot(&manual.join("bound"));
    for _ in 0..2 {
        let (_, said) = wants(0, &manual, &["inspect"]);
        assert_eq!(said, before);
        wants(0, &manual, &["bind"]);
        assert!(workbench::snapshot(&manual.join("bound")) == first, "the site changed");
    }
    // Another place inside the manual, and another command.
    wants(0, &manual, &["bind", "--into", "rear-doors/site"]);
    let (_, said) = wants(0, &manual, &["touches", "loom-075"]);
    assert_eq!(said, "");
    wants(0, &manual, &["bind"]);
    assert!(workbench::snapshot(&manual.join("bound")) == first, "the other site was read");
}

#[test]
fn from_a_folder_of_the_manual_the_site_lies_in_the_manual() {
    let (_keep, manual) = workbench::demo_copy();
    let below = manual.join("rear-doors");
    wants(0, &below, &["bind"]);
    assert!(manual.join("bound/index.html").is_file() && !below.join("bound").exists());
    wants(0, &below, &["bind", "--into", "here"]);
    assert!(below.join("here/index.html").is_file());
}

/// Whatever is wrong with a shop's own dress, an inspection says it as a bind does.
#[test]
fn an_inspection_says_all_that_a_bind_would() {
    for (file, text, code) in [
        ("front.html", "<p>\n{% if %}</p>", "THE-01"),
        ("front.html", "<p>\n{{ no.such.thing }}</p>", "THE-01"),
        ("front.html", "{% extends \"nowhere.html\" %}", "THE-01"),
        ("card.css", "@import url(http://x/y.css);\n", "THE-02"),
        ("en.yaml", "chek: Look.\n", "THE-03"),
        ("crad.css", "a{}", "THE-04"),
    ] {
        let (_keep, manual) = workbench::demo_copy();
        fs::create_dir_all(manual.join("dress")).unwrap();
        fs::write(manual.join("dress").join(file), text).unwrap();
        let (inspected, bound) = (run(&manual, &["inspect"]), run(&manual, &["bind"]));
        assert_eq!(inspected.status.code(), bound.status.code(), "{file}: {text}");
        // What follows the findings is how many there are; after it each command says its own.
        let findings = |out: &Output| {
            let told = String::from_utf8(out.stderr.clone()).unwrap();
            let mine = |line: &&str| {
                !["nothing was written", " replayed over ", " files, "].iter().any(|own| line.contains(own))
            };
            told.lines().filter(mine).map(str::to_owned).collect::<Vec<_>>()
        };
        assert_eq!(findings(&inspected), findings(&bound), "{file}: {text}");
        assert!(findings(&inspected).iter().any(|line| line.contains(code)), "{file}: {text}");
    }
}

#[test]
fn a_file_is_inspected_alone() {
    let (_keep, manual, _) = faulty();
    let (_, told) = wants(1, &manual, &["inspect", "rear-doors/door-lining.md"]);
    assert!(told.contains("door-lining.md"), "{told}");
    let (_, told) = wants(0, &manual, &["inspect", "stores/tools.yaml"]);
    assert!(told.contains("nothing in this file") && told.contains("elsewhere"), "{told}");
    let (_, told) = wants(1, &manual.join("rear-doors"), &["inspect", "door-lining.md"]);
    assert!(told.contains("door-lining.md"), "{told}");
    let stray = workbench::folder();
    fs::write(stray.path().join("a.md"), "").unwrap();
    let (_, told) = wants(2, stray.path(), &["inspect", "a.md"]);
    assert!(told.contains("lies in no manual"), "{told}");
}

#[test]
fn too_many_threads_are_cut_and_every_command_shows_examples() {
    let demo = workbench::demo();
    let mut program = assert_cmd::Command::new(assert_cmd::cargo::cargo_bin!("benchleaf"));
    let out = program.env("RAYON_NUM_THREADS", "100000").arg("inspect").arg(&demo).output().unwrap();
    assert_eq!(out.status.code(), Some(0), "{}", String::from_utf8_lossy(&out.stderr));
    let (help, _) = wants(0, &demo, &["--help"]);
    let listed = help.split_once("Commands:\n").unwrap().1.split("\n\n").next().unwrap();
    let commands: Vec<&str> = listed.lines().filter_map(|line| line.split_whitespace().next()).collect();
    assert!(commands.len() >= 5 && commands.contains(&"inspect"), "{help}");
    for command in commands.into_iter().filter(|command| *command != "help") {
        let (said, _) = wants(0, &demo, &[command, "--help"]);
        assert!(said.contains("Examples:") && said.contains(&format!("benchleaf {command} ")), "{said}");
    }
}

#[test]
fn touches_names_values_rows_items_and_steps_or_the_nearest_line() {
    let demo = workbench::demo();
    let demo = demo.to_str().unwrap();
    let here = workbench::folder();
    let (said, told) = wants(0, here.path(), &["touches", "loom-075", demo]);
    assert!(told.is_empty(), "{told}");
    for wanted in [
        "Loom wire 0.75 mm²",
        "\nvalues\n",
        "    tail-feed/sleeve  sleeve s3, cut-length",
        "table rows",
        "items",
        "steps",
    ] {
        assert!(said.contains(wanted), "{wanted}:\n{said}");
    }
    // A scheme serves as in any reference, and a line that nothing uses says so.
    let (same, _) = wants(0, here.path(), &["touches", "cable:loom-075", demo]);
    assert_eq!(same, said);
    // What only the text before the steps names is used there.
    let (said, _) = wants(0, here.path(), &["touches", "cable:coax-50", demo]);
    assert!(said.contains("  work-lamp-feed\n    before its steps\n") && !said.contains("\n    0"), "{said}");
    let (said, told) = wants(2, here.path(), &["touches", "lom-075", demo]);
    assert!(
        said.is_empty() && told.contains("no line `lom-075`") && told.contains("write `loom-075`"),
        "{told}"
    );
}
