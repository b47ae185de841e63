//! What the repair of a conductor consists of.

use super::{found, job, known, number, numbers, output, procedure, value, worked};
use crate::model::Action;
use crate::work::{Joint, Part, Role, Worked};
use crate::workings::Value;

fn conductors(join_as: &str, conductors: &str) -> String {
    format!("join-as: {{{join_as}}}\nitems: {{conductors: {{{conductors}}}}}\n")
}

fn roles<'a>(worked: &'a Worked, conductor: &str) -> &'a [Role] {
    &known(worked).schedule.of(conductor).unwrap().roles
}

fn text<'a>(worked: &'a Worked, id: &str, name: &str) -> &'a str {
    match output(worked, id, name) {
        Value::Text(text) => text,
        other => panic!("{id}.{name} is {other:?}"),
    }
}

#[test]
fn a_wire_has_one_joint_and_one_sleeve() {
    let (worked, _) = job(&conductors("from: plain", "feed: {of: thin, action: join}"));
    assert_eq!(roles(&worked, "feed"), [Role::Verdict, Role::Joint, Role::Sleeve]);
    let repair = known(&worked).schedule.of("feed").unwrap();
    assert!(matches!(repair.joint, Some(Joint::Wire(_))));
    assert_eq!((repair.times(), repair.outermost()), (1, Some(Role::Sleeve)));
    let ids: Vec<String> = repair.parts().map(|part| part.to_string()).collect();
    assert_eq!(ids, ["feed/verdict", "feed/joint", "feed/sleeve"]);
}

/// Four conductor diameters and 1 mm, where nothing is written: the format's own defaults.
#[test]
fn a_lap_is_four_diameters_unless_it_is_written() {
    let (worked, _) = job(&conductors("", "feed: {of: thin, action: join}, fat: {of: thick, action: join}"));
    assert_eq!(number(&worked, "feed/joint", "length"), 4.0);
    assert_eq!(number(&worked, "fat/joint", "length"), 8.0);
    assert_eq!(number(&worked, "feed/joint", "strip"), 5.0);
}

#[test]
fn a_conductor_comes_before_the_procedure() {
    let own =
        "feed: {of: thin, action: join, lap: 5 mm, gap: 2 mm, by: meshed}, other: {of: thin, action: join}";
    let (worked, _) = job(&conductors("lap: 3 mm, gap: 0.5 mm, by: lap", own));
    assert_eq!(number(&worked, "feed/joint", "length"), 5.0);
    assert_eq!(number(&worked, "feed/joint", "strip"), 7.0);
    assert_eq!(number(&worked, "other/joint", "length"), 3.0);
    assert_eq!(number(&worked, "other/joint", "strip"), 3.5);
    let by = |id: &str| known(&worked).schedule.of(id).unwrap().join.by.unwrap().0.word();
    assert_eq!((by("feed"), by("other")), ("meshed", "lap"));
}

/// piece = removed + 2 · lap (derived geometry).
#[test]
fn a_piece_let_in_replaces_what_was_taken_out_and_never_the_whole_wire() {
    let with = "feed: {of: thin, action: insert, length: 1850 mm, removed: 80 mm}";
    let (worked, _) = job(&conductors("", with));
    assert_eq!(number(&worked, "feed/insert", "piece"), 88.0);
    assert_eq!(known(&worked).schedule.of("feed").unwrap().times(), 2, "a joint at each end");
    let (worked, _) = job(&conductors("", "feed: {of: thin, action: insert, length: 1850 mm}"));
    assert!(known(&worked).part("feed", Role::Piece).is_none());
    let gap = known(&worked).schedule.of("feed").unwrap().gap.as_deref().unwrap();
    assert!(gap.contains("`removed`"), "{gap}");
    let (worked, _) = job(&conductors("removed: 60 mm", "feed: {of: thin, action: insert}"));
    assert_eq!(number(&worked, "feed/insert", "piece"), 68.0, "a procedure may say it for all");
}

