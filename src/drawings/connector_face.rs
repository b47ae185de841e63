//! The face of a connector: its ways in order, the wires in them, and which of them a procedure works on.
//!
//! Which cavity lies where, and from which side a face is seen, is the maker's to say. So the cavities are
//! numbered in order, and the drawing says that the numbers on the connector count.

mod cavities;

use crate::drawings::connector_face::cavities::Cavities;
use crate::drawings::svg::Sheet;
use crate::drawings::svg::lettering::LEADING;
use crate::drawings::{Labels, Sketch, Words, sketch};
use crate::phrase::{Phrase, phrase};
use std::collections::BTreeMap;

/// More ways than this make no readable picture.
const MOST: u32 = 120;

/// What has to be said of every such drawing.
fn schematic() -> Phrase {
    phrase!(
        "The order of the cavities is schematic: numbered in order; the numbers moulded into the \
                         connector count. Whether this is the wire side or the mating side is not known."
    )
}

/// A connector as a drawing needs it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Face {
    /// What people call it.
    pub name: String,
    /// Number of its ways.
    pub ways: u32,
    /// Rows in which they lie; nought counts as one.
    pub rows: u32,
    /// What locks it.
    pub lock: Option<String>,
    /// The wires whose way is known.
    pub filled: Vec<Filled>,
}

/// A wire in a way.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Filled {
    /// The way as its maker calls it: a number, or letters.
    pub way: String,
    /// The wire's name or id.
    pub wire: String,
    /// Its colour in the letters of IEC 60757, as written: `GY/BK`.
    pub colour: Option<String>,
    /// Its colour in words.
    pub colour_words: Option<String>,
    /// Whether the procedure works on it.
    pub worked: bool,
}

/// The face with its ways numbered, or none where there are no ways or too many to draw.
pub fn face(face: &Face, labels: &Labels) -> Option<Sketch> {
    let plan = Plan::read(face)?;
    let words = Words {
        title: phrase!("Face of {connector}, {ways}", connector = face.name, ways = plan.count()),
        description: phrase!(
            "{schematic} Left to right, the top row first. A way without a wire named here is a circle; one with a \
             wire is a box that holds the letters of its colour; one that is worked on has a double edge and a \
             black corner. A face that is wider than the sheet goes on below, at the wavy edges.",
            schematic = schematic()
        ),
        callouts: plan.callouts(),
    };
    sketch(labels, words, |sheet| plan.lay(sheet))
}

/// The connector with its wires by way.
struct Plan<'a> {
    face: &'a Face,
    rows: u32,
    /// By number of way, in order.
    placed: BTreeMap<u32, Vec<&'a Filled>>,
    /// Wires whose way is no number of this connector.
    unplaced: Vec<&'a Filled>,
}

