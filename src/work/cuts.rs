//! From which stock lengths the sleeves of a procedure are cut: one value for each size (`sleeves/s6`), worked
//! once it is known which sleeves its joints choose.

use super::conductors::link;
use super::{Origin, Work, Worked, WorkedProcedure, WorkedValue};
use crate::model::{Action, Place, Scheme, Store, Stores};
use crate::quantity::{Quantity, unit};
use crate::workings::{Offered, Stock, Value, find};
use std::collections::BTreeMap;

/// A piece of sleeve that a joint takes.
#[derive(Clone, Debug)]
pub(super) struct Piece {
    /// The range and the size.
    pub(super) range: String,
    pub(super) size: String,
    /// How long it is cut, mm.
    pub(super) length: f64,
    /// The value that says so.
    value: String,
    place: Place,
}

/// Every piece that the joints of a procedure take, in the order of its schedule. A conductor that nothing
/// touches takes none.
pub(super) fn pieces(worked: &WorkedProcedure) -> Vec<Piece> {
    let mut all = Vec::new();
    for joint in worked.schedule.joints.iter().filter(|joint| worked.replay.touches(&joint.conductor)) {
        let values = joint.values.iter().filter_map(|id| worked.value(id));
        for piece in values.filter(|value| value.working == "sleeve").filter_map(piece) {
            // A piece let in has a joint at each end.
            let count = if joint.action == Action::Insert { 2 } else { 1 };
            all.extend(std::iter::repeat_n(piece, count));
        }
    }
    all
}

fn piece(value: &WorkedValue) -> Option<Piece> {
    let work = value.result.as_ref().ok()?;
    let Some(Value::Text(size)) = work.outcome.get("sleeve") else { return None };
    let range = work.given.sleeves("from").iter().find(|sleeve| sleeve.id == *size)?.range.clone();
    let length = work.outcome.number("cut-length")?;
    Some(Piece { range, size: size.clone(), length, value: value.id.clone(), place: value.place })
}

/// The value that says from what a piece is cut. Two ranges may call a size alike: then the range tells them apart.
pub(super) fn id(piece: &Piece, all: &[Piece]) -> String {
    let alone = all.iter().all(|other| other.size != piece.size || other.range == piece.range);
    if alone { format!("sleeves/{}", piece.size) } else { format!("sleeves/{}-{}", piece.range, piece.size) }
}

/// Adds the cutting values of every procedure.
pub(super) fn lay_out(worked: &mut Worked) {
    for procedure in worked.procedures.values_mut() {
        let all = pieces(procedure);
        let mut sizes: BTreeMap<String, Vec<&Piece>> = BTreeMap::new();
        for piece in &all {
            sizes.entry(id(piece, &all)).or_default().push(piece);
        }
        let values = sizes.into_iter().filter_map(|(id, pieces)| cutting(&worked.parsed.stores, id, &pieces));
        procedure.values.extend(values);
    }
}

/// The plan of one size, where the stores say how long its stock is.
fn cutting(stores: &Stores, id: String, pieces: &[&Piece]) -> Option<WorkedValue> {
    let first = pieces.first()?;
    let line = stores.get(Store::Sleeves, &first.range)?;
    let stock = line.quantity("stock")?.clone();
    let mm = unit("mm")?;
    let lengths = pieces.iter().map(|piece| Offered::Quantity(Quantity::new(piece.length, mm))).collect();
    let offered = BTreeMap::from([
        ("pieces".to_owned(), Offered::List(lengths)),
        ("stock".to_owned(), Offered::Quantity(stock)),
    ]);
    let result = Work::of(find("stock-cut")?, &offered, &Stock::default());
    let own = |piece: &&Piece| {
        let (id, inner) = match piece.value.split_once('/') {
            Some((id, inner)) => (id, Some(inner)),
            None => (piece.value.as_str(), None),
        };
        Origin::Reference(link(Scheme::Value, id, inner, "cut-length"))
    };
    let origins = vec![
        ("pieces".to_owned(), Origin::List(pieces.iter().map(own).collect())),
        (
            "stock".to_owned(),
            Origin::Reference(link(Scheme::Line(Store::Sleeves), &first.range, None, "stock")),
        ),
    ];
    let working = "stock-cut".to_owned();
    Some(WorkedValue { id, working, origins, result, written: false, place: first.place })
}
