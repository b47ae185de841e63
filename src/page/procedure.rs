//! A procedure's page: plate, brief, safety, kit, stages and steps, what it disturbs, and its loose ends.

use crate::finding::Finding;
use crate::model::Status;
use crate::page::view::plan::{Plan, plan};
use crate::page::view::{Edge, Frame, loose, procedure_frame};
use crate::page::{File, Manual, PageKind, address};
use serde::Serialize;

/// A procedure's page.
#[derive(Debug)]
pub(super) struct Sheet;

#[derive(Serialize)]
struct View {
    page: Frame,
    p: Whole,
}

#[derive(Serialize)]
struct Whole {
    #[serde(flatten)]
    plan: Plan,
    data: String,
}

impl PageKind for Sheet {
    fn name(&self) -> &'static str {
        "procedure"
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
        let here = address::procedure(subject);
        let plan = plan(manual, &here, procedure, worked);
        let mut page = procedure_frame(manual, self.name(), &here, subject, procedure.title.clone());
        if procedure.status != Status::Released {
            page.mark = Some(manual.theme.say(&format!("status_{}", procedure.status.word())));
        }
        if procedure.status != Status::Withdrawn {
            page.scripts.extend(["ticks.js", "loose-ends.js"].map(|name| manual.theme.asset(name)));
            page.edges_name = manual.theme.say("nav_stages");
            page.edges = plan
                .stages
                .iter()
                .map(|stage| Edge {
                    id: format!("stage--{}", stage.id),
                    number: stage.number,
                    text: stage.title.clone(),
                })
                .collect();
        }
        let view = View { page, p: Whole { plan, data: loose::data(manual, procedure, worked) } };
        let html = manual.theme.render("procedure.html", &view)?;
        Ok(vec![(here, html.into_bytes())])
    }
}
