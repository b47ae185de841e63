//! The values of a procedure: those written, then those that follow from its conductors.

use super::plan::{Plan, Plans, Taken};
use super::stagger;
use super::{Coax, GAP, Joint, LAP_FACTOR, Repair, Role, Wire};
use crate::model::{
    Action, Conductor, Item, JoinAs, Line, Method, Place, Procedure, Reference, Scheme, Store, Stores,
};
use crate::parse::Parsed;
use crate::quantity::{MILLIMETRE, Quantity};
use std::collections::BTreeMap;

/// Plans a procedure's values: those written, then those of its conductors.
pub(in crate::work) fn plan(parsed: &Parsed, procedure: &Procedure, items: &BTreeMap<String, Item>) -> Plans {
    let mut plans = Plans::default();
    plans.extend(procedure.values.iter().map(|value| Plan::written(value, true)));
    for (item, conductor) in items.values().filter_map(|item| Some((item, item.conductor()?))) {
        let Some((action, place)) = conductor.action else { continue };
        let mut repair = Repair {
            conductor: item.id.clone(),
            action,
            join: conductor.join.or(&procedure.join_as),
            cable: conductor.of.clone(),
            kind: String::new(),
            joint: None,
            roles: Vec::new(),
            gap: None,
            place,
        };
        let values = match lay_out(parsed.stores(), conductor, &mut repair) {
            Ok(values) => values,
            Err(gap) => {
                repair.gap = Some(gap);
                Vec::new()
            }
        };
        repair.roles = values.iter().filter_map(|plan| plan.part.as_ref()?.role()).collect();
        plans.extend(values);
        plans.repairs.push(repair);
    }
    stagger::lay_out(parsed.stores(), &mut plans);
    plans
}

/// The values of a conductor, or why there are none: first whether it is to be joined at all, then how.
fn lay_out(stores: &Stores, conductor: &Conductor, repair: &mut Repair) -> Result<Vec<Plan>, String> {
    let cable = conductor.of.as_ref().ok_or("no cable is stated for it")?;
    let line =
        stores.get(Store::Cables, cable).ok_or_else(|| format!("the stores have no cable `{cable}`"))?;
    repair.kind = line.text("kind").unwrap_or_default().to_owned();
    let joined = match repair.action {
        Action::Cap => return Err("its end is closed off".to_owned()),
        Action::Replace => false,
        Action::Join | Action::Insert => true,
    };
    repair.joint = if joined { joint(&repair.kind, line, &repair.join) } else { None };
    let mut layout = Layout { stores, line, repair, plans: Vec::new() };
    // Of a coax that is renewed anyway there is no joint to judge; a moulded one says why it is renewed.
    if joined || layout.repair.kind != "coax" || line.text("moulded") == Some("yes") {
        layout.verdict(conductor);
    }
    match layout.repair.joint.clone() {
        Some(Joint::Wire(wire)) => layout.wire(&wire, layout.cable("outside")),
        Some(Joint::Pair(wire)) => {
            layout.half();
            layout.wire(&wire, layout.own(Role::Wire, "result"));
        }
        Some(Joint::Coax(coax)) => layout.coax(&coax),
        None => {}
    }
    let plans = layout.plans;
    repair.gap = match (joined, &repair.joint) {
        (false, _) => Some("the whole cable is renewed".to_owned()),
        (true, None) => Some("the vehicle maker's instruction and licensed people decide".to_owned()),
        (true, Some(_)) if repair.action == Action::Insert && repair.join.removed.is_none() => {
            Some("`removed` does not say how much is taken out".to_owned())
        }
        (true, Some(_)) => None,
    };
    Ok(plans)
}

/// The joint of a kind of cable; none where licensed people decide.
fn joint(kind: &str, line: &Line, join: &JoinAs) -> Option<Joint> {
    let figure = |known: &Option<(Quantity, Place)>| known.as_ref().map(|(figure, _)| figure.clone());
    let gap = figure(&join.gap).unwrap_or_else(|| Quantity::new(GAP, &MILLIMETRE));
    let lap = |conductor: &str| figure(&join.lap).or_else(|| lap(line, conductor));
    let wire = || Wire {
        method: join.by.map_or(Method::Lap, |(method, _)| method),
        lap: lap("conductor"),
        gap: gap.clone(),
        barrel: figure(&join.barrel),
    };
    match kind {
        "pyrotechnic" | "high-voltage" | "fibre" => None,
        "coax" => Some(Joint::Coax(Coax {
            lap: lap("core"),
            gap: gap.clone(),
            shield: join.shield_joint.map(|(shield, _)| shield),
        })),
        "pair" => Some(Joint::Pair(wire())),
        _ => Some(Joint::Wire(wire())),
    }
}

