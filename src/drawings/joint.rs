//! A joint of conductors, lengthwise: how far each is stripped, where they lie, how thick it gets.

use crate::drawings::svg::dimension::{Span, Target};
use crate::drawings::svg::scale::Scale;
use crate::drawings::svg::{Anchor, Fill, Hatch, Pen, Sheet, width_of};
use crate::drawings::{Drawing, Labels, Sketch, Words, diameter, drawable, length, mm, sketch, wire_name};
use crate::phrase::{Phrase, phrase};
use crate::quantity::print::{Rounding, number};
use crate::workings::{Given, Outcome};

/// The drawing of `joint`.
pub(crate) struct Joint;

/// Insulation is drawn this much thicker than its conductor: the working does not know it.
const INSULATION: f64 = 1.7;

/// More conductors than this share one callout on the right.
const APART: usize = 5;

/// About as many conductors are drawn at most.
const DRAWN: usize = 8;

/// The joint in mm.
#[derive(Clone, Debug)]
struct Plan {
    by: Method,
    wires: Vec<f64>,
    lap: f64,
    gap: f64,
    across: f64,
}

/// How the conductors are brought together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Method {
    Lap,
    Meshed,
    Barrel,
}

impl Drawing for Joint {
    fn name(&self) -> &'static str {
        "joint"
    }

    fn workings(&self) -> &'static [&'static str] {
        &["joint"]
    }

    fn draw(&self, given: &Given, outcome: &Outcome, labels: &Labels) -> Option<Sketch> {
        let plan = Plan::read(given, outcome)?;
        let how = match plan.by {
            Method::Lap => phrase!("Lap joint, conductors side by side"),
            Method::Meshed => phrase!("Meshed joint, strands pushed into one another"),
            Method::Barrel => phrase!("Barrel joint, conductors hidden in the barrel"),
        };
        let words = Words {
            title: phrase!("{how}, {count} conductors", how = how, count = plan.wires.len()),
            description: phrase!(
                "The joint lengthwise: the first conductor comes from the left, the others from the right. \
                          Dimension lines show the joint, the strip of one conductor, the bare length to cover and \
                          the diameter. Insulation is not to scale."
            ),
            callouts: plan.callouts(labels),
        };
        sketch(labels, words, |sheet| plan.lay(sheet))
    }
}

impl Plan {
    /// The joint, where it can be drawn.
    fn read(given: &Given, outcome: &Outcome) -> Option<Plan> {
        let by = match given.text("by")? {
            "lap" => Method::Lap,
            "meshed" => Method::Meshed,
            "barrel" => Method::Barrel,
            _ => return None,
        };
        let wires =
            given.measures("wires").iter().map(|wire| drawable(wire.value)).collect::<Option<Vec<f64>>>()?;
        let gap = given.measure("gap")?.value;
        let plan = Plan {
            by,
            lap: drawable(given.measure("lap")?.value)?,
            gap: if gap == 0.0 { 0.0 } else { drawable(gap)? },
            across: drawable(outcome.number("diameter")?)?,
            wires,
        };
        let fits = plan.wires.iter().all(|wire| *wire <= plan.across * 1.000_001);
        ((2..=60).contains(&plan.wires.len()) && fits && plan.across < 10.0 * plan.bare()).then_some(plan)
    }

    /// The length without insulation.
    fn bare(&self) -> f64 {
        self.lap + 2.0 * self.gap
    }

    /// Every fact.
    fn callouts(&self, labels: &Labels) -> Vec<Phrase> {
        let mut facts: Vec<Phrase> = Vec::new();
        for (place, wire) in self.wires.iter().enumerate() {
            let number = if self.wires.len() > APART { (place + 1).min(2) } else { place + 1 };
            facts.push(phrase!(
                "{number} {wire_name}, conductor {wire}",
                number = number,
                wire_name = wire_name(labels, place),
                wire = diameter(*wire)
            ));
        }
        let thick = number(self.across, Rounding::LengthUp);
        facts.push(phrase!("Joint: {lap} long, Ø\u{a0}{thick}\u{a0}mm", lap = mm(self.lap), thick = thick));
        facts.push(phrase!("Strip of each conductor: {gap}", gap = mm(self.lap + self.gap)));
        facts.push(phrase!("Gap from each tip to the other insulation: {gap}", gap = mm(self.gap)));
        facts.push(phrase!("Bare length to cover: {bare}", bare = mm(self.bare())));
        facts.push(phrase!("Insulation is not to scale"));
        if self.wires.len() > DRAWN {
            facts.push(phrase!("Not every conductor is drawn"));
        }
        facts
    }

    /// Heights of the conductors' axes from the joint's, mm: a side view of their bundle.
    fn heights(&self) -> Vec<f64> {
        let last = self.wires.len().saturating_sub(1).max(1);
        let share = |place: usize| place as f64 / last as f64;
        let from = |place: usize, wire: f64| (self.across - wire) * (share(place) - 0.5);
        self.wires.iter().enumerate().map(|(place, wire)| from(place, *wire)).collect()
    }

