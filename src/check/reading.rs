//! What the rules read: the worked manual, and the words of every procedure, read once for all of them.

use super::passage::{Passage, Role};
use super::words::Words;
use crate::finding::{self, Finding};
use crate::model::{Act, Check, Item, Kind, Place, Procedure, Step};
use crate::parse::span;
use crate::work::{Leg, Worked, WorkedProcedure};
use rayon::prelude::*;

/// A manual as the rules read it.
#[derive(Debug)]
pub struct Reading<'a> {
    /// The manual.
    pub worked: &'a Worked,
    /// The words of the shop's language.
    pub(crate) words: &'static Words,
    /// Its procedures, sorted by id.
    pub(crate) procedures: Vec<Read<'a>>,
}

/// A procedure as the rules read it.
#[derive(Debug)]
pub(crate) struct Read<'a> {
    /// What was written.
    pub(crate) procedure: &'a Procedure,
    /// What was worked.
    pub(crate) known: &'a WorkedProcedure,
    /// Its texts, in the order in which they stand.
    pub(crate) passages: Vec<Passage<'a>>,
    /// By number of step: the first of its texts, and one past the last.
    ranges: Vec<(usize, usize)>,
}

impl<'a> Reading<'a> {
    /// Reads a manual.
    pub fn of(worked: &'a Worked) -> Reading<'a> {
        let both: Vec<(&Procedure, &WorkedProcedure)> = worked
            .parsed()
            .procedures()
            .iter()
            .filter_map(|(id, procedure)| Some((procedure, worked.procedures().get(id)?)))
            .collect();
        let words = Words::of(&worked.parsed().shop().language);
        let procedures = both
            .into_par_iter()
            .map(|(procedure, known)| {
                let (passages, ranges) = passages(words, procedure);
                Read { procedure, known, passages, ranges }
            })
            .collect();
        Reading { worked, words, procedures }
    }
}

/// The texts of a procedure, and where those of each step stand among them.
fn passages<'a>(words: &Words, procedure: &'a Procedure) -> (Vec<Passage<'a>>, Vec<(usize, usize)>) {
    let (mut all, mut ranges) = (Vec::new(), Vec::new());
    let key = |name: &str| procedure.keys.get(name).copied().unwrap_or(procedure.place);
    all.push(Passage::line(words, Role::Front, None, &procedure.title, key("title")));
    all.push(Passage::line(words, Role::Front, None, &procedure.summary, key("summary")));
    let state = key("start-state");
    all.extend(procedure.start_state.iter().map(|text| Passage::line(words, Role::Front, None, text, state)));
    all.extend(Passage::prose(words, Role::Intro, None, &procedure.intro));
    for stage in &procedure.stages {
        all.push(Passage::line(
            words,
            Role::StageTitle,
            None,
            &stage.title,
            title(stage.place, &stage.title),
        ));
        all.extend(Passage::prose(words, Role::Stage, None, &stage.prose));
        for step in &stage.steps {
            let first = all.len();
            of_step(words, step, &mut all);
            ranges.push((first, all.len()));
        }
    }
    (all, ranges)
}

/// Where a stage's title stands: after the two signs and the space of its heading.
fn title(heading: Place, title: &str) -> Place {
    let start = heading.start.saturating_add(3);
    let end = start.saturating_add(u32::try_from(title.len()).unwrap_or(0)).min(heading.end.max(start));
    Place { file: heading.file, start, end }
}

fn of_step<'a>(words: &Words, step: &'a Step, all: &mut Vec<Passage<'a>>) {
    let at = Some(step);
    all.extend(Passage::prose(words, Role::Title, at, &step.title));
    match &step.check {
        Some(Check::Text(text, place)) => all.push(Passage::line(words, Role::Check, at, text, *place)),
        Some(Check::Measured { measure, place, .. }) => {
            all.push(Passage::line(words, Role::Check, at, measure, *place));
        }
        Some(Check::Counted(_)) | None => {}
    }
    all.extend(
        step.choose.iter().map(|choice| Passage::line(words, Role::Choice, at, &choice.when, choice.place)),
    );
    all.extend(
        step.record.iter().map(|record| Passage::line(words, Role::Record, at, &record.ask, record.place)),
    );
    all.extend(Passage::prose(words, Role::Step, at, &step.prose));
}

impl<'a> Read<'a> {
    /// The legs that are the procedure's own, with what the ledger replays of each.
    pub(crate) fn own_legs(&self) -> impl Iterator<Item = (usize, &'a Leg, &'a Step)> {
        let known = self.known;
        let mut steps = self.procedure.steps();
        // The own legs stand in the order of the steps.
        known.route.legs.iter().enumerate().filter(|(_, leg)| leg.depth == 0).filter_map(move |(at, leg)| {
            let step = steps.find(|step| step.id == leg.step)?;
            Some((at, leg, step))
        })
    }

    /// What its own steps do, each with its step and the item where it is known.
    pub(crate) fn acts(&self) -> impl Iterator<Item = (&'a Step, &'a Act, Option<&'a Item>)> {
        let items = &self.known.items;
        self.own_legs().flat_map(move |(_, leg, step)| {
            leg.stop.acts.iter().map(move |act| (step, act, items.get(&act.item)))
        })
    }

    /// The texts of one step.
    pub(crate) fn of_step(&self, step: &Step) -> impl Iterator<Item = &Passage<'a>> {
        let number = usize::try_from(step.number).unwrap_or(usize::MAX);
        let range = number.checked_sub(1).and_then(|at| self.ranges.get(at)).copied();
        range.and_then(|(from, to)| self.passages.get(from..to)).unwrap_or_default().iter()
    }

    /// Whether any text of it holds one of some stems.
    pub(crate) fn holds(&self, stems: &[&str]) -> bool {
        self.passages.iter().any(|passage| super::words::holds(passage.all_lower(), stems))
    }

    /// A finding at a place of it, in a step where it stands in one.
    pub(crate) fn at(
        &self,
        finding: Finding,
        place: Place,
        note: impl Into<finding::Words>,
        step: Option<&Step>,
    ) -> Finding {
        let finding = finding.at(span(place), note).in_procedure(&self.procedure.id);
        match step {
            Some(step) => finding.in_step(&step.id),
            None => finding,
        }
    }

    /// The kind of cable of a conductor, as the stores name it.
    pub(crate) fn cable_kind<'w>(&self, worked: &'w Worked, item: &Item) -> Option<&'w str> {
        if item.kind() != Kind::Conductor {
            return None;
        }
        worked.parsed().stores().get(crate::model::Store::Cables, item.of()?)?.text("kind")
    }
}