/// The length of a loom's table is that of the whole wire: it was once read as the piece, which came out as long as
/// the loom.
#[test]
fn the_length_of_a_loom_is_never_the_piece_let_in() {
    let loom = "id,from,to,carries,of,colour,length,place\nfeed,lamp,switch,Lamp feed,thin,RD,1850 mm,dry\n";
    let of = |conductors: &str| {
        let front = format!("applies-to: [{{vehicle: van}}]\n{}", self::conductors("", conductors));
        let job = procedure("job", &front, "## Work\n\n### Look at it\n");
        let van = ("vehicles/van.yaml", "name: Van\nlooms: {door: {table: door.csv}}\n");
        worked(&[van, ("vehicles/door.csv", loom), ("job.md", &job)]).0
    };
    let silent = of("feed: {action: insert}");
    let length = known(&silent).items["feed"].conductor().unwrap().length.as_ref().unwrap().0.value;
    assert_eq!(length, 1850.0, "the whole wire is known");
    assert!(known(&silent).part("feed", Role::Piece).is_none());
    assert_eq!(number(&of("feed: {action: insert, removed: 80 mm}"), "feed/insert", "piece"), 88.0);
}

#[test]
fn what_is_capped_or_renewed_or_licensed_has_no_joint() {
    let all =
        "old: {of: thin, action: cap}, new: {of: thin, action: replace}, lead: {of: squib, action: join}";
    let (worked, _) = job(&conductors("", all));
    for id in ["old", "new", "lead"] {
        let repair = known(&worked).schedule.of(id).unwrap();
        assert!(repair.joint.is_none() && repair.gap.is_some(), "{id}");
        assert!(known(&worked).part(id, Role::Joint).is_none(), "{id}");
    }
    assert_eq!(known(&worked).schedule.of("old").unwrap().action, Action::Cap);
    assert_eq!(roles(&worked, "new"), [Role::Verdict]);
    assert_eq!(text(&worked, "lead/verdict", "verdict"), "maker");
}

#[test]
fn a_barrel_has_no_sleeve_and_no_place_among_the_sleeves() {
    let all = "feed: {of: thin, action: join, by: barrel, barrel: 3 mm}, one: {of: thin, action: join}, two: {of: thin, action: join}";
    let (worked, _) = job(&conductors("", all));
    assert_eq!(roles(&worked, "feed"), [Role::Verdict, Role::Joint]);
    assert_eq!(known(&worked).schedule.of("feed").unwrap().outermost(), None);
    assert!(roles(&worked, "one").contains(&Role::Offset));
    assert_eq!(numbers(&worked, "joints/stagger", "offsets").len(), 2);
}

#[test]
fn a_coax_has_its_layers_from_the_inside_out() {
    let own = "aerial: {of: line, action: join, services: [radio], shield-joint: pigtail}";
    let (worked, findings) = job(&conductors("", own));
    let wanted =
        [Role::Verdict, Role::Joint, Role::Strip, Role::InnerSleeve, Role::Bridge, Role::OuterSleeve];
    assert_eq!(roles(&worked, "aerial"), wanted);
    assert_eq!(known(&worked).schedule.of("aerial").unwrap().outermost(), Some(Role::OuterSleeve));
    assert!(value(&worked, "aerial/verdict").result.is_ok(), "{findings:?}");
    // The bridge: the inner sleeve and two braids on each side (derived geometry).
    let inner = number(&worked, "aerial/inner-sleeve", "finished-diameter");
    assert!((number(&worked, "aerial/bridge", "result") - (inner + 2.0 * (3.6 - 2.95))).abs() < 1e-9);
}

#[test]
fn a_pair_is_two_wires_at_neighbouring_stations() {
    let all = "bus: {of: limited, action: join}, feed: {of: thin, action: join}";
    let (worked, _) = job(&conductors("", all));
    let repair = known(&worked).schedule.of("bus").unwrap();
    assert!(matches!(repair.joint, Some(Joint::Pair(_))));
    assert_eq!(repair.times(), 2, "each wire has a sleeve of its own");
    // Two equal circles that touch are as wide as both their diameters.
    assert_eq!(number(&worked, "bus/wire", "result"), 2.0);
    let centres = numbers(&worked, "bus/offset", "offsets");
    let pitch = number(&worked, "joints/sleeve", "result") + 10.0;
    assert_eq!(centres.len(), 2);
    assert!((centres[1] - centres[0] - pitch).abs() < 1e-9, "{centres:?}, {pitch}");
    assert_eq!(numbers(&worked, "joints/stagger", "offsets").len(), 3);
    // From one end of the first joint to the other end of the second (derived geometry).
    let untwisted = numbers(&worked, "joints/stagger", "untwisted");
    assert_eq!(untwisted.len(), 1);
    assert!((untwisted[0] - (2.0 * pitch - 10.0)).abs() < 1e-9, "{untwisted:?}");
    assert_eq!(numbers(&worked, "feed/offset", "offsets").len(), 1);
}

