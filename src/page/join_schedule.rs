//! The join schedule: every conductor that a repair joins in one table, with the drawings.

use crate::finding::Finding;
use crate::model::{Check, Procedure, Verb};
use crate::page::view::shown::{self, Shown};
use crate::page::view::{Cell, Drawing, Frame, Reading, Sheet, figures, procedure_frame};
use crate::page::{File, Manual, PageKind, address};
use crate::work::{Joint, WorkedProcedure, WorkedValue};
use serde::Serialize;

/// The join schedule.
#[derive(Debug)]
pub(super) struct JoinSchedule;

#[derive(Serialize)]
struct View {
    page: Frame,
    title: String,
    lead: String,
    table: Option<Sheet>,
    facts: Vec<Reading>,
    drawings: Vec<Drawing>,
}

/// Workings that are drawn here; the others are drawn beside their formulas.
const DRAWN: [&str; 3] = ["stagger", "coax-strip", "bundle"];

impl PageKind for JoinSchedule {
    fn name(&self) -> &'static str {
        "join-schedule"
    }

    fn subjects(&self, manual: &Manual<'_>) -> Vec<String> {
        manual.worked.procedures.keys().cloned().collect()
    }

    fn draw(&self, manual: &Manual<'_>, subject: &str) -> Result<Vec<File>, Box<Finding>> {
        let (Some(procedure), Some(worked)) =
            (manual.procedure(subject), manual.worked.procedures.get(subject))
        else {
            return Ok(Vec::new());
        };
        let here = address::join_schedule(subject);
        let title = format!("{}: {}", manual.theme.say("join_schedule"), procedure.title);
        let drawn = worked.values.iter().filter(|value| DRAWN.contains(&value.working.as_str()));
        let drawings = (1..).zip(drawn).filter_map(|(number, value)| {
            let drawing = figures::draw(manual, subject, value, &format!("drawing--{number}"))?;
            Some(Drawing { id: Some(format!("figure--{number}")), ..drawing })
        });
        let view = View {
            page: procedure_frame(manual, self.name(), &here, subject, title.clone()),
            title,
            lead: manual.theme.say("join_lead"),
            table: table(manual, &here, procedure, worked),
            facts: facts(manual, &here, subject, worked),
            drawings: drawings.collect(),
        };
        let html = manual.theme.render("join-schedule.html", &view)?;
        Ok(vec![(here, html.into_bytes())])
    }
}

/// The columns: a label and whether it holds figures.
const HEADS: [(&str, bool); 14] = [
    ("col_wire", false),
    ("col_kind", false),
    ("col_join", false),
    ("col_length", true),
    ("col_strip", true),
    ("col_sleeve", false),
    ("col_cut", true),
    ("col_offset", true),
    ("col_trim_near", true),
    ("col_trim_far", true),
    ("col_piece", true),
    ("col_finished", true),
    ("col_park", false),
    ("col_test", false),
];

fn table(manual: &Manual<'_>, here: &str, procedure: &Procedure, worked: &WorkedProcedure) -> Option<Sheet> {
    let say = |key: &str| manual.theme.say(key);
    let heads = HEADS.map(|(key, figures)| (say(key), figures)).to_vec();
    let mut sheet = Sheet::new(say("join_schedule"), heads);
    for joint in &worked.schedule.joints {
        let line = Row { manual, here, procedure, worked, joint };
        sheet.push(Some(joint.conductor.clone()), line.cells());
    }
    (!sheet.rows.is_empty()).then(|| sheet.without_empty_columns())
}

struct Row<'a> {
    manual: &'a Manual<'a>,
    here: &'a str,
    procedure: &'a Procedure,
    worked: &'a WorkedProcedure,
    joint: &'a Joint,
}

