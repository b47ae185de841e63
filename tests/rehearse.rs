//! `rehearse`, `inspect --propose` and `inspect --watch` as a user runs them.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "tests read and write files, and wait")]

mod workbench;

use std::fs;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::mpsc;
use std::time::Duration;

/// Runs the program in a folder, with nothing on its standard input.
fn run(folder: &Path, arguments: &[&str]) -> (Option<i32>, String, String) {
    let mut command = assert_cmd::Command::new(assert_cmd::cargo::cargo_bin!("benchleaf"));
    let out = command.current_dir(folder).args(arguments).output().unwrap();
    (out.status.code(), String::from_utf8(out.stdout).unwrap(), String::from_utf8(out.stderr).unwrap())
}

#[test]
fn a_walk_shows_each_step_with_what_is_open_and_how_long_it_takes_yet() {
    let (code, said, told) = run(&workbench::root(), &["rehearse", "door-lining"]);
    assert_eq!(code, Some(0), "{told}");
    let removed = said.split("\n2. ").nth(1).unwrap();
    assert!(removed.starts_with("Remove the lining screws\n"), "{said}");
    let card = removed.split("\n\n").next().unwrap();
    assert!(card.contains("Remove the lining screws (9)"), "{card}");
    assert!(card.contains("count 9"), "{card}");
    assert!(card.contains("   tools     Hexalobular driver 25"), "{card}");
    assert!(card.contains("Start at the hinge side."), "{card}");
    assert!(card.contains("Lining screws ×9 out"), "{card}");
    assert!(card.contains("Rear-door prop placed"), "{card}");
    assert!(card.contains("12 V supply proved-off"), "{card}");
    assert!(said.contains("   WARNING ") || said.contains("   CAUTION "), "no signal word:\n{said}");
    let minutes: Vec<u32> = said
        .lines()
        .filter_map(|line| line.trim().strip_prefix("ahead     about ")?.strip_suffix(" min")?.parse().ok())
        .collect();
    assert!(minutes.len() > 10 && minutes.is_sorted_by(|one, next| one >= next), "{minutes:?}");
    // The last step has nothing ahead of it, and says nothing of it.
    let last = said.trim_end().split("\n\n").last().unwrap();
    assert!(!last.contains("ahead") && minutes.last().is_some_and(|least| *least > 0), "{last}");
    // Only what it was handed stays as it was.
    let last = said.lines().rfind(|line| line.trim().starts_with("open ")).unwrap();
    assert_eq!(last.trim(), "open      12 V supply proved-off");
}

#[test]
fn a_walk_goes_through_procedures_that_are_carried_out() {
    let (code, said, _) = run(&workbench::root(), &["rehearse", "lamp-connector", "procedures"]);
    assert_eq!(code, Some(0));
    assert!(said.contains(" > isolate-supply 1. "), "{said}");
    let last = said.lines().rfind(|line| line.trim().starts_with("open ")).unwrap();
    assert_eq!(last.trim(), "open      nothing");
}

/// A manual whose one procedure lets choose in its second step: on to the last, on to the next, or back to the first.
fn choosing() -> (tempfile::TempDir, std::path::PathBuf) {
    let (keep, manual) = workbench::cases::fault_base();
    let clean = fs::read_to_string(manual.join("clean.md")).unwrap();
    let (head, body) = clean.split_once("### Take off the lid").unwrap();
    let look = "### Look at the seal {#look}\n\n```step\nminutes: 4\nchoose:\n  \
                - {when: The seal is whole, then: step:fasten-screws}\n  \
                - {when: The seal is torn, then: step:take-off}\n  \
                - {when: A screw is left, then: step:remove-screws}\n  \
                - {when: The lid is another, then: stop}\n```\n\n";
    fs::write(manual.join("clean.md"), format!("{head}{look}### Take off the lid{body}")).unwrap();
    (keep, manual)
}