#[test]
fn a_pair_is_its_makers_matter_without_a_limit() {
    for (cable, wanted) in [("limited", "join"), ("twin", "maker")] {
        let (worked, _) = job(&conductors("", &format!("bus: {{of: {cable}, action: join}}")));
        assert_eq!(text(&worked, "bus/verdict", "verdict"), wanted, "{cable}");
        let placed = text(&worked, "joints/stagger", "verdict");
        assert_eq!(placed, if wanted == "join" { "stagger" } else { "maker" }, "{cable}");
    }
}

/// overlap needed = zone + lap (derived geometry).
#[test]
fn what_is_available_is_held_against_what_is_needed() {
    let two = "one: {of: thin, action: join}, two: {of: thin, action: join}";
    let (worked, _) = job(&conductors("", two));
    let needed = number(&worked, "joints/stagger", "overlap-needed");
    let short = format!("available: {} mm", needed - 0.1);
    let (worked, findings) = job(&conductors(&short, two));
    let refusals = value(&worked, "joints/stagger").result.as_ref().unwrap_err();
    assert_eq!(refusals[0].input.as_deref(), Some("available"));
    assert_eq!(found(&findings, "VAL-06").len(), 1, "it was written, and is an error: {findings:?}");
    for enough in [format!("available: {} mm", needed + 0.1), "available: unlimited".to_owned()] {
        let (worked, findings) = job(&conductors(&enough, two));
        assert_eq!(number(&worked, "joints/stagger", "overlap-needed"), needed);
        assert!(found(&findings, "VAL-06").is_empty(), "{findings:?}");
    }
    let own = "one: {of: thin, action: join}, two: {of: thin, action: join, available: 1 mm}";
    let (worked, _) = job(&conductors("available: unlimited", own));
    assert!(value(&worked, "joints/stagger").result.is_err(), "the conductor that has least decides");
}

#[test]
fn one_joint_alone_has_no_place_among_others() {
    let (worked, _) = job(&conductors("", "feed: {of: thin, action: join}"));
    assert!(known(&worked).values.iter().all(|value| !matches!(value.part, Some(Part::All(_)))));
}

#[test]
fn a_figure_keeps_its_tolerance_and_its_unit() {
    let (worked, _) =
        job(&conductors("", "feed: {of: thin, action: join, lap: 0.5 cm, gap: 1 mm ± 0.25 mm}"));
    let given = &value(&worked, "feed/joint").result.as_ref().unwrap().given;
    assert_eq!(given.measure("lap").unwrap().value, 5.0);
    assert_eq!(given.measure("gap").unwrap().tolerance, 0.25);
}

/// The words of the procedure at which the working of a value that was written is refused, each to its line's end.
fn refused_at(front: &str) -> Vec<String> {
    let text = procedure("job", front, "## Work\n\n### Look at it\n");
    let (_, findings) = worked(&[("job.md", &text)]);
    let refused = findings.iter().filter(|finding| finding.code.0 == "VAL-06");
    let line = |start: usize| text[start..].lines().next().unwrap_or_default().to_owned();
    refused.map(|finding| line(finding.span.unwrap().start)).collect()
}

/// A front matter of block lines with one conductor.
fn block(join_as: &str, conductor: &[&str]) -> String {
    let lines: String = conductor.iter().map(|line| format!("      {line}\n")).collect();
    format!("{join_as}items:\n  conductors:\n    feed:\n{lines}")
}

