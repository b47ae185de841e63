//! What follows from a conductor alone: the joint, its sleeves, its strip lengths, as values of their own
//! (`tail-feed/joint`, `tail-feed/sleeve`, `camera-feed/coax-strip`…).

use super::WorkedValue;
use crate::model::{
    Action, Input, Item, JoinAs, Line, NamedValue, Place, Procedure, Reference, Scheme, Store, Stores,
    Written,
};
use crate::parse::Parsed;
use crate::quantity::unit;
use std::collections::BTreeMap;

/// Lap of a joint over the conductor's diameter, where nothing is written: inside the 3 to 6 of
/// NASA-STD-8739.4, 19.6.1.
const LAP_FACTOR: f64 = 4.0;

/// Between the ends of neighbouring joints: room for a tie at each end of a joint (NASA workmanship standards,
/// 4.07); the figure itself is common practice.
const BETWEEN: &str = "10 mm";

/// The values of a procedure, in order.
#[derive(Debug, Default)]
pub(super) struct Plans {
    pub(super) values: Vec<Plan>,
    joints: Vec<Joint>,
}

/// One value to work.
#[derive(Debug)]
pub(super) struct Plan {
    pub(super) value: NamedValue,
    /// Whether a refusal is an error: something that a person wrote cannot be met.
    pub(super) strict: bool,
    /// The value of whose lists this is one place, and which.
    pub(super) pick: Option<(String, usize)>,
}

impl Plans {
    pub(super) fn get(&self, id: &str) -> Option<&Plan> {
        self.values.iter().find(|plan| plan.value.id == id)
    }
}

/// The joints of a procedure: one line for each conductor that it works on.
#[derive(Debug, Default)]
pub struct Schedule {
    /// In the order of their ids.
    pub joints: Vec<Joint>,
}

/// What is done with a conductor, and how.
#[derive(Clone, Debug)]
pub struct Joint {
    /// The conductor's id.
    pub conductor: String,
    /// What is done.
    pub action: Action,
    /// How it is joined: its own words, and where it has none the procedure's.
    pub join: JoinAs,
    /// Its cable in the stores.
    pub cable: Option<String>,
    /// The kind of its cable, as the stores name it; empty where the cable is not known.
    pub kind: String,
    /// The ids of its values, in order of work.
    pub values: Vec<String>,
    /// Why there are none, where there are none.
    pub gap: Option<String>,
    /// Where its action was written.
    pub place: Place,
}

/// Plans a procedure's values: those written, then those of its conductors.
pub(super) fn plan(parsed: &Parsed, procedure: &Procedure, items: &BTreeMap<String, Item>) -> Plans {
    let mut plans = Plans::default();
    plans.values.extend(procedure.values.iter().map(|value| Plan {
        value: value.clone(),
        strict: true,
        pick: None,
    }));
    for (item, conductor) in items.values().filter_map(|item| Some((item, item.conductor()?))) {
        let Some((action, place)) = conductor.action else { continue };
        let join = conductor.join.or(&procedure.join_as);
        let mut joint = Joint {
            conductor: item.id.clone(),
            action,
            join,
            cable: conductor.of.clone(),
            kind: String::new(),
            values: Vec::new(),
            gap: None,
            place,
        };
        let values = match lay_out(parsed, item, &mut joint) {
            Ok(values) => values,
            Err(gap) => {
                joint.gap = Some(gap);
                Vec::new()
            }
        };
        joint.values = values.iter().map(|plan| plan.value.id.clone()).collect();
        plans.values.extend(values);
        plans.joints.push(joint);
    }
    stagger(&mut plans);
    plans
}

