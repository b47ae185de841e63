//! Routes and replays: every combination of parameters is walked, and nothing carries itself out.

use super::{known, procedure, worked};
use crate::ledger::Fault;

const ITEMS: &str = "  fasteners: {left-screws: {count: 2}, right-screws: {count: 2}}\n";

fn both(parameters: &str, body: &str) -> String {
    procedure("job", &format!("parameters: {parameters}\nitems:\n{ITEMS}"), body)
}

/// The left screws go back and the right ones stay out: only the second combination shows it.
#[test]
fn every_combination_of_words_is_replayed() {
    let body = "## Work\n\n### Take out\n\n```step\ndoes:\n  - remove: \"{side}-screws\"\n```\n\n### Put back\n\n```step\ndoes:\n  - fasten: left-screws\n```\n";
    let left = worked(&[("job.md", &both("{side: [left]}", body))]).0;
    assert!(known(&left).replay.faults.is_empty(), "{:?}", known(&left).replay.faults);
    let two = worked(&[("job.md", &both("{side: [left, right]}", body))]).0;
    let open = |fault: &Fault| format!("{fault:?}").contains("right-screws");
    assert!(known(&two).replay.faults.iter().any(open), "{:?}", known(&two).replay.faults);
}

const STEP: &str = "### Look at it\n";

fn carrying(id: &str, stages: &[(&str, &[&str])]) -> String {
    let mut body = String::new();
    for (stage, carries) in stages {
        body.push_str(&format!("## Stage {stage} {{#{stage}}}\n\n"));
        for (number, carry) in carries.iter().enumerate() {
            body.push_str(&format!("### Carry {stage} {number}\n\n```step\ncarry-out: {carry}\n```\n\n"));
        }
        if carries.is_empty() {
            body.push_str(&STEP.replace("it", stage));
            body.push('\n');
        }
    }
    procedure(id, "", &body)
}

/// Whether a circle is told of `job` when `job` carries out `other` and that is made of these stages.
fn circle(job: &[(&str, &[&str])], other: &[(&str, &[&str])]) -> bool {
    let files = [("job.md", carrying("job", job)), ("other.md", carrying("other", other))];
    let files: Vec<(&str, &str)> = files.iter().map(|(path, text)| (*path, text.as_str())).collect();
    let (_, findings) = worked(&files);
    let circles = findings.iter().filter(|finding| finding.headline.contains("circle"));
    circles.filter(|finding| finding.procedure.as_deref() == Some("job")).count() > 0
}

#[test]
fn what_carries_itself_out_is_a_circle() {
    assert!(circle(&[("a", &["job"])], &[("b", &[])]), "itself");
    assert!(circle(&[("a", &["other"])], &[("b", &["job"])]), "one another");
    assert!(circle(&[("a", &["other/b"])], &[("b", &["other/b"])]), "a stage itself");
    assert!(circle(&[("a", &["other/b"])], &[("b", &["other"])]), "a stage the whole that holds it");
    assert!(circle(&[("a", &["job/b"]), ("b", &[])], &[("b", &[])]), "the whole its own stage");
}

#[test]
fn a_stage_may_carry_out_another_stage_and_a_procedure_one_twice() {
    assert!(!circle(&[("a", &["other/b"])], &[("b", &["other/c"]), ("c", &[])]));
    assert!(!circle(&[("a", &["other", "other"])], &[("b", &[])]));
    assert!(!circle(&[("a", &["other/b", "other/c"])], &[("b", &[]), ("c", &[])]));
}

/// Two words each for six parameters meet in 2⁶ = 64 ways, for seven in 128.
#[test]
fn ways_that_are_not_replayed_are_counted() {
    for (count, cut) in [(6, false), (7, true)] {
        let parameters: Vec<String> = (0..count).map(|number| format!("p{number}: [a, b]")).collect();
        let front = format!("parameters: {{{}}}\n", parameters.join(", "));
        let job = procedure("job", &front, "## Work\n\n### Look at it\n");
        let (_, findings) = worked(&[("job.md", &job)]);
        let told = findings.iter().find(|finding| finding.headline.contains("are replayed"));
        assert_eq!(told.is_some(), cut, "{count}: {findings:?}");
        assert!(told.is_none_or(|told| told.note.starts_with("64 ways") && told.is_error()), "{told:?}");
    }
}