/// What is written of a joint is an error where it does not suffice; what follows from the stores alone is a gap.
#[test]
fn only_what_was_written_of_a_joint_is_refused_where_it_stands() {
    let cables = "bare: {name: Bare, kind: single, outside: 3 mm, source: invented}\nhollow: {name: Hollow, kind: coax, impedance: 50 Ω, outside: 5 mm, source: invented}\n";
    let refused = |join_as: &str, cable: &str, line: &str| {
        let front = block(join_as, &[&format!("of: {cable}"), "action: join", line]);
        let text = procedure("job", &front, "## Work\n\n### Look at it\n");
        let (_, findings) = worked(&[("stores/cables.yaml", cables), ("job.md", &text)]);
        found(&findings, "VAL-06").iter().filter(|said| said.contains("feed/joint")).count()
    };
    // The stores do not say how thick the conductor is, and what was written cannot be worked.
    for line in ["by: lap", "lap: 5 mm", "gap: 2 mm"] {
        assert_eq!(refused("", "bare", line), 1, "{line}");
    }
    assert_eq!(refused("", "bare", "colour: RD"), 0);
    for line in ["lap: 5 mm", "gap: 2 mm"] {
        assert_eq!(refused("", "hollow", line), 1, "{line}");
    }
    assert_eq!(refused("", "hollow", "colour: RD"), 0);
    // A barrel that is not said is wanting at the word that asks for it; in `join-as` it would be the same place for
    // all, and the action of the conductor is named.
    assert_eq!(refused_at(&block("", &["of: thin", "action: join", "by: barrel"])), ["barrel"]);
    assert_eq!(refused_at(&block("join-as: {by: barrel}\n", &["of: thin", "action: join"])), ["join"]);
    // Without services a coax is not judged, and the schedule says so; a service that is not there is a fault itself.
    for line in ["shield-joint: pigtail", "services: [nothing]"] {
        assert_eq!(refused_at(&block("", &["of: line", "action: join", line])), Vec::<String>::new());
    }
}

#[test]
fn a_range_that_was_named_must_fit_and_one_that_was_not_need_not() {
    // Too thick for every sleeve of the stores.
    let cables = "thick: {name: Thick, kind: single, conductor: 20 mm, outside: 25 mm, source: invented}\nbare: {name: Bare, kind: single, outside: 3 mm, source: invented}\n";
    let refused = |front: &str| {
        let job = procedure("job", front, "## Work\n\n### Look at it\n");
        let (_, findings) = worked(&[("stores/cables.yaml", cables), ("job.md", &job)]);
        found(&findings, "VAL-06").len()
    };
    assert_eq!(refused(&conductors("", "feed: {of: thick, action: join, from: plain}")), 1);
    assert_eq!(refused(&conductors("", "feed: {of: thick, action: join}")), 0);
    // A cable without a conductor has no joint: a gap of the stores, and of what is written with it.
    assert_eq!(refused(&conductors("", "feed: {of: bare, action: join}")), 0);
}

#[test]
fn a_moulded_coax_says_why_it_is_renewed_and_any_other_needs_no_verdict() {
    let of = |moulded: &str| {
        let cables = format!(
            "aerial: {{name: Coax, kind: coax, impedance: 50 Ω, core: 0.9 mm, outside: 4.95 mm{moulded}, source: invented}}\n"
        );
        let front = conductors("", "feed: {of: aerial, action: replace}");
        let job = procedure("job", &front, "## Work\n\n### Look at it\n");
        worked(&[("stores/cables.yaml", &cables), ("job.md", &job)]).0
    };
    assert_eq!(roles(&of(", moulded: yes"), "feed"), [Role::Verdict]);
    assert_eq!(roles(&of(", moulded: no"), "feed"), []);
    assert_eq!(roles(&of(""), "feed"), []);
}

#[test]
fn a_joint_that_is_made_lacks_nothing() {
    let all = "feed: {of: thin, action: join}, patch: {of: thin, action: insert, removed: 80 mm}, open: {of: thin, action: insert}";
    let (worked, _) = job(&conductors("", all));
    let gap = |id: &str| known(&worked).schedule.of(id).unwrap().gap.clone();
    assert_eq!((gap("feed"), gap("patch"), gap("open").is_some()), (None, None, true));
}

#[test]
fn an_overlap_that_does_not_suffice_is_refused_where_it_is_written() {
    let front = "items:\n  conductors:\n    one:\n      of: thin\n      action: join\n      available: 9 mm\n    two:\n      of: thin\n      action: join\n      available: 7 mm\n";
    assert_eq!(refused_at(front), ["7 mm"]);
}
