//! A job in plain words: things on a vehicle, and the deeds done to them, step by step. Neither the checker
//! of this test nor its generator knows more than this.

use std::collections::BTreeMap;

/// A thing that work disturbs.
#[derive(Clone, Debug)]
pub struct Thing {
    pub id: String,
    /// `panel`, `connector`…
    pub kind: &'static str,
    pub count: usize,
    /// The panel that it holds.
    pub holds: Option<String>,
    /// What it hides while it is on.
    pub hides: Vec<String>,
    /// The settings that its isolation loses.
    pub loses: Vec<String>,
    /// Whether a conductor is joined by a barrel.
    pub barrel: bool,
    /// Whether a conductor has a shield.
    pub shield: bool,
}

impl Thing {
    pub fn new(kind: &'static str, id: &str) -> Thing {
        Thing {
            id: id.to_owned(),
            kind,
            count: 1,
            holds: None,
            hides: Vec::new(),
            loses: Vec::new(),
            barrel: false,
            shield: false,
        }
    }

    /// Whether it is driven, clipped or tied.
    pub fn fastens(&self) -> bool {
        matches!(self.kind, "fastener" | "clip" | "tie" | "grommet")
    }
}

/// A verb and what it is done to; all of it where no count is given.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Deed {
    pub verb: &'static str,
    pub item: String,
    pub count: Option<usize>,
}

/// Things, and steps with their deeds.
#[derive(Clone, Debug)]
pub struct Job {
    pub things: BTreeMap<String, Thing>,
    pub steps: Vec<Vec<Deed>>,
    /// The energies that every step of this job needs off, where it names them.
    pub needs_off: Option<Vec<String>>,
}

impl Job {
    /// Where each deed stands: its step, and its place in that.
    pub fn spots(&self) -> Vec<(usize, usize)> {
        let inside = |(step, deeds): (usize, &Vec<Deed>)| (0..deeds.len()).map(move |deed| (step, deed));
        self.steps.iter().enumerate().flat_map(inside).collect()
    }

    /// The panels that hide a thing.
    pub fn hiding<'a>(&'a self, id: &'a str) -> impl Iterator<Item = &'a Thing> {
        self.things.values().filter(move |thing| thing.hides.iter().any(|hidden| hidden == id))
    }

    /// What holds a panel.
    pub fn holding<'a>(&'a self, panel: &'a str) -> impl Iterator<Item = &'a Thing> {
        self.things.values().filter(move |thing| thing.holds.as_deref() == Some(panel))
    }
}
