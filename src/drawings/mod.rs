//! Drawings: SVG to scale, made from a working's inputs and outputs. Pure text; no files, no HTML page.
//!
//! A drawing reads the settled inputs and the answer of its working and lays them out on a sheet, once wide
//! and once narrow, so that a small screen gets another layout instead of smaller letters. Everything it
//! shows stands in [`Sketch::callouts`] too: a drawing may be missing, a fact may not. Inputs that make no
//! sensible picture make none.

mod bundle_section;
mod connector_face;
mod insert;
mod joint;
mod nested_sleeves;
mod plot;
mod return_loss;
mod route;
mod stagger_layout;
mod strip_plan;
pub(crate) mod svg;
mod torque_range;
mod wrap_pitch;

pub use crate::drawings::connector_face::{Face, Filled, face};
pub use crate::drawings::plot::Plot;
use crate::drawings::svg::Sheet;
use crate::phrase::{English, Language, Phrase, phrase};
use crate::quantity::print::{Rounding, number};
use crate::workings::{Given, Outcome, Service};
use std::sync::Arc;

/// One kind of drawing.
pub trait Drawing: Sync {
    /// Its name, unique among drawings.
    fn name(&self) -> &'static str;

    /// The workings whose answers it draws.
    fn workings(&self) -> &'static [&'static str];

    /// The drawing, or none where the answer makes no sensible picture.
    fn draw(&self, given: &Given, outcome: &Outcome, labels: &Labels) -> Option<Sketch>;
}

/// What the page knows and a working does not.
#[derive(Clone, Debug)]
pub struct Labels {
    /// What tells the words of the drawing.
    pub language: Arc<dyn Language>,
    /// What every id of the drawing starts with; unique in its page.
    pub prefix: String,
    /// Names of the wires with their colours in words, in input order; may be empty.
    pub wires: Vec<String>,
    /// Their colours in the letters of IEC 60757, in the same order; empty where one is not known.
    pub colours: Vec<String>,
    /// Services of the stores, for bands that a working does not name itself.
    pub services: Vec<Service>,
}

impl Default for Labels {
    fn default() -> Labels {
        Labels {
            language: Arc::new(English),
            prefix: String::new(),
            wires: Vec::new(),
            colours: Vec::new(),
            services: Vec::new(),
        }
    }
}

/// A finished drawing.
#[derive(Clone, Debug)]
pub struct Sketch {
    /// The `svg` element, 640 units wide, class `d-wide`.
    pub svg: String,
    /// The same drawing laid out 360 units wide, class `d-narrow`, its ids with `-n` after the prefix.
    pub narrow: String,
    /// A title, as in the `title` element.
    pub title: String,
    /// Every fact of the drawing: first the numbered callouts, each with its number, then the dimensions.
    pub callouts: Vec<String>,
}

/// Every drawing there is.
pub fn register() -> &'static [&'static dyn Drawing] {
    &[
        &strip_plan::StripPlan,
        &nested_sleeves::NestedSleeves,
        &bundle_section::BundleSection,
        &joint::Joint,
        &insert::Insert,
        &wrap_pitch::WrapPitch,
        &torque_range::TorqueRange,
        &stagger_layout::StaggerLayout,
        &return_loss::ReturnLoss,
        &route::Route,
    ]
}

/// The drawing of a working, where it has one.
pub fn for_working(name: &str) -> Option<&'static dyn Drawing> {
    register().iter().copied().find(|drawing| drawing.workings().contains(&name))
}

/// The words around a drawing.
struct Words {
    title: Phrase,
    description: Phrase,
    callouts: Vec<Phrase>,
}

/// Lays a drawing out wide and narrow.
fn sketch(labels: &Labels, words: Words, draw: impl Fn(&mut Sheet) -> Option<()>) -> Option<Sketch> {
    let (title, description) = (labels.language.tell(&words.title), labels.language.tell(&words.description));
    let lay = |prefix: &str, width: f64| {
        let mut sheet = Sheet::new(prefix, width, Arc::clone(&labels.language));
        draw(&mut sheet)?;
        sheet.finish(&title, &description)
    };
    let svg = lay(&labels.prefix, 640.0)?;
    let narrow = lay(&format!("{}-n", labels.prefix), 360.0)?;
    let callouts = words.callouts.iter().map(|callout| labels.language.tell(callout)).collect();
    Some(Sketch { svg, narrow, title, callouts })
}

/// A length for people, with one decimal and without its unit.
fn length(value: f64) -> String {
    number(value, Rounding::Length)
}

/// A length for people, with its unit.
fn mm(value: f64) -> String {
    format!("{}\u{a0}mm", length(value))
}

/// A diameter for people, with its unit.
fn diameter(value: f64) -> String {
    format!("Ø\u{a0}{}", mm(value))
}

/// Three significant digits.
fn figures(value: f64) -> String {
    number(value, Rounding::Figures)
}

/// The name of a wire by its place, where the page knows it.
fn wire_name(labels: &Labels, place: usize) -> Phrase {
    let name = labels.wires.get(place).filter(|name| !name.is_empty());
    name.map_or_else(|| phrase!("wire"), Phrase::verbatim)
}

/// The value, where it is a length that can be drawn.
fn drawable(value: f64) -> Option<f64> {
    (value.is_finite() && value > 1e-3 && value < 1e5).then_some(value)
}

/// The numbers of a list among the outputs.
fn numbers(outcome: &Outcome, name: &str) -> Vec<f64> {
    match outcome.get(name) {
        Some(crate::workings::Value::List(items)) => {
            items.iter().filter_map(|item| item.as_number()).collect()
        }
        Some(crate::workings::Value::Number { value, .. }) => vec![*value],
        _ => Vec::new(),
    }
}

#[cfg(test)]
pub(crate) mod tests;