impl Row<'_> {
    fn cells(&self) -> Vec<Cell> {
        let id = &self.joint.conductor;
        let item = self.worked.items.get(id);
        let colour = item.and_then(|item| item.colour.as_deref()).map(|c| shown::colour(self.manual, c));
        let carries = item.map(|item| item.carries.clone().unwrap_or_else(|| item.name.clone()));
        let identity: Vec<String> = colour.into_iter().chain(carries).collect();
        let own = self.worked.replay.touches(id).then(|| address::item(&self.procedure.id, id));
        let cable = item.and_then(|item| item.of.as_deref());
        let line = cable.and_then(|of| self.manual.worked.parsed.stores.get(crate::model::Store::Cables, of));
        let kind = line.map_or_else(Cell::default, |line| {
            let href = address::line(line.store, &line.id).map(|to| address::link(self.here, &to));
            Cell { href, ..Cell::text(line.name.clone()) }
        });
        let sleeves = ["sleeve", "inner-sleeve", "outer-sleeve"];
        vec![
            Cell {
                href: own.map(|to| address::link(self.here, &to)),
                note: (!identity.is_empty()).then(|| identity.join("; ")),
                ..Cell::text(id.clone())
            },
            kind,
            self.method(),
            self.value(&["joint"], "length"),
            self.strip(),
            self.value(&sleeves, "sleeve"),
            self.value(&sleeves, "cut-length"),
            self.value(&["offset"], "offset"),
            self.value(&["offset"], "trim-near"),
            self.value(&["offset"], "trim-far"),
            self.value(&["insert"], "piece"),
            self.value(&["sleeve", "outer-sleeve"], "finished-diameter"),
            self.value(&["offset"], "park"),
            self.test(),
        ]
    }

    /// What is done, by which method; for a conductor without values, why there are none.
    fn method(&self) -> Cell {
        let say = |key: &str| self.manual.theme.say(key);
        let mut words = vec![say(&format!("action_{}", self.joint.action.word()))];
        if let Some((by, _)) = self.joint.join.by.as_ref().filter(|_| !self.joint.values.is_empty()) {
            words.push(shown::word(self.manual, by));
        }
        if self.joint.kind == "coax"
            && let Some((shield, _)) = self.joint.join.shield_joint
        {
            words.push(shown::word(self.manual, shield.word()));
        }
        Cell { note: self.joint.gap.clone(), ..Cell::text(words.join(", ")) }
    }

    fn find(&self, name: &str) -> Option<&WorkedValue> {
        self.worked.value(&format!("{}/{name}", self.joint.conductor))
    }

    /// A wire strips to one length, a coax in three steps.
    fn strip(&self) -> Cell {
        let Some(value) = self.find("coax-strip") else { return self.value(&["joint"], "strip") };
        let steps = ["jacket-strip", "shield-cut-back", "core-strip"];
        let mut shown: Vec<Shown> = steps.iter().filter_map(|name| self.shown(value, name)).collect();
        // Three lengths of one unit: the last one carries it.
        let last = shown.len().saturating_sub(1);
        shown.iter_mut().take(last).for_each(|one| one.unit = None);
        self.linked(value, &shown, " / ")
    }

    fn value(&self, names: &[&str], output: &str) -> Cell {
        let values: Vec<&WorkedValue> = names.iter().filter_map(|name| self.find(name)).collect();
        let Some(first) = values.first() else { return Cell::default() };
        let shown: Vec<Shown> = values.iter().filter_map(|value| self.shown(value, output)).collect();
        if shown.is_empty() {
            let refusals = values.iter().filter_map(|value| value.result.as_ref().err()).flatten();
            let reason = refusals.map(|refusal| refusal.message.clone()).next();
            return reason.map_or_else(Cell::default, Cell::gap);
        }
        self.linked(first, &shown, " + ")
    }

    fn shown(&self, value: &WorkedValue, output: &str) -> Option<Shown> {
        let outcome = &value.result.as_ref().ok()?.outcome;
        let (rounding, _) = shown::output(&value.working, output);
        Some(Shown::value(self.manual, outcome.get(output)?, rounding))
    }

    fn linked(&self, value: &WorkedValue, shown: &[Shown], between: &str) -> Cell {
        let seconds: Vec<String> = shown.iter().filter_map(|one| one.second.clone()).collect();
        let to = address::value(&self.procedure.id, &value.id);
        Cell {
            second: (!seconds.is_empty()).then(|| seconds.join(between)),
            how: Some(address::link(self.here, &to)),
            ..Cell::text(shown.iter().map(Shown::text).collect::<Vec<_>>().join(between))
        }
    }

    /// The step that tests it, with what it accepts.
    fn test(&self) -> Cell {
        let tests = self.procedure.steps().find(|step| {
            step.does.iter().any(|act| act.verb == Verb::Test && act.item == self.joint.conductor)
        });
        let Some(step) = tests else { return Cell::default() };
        let to = address::link(self.here, &address::step(&self.procedure.id, &step.id));
        let text = match &step.check {
            Some(Check::Measured { measure, accept, .. }) => {
                let range = crate::model::Figure::Range(accept.clone());
                format!("{measure}: {}", shown::figure(self.manual, &range).text())
            }
            _ => step.heading.clone(),
        };
        Cell::link(to, text)
    }
}

/// What a stagger says of the whole zone.
fn facts(manual: &Manual<'_>, here: &str, subject: &str, worked: &WorkedProcedure) -> Vec<Reading> {
    let staggers = worked.values.iter().filter(|value| value.working == "stagger");
    let facts = staggers.flat_map(|value| {
        let outcome = value.result.as_ref().ok().map(|work| &work.outcome);
        let how = address::link(here, &address::value(subject, &value.id));
        ["zone", "overlap-needed", "bulge-staggered", "bulge-level"].into_iter().filter_map(move |name| {
            let (rounding, meaning) = shown::output(&value.working, name);
            let reading = Shown::value(manual, outcome?.get(name)?, rounding).reading(meaning);
            Some(Reading { how: Some(how.clone()), ..reading })
        })
    });
    facts.collect()
}
