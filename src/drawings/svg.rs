//! A small SVG writer: one sheet in drawing units, its pens and fills, one escape function.
//!
//! Every element has a class for the theme and presentation attributes for paper, so that a drawing reads
//! without a style sheet and without colour. A theme sets `stroke` on the pens and `fill` on the rest:
//!
//! | class | is |
//! | --- | --- |
//! | `d-sheet` `d-wide` `d-narrow` | the `svg` element; laid out 640 or 360 units wide |
//! | `d-paper` | background, and whatever is left white |
//! | `d-heavy` `d-line` `d-thin` `d-grid` | routes and curves, outlines, thin lines, the lines behind a plot |
//! | `d-dash` `d-axis` | hidden or rule-of-thumb lines, centre lines |
//! | `d-dim` `d-arrow` | dimension and extension lines, arrowheads |
//! | `d-hatch` | the lines of a hatch |
//! | `d-copper` `d-jacket` `d-ink` | conductor metal, cable jacket, solid marks |
//! | `d-text` `d-figure` `d-number` | words, figures, the numbers of callouts |
//!
//! One unit is one CSS pixel (25.4 mm / 96), so that a sheet printed at its nominal width is true to the
//! scale that it states.

pub(crate) mod dimension;
pub(crate) mod lettering;
mod paint;
pub(crate) mod scale;
#[cfg(test)]
pub(crate) mod trial;
mod wire_colour;

pub(crate) use crate::drawings::svg::lettering::{Anchor, LETTER, escape, width_of};
use crate::drawings::svg::paint::pattern;
pub(crate) use crate::drawings::svg::paint::{Fill, Hatch, Pen};
use crate::phrase::{Language, Phrase};
use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::sync::Arc;

/// A place on the sheet, to the right and down.
pub(crate) type Point = (f64, f64);

/// A sheet that is being drawn. Its height follows from what is put on it.
pub(crate) struct Sheet {
    /// Width in units.
    pub(crate) width: f64,
    language: Arc<dyn Language>,
    height: f64,
    prefix: String,
    body: String,
    hatches: BTreeSet<Hatch>,
    sound: bool,
}

impl Sheet {
    /// An empty sheet. Ids start with `prefix`; letters that an id may not hold become hyphens.
    pub(crate) fn new(prefix: &str, width: f64, language: Arc<dyn Language>) -> Sheet {
        let plain = |letter: char| if letter.is_ascii_alphanumeric() || letter == '_' { letter } else { '-' };
        let mut id: String = prefix.chars().map(plain).collect();
        if !id.starts_with(|letter: char| letter.is_ascii_alphabetic()) {
            id.insert_str(0, "d-");
        }
        Sheet {
            width,
            language,
            height: 0.0,
            prefix: id,
            body: String::new(),
            hatches: BTreeSet::new(),
            sound: true,
        }
    }

    /// Whether there is room for side-by-side layouts.
    pub(crate) fn is_wide(&self) -> bool {
        self.width >= 500.0
    }

    /// A phrase in the language of the sheet.
    pub(crate) fn tell(&self, phrase: &Phrase) -> String {
        self.language.tell(phrase)
    }

    /// Lets the sheet reach down to `y`.
    pub(crate) fn reach(&mut self, y: f64) {
        self.height = self.height.max(y);
    }

    /// A straight line.
    pub(crate) fn line(&mut self, pen: Pen, from: Point, to: Point) {
        self.path(Fill::None, pen, &[from, to], false);
    }

