//! The thickest places of a repair zone across: all joints level against staggered, to one scale.

use crate::drawings::bundle_section::{APART, around};
use crate::drawings::svg::dimension::Span;
use crate::drawings::svg::scale::Scale;
use crate::drawings::svg::{Anchor, Fill, Hatch, Pen, Point, Sheet, width_of};
use crate::phrase::Phrase;
use crate::quantity::print::{Rounding, number};
use crate::workings::{Member, Section};
use std::f64::consts::PI;

/// Between a bundle and the numbers round it.
const RING: f64 = 24.0;

/// A bundle across with its title.
#[derive(Clone, Debug)]
pub(crate) struct Across {
    /// What stands above it.
    pub(crate) title: Phrase,
    /// Diameter of the whole, mm.
    pub(crate) whole: f64,
    /// Its circles, mm from its centre; without them the whole is hatched.
    pub(crate) members: Vec<Member>,
}

impl Across {
    /// A section of the answer, where its circles lie inside it.
    pub(crate) fn read(section: &Section, title: Phrase, wires: usize) -> Option<Across> {
        let inside = |member: &Member| {
            let circle = member.circle;
            let reach = circle.x.hypot(circle.y) + circle.d / 2.0;
            circle.d > 1e-3 && reach <= section.diameter / 2.0 * 1.001 && member.wire < wires
        };
        let sound = section.diameter < 1e5 && section.members.len() == wires;
        (sound && section.members.iter().all(inside)).then(|| Across {
            title,
            whole: section.diameter,
            members: section.members.clone(),
        })
    }

    /// The members that are too small on the sheet to hold their number.
    fn small(&self, scale: Scale) -> Vec<&Member> {
        let fits = |member: &&Member| {
            let number = (member.wire + 1).to_string();
            width_of(&number).max(9.0) + 7.0 <= scale.units(member.circle.d)
        };
        self.members.iter().filter(|member| !fits(member)).collect()
    }

    /// Whether numbers stand round it: some do not fit inside, and there is room for them.
    fn is_ringed(&self, scale: Scale) -> bool {
        let small = self.small(scale).len() as f64;
        small > 0.0 && small * APART <= 2.0 * PI * (scale.units(self.whole) / 2.0 + RING)
    }

    /// Draws it about a centre, its diameter dimensioned at height `row`.
    fn draw(&self, sheet: &mut Sheet, scale: Scale, centre: Point, row: f64) {
        let units = |mm: f64| scale.units(mm);
        let half = units(self.whole) / 2.0;
        let words = Phrase::verbatim(format!("Ø\u{a0}{}", number(self.whole, Rounding::LengthUp)));
        let edges = (centre.1, centre.1);
        sheet.dimension(row, &Span { from: centre.0 - half, to: centre.0 + half, edges, words });
        if self.members.is_empty() {
            sheet.circle(Fill::Hatch(Hatch::Back), Pen::Line, centre, half);
            return;
        }
        sheet.circle(Fill::Paper, Pen::Thin, centre, half);
        let place = |member: &Member| (centre.0 + units(member.circle.x), centre.1 - units(member.circle.y));
        for member in &self.members {
            let fill = if member.is_joint { Fill::Hatch(Hatch::Slant) } else { Fill::Paper };
            sheet.circle(fill, Pen::Line, place(member), units(member.circle.d) / 2.0);
        }
        let small = self.small(scale);
        for member in &self.members {
            if small.iter().any(|other| other.wire == member.wire) {
                continue;
            }
            let number = (member.wire + 1).to_string();
            if member.is_joint {
                sheet.circle(Fill::Paper, Pen::None, place(member), (width_of(&number).max(9.0) + 3.0) / 2.0);
            }
            sheet.number(place(member), &number);
        }
        if self.is_ringed(scale) {
            let targets: Vec<(usize, Point)> =
                small.iter().map(|member| (member.wire + 1, place(member))).collect();
            around(sheet, centre, half + RING, &targets);
        }
    }
}

/// Both bundles to one scale from `top` down: side by side, or one below the other where that is what it
/// takes for the wires to hold their numbers.
pub(crate) fn lay(sheet: &mut Sheet, top: f64, both: &[Across; 2]) -> Option<()> {
    let thickest = both.iter().map(|across| across.whole).fold(0.0, f64::max);
    let any_small = |scale: Scale| both.iter().any(|across| !across.small(scale).is_empty());
    let beside = Scale::fitting(thickest, if sheet.is_wide() { 220.0 } else { 124.0 })?;
    let is_stacked = !sheet.is_wide() && any_small(beside);
    let scale = if is_stacked { Scale::fitting(thickest, 230.0)? } else { beside };
    let ring = if both.iter().any(|across| across.is_ringed(scale)) { RING + 8.0 } else { 0.0 };
    let tall = scale.units(thickest) / 2.0;
    let mut head = top;
    let mut foot = top;
    for (across, share) in both.iter().zip([0.26, 0.74]) {
        let x = if is_stacked { sheet.width / 2.0 } else { sheet.width * share };
        let half = if is_stacked { scale.units(across.whole) / 2.0 } else { tall };
        let centre = (x, head + 20.0 + ring + half);
        foot = centre.1 + half + ring + 28.0;
        sheet.text((x, head + 4.0), Anchor::Middle, &sheet.tell(&across.title));
        across.draw(sheet, scale, centre, foot);
        if is_stacked {
            head = foot + 30.0;
        }
    }
    sheet.scale_bar(scale, 16.0, foot + 20.0);
    Some(())
}