/// Where each joint of a repair goes, where there are several: one value for all, and each conductor's place
/// in it (`tail-feed/offset`).
fn stagger(plans: &mut Plans) {
    let over = |joint: &Joint| {
        let sleeve = joint.values.iter().rfind(|id| id.ends_with("sleeve"))?;
        Some((joint.conductor.clone(), sleeve.rsplit_once('/')?.1.to_owned(), joint.place))
    };
    let joined = plans.joints.iter().filter(|joint| joint.action == Action::Join);
    let joined: Vec<(String, String, Place)> = joined.filter_map(over).collect();
    let Some((_, _, place)) = joined.first().cloned().filter(|_| joined.len() > 1) else { return };
    let of = |name: &'static str, field: &'static str| {
        let one = move |(conductor, sleeve, _): &(String, String, Place)| {
            let inner = if name == "sleeve" { sleeve.as_str() } else { name };
            reference(Scheme::Value, conductor, Some(inner), field)
        };
        joined.iter().map(one).collect::<Vec<Written>>()
    };
    let longest = |name: &str, all: Vec<Written>| {
        let names: Vec<String> = (1..=all.len()).map(|number| format!("l{number}")).collect();
        let mut inputs = vec![("expression".to_owned(), text(&format!("max({})", names.join(", "))))];
        inputs.extend(names.into_iter().zip(all));
        planned(&format!("joints/{name}"), "formula", inputs, place)
    };
    let result = |name: &str| reference(Scheme::Value, "joints", Some(name), "result");
    let sleeves = longest("sleeve", of("sleeve", "cut-length"));
    let laps = longest("lap", of("joint", "length"));
    let outsides = plans.joints.iter().filter(|joint| joined.iter().any(|(id, ..)| *id == joint.conductor));
    let outsides = outsides.filter_map(|joint| {
        Some(reference(Scheme::Line(Store::Cables), joint.cable.as_deref()?, None, "outside"))
    });
    let inputs = vec![
        ("wires".to_owned(), list(outsides.collect())),
        ("finished".to_owned(), list(of("sleeve", "finished-diameter"))),
        ("joint".to_owned(), result("sleeve")),
        ("lap".to_owned(), result("lap")),
        ("gap".to_owned(), text(BETWEEN)),
        ("sleeve".to_owned(), result("sleeve")),
    ];
    let all = planned("joints/stagger", "stagger", inputs, place);
    plans.values.extend([sleeves, laps, all]);
    for (index, (conductor, _, place)) in joined.iter().enumerate() {
        let mut plan = planned(&format!("{conductor}/offset"), "stagger", Vec::new(), *place);
        plan.pick = Some(("joints/stagger".to_owned(), index));
        if let Some(joint) = plans.joints.iter_mut().find(|joint| joint.conductor == *conductor) {
            joint.values.push(plan.value.id.clone());
        }
        plans.values.push(plan);
    }
}

/// A value that nobody wrote.
fn planned(id: &str, working: &str, inputs: Vec<(String, Written)>, place: Place) -> Plan {
    let inputs =
        inputs.into_iter().map(|(name, written)| Input { name, written, key: place, place }).collect();
    let value = NamedValue { id: id.to_owned(), working: (working.to_owned(), place), inputs, place };
    Plan { value, strict: false, pick: None }
}

/// The schedule of what was planned. A conductor that its procedure never touches is left out.
pub(super) fn schedule(
    plans: Option<&Plans>,
    items: &BTreeMap<String, Item>,
    values: &[WorkedValue],
) -> Schedule {
    let known = |joint: &&Joint| items.contains_key(&joint.conductor);
    let mut joints: Vec<Joint> =
        plans.into_iter().flat_map(|plans| &plans.joints).filter(known).cloned().collect();
    for joint in &mut joints {
        joint.values.retain(|id| values.iter().any(|value| value.id == *id));
    }
    Schedule { joints }
}

/// The values of a conductor, or why there are none: first whether it is to be joined at all, then how.
fn lay_out(parsed: &Parsed, item: &Item, joint: &mut Joint) -> Result<Vec<Plan>, String> {
    let cable = item.of().ok_or("no cable is stated for it")?;
    let line = parsed
        .stores
        .get(Store::Cables, cable)
        .ok_or_else(|| format!("the stores have no cable `{cable}`"))?;
    joint.kind = line.text("kind").unwrap_or_default().to_owned();
    if joint.action == Action::Cap {
        return Err("its end is closed off".to_owned());
    }
    let joined = joint.action != Action::Replace;
    let mut plans = Vec::new();
    // Of a coax that is renewed anyway there is no joint to judge; a moulded one says why it is renewed.
    if joined || joint.kind != "coax" || line.text("moulded") == Some("yes") {
        plans.push(verdict(&parsed.stores, item, line, joint));
    }
    match (joined, joint.kind.as_str()) {
        (false, _) => joint.gap = Some("the whole cable is renewed".to_owned()),
        (true, "pyrotechnic" | "high-voltage" | "fibre") => {
            joint.gap = Some("the vehicle maker's instruction and licensed people decide".to_owned());
        }
        (true, "coax") => plans.extend(coax(&parsed.stores, item, line, joint)),
        (true, _) => plans.extend(wire(&parsed.stores, item, line, joint)),
    }
    if joint.action == Action::Insert && joint.join.removed.is_none() {
        joint.gap = Some("`removed` does not say how much is taken out".to_owned());
    }
    Ok(plans)
}

