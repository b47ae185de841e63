//! What a step says of several items at once comes down to each of them.

use super::{found, known, procedure, worked};
use crate::finding::Finding;
use crate::model::Verb;
use crate::work::Worked;

const VEHICLE: (&str, &str) = (
    "vehicles/van.yaml",
    "name: Van\npanels: {lid: {name: Lid}}\nlooms: {door: {table: door.csv}, roof: {table: roof.csv}}\n",
);
const DOOR: (&str, &str) = (
    "vehicles/door.csv",
    "id,from,to,carries,of,colour,length,place\n\
     a,x,y,A,thin,RD,900 mm,dry\nb,x,y,B,thin,BN,900 mm,dry\nc,x,y,C,thick,BK,900 mm,dry\n\
     d,x,y,D,thick,GN,900 mm,dry\n",
);
const ROOF: (&str, &str) =
    ("vehicles/roof.csv", "id,from,to,carries,of,colour,length,place\ne,x,y,E,thin,RD,900 mm,dry\n");

/// A job on the van whose steps each do one line, worked.
fn on_van(front: &str, lines: &[&str]) -> (Worked, Vec<Finding>) {
    let step =
        |(number, line): (usize, &&str)| format!("### Step {number}\n\n```step\ndoes: [{line}]\n```\n");
    let steps: Vec<String> = lines.iter().enumerate().map(step).collect();
    let body = format!("## Work\n\n{}", steps.join("\n"));
    let front = format!("applies-to: [{{vehicle: van}}]\n{front}");
    worked(&[VEHICLE, DOOR, ROOF, ("job.md", &procedure("job", &front, &body))])
}

/// What each step does: `cut a b`.
fn acts(worked: &Worked) -> Vec<String> {
    let legs = &known(worked).route.legs;
    let one = |leg: &crate::work::Leg| {
        let acts = &leg.stop.acts;
        let verb = acts.first().map_or("", |act| act.verb.word());
        acts.iter().fold(verb.to_owned(), |text, act| format!("{text} {}", act.item))
    };
    legs.iter().map(one).collect()
}

#[test]
fn a_group_is_each_of_its_items() {
    let front = "items: {groups: {pair: [a, item:b]}, conductors: {a: {action: join}, b: {action: cap}}}\n";
    let (worked, _) = on_van(front, &["cut: pair", "cut: c"]);
    assert_eq!(acts(&worked), ["cut a b", "cut c"]);
    assert_eq!(known(&worked).route.acts("step-1").len(), 1);
    assert_eq!(known(&worked).route.acts("no-such-step"), []);
}

#[test]
fn a_loom_is_what_the_procedure_declares_of_it_and_does_with_it() {
    let front = "items: {conductors: {a: {action: join}, b: {action: cap}, c: {action: join, by: barrel}, \
                 e: {action: join}}}\n";
    let (worked, findings) =
        on_van(front, &["cut: loom:door", "sleeve-on: loom:door", "join: loom:door", "cap: loom:door"]);
    // The barrel insulates itself; `d` is not declared here, and `e` is of another loom.
    assert_eq!(acts(&worked), ["cut a b c", "sleeve-on a", "join a c", "cap b"]);
    assert_eq!(found(&findings, "LED-10"), [""; 0]);
}

#[test]
fn conductors_taken_from_a_loom_are_declared() {
    for (taken, wanted) in [("loom: door", "cut a b c d"), ("loom: door, of-which: [b, d]", "cut b d")] {
        let (worked, _) = on_van(&format!("items: {{conductors: {{{taken}}}}}\n"), &["cut: loom:door"]);
        assert_eq!(acts(&worked), [wanted], "{taken}");
    }
    let (worked, _) = on_van("items: {conductors: {loom: roof}}\n", &["cut: loom:roof"]);
    assert_eq!(acts(&worked), ["cut e"]);
}

#[test]
fn a_loom_that_moves_nothing_or_is_not_there_is_said() {
    let front = "items: {conductors: {a: {action: join}}}\n";
    let (_, findings) = on_van(front, &["cap: loom:door"]);
    assert_eq!(found(&findings, "LED-10"), ["nothing of the loom `door` is there to cap"]);
    let (_, findings) = on_van(front, &["cut: loom:doors"]);
    assert_eq!(found(&findings, "DOC-03"), ["no vehicle of `job` has a loom `doors`"]);
    let help = findings.iter().find_map(|finding| finding.help.as_deref());
    assert_eq!(help, Some("write `loom:door`"));
}

#[test]
fn a_count_belongs_to_one_item() {
    let front = "items: {groups: {all: [screws, nuts]}, fasteners: {screws: {count: 4}, nuts: {count: 4}}}\n";
    let (_, findings) = on_van(front, &["remove: {item: all, count: 2}"]);
    assert_eq!(found(&findings, "LED-10"), ["a count is of one item, and this names several"]);
    let (worked, findings) = on_van(front, &["remove: {item: screws, count: 2}"]);
    assert_eq!(found(&findings, "LED-10"), [""; 0]);
    assert_eq!(
        known(&worked).route.acts("step-0").first().map(|act| (act.verb, act.count)),
        Some((Verb::Remove, Some(2)))
    );
}

#[test]
fn a_group_is_of_items_that_are_there_and_has_a_name_of_its_own() {
    let front = "items: {groups: {all: [screws, nutz], lid: [screws]}, fasteners: {screws: {}, nuts: {}}}\n";
    let (_, findings) = on_van(front, &["remove: all"]);
    assert_eq!(found(&findings, "DOC-03"), ["there is no item `nutz`"]);
    assert_eq!(found(&findings, "VAL-05"), ["`lid` is a group and a panel"]);
}
