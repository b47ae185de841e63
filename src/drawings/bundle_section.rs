//! A bundle of wires across: each wire numbered, the circle round them, the rule of thumb dashed.

use crate::drawings::svg::dimension::{Span, spread};
use crate::drawings::svg::scale::Scale;
use crate::drawings::svg::{Fill, Hatch, Pen, Point, Sheet, width_of};
use crate::drawings::{Drawing, Labels, Sketch, Words, diameter, drawable, sketch, wire_name};
use crate::phrase::{Phrase, phrase};
use crate::quantity::print::{Rounding, number};
use crate::workings::{Circle, Given, Outcome, Value};
use std::f64::consts::PI;

/// The drawing of `bundle`.
pub(crate) struct BundleSection;

/// More wires than this make no readable picture.
const MOST: usize = 200;

/// The least distance between numbers round the bundle.
pub(crate) const APART: f64 = 26.0;

/// The bundle in mm.
#[derive(Clone, Debug)]
struct Plan {
    wires: Vec<Circle>,
    cover: f64,
    whole: f64,
    thumb: f64,
}

impl Drawing for BundleSection {
    fn name(&self) -> &'static str {
        "bundle-section"
    }

    fn workings(&self) -> &'static [&'static str] {
        &["bundle"]
    }

    fn draw(&self, given: &Given, outcome: &Outcome, labels: &Labels) -> Option<Sketch> {
        let plan = Plan::read(given, outcome)?;
        let up = |value: f64| number(value, Rounding::LengthUp);
        let mut callouts: Vec<Phrase> = Vec::new();
        for (place, wire) in plan.wires.iter().enumerate() {
            callouts.push(phrase!(
                "{number} {wire}, {diameter}",
                number = place + 1,
                wire = wire_name(labels, place),
                diameter = diameter(wire.d)
            ));
        }
        callouts.push(phrase!("Bundle: Ø\u{a0}{whole}\u{a0}mm", whole = up(plan.whole)));
        if plan.cover > 0.0 {
            callouts.push(phrase!(
                "Cover: {cover}\u{a0}mm thick, hatched",
                cover = number(plan.cover, Rounding::Length)
            ));
        }
        callouts.push(phrase!(
            "Rule of thumb, without cover: Ø\u{a0}{thumb}\u{a0}mm, dashed",
            thumb = up(plan.thumb)
        ));
        if let Some(upper) = outcome.number("upper") {
            callouts
                .push(phrase!("Conduit to buy: Ø\u{a0}{upper}\u{a0}mm inside or more", upper = up(upper)));
        }
        let count = plan.wires.len();
        let words = Words {
            title: match count {
                1 => phrase!("Section of a bundle of 1 wire"),
                _ => phrase!("Section of a bundle of {count} wires", count = count),
            },
            description: phrase!(
                "The wires across as numbered circles, packed as closely as found, inside the circle that \
                          holds them. The rule of thumb for that circle is dashed."
            ),
            callouts,
        };
        sketch(labels, words, |sheet| plan.lay(sheet))
    }
}

impl Plan {
    /// The bundle, where it can be drawn.
    fn read(given: &Given, outcome: &Outcome) -> Option<Plan> {
        let Some(Value::Positions(wires)) = outcome.get("positions") else { return None };
        let cover = given.measure("cover").map_or(0.0, |cover| cover.value);
        let plan = Plan {
            wires: wires.clone(),
            cover: if cover == 0.0 { 0.0 } else { drawable(cover)? },
            whole: drawable(outcome.number("diameter")?)?,
            thumb: drawable(outcome.number("rule-of-thumb")?)?,
        };
        let inside = |wire: &Circle| {
            drawable(wire.d).is_some() && wire.x.hypot(wire.y) + wire.d / 2.0 <= plan.whole / 2.0 * 1.001
        };
        let sound = !wires.is_empty() && wires.len() <= MOST && wires.iter().all(inside);
        (sound && 2.0 * cover < plan.whole).then_some(plan)
    }