/// A lap of four diameters.
fn lap(line: &Line, conductor: &str) -> Option<Quantity> {
    let diameter = line.quantity(conductor)?.in_unit(&MILLIMETRE).ok()?;
    Some(Quantity::new(LAP_FACTOR * diameter, &MILLIMETRE))
}

/// Inputs by their names.
type Inputs = Vec<(&'static str, Taken)>;

fn word(word: &str) -> Taken {
    Taken::Text(word.to_owned())
}

/// The values of one conductor, as they are laid out.
struct Layout<'a> {
    stores: &'a Stores,
    line: &'a Line,
    repair: &'a Repair,
    plans: Vec<Plan>,
}

impl Layout<'_> {
    fn add(&mut self, role: Role, strict: bool, place: Place, inputs: Inputs) {
        let inputs = inputs.into_iter().map(|(name, taken)| (name.to_owned(), taken)).collect();
        let plan = Plan::follows(self.repair.part(role), role.working(), inputs, place);
        self.plans.push(Plan { strict, ..plan });
    }

    /// Where to point for a joint that cannot be made: at what was written of it, else at its action.
    fn place(&self) -> Place {
        let (join, action) = (&self.repair.join, self.repair.place);
        let from = join.from.first().map(|(_, place)| *place);
        let lap = join.lap.as_ref().map(|(_, place)| *place);
        let by = join.by.map(|(_, place)| place);
        // The nearest to the conductor itself: a place in `join-as` would be the same for all of them.
        [from, lap, by].into_iter().flatten().find(|place| place.start > action.start).unwrap_or(action)
    }

    /// An output of another of its values.
    fn own(&self, role: Role, output: &str) -> Taken {
        Taken::Refer(self.repair.part(role).output(output))
    }

    /// A field of its cable.
    fn cable(&self, field: &str) -> Taken {
        let field = Some(field.to_owned());
        Taken::Refer(Reference {
            scheme: Scheme::Line(Store::Cables),
            id: self.line.id.clone(),
            inner: None,
            field,
        })
    }

    /// The ranges of sleeves to choose from; every range of the stores where none is named.
    fn ranges(&self) -> Taken {
        let named: Vec<String> = self.repair.join.from.iter().map(|(id, _)| id.clone()).collect();
        let all = || self.stores.ids(Store::Sleeves).map(str::to_owned).collect();
        Taken::Lines(Store::Sleeves, if named.is_empty() { all() } else { named })
    }

    /// Whether the conductor may be joined; a coax that is joined is judged by the joint as it will be made.
    fn verdict(&mut self, conductor: &Conductor) {
        let whole = Reference {
            scheme: Scheme::Line(Store::Cables),
            id: self.line.id.clone(),
            inner: None,
            field: None,
        };
        let mut inputs = vec![("kind", word(&self.repair.kind)), ("cable", Taken::Refer(whole))];
        let services: Vec<String> = conductor.services.iter().map(|(id, _)| id.clone()).collect();
        if self.repair.kind == "coax" {
            if !services.is_empty() {
                inputs.push(("services", Taken::Lines(Store::Services, services.clone())));
            }
            if let Some((shield, _)) = self.repair.join.shield_joint {
                inputs.push(("shield-joint", word(shield.word())));
            }
            if self.repair.joint.is_some() {
                for name in ["core-strip", "shield-cut-back", "cable-allowance"] {
                    inputs.push((name, self.own(Role::Strip, name)));
                }
                inputs.push(("core-joint", self.own(Role::Joint, "diameter")));
                inputs.push(("inner-sleeve", self.own(Role::InnerSleeve, "finished-diameter")));
                inputs.push(("from", self.ranges()));
                inputs.push(("sleeve", self.own(Role::InnerSleeve, "sleeve")));
            }
        }
        // A coax whose services were written is to be judged; without them the schedule says what is missing. One that
        // the stores do not have is reported where it is written.
        let known = services.iter().all(|id| self.stores.get(Store::Services, id).is_some());
        let strict = self.repair.action != Action::Replace && known && !services.is_empty();
        self.add(Role::Verdict, strict, self.repair.place, inputs);
    }

    /// One wire of a pair: two equal circles that touch are as wide as both their diameters.
    fn half(&mut self) {
        let inputs = vec![("expression", word("outside / 2")), ("outside", self.cable("outside"))];
        self.add(Role::Wire, false, self.place(), inputs);
    }

    /// A wire: joint and one sleeve over it. A barrel insulates itself and takes none.
    fn wire(&mut self, wire: &Wire, outside: Taken) {
        let join = &self.repair.join;
        // A barrel counts only where `by` names it.
        let strict = join.by.is_some() || join.lap.is_some() || join.gap.is_some();
        let strict_sleeve = !join.from.is_empty();
        let mut inputs = vec![
            ("by", word(wire.method.word())),
            ("wires", Taken::All(vec![self.cable("conductor"), self.cable("conductor")])),
        ];
        inputs.extend(wire.lap.clone().map(|lap| ("lap", Taken::Figure(lap))));
        inputs.push(("gap", Taken::Figure(wire.gap.clone())));
        if let (Some(barrel), Method::Barrel) = (&wire.barrel, wire.method) {
            inputs.push(("barrel", Taken::Figure(barrel.clone())));
        }
        self.add(Role::Joint, strict, self.place(), inputs);
        if wire.method != Method::Barrel {
            let around = || Taken::All(vec![self.own(Role::Joint, "diameter"), outside.clone()]);
            let inputs = vec![
                ("over", around()),
                ("grip", around()),
                ("covers", self.own(Role::Joint, "bare")),
                ("from", self.ranges()),
            ];
            self.add(Role::Sleeve, strict_sleeve, self.place(), inputs);
        }
        if let (Action::Insert, Some((removed, _))) = (self.repair.action, &self.repair.join.removed) {
            let inputs = vec![
                ("removed", Taken::Figure(removed.clone())),
                ("lap", self.own(Role::Joint, "length")),
                ("gap", Taken::Figure(wire.gap.clone())),
                ("outside", outside),
            ];
            self.add(Role::Piece, true, self.place(), inputs);
        }
    }

    /// A coax: core joint, layers stripped back, inner sleeve, bridge of the shield, outer sleeve.
    fn coax(&mut self, coax: &Coax) {
        let join = &self.repair.join;
        let (strict, strict_sleeve) = (join.lap.is_some() || join.gap.is_some(), !join.from.is_empty());
        let gap = || Taken::Figure(coax.gap.clone());
        let mut inputs = vec![
            ("by", word(Method::Lap.word())),
            ("wires", Taken::All(vec![self.cable("core"), self.cable("core")])),
        ];
        inputs.extend(coax.lap.clone().map(|lap| ("lap", Taken::Figure(lap))));
        inputs.push(("gap", gap()));
        self.add(Role::Joint, strict, self.place(), inputs);
        let inputs = vec![
            ("core", self.cable("core")),
            ("dielectric", self.cable("dielectric")),
            ("shield", self.cable("shield")),
            ("jacket", self.cable("outside")),
            ("joint", self.own(Role::Joint, "length")),
            ("tip", gap()),
        ];
        self.add(Role::Strip, strict, self.place(), inputs);
        self.coax_sleeves(strict_sleeve);
    }

    fn coax_sleeves(&mut self, strict: bool) {
        // What a sleeve of a coax covers holds its overlap already.
        let none = || Taken::Figure(Quantity::new(0.0, &MILLIMETRE));
        let around = Taken::All(vec![self.own(Role::Joint, "diameter"), self.cable("dielectric")]);
        let inputs = vec![
            ("over", around.clone()),
            ("grip", around),
            ("covers", self.own(Role::Strip, "inner-sleeve-covers")),
            ("overlap", none()),
            ("from", self.ranges()),
        ];
        self.add(Role::InnerSleeve, strict, self.place(), inputs);
        // The bridge lies over the inner sleeve and over both ends' braid: two braids thick on each side.
        let inputs = vec![
            ("expression", word("inner + 2*(shield - dielectric)")),
            ("inner", self.own(Role::InnerSleeve, "finished-diameter")),
            ("shield", self.cable("shield")),
            ("dielectric", self.cable("dielectric")),
        ];
        self.add(Role::Bridge, strict, self.place(), inputs);
        let inputs = vec![
            ("over", Taken::All(vec![self.own(Role::Bridge, "result"), self.cable("outside")])),
            ("grip", self.cable("outside")),
            ("covers", self.own(Role::Strip, "outer-sleeve-covers")),
            ("overlap", none()),
            ("from", self.ranges()),
        ];
        self.add(Role::OuterSleeve, strict, self.place(), inputs);
    }
}
