//! The join schedule: every conductor that a repair joins in one table, with the drawings.

use crate::finding::Finding;
use crate::model::{Check, Procedure, Store, Verb};
use crate::page::view::shown::{self, Shown};
use crate::page::view::{Cell, Drawing, Frame, Reading, Sheet, figures, procedure_frame, working};
use crate::page::{File, Manual, PageKind, address};
use crate::quantity::print::Rounding;
use crate::work::{Joint, Part, Repair, Role, Scope, WorkedProcedure, WorkedValue};
use crate::workings::{Value, find};
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
    cutting: Option<Sheet>,
    facts: Vec<Reading>,
    drawings: Vec<Drawing>,
}

/// Workings that are drawn here, in this order; the others are drawn beside their formulas.
const DRAWN: [&str; 5] = ["stagger", "coax-strip", "join-or-replace", "insert", "bundle"];

impl PageKind for JoinSchedule {
    fn name(&self) -> &'static str {
        "join-schedule"
    }

    fn subjects(&self, manual: &Manual<'_>) -> Vec<String> {
        manual.worked.procedures().keys().cloned().collect()
    }

    fn draw(&self, manual: &Manual<'_>, subject: &str) -> Result<Vec<File>, Box<Finding>> {
        let (Some(procedure), Some(worked)) =
            (manual.procedure(subject), manual.worked.procedures().get(subject))
        else {
            return Ok(Vec::new());
        };
        let here = address::join_schedule(subject);
        let title = format!("{}: {}", manual.theme.say("join_schedule"), procedure.title);
        let drawn =
            DRAWN.iter().flat_map(|name| worked.values.iter().filter(move |value| value.working == *name));
        // The place of one conductor is drawn with the whole.
        let drawn = drawn.filter(|value| value.part.as_ref().and_then(Part::role) != Some(Role::Offset));
        let drawings = (1..).zip(drawn).filter_map(|(number, value)| {
            let drawing = figures::draw(manual, subject, value, &format!("drawing--{number}"))?;
            // Several drawings of one kind stand here: each says whose it is.
            let declaration = find(&value.working)?.declaration();
            let whose = working::title(manual, subject, value, declaration);
            let caption = format!("{whose}. {}", drawing.caption);
            Some(Drawing { id: Some(format!("figure--{number}")), caption, ..drawing })
        });
        let view = View {
            page: procedure_frame(manual, self.name(), &here, subject, title.clone()),
            title,
            lead: manual.theme.say("join_lead"),
            table: table(manual, &here, procedure, worked),
            cutting: cutting(manual, &here, worked),
            facts: facts(manual, &here, subject, worked),
            drawings: drawings.chain(figures::faces(manual, subject)).collect(),
        };
        let html = manual.theme.render("join-schedule.html", &view)?;
        Ok(vec![(here, html.into_bytes())])
    }
}

/// The columns: what is to be known of a conductor, in the order of work.
const HEADS: [&str; 6] = ["col_wire", "col_join", "col_strip", "col_sleeve", "col_zone", "col_test"];

fn table(manual: &Manual<'_>, here: &str, procedure: &Procedure, worked: &WorkedProcedure) -> Option<Sheet> {
    let say = |key: &str| manual.theme.say(key);
    let heads = HEADS.map(|key| (say(key), false)).to_vec();
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
    joint: &'a Repair,
}

