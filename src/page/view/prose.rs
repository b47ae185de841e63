//! Markdown of a procedure as HTML: references become links with what they stand for, raw HTML stays text,
//! ids carry a prefix, nothing has an inline style.

mod conversion;
mod listing;
mod plain;

use crate::model::{Item, Line, Prose, Reference, Scheme};
use crate::page::markup::{Element, Markup};
use crate::page::view::figures::Figures;
use crate::page::view::shown::{self, Shown};
use crate::page::{Manual, address};
use crate::work::{Resolved, Scope};
use conversion::Conversion;

/// Where prose stands, and so what its references mean and how its links run.
#[derive(Clone, Copy, Debug)]
pub struct Writer<'a> {
    /// The manual.
    pub manual: &'a Manual<'a>,
    /// The procedure whose prose it is.
    pub procedure: &'a str,
    /// The page that it is written into.
    pub here: &'a str,
    /// What ids begin with: the step's id, or nothing.
    pub prefix: &'a str,
    /// The numbers of the page's figures.
    pub figures: Option<&'a Figures>,
}

impl Writer<'_> {
    /// Prose as blocks.
    pub fn blocks(&self, prose: &Prose) -> Markup {
        if prose.text.is_empty() {
            return Markup::default();
        }
        Conversion::of(self, prose)
    }

    /// One line of prose without its paragraph.
    pub fn line(&self, prose: &Prose) -> Markup {
        self.blocks(prose).without_paragraph()
    }

    /// Prose as the plain words that it prints.
    pub fn plain(&self, prose: &Prose) -> String {
        plain::words(self, prose)
    }

    /// A text that may be a reference as a whole: `step:cut-wires`; else plain words.
    pub fn words(&self, text: &str) -> Markup {
        match Reference::looks_like(text).then(|| Reference::parse(text)) {
            Some(Ok(reference)) => self.reference(&reference),
            _ => Markup::text(text.trim_end_matches('.')),
        }
    }

    /// A reference as it prints in prose.
    pub fn reference(&self, reference: &Reference) -> Markup {
        let text = self.said(reference).markup();
        match self.address(reference) {
            Some(address) => Element::link(&address::link(self.here, &address)).around(&text),
            None => text,
        }
    }

    fn resolve(&self, reference: &Reference) -> Option<Resolved<'_>> {
        let scope = if self.procedure.is_empty() { Scope::Manual } else { Scope::Procedure(self.procedure) };
        self.manual.worked.resolve(scope, reference).ok()
    }

    /// What a reference prints.
    fn said(&self, reference: &Reference) -> Said {
        let theme = self.manual.theme;
        let words = |text: &str| Said::Words(text.to_owned());
        let Some(resolved) = self.resolve(reference) else { return Said::Words(reference.to_string()) };
        match resolved {
            Resolved::Value(_, value, output, shown) => {
                let (rounding, _) = shown::output(&value.working, output);
                Said::Figure(Shown::value(self.manual, shown, rounding))
            }
            Resolved::Refused(_, _, reason) => Said::Gap(theme.tell(&reason)),
            Resolved::Swept(at) => Said::Figure(Shown::quantity(self.manual, at)),
            Resolved::Table(table) => words(&table.title),
            Resolved::Cell(_, _, column, cell) => match cell {
                Ok(value) => {
                    let (rounding, _) = shown::output(&column.working, &column.output);
                    Said::Figure(Shown::value(self.manual, value, rounding))
                }
                Err(reason) => Said::Gap(theme.tell(reason)),
            },
            Resolved::Line(line, field) => self.line_said(line, field.as_deref()),
            Resolved::Vehicle(vehicle) => words(&vehicle.name),
            Resolved::Item(item) => Said::Words(item.label()),
            Resolved::Procedure(procedure, stage) => {
                words(stage.map_or(procedure.title.as_str(), |stage| stage.title.as_str()))
            }
            Resolved::Step(_, step) => Said::Words(theme.say_count("step_n", u64::from(step.number))),
            Resolved::Figure(name, file) => match self.figures.and_then(|figures| figures.number(name)) {
                Some(number) => words(theme.say_count("figure_n", u64::from(number)).trim_end_matches('.')),
                None => words(file.title.as_deref().unwrap_or(name)),
            },
        }
    }

    fn line_said(&self, line: &Line, field: Option<&str>) -> Said {
        match field.and_then(|field| line.figure(field)) {
            Some(figure) => Said::Figure(shown::figure(self.manual, figure)),
            None => Said::Words(line.name.clone()),
        }
    }

    /// Where a reference leads.
    pub fn address(&self, reference: &Reference) -> Option<String> {
        Some(match self.resolve(reference)? {
            Resolved::Value(owner, value, ..) | Resolved::Refused(owner, value, _) => {
                address::value(owner, &value.id)
            }
            Resolved::Table(table) => address::table(&table.id),
            Resolved::Cell(table, row, ..) => {
                format!("{}#{}", address::table(table), address::row_anchor(row))
            }
            Resolved::Line(line, _) => address::line(line.store, &line.id)?,
            Resolved::Swept(_) | Resolved::Vehicle(_) => return None,
            Resolved::Item(item) => self.item(item)?,
            Resolved::Procedure(procedure, None) => address::procedure(&procedure.id),
            Resolved::Procedure(procedure, Some(stage)) => address::stage(&procedure.id, &stage.id),
            Resolved::Step(procedure, step) => address::step(&procedure.id, &step.id),
            Resolved::Figure(name, _) => match self.figures.and_then(|figures| figures.number(name)) {
                Some(number) => format!("{}#{}", address::procedure(self.procedure), Figures::anchor(number)),
                None => address::figure(name),
            },
        })
    }

    fn item(&self, item: &Item) -> Option<String> {
        let touched = self.manual.worked.procedures().get(self.procedure)?.replay.touches(&item.id);
        touched.then(|| address::item(self.procedure, &item.id))
    }
}

/// The scheme's table of the stores has an index page.
pub fn has_index(scheme: Scheme) -> bool {
    scheme.store().and_then(|store| address::line(store, "x")).is_some()
}

/// What a reference prints, before it is markup.
enum Said {
    Words(String),
    Figure(Shown),
    /// Why there is nothing.
    Gap(String),
}

impl Said {
    fn markup(&self) -> Markup {
        match self {
            Said::Words(words) => Markup::text(words),
            Said::Figure(shown) => set(shown),
            Said::Gap(reason) => Element::span("gap").around_text(reason),
        }
    }

    /// The same where there can be no markup.
    fn plain(self) -> String {
        match self {
            Said::Words(words) | Said::Gap(words) => words,
            Said::Figure(shown) => shown.text(),
        }
    }
}

/// A figure in the figure face, its second unit beside it.
pub fn set(shown: &Shown) -> Markup {
    let mut inside = Markup::text(&shown.number);
    match shown.unit.as_deref() {
        Some("°") => inside = inside.then(&Markup::text("°")),
        Some(unit) => inside = inside.then(&Element::span("unit").around_text(&format!("\u{a0}{unit}"))),
        None => {}
    }
    if let Some(second) = &shown.second {
        inside = inside.then(&Element::span("second").around_text(&format!(" ({second})")));
    }
    Element::span("value").around(&inside)
}
