//! The joints of a procedure, for the rules of electrics.

use super::reading::Read;
use crate::model::{Action, Item, Line, Method, Store};
use crate::phrase::{Phrase, phrase};
use crate::quantity::unit;
use crate::work::{Repair, Role, Worked, WorkedValue};

/// A joint that is made, and the conductor that it is made in.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Made<'a> {
    /// The joint.
    pub(crate) joint: &'a Repair,
    /// The conductor.
    pub(crate) item: &'a Item,
}

/// The joints that a procedure makes: conductors joined, or with a piece let in.
pub(crate) fn made<'a>(read: &Read<'a>) -> Vec<Made<'a>> {
    let known = read.known;
    known
        .schedule
        .joints
        .iter()
        .filter(|joint| matches!(joint.action, Action::Join | Action::Insert))
        .filter(|joint| known.replay.touches(&joint.conductor))
        .filter_map(|joint| Some(Made { joint, item: known.items.get(&joint.conductor)? }))
        .collect()
}

impl<'a> Made<'a> {
    /// How it is joined; a lap where nothing is said.
    pub(crate) fn by(&self) -> Method {
        self.joint.join.by.map_or(Method::Lap, |(by, _)| by)
    }

    /// Where it lies; dry where nothing is said.
    pub(crate) fn place(&self) -> &'a str {
        self.joint.join.place.as_ref().map_or("dry", |(place, _)| place.as_str())
    }

    /// Its cable in the stores.
    pub(crate) fn cable<'w>(&self, worked: &'w Worked) -> Option<&'w Line> {
        worked.parsed().stores().get(Store::Cables, self.item.of()?)
    }

    /// Its conductor's cross-section in mm².
    pub(crate) fn area(&self, worked: &Worked) -> Option<f64> {
        self.cable(worked)?.quantity("size")?.in_unit(unit("mm²")?).ok()
    }

    /// One of its values.
    pub(crate) fn value(&self, read: &Read<'a>, role: Role) -> Option<&'a WorkedValue> {
        read.known.part(&self.item.id, role)
    }
}

/// Several ids in a sentence: the first three, and how many more.
pub(crate) fn some<'i>(ids: impl IntoIterator<Item = &'i str>) -> Phrase {
    let all: Vec<&str> = ids.into_iter().collect();
    let shown: Vec<String> = all.iter().take(3).map(|id| format!("`{id}`")).collect();
    match all.len().saturating_sub(3) {
        0 => Phrase::verbatim(shown.join(", ")),
        more => phrase!("{first} and {more} more", first = shown.join(", "), more = more),
    }
}
