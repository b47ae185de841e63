//! The job sheet: the same procedure for paper, with boxes, counts out and back, write-in values, initials.

use crate::finding::Finding;
use crate::model::{Procedure, Status, Store};
use crate::page::view::plan::{Plan, plan};
use crate::page::view::{Frame, procedure_frame, shown};
use crate::page::{File, Manual, PageKind, address};
use crate::work::WorkedProcedure;
use serde::Serialize;

/// The job sheet.
#[derive(Debug)]
pub(super) struct JobSheet;

#[derive(Serialize)]
struct View {
    page: Frame,
    p: Whole,
}

#[derive(Serialize)]
struct Whole {
    #[serde(flatten)]
    plan: Plan,
    boxes: Vec<String>,
    signoff: Vec<String>,
    notice: String,
    fastenings: Vec<Fastening>,
}

/// A line of the table of fasteners, out and back.
#[derive(Serialize)]
struct Fastening {
    text: String,
    note: Option<String>,
    count: u32,
    write_in: bool,
    unit: Option<String>,
    torque: Option<String>,
    unverified: bool,
    source: Option<String>,
}

/// The identity of the job, written at its head.
const BOXES: [&str; 9] = [
    "box_vehicle",
    "box_mileage",
    "box_job",
    "box_date",
    "box_start",
    "box_end",
    "box_by",
    "box_meter",
    "box_maker",
];

/// Counts and signatures at its foot.
const SIGNOFF: [&str; 6] =
    ["signoff_count", "signoff_tools", "signoff_settings", "signoff_tests", "signoff_by", "signoff_check"];

impl PageKind for JobSheet {
    fn name(&self) -> &'static str {
        "job-sheet"
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
        let here = address::job_sheet(subject);
        let title = format!("{}: {}", manual.theme.say("job_sheet"), procedure.title);
        let mut page = procedure_frame(manual, self.name(), &here, subject, title);
        if procedure.status != Status::Released {
            page.mark = Some(manual.theme.say(&format!("status_{}", procedure.status.word())));
        }
        let letter = procedure.revision.as_ref().map_or("–", |approval| approval.letter.as_str());
        let shop = manual.worked.parsed().shop();
        let whole = Whole {
            plan: plan(manual, &here, procedure, worked),
            boxes: BOXES.iter().map(|key| manual.theme.say(key)).collect(),
            signoff: SIGNOFF.iter().map(|key| manual.theme.say(key)).collect(),
            notice: format!("{}, {} {letter}, {}", shop.id, procedure.id, manual.fingerprint),
            fastenings: fastenings(manual, procedure, worked),
        };
        let html = manual.theme.render("job-sheet.html", &View { page, p: whole })?;
        Ok(vec![(here, html.into_bytes())])
    }
}

fn fastenings(manual: &Manual<'_>, _: &Procedure, worked: &WorkedProcedure) -> Vec<Fastening> {
    let touched =
        worked.items.values().filter(|item| item.kind().is_fastening() && worked.replay.touches(&item.id));
    let line = |item: &crate::model::Item| {
        let made = item.of().and_then(|of| manual.worked.parsed().stores().get(Store::Fasteners, of));
        let drive = made.and_then(|line| line.text("drive")).map(str::to_owned);
        let note: Vec<String> = made.map(|line| line.name.clone()).into_iter().chain(drive).collect();
        let reading = shown::torque(manual, item);
        let torque = reading.as_ref().map(|reading| match &reading.unit {
            Some(unit) => format!("{}\u{a0}{unit}", reading.number),
            None => reading.number.clone(),
        });
        Fastening {
            text: item.name.clone(),
            note: (!note.is_empty()).then(|| note.join(", ")),
            count: item.count(),
            write_in: reading.as_ref().is_some_and(|reading| reading.write_in),
            unit: reading.as_ref().and_then(|reading| reading.unit.clone()),
            torque,
            unverified: reading.as_ref().is_some_and(|reading| reading.unverified),
            source: reading.and_then(|reading| reading.source),
        }
    };
    touched.map(line).collect()
}