impl Row<'_> {
    fn cells(&self) -> Vec<Cell> {
        vec![self.wire(), self.method(), self.strip(), self.sleeves(), self.zone(), self.test()]
    }

    fn say(&self, key: &str) -> String {
        self.manual.theme.say(key)
    }

    /// Its name, colour, load and cable.
    fn wire(&self) -> Cell {
        let id = &self.joint.conductor;
        let item = self.worked.items.get(id);
        let colour = item.and_then(|item| item.colour()).map(|c| shown::colour(self.manual, c));
        let carries = item.map(|item| item.carries().to_owned());
        let identity: Vec<String> = colour.into_iter().chain(carries).collect();
        let own = self.worked.replay.touches(id).then(|| address::item(&self.procedure.id, id));
        let cable = item.and_then(|item| item.of());
        let line = cable.and_then(|of| self.manual.worked.parsed().stores().get(Store::Cables, of));
        let kind = line.map(|line| {
            let how = address::line(line.store, &line.id).map(|to| address::link(self.here, &to));
            Reading { number: line.name.clone(), href: how, ..Reading::default() }
        });
        Cell {
            href: own.map(|to| address::link(self.here, &to)),
            note: (!identity.is_empty()).then(|| identity.join("; ")),
            lines: kind.into_iter().collect(),
            ..Cell::text(id.clone())
        }
    }

    /// What is done, by which method, and what the figures advise.
    fn method(&self) -> Cell {
        let mut words = vec![self.say(&format!("action_{}", self.joint.action.word()))];
        if let Some((by, _)) = self.joint.join.by.filter(|_| self.find(Role::Joint).is_some()) {
            words.push(shown::word(self.manual, by.word()));
        }
        if self.joint.kind == "coax"
            && let Some((shield, _)) = self.joint.join.shield_joint
        {
            words.push(shown::word(self.manual, shield.word()));
        }
        Cell {
            note: self.joint.gap.clone(),
            lines: self.advice().into_iter().collect(),
            ..Cell::text(words.join(", "))
        }
    }

    /// What the figures advise, and why where that is not the same for every wire.
    fn advice(&self) -> Option<Reading> {
        let value = self.find(Role::Verdict)?;
        let label = self.say("advice");
        let how = Some(self.how(value));
        let Ok(work) = &value.result else {
            let reason = self.manual.theme.tell(&value.result.as_ref().err()?.first()?.message);
            return Some(Reading {
                label,
                number: self.say("advice_none"),
                note: Some(reason),
                how,
                ..Reading::default()
            });
        };
        let text = |name: &str| match work.outcome.get(name) {
            Some(Value::Text(text)) => Some(text.clone()),
            _ => None,
        };
        let verdict = text("verdict")?;
        let plain = verdict == "join" && matches!(self.joint.kind.as_str(), "single");
        let number = self.say(&format!("verdict_{verdict}"));
        Some(Reading { label, number, note: text("reason").filter(|_| !plain), how, ..Reading::default() })
    }

    fn find(&self, role: Role) -> Option<&WorkedValue> {
        self.worked.part(&self.joint.conductor, role)
    }

    fn how(&self, value: &WorkedValue) -> String {
        address::link(self.here, &address::value(&self.procedure.id, &value.id))
    }

    /// A wire strips to one length, a coax in three steps.
    fn strip(&self) -> Cell {
        let strip: &[(Role, &str, &str)] = match &self.joint.joint {
            Some(Joint::Coax(_)) => &[
                (Role::Strip, "jacket-strip", "strip_jacket"),
                (Role::Strip, "shield-cut-back", "strip_shield"),
                (Role::Strip, "core-strip", "strip_core"),
            ],
            _ => &[(Role::Joint, "strip", "strip_wire")],
        };
        let length = (Role::Joint, "length", "col_length");
        let piece = (Role::Piece, "piece", "col_piece");
        let all = [length].into_iter().chain(strip.iter().copied()).chain([piece]);
        self.stack(all.map(|(role, output, key)| self.reading(role, output, self.say(key))))
    }

    /// Each sleeve with its cut length, from the inside out, and how thick the joint is at last.
    fn sleeves(&self) -> Cell {
        let sleeves = self.joint.joint.as_ref().map(Joint::sleeves).unwrap_or_default();
        let cuts = sleeves.iter().filter_map(|role| {
            let size =
                self.find(*role).and_then(|value| value.result.as_ref().ok()?.outcome.get("sleeve").cloned());
            let size = size.map_or_else(String::new, |size| size.shown(Rounding::Exact));
            self.reading(
                *role,
                "cut-length",
                self.manual.theme.say_what(&format!("cut_{}", role.word().replace('-', "_")), &size),
            )
        });
        let finished = self.joint.outermost().into_iter();
        let finished =
            finished.filter_map(|role| self.reading(role, "finished-diameter", self.say("col_finished")));
        self.stack(cuts.chain(finished).map(Some))
    }

    /// Where the joint stands in the zone, and how far each side is trimmed.
    fn zone(&self) -> Cell {
        let all = [
            ("offsets", "col_offset"),
            ("trim-near", "col_trim_near"),
            ("trim-far", "col_trim_far"),
            ("park", "col_park"),
        ];
        self.stack(all.iter().map(|(output, key)| self.reading(Role::Offset, output, self.say(key))))
    }

    /// One output of one of its values; where that was refused, the reason.
    fn reading(&self, role: Role, output: &str, label: String) -> Option<Reading> {
        let value = self.find(role)?;
        let how = Some(self.how(value));
        match &value.result {
            Ok(work) => {
                let (rounding, _) = shown::output(&value.working, output);
                let shown = Shown::value(self.manual, work.outcome.get(output)?, rounding);
                Some(Reading { how, ..shown.reading(label) })
            }
            Err(refusals) => {
                let note = refusals.first().map(|refusal| self.manual.theme.tell(&refusal.message));
                Some(Reading { label, number: self.say("no_figure"), note, how, ..Reading::default() })
            }
        }
    }

    /// Readings one below the other; a reason that several share is given once.
    fn stack(&self, readings: impl Iterator<Item = Option<Reading>>) -> Cell {
        let mut lines: Vec<Reading> = readings.flatten().collect();
        let mut said: Vec<String> = Vec::new();
        for line in &mut lines {
            match &line.note {
                Some(note) if said.contains(note) => line.note = None,
                Some(note) => said.push(note.clone()),
                None => {}
            }
        }
        Cell { lines, ..Cell::default() }
    }

    /// The step that tests it, with what it accepts.
    fn test(&self) -> Cell {
        let tests = self.procedure.steps().find(|step| {
            self.worked
                .route
                .acts(&step.id)
                .iter()
                .any(|act| act.verb == Verb::Test && act.item == self.joint.conductor)
        });
        let Some(step) = tests else { return Cell::default() };
        let to = address::link(self.here, &address::step(&self.procedure.id, &step.id));
        let text = match &step.check {
            Some(Check::Measured { measure, accept, .. }) => {
                let scope = Scope::Procedure(&self.procedure.id);
                format!("{measure}: {}", shown::accepted(self.manual, scope, accept))
            }
            _ => step.heading.clone(),
        };
        Cell::link(to, text)
    }
}