/// Whether the conductor may be joined; a coax that is joined is judged by the joint as it will be made.
fn verdict(stores: &Stores, item: &Item, line: &Line, joint: &Joint) -> Plan {
    let joined = joint.action != Action::Replace;
    let mut inputs = vec![("kind", text(&joint.kind)), ("cable", cable(line, ""))];
    let own = |inner: &str, field: &str| reference(Scheme::Value, &item.id, Some(inner), field);
    let services = item.conductor().map(|conductor| conductor.services.as_slice()).unwrap_or_default();
    if joint.kind == "coax" {
        if !services.is_empty() {
            let services: Vec<&str> = services.iter().map(|(id, _)| id.as_str()).collect();
            inputs.push(("services", text(&services.join(","))));
        }
        if let Some((shield, _)) = &joint.join.shield_joint {
            inputs.push(("shield-joint", text(shield.word())));
        }
        if joined {
            for name in ["core-strip", "shield-cut-back", "cable-allowance"] {
                inputs.push((name, own("coax-strip", name)));
            }
            inputs.push(("core-joint", own("joint", "diameter")));
            inputs.push(("inner-sleeve", own("inner-sleeve", "finished-diameter")));
            inputs.push(("from", ranges(stores, joint)));
            inputs.push(("sleeve", own("inner-sleeve", "sleeve")));
        }
    }
    let inputs = inputs.into_iter().map(|(name, written)| (name.to_owned(), written)).collect();
    // A coax whose services were written is to be judged; without them the schedule says what is missing. One that
    // the stores do not have is reported where it is written.
    let known = services.iter().all(|(id, _)| stores.get(Store::Services, id).is_some());
    let strict = joined && known && !services.is_empty();
    Plan { strict, ..planned(&format!("{}/verdict", item.id), "join-or-replace", inputs, joint.place) }
}

/// Builds the values of one conductor.
struct Builder<'a> {
    stores: &'a Stores,
    item: &'a Item,
    joint: &'a Joint,
    place: Place,
    plans: Vec<Plan>,
}

impl Builder<'_> {
    /// Adds a value; it is strict where any of the join keys that it rests on was written.
    fn add(&mut self, name: &str, working: &str, strict: bool, inputs: Vec<(&str, Written)>) {
        let inputs = inputs.into_iter().map(|(name, written)| (name.to_owned(), written)).collect();
        let plan = planned(&format!("{}/{name}", self.item.id), working, inputs, self.place);
        self.plans.push(Plan { strict, ..plan });
    }

    fn value(&self, inner: &str, field: &str) -> Written {
        reference(Scheme::Value, &self.item.id, Some(inner), field)
    }

    fn from(&self) -> Written {
        ranges(self.stores, self.joint)
    }

    fn gap(&self) -> Written {
        text(&self.joint.join.gap.as_ref().map_or_else(|| "1 mm".to_owned(), |(gap, _)| written(gap)))
    }
}

/// The ranges of sleeves to choose from; every range of the stores where none is named.
fn ranges(stores: &Stores, joint: &Joint) -> Written {
    let named: Vec<&str> = joint.join.from.iter().map(|(id, _)| id.as_str()).collect();
    let ranges = if named.is_empty() { stores.ids(Store::Sleeves).collect() } else { named };
    text(&ranges.join(","))
}

fn text(words: &str) -> Written {
    Written::Text(words.to_owned())
}

/// A quantity as text that reads back as the same.
fn written(quantity: &crate::quantity::Quantity) -> String {
    let tolerance =
        quantity.tolerance.map_or_else(String::new, |t| format!(" ± {t} {}", quantity.unit.symbol));
    format!("{} {}{tolerance}", quantity.value, quantity.unit.symbol)
}

fn reference(scheme: Scheme, id: &str, inner: Option<&str>, field: &str) -> Written {
    Written::Reference(link(scheme, id, inner, field))
}

/// A reference that nobody wrote; an empty field is none.
pub(super) fn link(scheme: Scheme, id: &str, inner: Option<&str>, field: &str) -> Reference {
    Reference {
        scheme,
        id: id.to_owned(),
        inner: inner.map(str::to_owned),
        field: (!field.is_empty()).then(|| field.to_owned()),
    }
}

fn cable(line: &Line, field: &str) -> Written {
    reference(Scheme::Line(Store::Cables), &line.id, None, field)
}

fn list(all: Vec<Written>) -> Written {
    Written::List(all.into_iter().map(|one| (one, Place::default())).collect())
}

/// The lap: written, or four conductor diameters.
fn lap(joint: &Joint, line: &Line, conductor: &str) -> Written {
    if let Some((lap, _)) = &joint.join.lap {
        return text(&written(lap));
    }
    let diameter =
        line.quantity(conductor).and_then(|quantity| quantity.in_unit(unit("mm")?).ok()).unwrap_or_default();
    text(&format!("{} mm", LAP_FACTOR * diameter))
}