impl<'a> Plan<'a> {
    /// The connector, where it can be drawn.
    fn read(face: &'a Face) -> Option<Plan<'a>> {
        if !(1..=MOST).contains(&face.ways) {
            return None;
        }
        let mut plan =
            Plan { face, rows: face.rows.clamp(1, face.ways), placed: BTreeMap::new(), unplaced: Vec::new() };
        for filled in &face.filled {
            match filled.way.trim().parse::<u32>().ok().filter(|way| (1..=face.ways).contains(way)) {
                Some(way) => plan.placed.entry(way).or_default().push(filled),
                None => plan.unplaced.push(filled),
            }
        }
        Some(plan)
    }

    /// How many ways, in words. In how many rows they lie is the drawing's choice, and so no fact.
    fn count(&self) -> Phrase {
        match self.face.ways {
            1 => phrase!("1 way"),
            ways => phrase!("{ways} ways", ways = ways),
        }
    }

    /// Every fact.
    fn callouts(&self) -> Vec<Phrase> {
        let mut facts: Vec<Phrase> = Vec::new();
        for (way, wires) in &self.placed {
            facts.extend(wires.iter().map(|filled| phrase!("{way} {wire}", way = *way, wire = wire(filled))));
        }
        facts.extend(self.unplaced.iter().map(|filled| {
            phrase!(
                "Way {way}: {wire}; not drawn in a cavity: {why}",
                way = filled.way,
                wire = wire(filled),
                why = self.unknown()
            )
        }));
        let free: Vec<u32> = (1..=self.face.ways).filter(|way| !self.placed.contains_key(way)).collect();
        if !free.is_empty() {
            facts.push(phrase!("No wire named here: {ways}", ways = ranges(&free)));
        }
        facts.push(phrase!("Connector: {ways}", ways = self.count()));
        if let Some(lock) = self.lock() {
            facts.push(phrase!("Lock: {lock}", lock = lock));
        }
        facts.push(schematic());
        facts
    }

    /// What locks it, where that is said.
    fn lock(&self) -> Option<&str> {
        self.face.lock.as_deref().map(str::trim).filter(|lock| !lock.is_empty())
    }

    /// Why a wire is not drawn in a cavity.
    fn unknown(&self) -> Phrase {
        match self.face.ways {
            1 => phrase!("the one way here is numbered 1"),
            ways => phrase!("the ways here are numbered 1 to {ways}", ways = ways),
        }
    }

    /// Puts the face on the sheet, and under it what cannot be shown in a cavity.
    fn lay(&self, sheet: &mut Sheet) -> Option<()> {
        let cavities = Cavities::fitting(sheet, self.face.ways, self.rows, &self.placed)?;
        let foot = cavities.lay(sheet, 16.0);
        let mut base = cavities.key(sheet, foot + 26.0) + 8.0;
        if !self.unplaced.is_empty() {
            base = sheet.paragraph(
                16.0,
                base + LEADING,
                &sheet.tell(&phrase!("Not drawn in a cavity, {why}:", why = self.unknown())),
            );
            for filled in &self.unplaced {
                let words = format!("{} {}", filled.way, sheet.tell(&short(filled)));
                base = sheet.paragraph(32.0, base + LEADING, &words);
            }
        }
        if let Some(lock) = self.lock() {
            base = sheet.paragraph(16.0, base + LEADING, &sheet.tell(&phrase!("Lock: {lock}", lock = lock)));
        }
        sheet.paragraph(16.0, base + LEADING, &sheet.tell(&schematic()));
        Some(())
    }
}

/// A wire with its colour, and whether it is worked on.
fn wire(filled: &Filled) -> Phrase {
    let words = filled.colour_words.iter().filter(|words| Some(*words) != filled.colour.as_ref());
    let colour: Vec<&str> = filled.colour.iter().chain(words).map(String::as_str).collect();
    let parts: Vec<&str> = std::iter::once(filled.wire.as_str()).chain(colour).collect();
    marked(filled, parts.join(", "))
}

/// A wire with the letters of its colour.
fn short(filled: &Filled) -> Phrase {
    match &filled.colour {
        Some(colour) => marked(filled, format!("{}, {colour}", filled.wire)),
        None => marked(filled, filled.wire.clone()),
    }
}

/// What a wire is called, with a remark where it is worked on.
fn marked(filled: &Filled, wire: String) -> Phrase {
    match filled.worked {
        true => phrase!("{wire}; worked on here", wire = wire),
        false => Phrase::verbatim(wire),
    }
}

/// Numbers in ascending order, neighbours drawn together: `1 to 3, 5`.
fn ranges(numbers: &[u32]) -> Phrase {
    let mut runs: Vec<(u32, u32)> = Vec::new();
    for number in numbers {
        match runs.last_mut() {
            Some((_, last)) if *last + 1 == *number => *last = *number,
            _ => runs.push((*number, *number)),
        }
    }
    let words = runs.iter().map(|(first, last)| match last - first {
        0 => Phrase::verbatim(first.to_string()),
        1 => Phrase::verbatim(format!("{first}, {last}")),
        _ => phrase!("{first} to {last}", first = *first, last = *last),
    });
    Phrase::list(words.collect(), ", ")
}