#[test]
fn a_walk_reads_what_a_page_prints() {
    let (_keep, manual) = choosing();
    let text = fs::read_to_string(manual.join("clean.md")).unwrap();
    let prose = "Look **twice**, as <step:fasten-screws> says.\n<!-- ask the maker again -->\n\n- The seal is whole.\n- \
                 `F3` is in.\n\n| Lamp | State |\n| --- | --- |\n| left | on |\n\n";
    let (head, body) = text.split_once("### Take off the lid").unwrap();
    fs::write(manual.join("clean.md"), format!("{head}{prose}### Take off the lid{body}")).unwrap();
    let (_, said, told) = run(&manual, &["rehearse", "none-a-clean-lid"]);
    for line in [
        "   Look twice, as step 7 says.",
        "   - The seal is whole.",
        "   - F3 is in.",
        "   Lamp  State",
        "   left  on",
    ] {
        assert!(said.lines().any(|shown| shown == line), "`{line}` in {said}{told}");
    }
    assert!(!said.contains("maker again") && !said.contains("**"), "{said}");
}

/// The titles of the steps of a walk, in order.
fn titles(said: &str) -> Vec<&str> {
    let numbered =
        |line: &'_ str| line.split_once(". ").is_some_and(|(number, _)| number.parse::<u32>().is_ok());
    said.lines().filter(|line| numbered(line)).map(|line| line.split_once(". ").unwrap().1).collect()
}

#[test]
fn a_walk_takes_the_ways_that_are_chosen() {
    let (_keep, manual) = choosing();
    let walk = |chosen: &[&str]| {
        let mut arguments = vec!["rehearse", "none-a-clean-lid"];
        arguments.extend_from_slice(chosen);
        run(&manual, &arguments)
    };
    let (code, short, told) = walk(&["--choose", "1"]);
    assert_eq!(code, Some(0), "{told}");
    let (first, look) = ("Remove the lid screws", "Look at the seal");
    assert_eq!(titles(&short), [first, look, "Fasten the lid screws", "Measure the supply"]);
    assert!(short.contains("   choose    1 The seal is whole: "), "{short}");
    assert!(short.contains("   on        step 7, Fasten the lid screws\n"), "{short}");
    // What is left out is not replayed: the lid never came off, and the screws that did are in again.
    assert!(!short.contains("lid off") && short.contains("Lid screws ×"), "{short}");
    let opens = |said: &str| -> Vec<String> {
        said.lines().filter_map(|line| line.trim().strip_prefix("open      ").map(str::to_owned)).collect()
    };
    assert_eq!(opens(&short).last().unwrap(), "nothing", "{short}");

    let (_, long, _) = walk(&["--choose", "2"]);
    assert_eq!(titles(&long).len(), 8, "{long}");
    assert!(opens(&long)[2].to_lowercase().contains("lid off"), "{long}");
    // Nobody chose: the way that skips nothing, and that is said.
    let (_, plain, _) = walk(&[]);
    assert_eq!(titles(&plain), titles(&long));
    assert!(plain.contains("since nobody chose"), "{plain}");
}

#[test]
fn a_walk_that_goes_back_says_what_is_done_again() {
    let (_keep, manual) = choosing();
    let (code, said, told) = run(&manual, &["rehearse", "none-a-clean-lid", "--choose", "3,4"]);
    assert_eq!(code, Some(0), "{told}");
    let (first, look) = ("Remove the lid screws", "Look at the seal");
    assert_eq!(titles(&said), [first, look, first, look]);
    assert!(said.contains("   back      to step 1, Remove the lid screws\n"), "{said}");
    let cards: Vec<&str> = said.split("\n1. ").skip(1).collect();
    assert!(!cards[0].contains("rework") && !cards[0].contains("already"), "{said}");
    assert!(cards[1].contains("   rework    this step is gone through once more\n"), "{said}");
    assert!(cards[1].contains("Remove the lid screws") && cards[1].contains("(stands so already)"), "{said}");
    assert!(said.ends_with("The job ends here, with what is open.\n"), "{said}");
}

#[test]
fn a_way_inside_what_is_carried_out_stays_there_or_ends_the_whole_job() {
    let walk = |chosen: &str| run(&workbench::root(), &["rehearse", "lamp-connector", "--choose", chosen]).1;
    // Leads of another sort: handed over, then released, and the procedure that carries this out goes on.
    let released = walk("1,1");
    let at = |words: &str| released.find(words).unwrap_or_else(|| panic!("no `{words}` in\n{released}"));
    assert!(at(" > rodent-screening 8. ") < at(" > rodent-screening 20. "), "{released}");
    assert!(!released.contains(" > rodent-screening 9. "), "{released}");
    assert!(at(" > rodent-screening 21. ") < at(" > isolate-supply 1. "), "{released}");
    let kept = walk("1,2");
    assert!(kept.contains("The job ends here") && !kept.contains(" > isolate-supply 1. "), "{kept}");
}

