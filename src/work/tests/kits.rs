//! The kit adds up, protection comes with what endangers, and sleeves are cut for the joints that are made.

use super::{known, procedure, worked};
use crate::model::Store;
use crate::quantity::unit;
use crate::work::{KitLine, Worked};

const STORES: [(&str, &str); 5] = [
    ("stores/tools.yaml", "gun: {name: Hot-air gun, hazards: [heat]}\nlever: {name: Lever}\n"),
    (
        "stores/hazards.yaml",
        "heat: {word: warning, hazard: Hot air, consequence: Burns, avoid: Keep away, protection: [gloves]}\nchips: {word: caution, hazard: Chips fly, consequence: They hit eyes, avoid: Wear eye protection, protection: [eye]}\n",
    ),
    ("stores/protection.yaml", "gloves: {name: Gloves}\neye: {name: Eye protection}\nshoes: {name: Shoes}\n"),
    ("stores/consumables.yaml", "solder: {name: Solder, unit: m}\nfluid: {name: Fluid, unit: ml}\n"),
    ("stores/parts.yaml", "plug: {name: Plug}\n"),
];

fn kit(front: &str, steps: &str) -> Worked {
    let job = procedure("job", front, &format!("## Work\n\n{steps}"));
    let files: Vec<(&str, &str)> = STORES.into_iter().chain([("job.md", job.as_str())]).collect();
    worked(&files).0
}

fn line<'a>(worked: &'a Worked, store: Store, id: &str) -> Option<&'a KitLine> {
    known(worked).kit.of(store).find(|line| line.id == id)
}

fn amounts(line: &KitLine, symbol: &str) -> Vec<f64> {
    line.quantities.iter().filter_map(|one| one.in_unit(unit(symbol).unwrap()).ok()).collect()
}

#[test]
fn quantities_of_one_dimension_add_up() {
    let steps = "### One\n\n```step\nconsumables: [{of: solder, quantity: 30 mm}]\nparts: [plug]\n```\n\n### Two\n\n```step\nconsumables: [{of: solder, quantity: 0.2 m}, {of: fluid, quantity: 5 ml}]\nparts: [plug, {of: plug, quantity: 2 pieces}]\n```\n";
    let worked = kit("", steps);
    let solder = line(&worked, Store::Consumables, "solder").unwrap();
    let lengths = amounts(solder, "mm");
    assert_eq!(lengths.len(), 1);
    assert!((lengths[0] - 230.0).abs() < 1e-9, "{lengths:?}");
    assert_eq!(solder.steps.len(), 2);
    assert_eq!(amounts(line(&worked, Store::Parts, "plug").unwrap(), "pieces"), [4.0]);
}

#[test]
fn what_cannot_be_added_stands_beside() {
    let steps = "### One\n\n```step\nconsumables: [{of: fluid, quantity: 5 ml}, {of: fluid, quantity: 2 pieces}]\n```\n";
    assert_eq!(line(&kit("", steps), Store::Consumables, "fluid").unwrap().quantities.len(), 2);
}

#[test]
fn a_tool_and_a_message_bring_what_protects_from_their_hazards() {
    let tool = kit("", "### One\n\n```step\ntools: [gun]\n```\n");
    assert!(line(&tool, Store::Protection, "gloves").is_some());
    assert!(line(&tool, Store::Protection, "eye").is_none());
    let message = kit("", "### One\n\n```step\ntools: [lever]\nmessages: [chips]\n```\n");
    assert!(line(&message, Store::Protection, "eye").is_some());
    assert!(line(&message, Store::Protection, "gloves").is_none());
    let step = known(&message).route.legs.first().unwrap();
    let at = (step.procedure.clone(), step.step.clone());
    assert!(line(&message, Store::Protection, "eye").unwrap().steps.contains(&at));
}

#[test]
fn what_no_step_names_is_in_the_kit_all_the_same() {
    let worked = kit("kit-extra: [{of: protection:shoes}]\n", "### One\n");
    if let Some(shoes) = line(&worked, Store::Protection, "shoes") {
        assert!(shoes.steps.is_empty());
    }
}

const CUT: &str = "### Cut\n\n```step\ndoes:\n  - cut: feed\n  - cut: fat\nneeds-off: []\n```\n";

#[test]
fn sleeves_are_cut_for_the_conductors_that_the_work_touches() {
    let front = "join-as: {from: plain}\nitems: {conductors: {feed: {of: thin, action: join}, fat: {of: thick, action: join}, spare: {of: thin, action: join}}}\n";
    let worked = kit(front, CUT);
    let plain = line(&worked, Store::Sleeves, "plain").unwrap();
    let pieces: u32 = plain.cuts.iter().map(|(.., count)| count).sum();
    assert_eq!(pieces, 2, "the spare is not touched: {:?}", plain.cuts);
    for (size, owner, id) in &plain.cutting {
        assert_eq!((owner.as_str(), id.as_str()), ("job", format!("sleeves/{size}").as_str()));
        assert!(known(&worked).value(id).unwrap().result.is_ok());
    }
    assert!(!plain.cutting.is_empty());
}

#[test]
fn a_piece_let_in_takes_two_sleeves() {
    let front = "join-as: {from: plain, removed: 50 mm}\nitems: {conductors: {feed: {of: thin, action: insert}, fat: {of: thick, action: replace}}}\n";
    let worked = kit(front, CUT);
    let pieces: u32 =
        line(&worked, Store::Sleeves, "plain").unwrap().cuts.iter().map(|(.., count)| count).sum();
    assert_eq!(pieces, 2);
}

/// Two ranges may call a size alike.
#[test]
fn a_size_of_two_ranges_is_cut_from_each() {
    let sizes = "sizes: {one: {supplied: 12 mm, recovered: 1 mm, wall: 0.5 mm}}, source: invented}";
    let sleeves = format!(
        "plain: {{name: Plain, adhesive: no, length-change: 0 %, stock: 1 m, {sizes}\nother: {{name: Other, adhesive: no, length-change: 0 %, stock: 1 m, {sizes}\n"
    );
    let front = "items: {conductors: {feed: {of: thin, action: join, from: plain}, fat: {of: thick, action: join, from: other}}}\n";
    let job = procedure("job", front, &format!("## Work\n\n{CUT}"));
    let (worked, findings) = worked(&[("stores/sleeves.yaml", &sleeves), ("job.md", &job)]);
    for id in ["sleeves/plain-one", "sleeves/other-one"] {
        assert!(known(&worked).value(id).is_some(), "{id}: {findings:?}");
    }
}