/// A cutting plan in words: the pieces of a length joined by `+`, the lengths by `;`.
fn pieces(plan: &Value) -> String {
    let length = |length: &Value| match length {
        Value::List(pieces) => {
            pieces.iter().map(|piece| piece.shown(Rounding::LengthUp)).collect::<Vec<_>>().join(" + ")
        }
        one => one.shown(Rounding::LengthUp),
    };
    match plan {
        Value::List(lengths) => lengths.iter().map(length).collect::<Vec<_>>().join("; "),
        one => length(one),
    }
}

/// From which lengths of the stores the sleeves are cut, and what is left over.
fn cutting(manual: &Manual<'_>, here: &str, worked: &WorkedProcedure) -> Option<Sheet> {
    let say = |key: &str| manual.theme.say(key);
    let heads = ["col_sleeve", "col_pieces", "col_lengths", "col_left_over"];
    let mut sheet = Sheet::new(say("cutting"), heads.map(|key| (say(key), key != "col_sleeve")).to_vec());
    let lines =
        worked.kit.of(Store::Sleeves).flat_map(|line| line.cutting.iter().map(move |one| (line, one)));
    for (line, (size, owner, id)) in lines {
        let Some(value) = manual.worked.procedures().get(owner).and_then(|known| known.value(id)) else {
            continue;
        };
        let name =
            manual.worked.parsed().stores().get(Store::Sleeves, &line.id).map(|line| line.name.clone());
        let text = format!("{}, {size}", name.unwrap_or_else(|| line.id.clone()));
        let to = address::line(Store::Sleeves, &line.id).map(|to| address::link(here, &to));
        let how = Some(address::link(here, &address::value(owner, id)));
        let mut cells = vec![Cell { href: to, ..Cell::text(text) }];
        match &value.result {
            Ok(work) => {
                let out = |name: &str| {
                    work.outcome
                        .get(name)
                        .map(|value| Shown::value(manual, value, shown::output("stock-cut", name).0))
                };
                cells.push(Cell::text(work.outcome.get("plan").map_or_else(String::new, pieces)));
                cells.push(Cell {
                    how,
                    ..Cell::text(out("lengths-needed").map_or_else(String::new, |one| one.text()))
                });
                cells.push(Cell::text(out("waste").map_or_else(String::new, |one| one.text())));
            }
            Err(refusals) => {
                let reason =
                    refusals.first().map(|refusal| manual.theme.tell(&refusal.message)).unwrap_or_default();
                cells.push(Cell { how, ..Cell::gap(reason) });
            }
        }
        cells.resize_with(heads.len(), Cell::default);
        sheet.push(Some(format!("{}-{size}", line.id)), cells);
    }
    (!sheet.rows.is_empty()).then_some(sheet)
}

/// What a stagger says of the whole zone.
fn facts(manual: &Manual<'_>, here: &str, subject: &str, worked: &WorkedProcedure) -> Vec<Reading> {
    let staggers = worked.values.iter().filter(|value| value.working == "stagger");
    let facts = staggers.flat_map(|value| {
        let outcome = value.result.as_ref().ok().map(|work| &work.outcome);
        let how = address::link(here, &address::value(subject, &value.id));
        ["zone", "overlap-needed", "untwisted", "bulge-staggered", "bulge-level"].into_iter().filter_map(
            move |name| {
                let (rounding, _) = shown::output(&value.working, name);
                let meaning = shown::output_name(manual, &value.working, name);
                let reading = Shown::value(manual, outcome?.get(name)?, rounding).reading(meaning);
                Some(Reading { how: Some(how.clone()), ..reading })
            },
        )
    });
    facts.collect()
}
