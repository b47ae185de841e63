//! Waivers and sources: every waived rule with reason and name, every figure without a published source, and
//! every source that figures come from.

use crate::finding::Finding;
use crate::model::{Store, Torque};
use crate::page::view::shown::{self, Shown};
use crate::page::view::{Cell, Frame, Link, Sheet, frame, registers};
use crate::page::{File, Manual, PageKind, address, single};
use serde::Serialize;
use std::collections::BTreeMap;

/// Waivers and sources.
#[derive(Debug)]
pub(super) struct Waivers;

#[derive(Serialize)]
struct View {
    page: Frame,
    title: String,
    lead: String,
    waivers: Option<Sheet>,
    numbers: Option<Sheet>,
    sources: Vec<Link>,
}

impl PageKind for Waivers {
    fn name(&self) -> &'static str {
        "waivers"
    }

    fn subjects(&self, _: &Manual<'_>) -> Vec<String> {
        single()
    }

    fn draw(&self, manual: &Manual<'_>, _: &str) -> Result<Vec<File>, Box<Finding>> {
        let here = address::WAIVERS;
        let title = manual.theme.say("waivers");
        let figures = figures(manual);
        let mut counts: BTreeMap<&str, usize> = BTreeMap::new();
        for figure in &figures {
            *counts.entry(figure.source.as_str()).or_default() += 1;
        }
        let sources = counts.iter().map(|(source, count)| Link {
            href: None,
            text: (*source).to_owned(),
            note: Some(format!("×\u{2009}{count}")),
        });
        let view = View {
            page: frame(manual, self.name(), here, title.clone()),
            title,
            lead: manual.theme.say("waivers_lead"),
            waivers: waived(manual),
            numbers: unverified(manual, &figures),
            sources: sources.collect(),
        };
        let html = manual.theme.render("waivers.html", &view)?;
        Ok(vec![(here.to_owned(), html.into_bytes())])
    }
}

fn waived(manual: &Manual<'_>) -> Option<Sheet> {
    let say = |key: &str| manual.theme.say(key);
    let heads = ["col_rule", "col_reason", "col_who", "col_where"];
    let mut sheet = Sheet::new(say("waivers_title"), heads.map(|key| (say(key), false)).to_vec());
    for waived in manual.checked.waivers() {
        let procedure = manual.procedure(&waived.procedure);
        let step = waived.step.as_deref().and_then(|id| procedure?.step(id));
        let to = match &waived.step {
            Some(step) => address::step(&waived.procedure, step),
            None => address::procedure(&waived.procedure),
        };
        let title = procedure.map_or(waived.procedure.as_str(), |procedure| procedure.title.as_str());
        let place = match step {
            Some(step) => format!("{title}, {} {}", step.number, step.heading),
            None => title.to_owned(),
        };
        sheet.push(
            None,
            vec![
                Cell::text(waived.waiver.rule.clone()),
                Cell::text(waived.waiver.reason.clone()),
                Cell::text(waived.waiver.by.clone()),
                Cell::link(address::link(address::WAIVERS, &to), place),
            ],
        );
    }
    (!sheet.rows.is_empty()).then_some(sheet)
}

/// A figure with where it comes from.
struct Sourced {
    what: String,
    to: Option<String>,
    key: String,
    shown: String,
    source: String,
}

fn unverified(manual: &Manual<'_>, figures: &[Sourced]) -> Option<Sheet> {
    let say = |key: &str| manual.theme.say(key);
    let heads = [("col_what", false), ("col_input", false), ("col_value", true), ("col_comes_from", false)];
    let mut sheet =
        Sheet::new(say("unverified_title"), heads.map(|(key, figures)| (say(key), figures)).to_vec());
    for figure in figures.iter().filter(|figure| shown::is_unverified(&figure.source)) {
        let href = figure.to.as_ref().map(|to| address::link(address::WAIVERS, to));
        sheet.push(
            None,
            vec![
                Cell { href, ..Cell::text(figure.what.clone()) },
                Cell::text(figure.key.clone()),
                Cell::text(figure.shown.clone()),
                Cell::text(figure.source.clone()),
            ],
        );
    }
    (!sheet.rows.is_empty()).then_some(sheet)
}

/// Every figure of the stores and every torque of the vehicles that names its source.
fn figures(manual: &Manual<'_>) -> Vec<Sourced> {
    let mut found = Vec::new();
    for store in Store::ALL {
        for line in manual.worked.parsed().stores().lines(store) {
            for (key, (figure, _, _)) in &line.figures {
                let Some(source) = line.source_of(key) else { continue };
                let speaks = matches!(
                    figure,
                    crate::model::Figure::Quantity(_)
                        | crate::model::Figure::Number(_)
                        | crate::model::Figure::Range(_)
                        | crate::model::Figure::Sizes(_)
                );
                if speaks {
                    found.push(Sourced {
                        what: line.name.clone(),
                        to: address::line(store, &line.id),
                        key: registers::key(manual, key),
                        shown: shown::figure(manual, figure).text(),
                        source: source.to_owned(),
                    });
                }
            }
        }
    }
    for vehicle in manual.worked.parsed().vehicles().values() {
        for item in vehicle.items.values() {
            if let (Some(Torque::Figure(torque)), Some(source)) = (item.torque(), &item.source) {
                found.push(Sourced {
                    what: format!("{}, {}", vehicle.name, item.name),
                    to: Some(address::TORQUE.to_owned()),
                    key: manual.theme.say("key_torque"),
                    shown: Shown::quantity(manual, torque).text(),
                    source: source.clone(),
                });
            }
        }
    }
    found
}