    /// Puts the bundle on the sheet.
    fn lay(&self, sheet: &mut Sheet) -> Option<()> {
        let room = if sheet.is_wide() { 400.0 } else { 270.0 };
        let scale = Scale::fitting(self.whole.max(self.thumb), room)?;
        let units = |mm: f64| scale.units(mm);
        let radius = units(self.whole.max(self.thumb)) / 2.0;
        let fits =
            |place: usize, wire: &Circle| width_of(&(place + 1).to_string()).max(12.0) + 5.0 <= units(wire.d);
        let small: Vec<(usize, &Circle)> =
            self.wires.iter().enumerate().filter(|(place, wire)| !fits(*place, wire)).collect();
        let ring = radius + 28.0;
        let outside = !small.is_empty() && small.len() as f64 * APART <= 2.0 * PI * ring;
        let centre = (sheet.width / 2.0, 16.0 + if outside { ring + 12.0 } else { radius });
        let place = |wire: &Circle| (centre.0 + units(wire.x), centre.1 - units(wire.y));
        let cover = if self.cover > 0.0 { Fill::Hatch(Hatch::Back) } else { Fill::None };
        sheet.circle(cover, Pen::Line, centre, units(self.whole) / 2.0);
        if self.cover > 0.0 {
            sheet.circle(Fill::Paper, Pen::Thin, centre, units(self.whole) / 2.0 - units(self.cover));
        }
        for wire in &self.wires {
            sheet.circle(Fill::Paper, Pen::Line, place(wire), units(wire.d) / 2.0);
        }
        for (index, wire) in self.wires.iter().enumerate().filter(|(index, wire)| fits(*index, wire)) {
            sheet.number(place(wire), &(index + 1).to_string());
        }
        sheet.circle(Fill::None, Pen::Dash, centre, units(self.thumb) / 2.0);
        if outside {
            let targets: Vec<(usize, Point)> =
                small.iter().map(|(index, wire)| (index + 1, place(wire))).collect();
            around(sheet, centre, ring, &targets);
        }
        let half = units(self.whole) / 2.0;
        let rule = units(self.thumb) / 2.0;
        let span = |half: f64, words: Phrase| Span {
            from: centre.0 - half,
            to: centre.0 + half,
            edges: (centre.1, centre.1),
            words,
        };
        let top = centre.1 + if outside { ring + 12.0 } else { radius } + 26.0;
        let across = |value: f64| format!("Ø\u{a0}{}", number(value, Rounding::LengthUp));
        let thumb = phrase!("{diameter} rule of thumb", diameter = across(self.thumb));
        let spans = [span(half, Phrase::verbatim(across(self.whole))), span(rule, thumb)];
        let foot = sheet.dimensions(top, &spans);
        sheet.scale_bar(scale, 16.0, foot + 20.0);
        Some(())
    }
}

/// Numbers on a ring, each with a leader to the wire that is too small to hold it.
pub(crate) fn around(sheet: &mut Sheet, centre: Point, ring: f64, targets: &[(usize, Point)]) {
    let angle = |at: Point| (at.1 - centre.1).atan2(at.0 - centre.0);
    let mut sorted: Vec<(f64, usize, Point)> =
        targets.iter().map(|(index, at)| (angle(*at) * ring, *index, *at)).collect();
    sorted.sort_by(|one, other| one.0.total_cmp(&other.0).then(one.1.cmp(&other.1)));
    let wanted: Vec<f64> = sorted.iter().map(|(along, ..)| *along).collect();
    let places = spread(&wanted, APART, (-PI * ring, PI * ring - APART));
    for ((_, _, at), along) in sorted.iter().zip(&places) {
        let turn = along / ring;
        let from = (centre.0 + (ring - 9.0) * turn.cos(), centre.1 + (ring - 9.0) * turn.sin());
        sheet.line(Pen::Thin, from, *at);
        sheet.circle(Fill::Paper, Pen::Thin, *at, 1.8);
    }
    for ((_, index, _), along) in sorted.iter().zip(&places) {
        let turn = along / ring;
        sheet.number((centre.0 + ring * turn.cos(), centre.1 + ring * turn.sin()), &index.to_string());
    }
}
