//! A procedure as its page and its job sheet show it: plate, brief, gates, safety, kit, stages.

mod items;
mod kit;

use crate::model::{Procedure, Skill, Status, Verb};
use crate::page::markup::Markup;
use crate::page::view::Cell;
use crate::page::view::card::{self, Card};
use crate::page::view::figures::Figures;
use crate::page::view::prose::Writer;
use crate::page::view::{Gate, Link, Panel, Sheet, Where, shown, uses};
use crate::page::{Manual, address};
use crate::work::WorkedProcedure;
use serde::Serialize;
use std::collections::BTreeMap;

/// A procedure.
#[derive(Debug, Serialize)]
pub struct Plan {
    id: String,
    title: String,
    summary: String,
    vehicles: Vec<String>,
    revision: Option<Revision>,
    status: String,
    draft: bool,
    withdrawn: bool,
    skill: String,
    minutes: u64,
    people: u32,
    no_return: Option<Where>,
    traps: Vec<String>,
    gates: Vec<Gate>,
    intro: Markup,
    safety: Vec<Grouped>,
    start_state: Vec<String>,
    kit: Vec<KitGroup>,
    lost: Vec<Lost>,
    /// The stages with their cards.
    pub stages: Vec<Stage>,
    conductors: Option<Sheet>,
    items: Option<Sheet>,
    runs: Vec<Where>,
    used_by: Vec<Where>,
    waivers: Vec<Waived>,
}

#[derive(Debug, Serialize)]
struct Revision {
    letter: String,
    effective: String,
    approved_by: String,
    reason: String,
}

/// The safety messages of one signal word.
#[derive(Debug, Serialize)]
struct Grouped {
    word: String,
    signal: String,
    messages: Vec<Met>,
}

/// A safety message with the steps that meet it.
#[derive(Debug, Serialize)]
struct Met {
    panel: Panel,
    steps: Vec<Where>,
}

#[derive(Debug, Serialize)]
struct KitGroup {
    title: String,
    /// Whether it comes back from the vehicle.
    returns: bool,
    lines: Vec<KitLine>,
}

#[derive(Debug, Serialize)]
struct KitLine {
    key: String,
    href: Option<String>,
    text: String,
    quantity: Option<String>,
    note: Option<String>,
    /// The way to the working of its note.
    how: Option<String>,
}

#[derive(Debug, Serialize)]
struct Lost {
    text: String,
    steps: Vec<Where>,
}

/// A stage.
#[derive(Debug, Serialize)]
pub struct Stage {
    /// Its id.
    pub id: String,
    /// Its number.
    pub number: u32,
    /// Its title.
    pub title: String,
    prose: Markup,
    /// Its steps.
    pub steps: Vec<Card>,
}

#[derive(Debug, Serialize)]
struct Waived {
    rule: String,
    reason: String,
    by: String,
}

/// What the view of a procedure is built from.
struct Builder<'a> {
    manual: &'a Manual<'a>,
    here: &'a str,
    procedure: &'a Procedure,
    worked: &'a WorkedProcedure,
}

/// The view of a procedure for the page at `here`.
pub fn plan(manual: &Manual<'_>, here: &str, procedure: &Procedure, worked: &WorkedProcedure) -> Plan {
    let figures = Figures::number_all(manual, procedure);
    let builder = Builder { manual, here, procedure, worked };
    let writer = Writer { manual, procedure: &procedure.id, here, prefix: "", figures: Some(&figures) };
    let theme = manual.theme;
    let revision = procedure.revision.as_ref().map(|approval| Revision {
        letter: approval.letter.clone(),
        effective: approval.effective.clone(),
        approved_by: approval.approved_by.clone(),
        reason: approval.reason.trim_end_matches('.').to_owned(),
    });
    let stages = (1..).zip(&procedure.stages).map(|(number, stage)| Stage {
        id: stage.id.clone(),
        number,
        title: stage.title.clone(),
        prose: writer.blocks(&stage.prose),
        steps: stage
            .steps
            .iter()
            .map(|step| card::card(manual, here, procedure, worked, step, &figures))
            .collect(),
    });
    let stages: Vec<Stage> = stages.collect();
    Plan {
        id: procedure.id.clone(),
        title: procedure.title.clone(),
        summary: procedure.summary.clone(),
        vehicles: vehicles(manual, procedure),
        revision,
        status: theme.say(&format!("status_{}", procedure.status.word())),
        draft: procedure.status == Status::Draft,
        withdrawn: procedure.status == Status::Withdrawn,
        skill: skill(manual, procedure.skill),
        minutes: minutes(manual, worked),
        people: people(manual, procedure, worked),
        no_return: builder.no_return(),
        traps: builder.traps(),
        gates: gates(manual, procedure),
        intro: writer.blocks(&procedure.intro),
        safety: grouped(here, &procedure.id, &stages),
        start_state: procedure.start_state.clone(),
        kit: builder.kit(),
        lost: builder.lost(),
        stages,
        conductors: builder.conductors(),
        items: builder.items(),
        runs: builder.runs(),
        used_by: uses::links(manual, here, manual.uses.runs_of(&procedure.id)),
        waivers: procedure
            .waivers
            .iter()
            .map(|waiver| Waived {
                rule: waiver.rule.clone(),
                reason: waiver.reason.clone(),
                by: waiver.by.clone(),
            })
            .collect(),
    }
}