/// A wire: joint and one sleeve over it. A barrel insulates itself and takes none.
fn wire(stores: &Stores, item: &Item, line: &Line, joint: &Joint) -> Vec<Plan> {
    let join = &joint.join;
    let place = joint_place(joint);
    let mut builder = Builder { stores, item, joint, place, plans: Vec::new() };
    let by = join.by.as_ref().map_or("lap", |(by, _)| by);
    let conductor = || cable(line, "conductor");
    let mut inputs = vec![
        ("by", text(by)),
        ("wires", list(vec![conductor(), conductor()])),
        ("lap", lap(joint, line, "conductor")),
        ("gap", builder.gap()),
    ];
    if let (Some((barrel, _)), "barrel") = (&join.barrel, by) {
        inputs.push(("barrel", text(&written(barrel))));
    }
    let strict = join.by.is_some() || join.lap.is_some() || join.gap.is_some() || join.barrel.is_some();
    builder.add("joint", "joint", strict, inputs);
    if by != "barrel" {
        let around =
            |builder: &Builder<'_>| list(vec![builder.value("joint", "diameter"), cable(line, "outside")]);
        let inputs = vec![
            ("over", around(&builder)),
            ("grip", around(&builder)),
            ("covers", builder.value("joint", "bare")),
            ("from", builder.from()),
        ];
        builder.add("sleeve", "sleeve", !join.from.is_empty(), inputs);
    }
    if let (Action::Insert, Some((removed, _))) = (joint.action, &join.removed) {
        let inputs = vec![
            ("removed", text(&written(removed))),
            ("lap", builder.value("joint", "length")),
            ("gap", builder.gap()),
            ("outside", cable(line, "outside")),
        ];
        builder.add("insert", "insert", true, inputs);
    }
    builder.plans
}

/// A coax: core joint, layers stripped back, inner sleeve, bridge of the shield, outer sleeve.
fn coax(stores: &Stores, item: &Item, line: &Line, joint: &Joint) -> Vec<Plan> {
    let join = &joint.join;
    let mut builder = Builder { stores, item, joint, place: joint_place(joint), plans: Vec::new() };
    let core = || cable(line, "core");
    let strict = join.lap.is_some() || join.gap.is_some();
    let lap = lap(joint, line, "core");
    let inputs = vec![
        ("by", text("lap")),
        ("wires", list(vec![core(), core()])),
        ("lap", lap),
        ("gap", builder.gap()),
    ];
    builder.add("joint", "joint", strict, inputs);
    let inputs = vec![
        ("core", core()),
        ("dielectric", cable(line, "dielectric")),
        ("shield", cable(line, "shield")),
        ("jacket", cable(line, "outside")),
        ("joint", builder.value("joint", "length")),
        ("tip", builder.gap()),
    ];
    builder.add("coax-strip", "coax-strip", strict, inputs);
    let strict = !join.from.is_empty();
    let around = list(vec![builder.value("joint", "diameter"), cable(line, "dielectric")]);
    let inputs = vec![
        ("over", around.clone()),
        ("grip", around),
        ("covers", builder.value("coax-strip", "inner-sleeve-covers")),
        // What it covers holds its overlap already.
        ("overlap", text("0 mm")),
        ("from", builder.from()),
    ];
    builder.add("inner-sleeve", "sleeve", strict, inputs);
    // The bridge lies over the inner sleeve and over both ends' braid: two braids thick on each side.
    let inputs = vec![
        ("expression", text("inner + 2*(shield - dielectric)")),
        ("inner", builder.value("inner-sleeve", "finished-diameter")),
        ("shield", cable(line, "shield")),
        ("dielectric", cable(line, "dielectric")),
    ];
    builder.add("bridge", "formula", strict, inputs);
    let inputs = vec![
        ("over", list(vec![builder.value("bridge", "result"), cable(line, "outside")])),
        ("grip", cable(line, "outside")),
        ("covers", builder.value("coax-strip", "outer-sleeve-covers")),
        ("overlap", text("0 mm")),
        ("from", builder.from()),
    ];
    builder.add("outer-sleeve", "sleeve", strict, inputs);
    builder.plans
}

/// Where to point for a joint that cannot be made: at what was written of it, else at its action.
fn joint_place(joint: &Joint) -> Place {
    let join = &joint.join;
    let from = join.from.first().map(|(_, place)| *place);
    let lap = join.lap.as_ref().map(|(_, place)| *place);
    let by = join.by.as_ref().map(|(_, place)| *place);
    // The nearest to the conductor itself: a place in `join-as` would be the same for all of them.
    [from, lap, by].into_iter().flatten().find(|place| place.start > joint.place.start).unwrap_or(joint.place)
}
