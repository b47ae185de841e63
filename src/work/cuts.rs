//! From which stock lengths the sleeves of a procedure are cut: one value for each size (`sleeves/s6`), worked
//! once it is known which sleeves its joints choose.

use super::{Origin, Part, Work, Worked, WorkedProcedure, WorkedValue};
use crate::model::{Place, Reference, Scheme, Store, Stores};
use crate::quantity::{MILLIMETRE, Quantity};
use crate::workings::{Offered, Stock, Value, find};
use std::collections::BTreeMap;

/// The working that plans the cuts.
const WORKING: &str = "stock-cut";

/// A piece of sleeve that a joint takes.
#[derive(Clone, Debug)]
pub(super) struct Piece {
    /// The range and the size.
    pub(super) range: String,
    pub(super) size: String,
    /// How long it is cut, mm.
    pub(super) length: f64,
    /// The value that says so.
    part: Part,
    place: Place,
}

/// Every piece that the joints of a procedure take, in the order of its schedule. A conductor that nothing
/// touches takes none.
pub(super) fn pieces(worked: &WorkedProcedure) -> Vec<Piece> {
    let mut all = Vec::new();
    for repair in worked.schedule.joints.iter().filter(|repair| worked.replay.touches(&repair.conductor)) {
        for role in &repair.roles {
            let piece = worked.part(&repair.conductor, *role).and_then(piece);
            all.extend(piece.into_iter().flat_map(|piece| std::iter::repeat_n(piece, repair.times())));
        }
    }
    all
}

/// The piece that a value cuts; what is no sleeve cuts none.
fn piece(value: &WorkedValue) -> Option<Piece> {
    let work = value.result.as_ref().ok()?;
    let Some(Value::Text(size)) = work.outcome.get("sleeve") else { return None };
    let range = work.given.sleeves("from").iter().find(|sleeve| sleeve.id == *size)?.range.clone();
    let length = work.outcome.number("cut-length")?;
    Some(Piece { range, size: size.clone(), length, part: value.part.clone()?, place: value.place })
}

/// The value that says from what a piece is cut. Two ranges may call a size alike: then the range tells them apart.
pub(super) fn part(piece: &Piece, all: &[Piece]) -> Part {
    let alone = all.iter().all(|other| other.size != piece.size || other.range == piece.range);
    Part::Cut(if alone { piece.size.clone() } else { format!("{}-{}", piece.range, piece.size) })
}

/// Adds the cutting values of every procedure.
pub(super) fn lay_out(worked: &mut Worked) {
    for procedure in worked.procedures.values_mut() {
        let all = pieces(procedure);
        let mut sizes: BTreeMap<Part, Vec<&Piece>> = BTreeMap::new();
        for piece in &all {
            sizes.entry(part(piece, &all)).or_default().push(piece);
        }
        let values =
            sizes.into_iter().filter_map(|(part, pieces)| cutting(worked.parsed.stores(), part, &pieces));
        procedure.values.extend(values);
    }
}

/// The plan of one size, where the stores say how long its stock is.
fn cutting(stores: &Stores, part: Part, pieces: &[&Piece]) -> Option<WorkedValue> {
    let first = pieces.first()?;
    let line = stores.get(Store::Sleeves, &first.range)?;
    let stock = line.quantity("stock")?.clone();
    let lengths =
        pieces.iter().map(|piece| Offered::Quantity(Quantity::new(piece.length, &MILLIMETRE))).collect();
    let offered = BTreeMap::from([
        ("pieces".to_owned(), Offered::List(lengths)),
        ("stock".to_owned(), Offered::Quantity(stock)),
    ]);
    let result = Work::of(find(WORKING)?, &offered, &Stock::default());
    let own = |piece: &&Piece| Origin::Reference(piece.part.output("cut-length"));
    let field = Some("stock".to_owned());
    let from =
        Reference { scheme: Scheme::Line(Store::Sleeves), id: first.range.clone(), inner: None, field };
    let origins = vec![
        ("pieces".to_owned(), Origin::List(pieces.iter().map(own).collect())),
        ("stock".to_owned(), Origin::Reference(from)),
    ];
    Some(WorkedValue {
        id: part.to_string(),
        part: Some(part),
        working: WORKING.to_owned(),
        origins,
        result,
        written: false,
        place: first.place,
    })
}