/// The vehicles that a procedure is for, with their variants.
pub fn vehicles(manual: &Manual<'_>, procedure: &Procedure) -> Vec<String> {
    let name = |id: &str| {
        manual.worked.parsed().vehicles().get(id).map_or_else(|| id.to_owned(), |v| v.name.clone())
    };
    let each = procedure.applies_to.iter().map(|applies| match &applies.variant {
        Some(variant) => format!("{}, {variant}", name(&applies.vehicle)),
        None => name(&applies.vehicle),
    });
    each.collect()
}

/// The word of a skill in the language of the pages.
pub fn skill(manual: &Manual<'_>, skill: Skill) -> String {
    manual.theme.say(&format!("skill_{}", skill.word().replace('-', "_")))
}

/// The minutes of a whole route.
pub fn minutes(manual: &Manual<'_>, worked: &WorkedProcedure) -> u64 {
    let step = |leg: &crate::work::Leg| manual.procedure(&leg.procedure)?.step(&leg.step)?.minutes;
    let sum: f64 = worked.route.legs.iter().filter_map(step).sum();
    // A sum of minutes of steps is a small number; what is none becomes nought.
    sum.ceil() as u64
}

fn people(manual: &Manual<'_>, procedure: &Procedure, worked: &WorkedProcedure) -> u32 {
    let step = |leg: &crate::work::Leg| manual.procedure(&leg.procedure)?.step(&leg.step)?.people;
    worked.route.legs.iter().filter_map(step).max().unwrap_or(1).max(procedure.people)
}

/// The stop notices of a procedure: withdrawn, draft, licensed people only.
pub fn gates(manual: &Manual<'_>, procedure: &Procedure) -> Vec<Gate> {
    let say = |key: &str| manual.theme.say(key);
    let gate = |title: &str, lines: Vec<String>| Gate { title: say(title), lines, href: None, text: None };
    let mut gates = Vec::new();
    match procedure.status {
        Status::Withdrawn => gates.push(gate("gate_withdrawn", vec![say("gate_withdrawn_say")])),
        Status::Draft => gates.push(gate("gate_draft", vec![say("gate_draft_say")])),
        Status::Released => {}
    }
    if procedure.skill.is_gated() {
        let key = format!("gate_skill_{}", procedure.skill.word().replace('-', "_"));
        gates.push(gate("gate_skill", vec![say(&key), say("gate_skill_none")]));
    }
    gates
}

/// Each message of the cards once, gravest first, with the steps that meet it.
fn grouped(here: &str, procedure: &str, stages: &[Stage]) -> Vec<Grouped> {
    let mut all: BTreeMap<Panel, Vec<Where>> = BTreeMap::new();
    for card in stages.iter().flat_map(|stage| &stage.steps) {
        for panel in &card.panels {
            all.entry(panel.clone()).or_default().push(Where {
                href: address::link(here, &address::step(procedure, &card.id)),
                number: card.number.to_string(),
                text: card.heading.clone(),
                note: None,
            });
        }
    }
    let mut groups: Vec<Grouped> = Vec::new();
    for (panel, steps) in all {
        let (word, signal) = (panel.word.clone(), panel.signal.clone());
        let met = Met { panel, steps };
        match groups.last_mut().filter(|group| group.word == word) {
            Some(group) => group.messages.push(met),
            None => groups.push(Grouped { word, signal, messages: vec![met] }),
        }
    }
    groups
}

