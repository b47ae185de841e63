//! The parking mat: where fasteners lie while they are out, drawn 1:1, with labels for their bags and the
//! counts that the close-out asks for. Everything follows from what the ledger moved.

mod mat;

use crate::finding::Finding;
use crate::model::{Figure, Item, Line, Procedure, State, Status, Store, Verb};
use crate::page::view::{Frame, Gate, Link, Reading, plan, procedure_frame, shown};
use crate::page::{File, Manual, PageKind, address};
use crate::quantity::unit;
use crate::work::WorkedProcedure;
use mat::Mat;
use serde::Serialize;

/// The parking mat.
#[derive(Debug)]
pub(super) struct Parking;

#[derive(Serialize)]
struct View {
    page: Frame,
    title: String,
    gates: Vec<Gate>,
    procedure: String,
    revision: String,
    vehicles: Vec<String>,
    notice: String,
    groups: Vec<Group>,
}

/// The fasteners of one item, with everything that mat, label and list say of them.
#[derive(Serialize)]
struct Group {
    number: usize,
    name: String,
    count: u32,
    made: Option<String>,
    facts: Vec<Fact>,
    out: Vec<Link>,
    back: Vec<Link>,
    renew: bool,
    torque: Option<Reading>,
    across: String,
    mats: Vec<String>,
}

/// A thing to know with its name.
#[derive(Serialize)]
struct Fact {
    label: String,
    text: String,
}

/// What the ledger says of one item that comes out.
struct Parked<'a> {
    item: &'a Item,
    now: u32,
    most: u32,
    out: Vec<usize>,
    back: Vec<usize>,
    renew: bool,
}

impl PageKind for Parking {
    fn name(&self) -> &'static str {
        "parking"
    }

    fn subjects(&self, manual: &Manual<'_>) -> Vec<String> {
        manual.worked.procedures().keys().filter(|id| manual.parks(id)).cloned().collect()
    }

    fn draw(&self, manual: &Manual<'_>, subject: &str) -> Result<Vec<File>, Box<Finding>> {
        let (Some(procedure), Some(worked)) =
            (manual.procedure(subject), manual.worked.procedures().get(subject))
        else {
            return Ok(Vec::new());
        };
        let here = address::parking(subject);
        let title = format!("{}: {}", manual.theme.say("parking"), procedure.title);
        let mut page = procedure_frame(manual, self.name(), &here, subject, title.clone());
        if procedure.status != Status::Released {
            page.mark = Some(manual.theme.say(&format!("status_{}", procedure.status.word())));
        }
        let builder = Builder { manual, here: &here, procedure, worked };
        let groups = (1..).zip(parked(worked)).map(|(number, parked)| builder.group(number, &parked));
        let letter = procedure.revision.as_ref().map_or("–", |approval| approval.letter.as_str());
        let shop = manual.worked.parsed().shop();
        let view = View {
            page,
            title,
            gates: plan::gates(manual, procedure),
            procedure: procedure.id.clone(),
            revision: letter.to_owned(),
            notice: format!("{}, {} {letter}, {}", shop.id, procedure.id, manual.fingerprint),
            vehicles: plan::vehicles(manual, procedure),
            groups: groups.collect(),
        };
        let html = manual.theme.render("parking.html", &view)?;
        Ok(vec![(here, html.into_bytes())])
    }
}

/// The items that come out, in the order in which they do.
fn parked(worked: &WorkedProcedure) -> Vec<Parked<'_>> {
    let mut all: Vec<Parked<'_>> = Vec::new();
    for moved in &worked.replay.moves {
        let Some(item) = worked.items.get(&moved.item).filter(|item| item.kind().is_fastening()) else {
            continue;
        };
        let removed = moved.verb == Some(Verb::Remove);
        if removed && !all.iter().any(|parked| parked.item.id == item.id) {
            all.push(Parked { item, now: 0, most: 0, out: Vec::new(), back: Vec::new(), renew: false });
        }
        let Some(parked) = all.iter_mut().find(|parked| parked.item.id == item.id) else { continue };
        if removed {
            parked.now = parked.now.saturating_add(moved.count);
            parked.most = parked.most.max(parked.now);
            parked.out.push(moved.leg);
        } else if moved.from == State::Out {
            parked.now = parked.now.saturating_sub(moved.count);
            parked.back.push(moved.leg);
            parked.renew |= moved.verb == Some(Verb::Renew);
        }
    }
    all
}

struct Builder<'a> {
    manual: &'a Manual<'a>,
    here: &'a str,
    procedure: &'a Procedure,
    worked: &'a WorkedProcedure,
}

impl Builder<'_> {
    fn group(&self, number: usize, parked: &Parked<'_>) -> Group {
        let item = parked.item;
        let line = item.of().and_then(|of| self.manual.worked.parsed().stores().get(Store::Fasteners, of));
        let facts: Vec<Fact> = line.map(|line| self.facts(line)).unwrap_or_default();
        let shank: Vec<&str> = facts.iter().take(2).map(|fact| fact.text.as_str()).collect();
        let mat = Mat {
            number,
            title: &format!("{number} {} ×{}", item.name, parked.most),
            count: parked.most,
            thread: line.and_then(|line| line.text("thread")).and_then(mat::diameter),
            length: line.and_then(length),
            shank: &shank.join(" × "),
        };
        Group {
            number,
            name: item.name.clone(),
            count: parked.most,
            made: line.map(|line| line.name.clone()),
            out: self.steps(&parked.out),
            back: self.steps(&parked.back),
            renew: parked.renew,
            torque: shown::torque(self.manual, item),
            across: mat::plain(mat.circle()),
            mats: mat.draw(),
            facts,
        }
    }

    /// Thread, length and drive, as far as the stores know them.
    fn facts(&self, line: &Line) -> Vec<Fact> {
        let known = ["thread", "length", "drive"].into_iter().filter_map(|key| {
            let text = shown::figure(self.manual, line.figure(key)?).text();
            Some(Fact { label: self.manual.theme.say(&format!("key_{key}")), text })
        });
        known.collect()
    }

    /// The steps of this procedure at which legs of its route stand, each once.
    fn steps(&self, legs: &[usize]) -> Vec<Link> {
        let mut steps: Vec<&crate::model::Step> = legs
            .iter()
            .filter_map(|leg| self.procedure.step(&self.worked.route.legs.get(*leg)?.top))
            .collect();
        steps.dedup_by_key(|step| step.number);
        let link = |step: &&crate::model::Step| {
            let to = address::step(&self.procedure.id, &step.id);
            Link::new(self.here, &to, step.number.to_string())
        };
        steps.iter().map(link).collect()
    }
}

/// The length of a stores line, in mm.
fn length(line: &Line) -> Option<f64> {
    let Figure::Quantity(quantity) = line.figure("length")? else { return None };
    quantity.in_unit(unit("mm")?).ok()
}