    /// Puts the joint on the sheet.
    fn lay(&self, sheet: &mut Sheet) -> Option<()> {
        let thickest = self.wires.iter().copied().fold(0.0, f64::max);
        let tail = (0.4 * self.bare()).max(1.2 * thickest);
        let whole = self.bare() + 2.0 * tail;
        let figure = format!("Ø\u{a0}{}", number(self.across, Rounding::LengthUp));
        let beside = 34.0 + width_of(&figure);
        let room = sheet.width - 24.0 - beside;
        let tall = INSULATION * self.across;
        let scale = Scale::fitting(whole, room)?.and(Scale::fitting(tall, 150.0)?);
        let units = |mm: f64| scale.units(mm);
        let begin = 16.0 + (room - units(whole)) / 2.0;
        let end = begin + units(whole);
        let centre = f64::midpoint(begin, end);
        let axis = 60.0 + units(tall) / 2.0;
        let (tip, edge) = (units(self.lap) / 2.0, units(self.bare()) / 2.0);
        let heights = self.heights();
        self.conductors(sheet, scale, &heights, (centre, axis), (begin, end));
        self.body(sheet, (centre, axis), tip, units(self.across) / 2.0);
        let mut targets = Vec::new();
        for (place, height) in heights.iter().enumerate().take(if heights.len() > APART { 2 } else { APART })
        {
            let share = 0.25 + 0.5 * place as f64 / heights.len() as f64;
            let x = if place == 0 {
                centre - edge - 0.5 * units(tail)
            } else {
                end - units(tail) * (1.0 - share)
            };
            targets.push(Target { number: place + 1, at: (x, axis + units(self.fanned(*height, place))) });
        }
        sheet.callouts(24.0, &targets);
        sheet.line(Pen::Axis, (begin - 10.0, axis), (end + 6.0, axis));
        let half = units(self.across) / 2.0;
        sheet.upright(end + 22.0, (axis - half, axis + half), centre + tip, &figure);
        let span = |from: f64, to: f64, mm: f64, word: Phrase| Span {
            from: centre + from,
            to: centre + to,
            edges: (axis + half, axis + half),
            words: phrase!("{length} {word}", length = length(mm), word = word),
        };
        let mut spans = vec![
            span(-tip, tip, self.lap, phrase!("joint")),
            span(-edge, tip, self.lap + self.gap, phrase!("strip")),
            span(-edge, edge, self.bare(), phrase!("bare")),
        ];
        if self.gap > 0.0 {
            spans.push(span(tip, edge, self.gap, phrase!("gap")));
        }
        let foot = sheet.dimensions(axis + units(tall) / 2.0 + 26.0, &spans);
        sheet.scale_bar(scale, 16.0, foot + 20.0);
        Some(())
    }

    /// The height of an insulated end: on the right they fan out to make room for one another.
    fn fanned(&self, height: f64, place: usize) -> f64 {
        if place > 0 && self.wires.len() > 2 { INSULATION * height } else { height }
    }

    /// The conductors with their insulation, the first from the left.
    fn conductors(&self, sheet: &mut Sheet, scale: Scale, heights: &[f64], at: (f64, f64), ends: (f64, f64)) {
        let units = |mm: f64| scale.units(mm);
        let (centre, axis) = at;
        let (tip, edge) = (units(self.lap) / 2.0, units(self.bare()) / 2.0);
        let side = |place: usize| if place == 0 { -1.0 } else { 1.0 };
        // Of very many conductors some stand for all, so that lines do not run together.
        let every = self.wires.len().div_ceil(DRAWN);
        let drawn =
            |place: &usize| *place < 2 || place.is_multiple_of(every) || *place + 1 == self.wires.len();
        let all: Vec<(usize, (&f64, &f64))> =
            self.wires.iter().zip(heights).enumerate().filter(|(place, _)| drawn(place)).collect();
        for (place, (wire, height)) in all.iter().copied() {
            let (thin, y) = (units(*wire) / 2.0, axis + units(*height));
            let far = axis + units(self.fanned(*height, place));
            let s = side(place);
            let along = [(-tip, y), (tip, y), (edge, far)];
            let mut outline: Vec<(f64, f64)> =
                along.iter().map(|(x, y)| (centre + s * x, y - thin)).collect();
            outline.extend(along.iter().rev().map(|(x, y)| (centre + s * x, y + thin)));
            sheet.path(Fill::Copper, Pen::Line, &outline, true);
        }
        for (place, (wire, height)) in all {
            let thick = INSULATION * units(*wire) / 2.0;
            let y = axis + units(self.fanned(*height, place));
            let (x, broken) = if side(place) < 0.0 {
                ((ends.0, centre - edge), (true, false))
            } else {
                ((centre + edge, ends.1), (false, true))
            };
            sheet.bar(Fill::Paper, x, y, thick, broken);
        }
    }

    /// What holds the conductors together.
    fn body(&self, sheet: &mut Sheet, at: (f64, f64), tip: f64, half: f64) {
        let corners = ((at.0 - tip, at.1 - half), (at.0 + tip, at.1 + half));
        match self.by {
            Method::Lap => sheet.rect(Fill::None, Pen::Dash, corners.0, corners.1, 0.0),
            Method::Meshed => sheet.rect(Fill::Hatch(Hatch::Dense), Pen::Line, corners.0, corners.1, 0.0),
            Method::Barrel => {
                sheet.rect(Fill::Hatch(Hatch::Slant), Pen::Line, corners.0, corners.1, 2.0);
                sheet.text((at.0, at.1 - half - 6.0), Anchor::Middle, &sheet.tell(&phrase!("barrel")));
            }
        }
    }
}