#[test]
fn a_way_that_there_is_not_is_named() {
    let (_keep, manual) = choosing();
    let (code, _, told) = run(&manual, &["rehearse", "none-a-clean-lid", "--choose", "5"]);
    assert_eq!(code, Some(2));
    assert!(told.contains("`--choose` names way 5 at `look`, which has 1 to 4"), "{told}");
}

#[test]
fn an_unknown_procedure_is_named_with_the_nearest() {
    let (code, said, told) = run(&workbench::root(), &["rehearse", "door-linning"]);
    assert_eq!((code, said.as_str()), (Some(2), ""));
    assert!(told.contains("`door-lining`"), "{told}");
}

#[test]
fn timings_never_overwrite() {
    let folder = workbench::folder();
    let file = folder.path().join("trial.csv");
    let name = file.to_str().unwrap();
    let (code, ..) = run(&workbench::root(), &["rehearse", "door-lining", "--timings", name]);
    assert_eq!(code, Some(0));
    let written = fs::read_to_string(&file).unwrap();
    assert!(written.lines().count() > 10, "{written}");
    assert!(written.contains("\nremove-screws,Remove the lining screws,4,\n"), "{written}");
    let (code, said, told) = run(&workbench::root(), &["rehearse", "door-lining", "--timings", name]);
    assert_eq!((code, said.as_str()), (Some(2), ""), "{told}");
    assert_eq!(fs::read_to_string(&file).unwrap(), written);
}

/// A stage of a procedure without the acts of its steps.
fn without_acts(stage: &str) -> String {
    let mut out = String::new();
    let mut inside = false;
    for line in stage.lines() {
        inside = line == "does:" || inside && line.starts_with("  - ");
        if !inside {
            out.push_str(line);
            out.push('\n');
        }
    }
    out
}

/// Pastes proposed steps where their headings say that they go.
fn pasted(text: &str, proposal: &str) -> String {
    let mut text = text.to_owned();
    for part in proposal.split("\n# ").map(|part| part.trim_start_matches("# ")) {
        let (place, steps) = part.split_once("\n\n").unwrap();
        let at = match (place.rsplit_once(", before "), place.rsplit_once(", at the end of ")) {
            (Some((_, step)), _) => {
                let heading = text.find(&format!(" {{#{step}}}\n")).unwrap();
                text[..heading].rfind("### ").unwrap()
            }
            (_, Some((_, stage))) => {
                let heading = text.find(&format!(" {{#{stage}}}\n")).unwrap();
                heading + text[heading..].find("\n## ").unwrap() + 1
            }
            _ => panic!("where is `{place}`?"),
        };
        text.insert_str(at, &format!("{}\n\n", steps.trim_end()));
    }
    text
}

/// Takes the acts out of a stage, pastes what is proposed, and gives the errors of the ledger's rules before
/// and after.
fn mended(path: &str, id: &str, stage: &str, next: &str) -> (Vec<String>, Vec<String>, String) {
    let (_keep, manual) = workbench::demo_copy();
    let file = manual.join(path);
    let text = fs::read_to_string(&file).unwrap();
    let (start, end) = (text.find(stage).unwrap(), text.find(next).unwrap());
    let bare = format!("{}{}\n{}", &text[..start], without_acts(&text[start..end]), &text[end..]);
    fs::write(&file, &bare).unwrap();
    // Energies that come on too early, and sleeves that come too late, have codes of their own.
    let ledger = |code: &str| code.starts_with("LED") || ["SAF-07", "ELE-01"].contains(&code);
    let errors = || -> Vec<String> {
        let found = workbench::inspection::inspect(&manual);
        found.iter().filter(|it| it.is_error() && ledger(&it.code)).map(ToString::to_string).collect()
    };
    let before = errors();
    let name = manual.to_str().unwrap();
    let (code, steps, told) = run(&manual, &["inspect", name, "--propose", "--procedure", id]);
    assert_eq!(code, Some(1), "{told}");
    fs::write(&file, pasted(&bare, &steps)).unwrap();
    (before, errors(), steps)
}

