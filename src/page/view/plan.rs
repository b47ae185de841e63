//! A procedure as its page and its job sheet show it: plate, brief, gates, safety, kit, stages.

use crate::model::{Kind, Procedure, Skill, Status, Store, Verb};
use crate::page::prose::Writer;
use crate::page::view::Cell;
use crate::page::view::card::{self, Card};
use crate::page::view::figures::Figures;
use crate::page::view::{Gate, Link, Panel, Sheet, Where, shown, uses};
use crate::page::{Manual, address};
use crate::work::WorkedProcedure;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

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
    intro: String,
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
    prose: String,
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
    let name = |id: &str| manual.parsed().vehicles.get(id).map_or_else(|| id.to_owned(), |v| v.name.clone());
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
    // A sum of minutes of steps is a small number that is not negative.
    format!("{:.0}", sum.max(0.0).ceil()).parse().unwrap_or(0)
}

fn people(manual: &Manual<'_>, procedure: &Procedure, worked: &WorkedProcedure) -> u32 {
    let step = |leg: &crate::work::Leg| manual.procedure(&leg.procedure)?.step(&leg.step)?.people;
    worked.route.legs.iter().filter_map(step).max().unwrap_or(1).max(procedure.people)
}

/// The stop notices of a procedure: withdrawn, draft, licensed people only.
fn gates(manual: &Manual<'_>, procedure: &Procedure) -> Vec<Gate> {
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
            moved.verb == Some(Verb::Renew) && item.is_some_and(|item| item.kind.is_fastening())
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

    fn kit(&self) -> Vec<KitGroup> {
        const GROUPS: [(Store, &str, bool); 7] = [
            (Store::Tools, "kit_tools", true),
            (Store::Protection, "kit_protection", true),
            (Store::Consumables, "kit_consumables", false),
            (Store::Sleeves, "kit_sleeves", false),
            (Store::Fasteners, "kit_fasteners", false),
            (Store::Cables, "kit_cables", false),
            (Store::Parts, "kit_parts", false),
        ];
        let groups = GROUPS.into_iter().map(|(store, key, returns)| KitGroup {
            title: self.manual.theme.say(key),
            returns,
            lines: self.worked.kit.of(store).flat_map(|line| self.kit_lines(line)).collect(),
        });
        // That no tool, consumable or part is needed is said; of the rest, nothing is nothing.
        let said = |title: &str| {
            ["kit_tools", "kit_consumables", "kit_parts"]
                .iter()
                .any(|key| title == self.manual.theme.say(key))
        };
        groups.filter(|group| !group.lines.is_empty() || said(&group.title)).collect()
    }

    fn kit_lines(&self, kit: &crate::work::KitLine) -> Vec<KitLine> {
        let line = self.manual.parsed().stores.get(kit.store, &kit.id);
        let text = line.map_or_else(|| kit.id.clone(), |line| line.name.clone());
        let href = address::line(kit.store, &kit.id).map(|to| address::link(self.here, &to));
        let keys = ["drive", "range", "size", "number", "pack"];
        let mut notes = line.map(|line| shown::sizes(self.manual, line, &keys)).unwrap_or_default();
        if let Some(price) = line.and_then(|line| line.number("price")) {
            notes.push(format!("{}\u{a0}{}", shown::tidy(price), self.manual.parsed().shop.currency));
        }
        let note = (!notes.is_empty()).then(|| notes.join(", "));
        let quantities: Vec<String> =
            kit.quantities.iter().map(|quantity| rounded_up(self.manual, quantity)).collect();
        let whole = KitLine {
            key: format!("{}-{}", kit.store.file(), kit.id),
            href: href.clone(),
            text: text.clone(),
            quantity: (!quantities.is_empty()).then(|| quantities.join(" + ")),
            note,
        };
        let cuts = kit.cuts.iter().map(|(size, length, count)| KitLine {
            key: format!("{}-{}-{size}-{length:.0}", kit.store.file(), kit.id),
            href: href.clone(),
            text: format!("{text}, {size}"),
            quantity: Some(format!(
                "{count} × {}\u{a0}mm",
                crate::quantity::print::number(*length, crate::quantity::print::Rounding::LengthUp)
            )),
            note: None,
        });
        if kit.cuts.is_empty() { vec![whole] } else { cuts.collect() }
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

    /// Conductors that the work disturbs, the colour as written and in words.
    fn conductors(&self) -> Option<Sheet> {
        let say = |key: &str| self.manual.theme.say(key);
        let heads =
            ["col_wire", "col_colour", "col_carries", "col_kind", "conductor_end", "col_join", "col_steps"];
        let mut sheet = Sheet::new(say("conductors_title"), heads.map(|key| (say(key), false)).to_vec());
        for item in self.worked.touched(Kind::Conductor) {
            let cable = item.of.as_deref().and_then(|of| self.manual.parsed().stores.get(Store::Cables, of));
            let kind = cable.map_or_else(Cell::default, |line| {
                let href = address::line(Store::Cables, &line.id).map(|to| address::link(self.here, &to));
                Cell { href, ..Cell::text(line.name.clone()) }
            });
            let joint = self.worked.schedule.joints.iter().find(|joint| joint.conductor == item.id);
            let join = joint.map_or_else(Cell::default, |joint| {
                let to = format!("{}#{}", address::join_schedule(&self.procedure.id), item.id);
                let word = self.manual.theme.say(&format!("action_{}", joint.action.word()));
                Cell::link(address::link(self.here, &to), word)
            });
            let ends: Vec<&str> = item.ends.iter().flatten().map(String::as_str).collect();
            sheet.push(
                Some(format!("item--{}", item.id)),
                vec![
                    Cell::text(item.id.clone()),
                    Cell::text(
                        item.colour.as_deref().map(|c| shown::colour(self.manual, c)).unwrap_or_default(),
                    ),
                    Cell::text(item.carries.clone().unwrap_or_else(|| item.name.clone())),
                    kind,
                    Cell::text(ends.join(" – ")),
                    join,
                    self.steps_of(&item.id),
                ],
            );
        }
        (!sheet.rows.is_empty()).then(|| sheet.without_empty_columns())
    }

    /// Everything else that the work disturbs.
    fn items(&self) -> Option<Sheet> {
        let say = |key: &str| self.manual.theme.say(key);
        let heads = [
            ("col_item", false),
            ("col_count", true),
            ("col_kind", false),
            ("col_torque", true),
            ("col_steps", false),
        ];
        let mut sheet =
            Sheet::new(say("items_title"), heads.map(|(key, figures)| (say(key), figures)).to_vec());
        for kind in Kind::ALL.into_iter().filter(|kind| *kind != Kind::Conductor) {
            for item in self.worked.touched(kind) {
                let of =
                    item.of.as_deref().and_then(|of| self.manual.parsed().stores.get(Store::Fasteners, of));
                let word = say(&format!("kind_{}", kind.noun()));
                let made = of.map_or_else(
                    || Cell::text(word.clone()),
                    |line| {
                        let href =
                            address::line(line.store, &line.id).map(|to| address::link(self.here, &to));
                        Cell { href, ..Cell::text(line.name.clone()) }
                    },
                );
                let torque = shown::torque(self.manual, item).filter(|_| kind.is_fastening());
                let torque = torque.map_or_else(Cell::default, |reading| {
                    let how =
                        format!("{}#{}", address::TORQUE, item.id);
                    torque_cell(self.manual, reading, address::link(self.here, &how))
                });
                let count = if kind.is_fastening() { item.count.to_string() } else { String::new() };
                sheet.push(
                    Some(format!("item--{}", item.id)),
                    vec![
                        Cell::text(item.name.clone()),
                        Cell::text(count),
                        made,
                        torque,
                        self.steps_of(&item.id),
                    ],
                );
            }
        }
        (!sheet.rows.is_empty()).then(|| sheet.without_empty_columns())
    }

    /// The steps of this procedure, in its own numbers, that move an item, those that it carries out too.
    fn steps_of(&self, item: &str) -> Cell {
        let moved = self.worked.replay.moves.iter().filter(|moved| moved.item == item);
        let tops: BTreeSet<u32> = moved
            .filter_map(|moved| self.procedure.step(&self.worked.route.legs.get(moved.leg)?.top))
            .map(|step| step.number)
            .collect();
        let links = self
            .procedure
            .steps()
            .filter(|step| tops.contains(&step.number))
            .map(|step| format!("<a href=\"#{}\">{}</a>", step.id, step.number));
        let links: Vec<String> = links.collect();
        Cell { html: (!links.is_empty()).then(|| links.join(", ")), ..Cell::default() }
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