    /// A polygon, closed or open.
    pub(crate) fn path(&mut self, fill: Fill, pen: Pen, points: &[Point], closed: bool) {
        let mut data = String::new();
        for (index, (x, y)) in points.iter().enumerate() {
            let start = if index == 0 { "M" } else { "L" };
            let _ = write!(data, "{start}{} {}", self.at(*x), self.at(*y));
            self.reach(*y);
        }
        if closed {
            data.push('Z');
        }
        let paint = self.paint(fill, pen);
        let _ = write!(self.body, r#"<path {paint} d="{data}"/>"#);
    }

    /// An upright rectangle from one corner to the opposite one; `round` is the radius of its corners.
    pub(crate) fn rect(&mut self, fill: Fill, pen: Pen, from: Point, to: Point, round: f64) {
        let (x, y) = (self.at(from.0.min(to.0)), self.at(from.1.min(to.1)));
        let (w, h) = (self.at((to.0 - from.0).abs()), self.at((to.1 - from.1).abs()));
        self.reach(from.1.max(to.1));
        let corner = if round > 0.0 { format!(r#" rx="{}""#, self.at(round)) } else { String::new() };
        let paint = self.paint(fill, pen);
        let _ = write!(self.body, r#"<rect {paint} x="{x}" y="{y}" width="{w}" height="{h}"{corner}/>"#);
    }

    /// A lengthwise bar about the axis `y`, with a break line where it goes on beyond the drawing.
    pub(crate) fn bar(&mut self, fill: Fill, x: Point, y: f64, half: f64, broken: (bool, bool)) {
        let (top, foot) = (y - half, y + half);
        let bulge = if half > 4.0 { 5.0 } else { 1.5 };
        let edge = |sheet: &mut Sheet, x: f64, from: f64, to: f64, broken: bool| {
            let end = format!("{} {}", sheet.at(x), sheet.at(to));
            if !broken {
                return format!("L{end}");
            }
            let third = (to - from) / 3.0;
            let (one, two) = (sheet.at(x - bulge), sheet.at(x + bulge));
            format!("C{one} {} {two} {} {end}", sheet.at(from + third), sheet.at(to - third))
        };
        let right = edge(self, x.1, top, foot, broken.1);
        let left = edge(self, x.0, foot, top, broken.0);
        let paint = self.paint(fill, Pen::Line);
        let (x0, x1, top, foot) = (self.at(x.0), self.at(x.1), self.at(top), self.at(foot));
        let _ = write!(self.body, r#"<path {paint} d="M{x0} {top}L{x1} {top}{right}L{x0} {foot}{left}Z"/>"#);
        self.reach(y + half);
    }

    /// A circle.
    pub(crate) fn circle(&mut self, fill: Fill, pen: Pen, centre: Point, radius: f64) {
        let (x, y, r) = (self.at(centre.0), self.at(centre.1), self.at(radius));
        self.reach(centre.1 + radius);
        let paint = self.paint(fill, pen);
        let _ = write!(self.body, r#"<circle {paint} cx="{x}" cy="{y}" r="{r}"/>"#);
    }

    /// Adds a finished element of a neighbouring file.
    pub(crate) fn raw(&mut self, element: &str) {
        self.body.push_str(element);
    }

    /// A coordinate with at most two decimals. What is no number spoils the sheet.
    pub(crate) fn at(&mut self, value: f64) -> String {
        if !value.is_finite() || value.abs() > 1e5 {
            self.sound = false;
            return "0".to_owned();
        }
        coordinate(value)
    }

    /// The class and presentation attributes of an outline.
    fn paint(&mut self, fill: Fill, pen: Pen) -> String {
        let (pen_class, pen_look) = pen.look();
        let (fill_class, fill_look) = match fill {
            Fill::None => ("", "none".to_owned()),
            Fill::Paper => ("d-paper", "#fff".to_owned()),
            Fill::Copper => ("d-copper", "#c8803c".to_owned()),
            Fill::Jacket => ("d-jacket", "#4a4a48".to_owned()),
            Fill::Ink => ("d-ink", "#111".to_owned()),
            Fill::Wire(tone) => ("d-wire", tone.to_owned()),
            Fill::Hatch(hatch) => {
                self.hatches.insert(hatch);
                ("", format!("url(#{}-{})", self.prefix, hatch.name()))
            }
        };
        let gap = if pen_class.is_empty() || fill_class.is_empty() { "" } else { " " };
        format!(r#"class="{fill_class}{gap}{pen_class}" fill="{fill_look}"{pen_look}"#)
    }

    /// The finished element, or none where a coordinate was no number.
    pub(crate) fn finish(self, title: &str, description: &str) -> Option<String> {
        if !self.sound || self.height > 2e4 {
            return None;
        }
        let form = if self.is_wide() { "d-wide" } else { "d-narrow" };
        let (id, w, h) = (&self.prefix, coordinate(self.width), coordinate((self.height + 8.0).ceil()));
        let (title, description) = (escape(title), escape(description));
        let hatches: String = self.hatches.iter().map(|hatch| pattern(id, *hatch)).collect();
        let defs = if hatches.is_empty() { hatches } else { format!("<defs>{hatches}</defs>") };
        let body = &self.body;
        Some(format!(
            r##"<svg xmlns="http://www.w3.org/2000/svg" class="d-sheet {form}" viewBox="0 0 {w} {h}" role="img" aria-labelledby="{id}-t {id}-d"><title id="{id}-t">{title}</title><desc id="{id}-d">{description}</desc>{defs}<rect class="d-paper" fill="#fff" width="{w}" height="{h}"/>{body}</svg>"##
        ))
    }
}

/// A number with at most two decimals, without trailing noughts.
fn coordinate(value: f64) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}