#[test]
fn a_proposal_pasted_in_place_closes_the_ledger() {
    let (before, after, steps) =
        mended("rear-doors/door-lining.md", "door-lining", "## Refit", "## Close-out");
    assert!(before.len() >= 5, "{before:?}");
    assert_eq!(after, Vec::<String>::new(), "{steps}");
    let order: Vec<usize> = [
        "plug-in: lining-lamp-plug",
        "put-back: door-lining",
        "renew: lining-rivets",
        "tighten: lining-rivets",
        "fasten: lining-screws  # 2.5 N·m, invented\ntools: [torque-wrench-small, bit-25]",
        "take-away: door-prop",
    ]
    .iter()
    .map(|wanted| steps.find(wanted).unwrap_or_else(|| panic!("no `{wanted}` in\n{steps}")))
    .collect();
    assert!(order.is_sorted(), "{steps}");
}

#[test]
fn a_whole_close_up_can_be_proposed_again() {
    for (path, id, stage, next) in [
        ("audio/aerial-coax.md", "aerial-coax", "## Join", "## Close-out"),
        ("rear-doors/door-loom.md", "door-loom", "## Close up", "## Close-out"),
    ] {
        let (before, after, steps) = mended(path, id, stage, next);
        assert!(before.len() >= 3, "{id}: {before:?}");
        assert_eq!(after, Vec::<String>::new(), "{id}:\n{steps}");
    }
}

#[test]
fn a_closed_manual_has_nothing_to_propose() {
    let (code, said, told) = run(&workbench::root(), &["inspect", "--propose"]);
    assert_eq!((code, said.as_str()), (Some(0), ""), "{told}");
    let (code, _, told) = run(&workbench::root(), &["inspect", "--propose", "--procedure", "door-linning"]);
    assert_eq!(code, Some(2));
    assert!(told.contains("`door-lining`"), "{told}");
    assert_eq!(run(&workbench::root(), &["inspect", "--propose", "--format", "json"]).0, Some(2));
}

/// Lines that a running program writes, until one holds some words.
fn wait_for(lines: &mpsc::Receiver<String>, words: &str) -> String {
    let mut seen = String::new();
    loop {
        let line = lines.recv_timeout(Duration::from_secs(60));
        let line = line.unwrap_or_else(|error| panic!("`{words}` never comes ({error}) after\n{seen}"));
        seen += &line;
        seen.push('\n');
        if line.contains(words) {
            return seen;
        }
    }
}

/// A program that watches a manual, and the lines of its standard error as they come.
struct Watching {
    program: std::process::Child,
    lines: mpsc::Receiver<String>,
}

impl Watching {
    fn start(manual: &Path, arguments: &[&str], stdout: Stdio) -> Watching {
        let mut program = Command::new(assert_cmd::cargo::cargo_bin!("benchleaf"));
        program
            .args(["inspect", "--watch"])
            .args(arguments)
            .arg(manual)
            .stdout(stdout)
            .stderr(Stdio::piped());
        let mut program = program.spawn().unwrap();
        let (sender, lines) = mpsc::channel();
        let told = BufReader::new(program.stderr.take().unwrap());
        // It ends with the program, whose standard error it reads.
        std::thread::spawn(move || {
            told.lines().map_while(Result::ok).for_each(|line| drop(sender.send(line)));
        });
        Watching { program, lines }
    }

    /// Its exit code, once it ends by itself, and what it told until then.
    fn ended(mut self) -> (Option<i32>, String) {
        for _ in 0..600 {
            if let Some(status) = self.program.try_wait().unwrap() {
                return (status.code(), self.lines.iter().collect::<Vec<_>>().join("\n"));
            }
            std::thread::sleep(Duration::from_millis(100));
        }
        panic!("it never ends");
    }
}

impl Drop for Watching {
    fn drop(&mut self) {
        let _ = self.program.kill();
        let _ = self.program.wait();
    }
}