impl Builder<'_> {
    fn step_link(&self, top: &str) -> Option<Where> {
        let step = self.procedure.step(top)?;
        Some(Where {
            href: address::link(self.here, &address::step(&self.procedure.id, top)),
            number: step.number.to_string(),
            text: step.heading.clone(),
            note: None,
        })
    }

    /// The first step that cannot be taken back: a conductor is cut.
    fn no_return(&self) -> Option<Where> {
        let cut = self.worked.replay.moves.iter().find(|moved| moved.verb == Some(Verb::Cut))?;
        self.step_link(&self.worked.route.legs.get(cut.leg)?.top)
    }

    fn traps(&self) -> Vec<String> {
        let theme = self.manual.theme;
        let names = |wanted: &dyn Fn(&crate::ledger::Moved) -> bool| {
            let mut names: Vec<&str> = Vec::new();
            for moved in self.worked.replay.moves.iter().filter(|moved| wanted(moved)) {
                let Some(item) = self.worked.items.get(&moved.item) else { continue };
                if !names.contains(&item.name.as_str()) {
                    names.push(&item.name);
                }
            }
            names.join(", ")
        };
        let lost = names(&|moved| moved.verb.is_none());
        let single = names(&|moved| {
            let item = self.worked.items.get(&moved.item);
            moved.verb == Some(Verb::Renew) && item.is_some_and(|item| item.kind().is_fastening())
        });
        let traps = [("trap_lost", lost), ("trap_single", single)];
        let said = traps.into_iter().filter(|(_, names)| !names.is_empty());
        said.map(|(key, names)| theme.say_what(key, &names)).collect()
    }

    fn lost(&self) -> Vec<Lost> {
        let mut lost: Vec<Lost> = Vec::new();
        for moved in self.worked.replay.moves.iter().filter(|moved| moved.verb.is_none()) {
            let Some(item) = self.worked.items.get(&moved.item) else { continue };
            if lost.iter().any(|known| known.text == item.name) {
                continue;
            }
            let taught = self
                .worked
                .replay
                .moves
                .iter()
                .filter(|again| again.item == moved.item && again.verb == Some(Verb::ReTeach));
            let tops: Vec<&str> = taught
                .filter_map(|again| self.worked.route.legs.get(again.leg))
                .map(|leg| leg.top.as_str())
                .collect();
            let steps = tops.into_iter().filter_map(|top| self.step_link(top)).collect();
            lost.push(Lost { text: item.name.clone(), steps });
        }
        lost
    }

    fn runs(&self) -> Vec<Where> {
        let carried = self.procedure.steps().filter_map(|step| step.carry_out.as_ref());
        let mut runs: Vec<Where> = Vec::new();
        for carry in carried {
            let Some(run) = self.manual.procedure(&carry.procedure) else { continue };
            let stage = carry.stage.as_deref().and_then(|id| run.stage(id));
            let to =
                stage.map_or_else(|| address::procedure(&run.id), |stage| address::stage(&run.id, &stage.id));
            let link = Where {
                href: address::link(self.here, &to),
                number: run.revision.as_ref().map(|approval| approval.letter.clone()).unwrap_or_default(),
                text: run.title.clone(),
                note: stage.map(|stage| stage.title.clone()),
            };
            if !runs.iter().any(|known| known.href == link.href) {
                runs.push(link);
            }
        }
        runs
    }
}

/// A torque in a table: figure, box or word, with who says so.
pub fn torque_cell(manual: &Manual<'_>, reading: crate::page::view::Reading, how: String) -> Cell {
    let text = if reading.write_in {
        format!("____ {}", reading.unit.unwrap_or_default())
    } else {
        match reading.unit {
            Some(unit) => format!("{}\u{a0}{unit}", reading.number),
            None => reading.number,
        }
    };
    let source = reading.source.map(|source| {
        let key = if reading.unverified { "unverified" } else { "source_is" };
        manual.theme.say_what(key, &source)
    });
    Cell { second: reading.second, how: Some(how), note: source.or(reading.note), ..Cell::text(text) }
}

/// A quantity to buy: rounded up to three digits, so that it never runs short.
fn rounded_up(manual: &Manual<'_>, quantity: &crate::quantity::Quantity) -> String {
    let mut shown = shown::Shown::quantity(manual, quantity);
    if quantity.written.is_empty() {
        shown.number = shown::up(quantity.value);
    }
    shown.text()
}

/// A link to a procedure with its title.
pub fn link(manual: &Manual<'_>, here: &str, id: &str) -> Link {
    let title = manual.procedure(id).map_or_else(|| id.to_owned(), |procedure| procedure.title.clone());
    Link::new(here, &address::procedure(id), title)
}
