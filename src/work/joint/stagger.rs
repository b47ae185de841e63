//! Where each joint of a repair goes, where there are several: one value for all, and each conductor's place in it
//! (`tail-feed/offset`). The two wires of a pair stand at neighbouring stations.

use super::plan::{Pick, Plan, Plans, Taken};
use super::{Joint, Part, Repair, Role, Shared};
use crate::model::{Action, Available, Place, Reference, Scheme, Store, Stores};
use crate::quantity::{MILLIMETRE, Quantity};

/// Between the ends of neighbouring joints in mm: room for a tie at each end of a joint (NASA workmanship
/// standards, 4.07); the figure itself is common practice.
const BETWEEN: f64 = 10.0;

/// One wire that has a place of its own.
struct Station<'a> {
    repair: &'a Repair,
    /// The sleeve over its joint.
    sleeve: Role,
    /// Its outside diameter.
    outside: Taken,
}

/// Adds the values that the joints share, and each conductor's place.
pub(super) fn lay_out(stores: &Stores, plans: &mut Plans) {
    let joined = plans.repairs.iter().filter(|repair| repair.action == Action::Join);
    let stations: Vec<Station<'_>> = joined.flat_map(stations).collect();
    let Some(place) = stations.first().map(|first| first.repair.place).filter(|_| stations.len() > 1) else {
        return;
    };
    let outputs = |role: fn(&Station<'_>) -> Role, output: &str| -> Vec<Taken> {
        stations.iter().map(|one| Taken::Refer(one.repair.part(role(one)).output(output))).collect()
    };
    let sleeves = longest(Shared::Sleeve, outputs(|one| one.sleeve, "cut-length"), place);
    let laps = longest(Shared::Lap, outputs(|_| Role::Joint, "length"), place);
    let result = |shared| Taken::Refer(Part::All(shared).output("result"));
    let mut inputs = vec![
        ("wires", Taken::All(stations.iter().map(|one| one.outside.clone()).collect())),
        ("finished", Taken::All(outputs(|one| one.sleeve, "finished-diameter"))),
        ("joint", result(Shared::Sleeve)),
        ("lap", result(Shared::Lap)),
        ("gap", Taken::Figure(Quantity::new(BETWEEN, &MILLIMETRE))),
        ("sleeve", result(Shared::Sleeve)),
    ];
    let (available, said) = available(&stations);
    inputs.extend(available.map(|available| ("available", available)));
    inputs.extend(pairs(stores, &stations));
    let inputs = inputs.into_iter().map(|(name, taken)| (name.to_owned(), taken)).collect();
    let mut all = Plan::follows(Part::All(Shared::Stagger), Shared::Stagger.working(), inputs, place);
    if let Some(said) = said {
        // A written length that does not suffice is an error where it is written.
        all.strict = true;
        all.feeds.iter_mut().filter(|feed| feed.name == "available").for_each(|feed| feed.place = said);
    }
    let places: Vec<Plan> = places(&stations);
    for repair in &mut plans.repairs {
        if places.iter().any(|plan| plan.part == Some(repair.part(Role::Offset))) {
            repair.roles.push(Role::Offset);
        }
    }
    plans.extend([sleeves, laps, all]);
    plans.extend(places);
}

/// The wires of a repair that have places of their own. A barrel has no sleeve that would be parked.
fn stations(repair: &Repair) -> Vec<Station<'_>> {
    let (Some(joint), Some(cable), Some(sleeve)) = (&repair.joint, &repair.cable, repair.outermost()) else {
        return Vec::new();
    };
    let field = Some("outside".to_owned());
    let outside = match joint {
        Joint::Pair(_) => repair.part(Role::Wire).output("result"),
        Joint::Wire(_) | Joint::Coax(_) => {
            Reference { scheme: Scheme::Line(Store::Cables), id: cable.clone(), inner: None, field }
        }
    };
    let one = || Station { repair, sleeve, outside: Taken::Refer(outside.clone()) };
    std::iter::repeat_with(one).take(joint.wires()).collect()
}

/// The greatest of several.
fn longest(shared: Shared, all: Vec<Taken>, place: Place) -> Plan {
    let names: Vec<String> = (1..=all.len()).map(|number| format!("l{number}")).collect();
    let mut inputs = vec![("expression".to_owned(), Taken::Text(format!("max({})", names.join(", "))))];
    inputs.extend(names.into_iter().zip(all));
    Plan::follows(Part::All(shared), shared.working(), inputs, place)
}

/// How far the two sides can overlap, by the conductor that has least, and where that is written.
fn available(stations: &[Station<'_>]) -> (Option<Taken>, Option<Place>) {
    let said = stations.iter().filter_map(|one| one.repair.join.available.as_ref());
    let length = |available: &Available| match available {
        Available::Length(length) => length.in_unit(&MILLIMETRE).unwrap_or(f64::INFINITY),
        Available::Unlimited => f64::INFINITY,
    };
    let least = said.min_by(|(one, _), (other, _)| length(one).total_cmp(&length(other)));
    let taken = |available: &Available| match available {
        Available::Length(length) => Taken::Figure(length.clone()),
        Available::Unlimited => Taken::Text("unlimited".to_owned()),
    };
    (least.map(|(available, _)| taken(available)), least.map(|(_, place)| *place))
}

/// The pairs among the wires by their numbers, and the least length to which any of them may be untwisted. Without
/// its maker's limit for each, none is given, and the answer is the maker's.
fn pairs(stores: &Stores, stations: &[Station<'_>]) -> Vec<(&'static str, Taken)> {
    let mut pairs = Vec::new();
    let mut limits = Vec::new();
    for (number, one) in (1..).zip(stations) {
        let second = stations.get(number).is_some_and(|next| next.repair.conductor == one.repair.conductor);
        if !second {
            continue;
        }
        pairs.push(Taken::Text(format!("{number}-{}", number + 1)));
        let line = one.repair.cable.as_ref().and_then(|cable| stores.get(Store::Cables, cable));
        limits.push(line.and_then(|line| line.quantity("untwist-limit")));
    }
    if pairs.is_empty() {
        return Vec::new();
    }
    let length = |limit: &&Quantity| limit.in_unit(&MILLIMETRE).unwrap_or(0.0);
    let limits: Option<Vec<&Quantity>> = limits.into_iter().collect();
    let least = limits.and_then(|all| all.into_iter().min_by(|a, b| length(a).total_cmp(&length(b))));
    let limit = least.map(|limit| ("untwist-limit", Taken::Figure(limit.clone())));
    std::iter::once(("pairs", Taken::All(pairs))).chain(limit).collect()
}

/// Each conductor's place: one for a wire, two for a pair.
fn places(stations: &[Station<'_>]) -> Vec<Plan> {
    let mut places: Vec<Plan> = Vec::new();
    for (index, one) in stations.iter().enumerate() {
        let part = one.repair.part(Role::Offset);
        match places.last_mut().filter(|plan| plan.part.as_ref() == Some(&part)) {
            Some(Plan { pick: Some(pick), .. }) => pick.places.push(index),
            _ => {
                let plan = Plan::follows(part, Role::Offset.working(), Vec::new(), one.repair.place);
                let whole = Part::All(Shared::Stagger);
                let pick = Pick { whole, of: stations.len(), places: vec![index] };
                places.push(Plan { pick: Some(pick), ..plan });
            }
        }
    }
    places
}