const LINING: &str = "rear-doors/door-lining.md";

/// Saves the demo's lining with the screws never tightened.
fn spoil(manual: &Path) {
    let text = fs::read_to_string(workbench::demo().join(LINING)).unwrap();
    let spoilt = text.replace("  - fasten: lining-screws\n", "  - refit: lining-screws\n");
    assert_ne!(spoilt, text);
    fs::write(manual.join(LINING), spoilt).unwrap();
}

#[test]
#[cfg_attr(not(unix), ignore = "elsewhere a folder that is watched cannot be deleted")]
fn a_folder_that_goes_and_comes_again_is_watched_again() {
    let (keep, manual) = workbench::demo_copy();
    let watching = Watching::start(&manual, &[], Stdio::null());
    wait_for(&watching.lines, "Ctrl-C ends");
    fs::rename(&manual, keep.path().join("elsewhere")).unwrap();
    wait_for(&watching.lines, "is gone; waiting until it is there again");
    fs::rename(keep.path().join("elsewhere"), &manual).unwrap();
    let back = wait_for(&watching.lines, "Ctrl-C ends");
    assert!(back.contains("nothing is left open"), "{back}");
    // Deleted and made anew, it may be empty or half there when it is seen.
    fs::remove_dir_all(&manual).unwrap();
    workbench::copy(&workbench::demo(), &manual);
    wait_for(&watching.lines, "nothing is left open");
    spoil(&manual);
    let broken = wait_for(&watching.lines, "never tightened");
    assert!(!broken.contains("panicked"), "{broken}");
}

#[test]
fn a_watch_whose_results_nobody_reads_ends_at_the_next_save() {
    let (_keep, manual) = workbench::demo_copy();
    let mut watching = Watching::start(&manual, &["--format", "json"], Stdio::piped());
    wait_for(&watching.lines, "Ctrl-C ends");
    drop(watching.program.stdout.take());
    spoil(&manual);
    let (code, told) = watching.ended();
    assert_eq!(code, Some(0), "{told}");
    assert!(!told.contains("panicked"), "{told}");
}

#[test]
fn a_watch_whose_findings_nobody_reads_ends_at_the_next_save() {
    let (_keep, manual) = workbench::demo_copy();
    let mut program = Command::new(assert_cmd::cargo::cargo_bin!("benchleaf"));
    program.args(["inspect", "--watch"]).arg(&manual).stderr(Stdio::piped());
    let mut program = program.spawn().unwrap();
    let mut told = BufReader::new(program.stderr.take().unwrap());
    let mut line = String::new();
    while !line.contains("Ctrl-C ends") {
        line.clear();
        assert!(told.read_line(&mut line).unwrap() > 0, "it ends too soon");
    }
    drop(told);
    spoil(&manual);
    let (_, lines) = mpsc::channel();
    assert_eq!(Watching { program, lines }.ended().0, Some(0));
}

#[cfg(target_os = "linux")]
#[test]
fn a_watch_that_cannot_print_says_so_and_ends() {
    let (_keep, manual) = workbench::demo_copy();
    let full = fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
    let (code, told) = Watching::start(&manual, &["--format", "json"], full.into()).ended();
    assert_eq!(code, Some(3), "{told}");
    assert!(told.contains("error: cannot print the result: ") && !told.contains("panicked"), "{told}");
}

#[test]
fn a_save_is_inspected_at_once() {
    let (_keep, manual) = workbench::demo_copy();
    let watching = Watching::start(&manual, &[], Stdio::null());
    let lines = &watching.lines;
    let first = wait_for(lines, "Ctrl-C ends");
    assert!(!first.contains("error["), "{first}");
    spoil(&manual);
    let broken = wait_for(lines, "Ctrl-C ends");
    assert!(broken.contains("LED-01") && broken.contains("never tightened"), "{broken}");
    fs::copy(workbench::demo().join(LINING), manual.join(LINING)).unwrap();
    let whole = wait_for(lines, "Ctrl-C ends");
    assert!(!whole.contains("LED-01"), "{whole}");
    // Reading the files is no save: nothing more is said.
    assert!(lines.recv_timeout(Duration::from_millis(800)).is_err(), "it inspects without a save");
}
