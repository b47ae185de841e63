//! The workings of a procedure: each of its computed values under its own address.

use crate::finding::Finding;
use crate::page::view::working::{Site, Working, working};
use crate::page::view::{Frame, procedure_frame};
use crate::page::{File, Manual, PageKind, address};
use serde::Serialize;

/// The workings of a procedure.
#[derive(Debug)]
pub(super) struct Workings;

#[derive(Serialize)]
struct View {
    page: Frame,
    title: String,
    lead: String,
    values: Vec<Working>,
}

impl PageKind for Workings {
    fn name(&self) -> &'static str {
        "workings"
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
        let here = address::workings(subject);
        let title = format!("{}: {}", manual.theme.say("workings"), procedure.title);
        let values = worked.values.iter().filter_map(|value| {
            let anchor = address::value_anchor(&value.id);
            working(manual, Site { here: &here, owner: subject, anchor: &anchor }, value)
        });
        let view = View {
            page: procedure_frame(manual, self.name(), &here, subject, title.clone()),
            title,
            lead: manual.theme.say("workings_lead"),
            values: values.collect(),
        };
        let html = manual.theme.render("workings.html", &view)?;
        Ok(vec![(here, html.into_bytes())])
    }
}
