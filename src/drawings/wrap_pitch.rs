//! A loom with its spiral of tape from the side: pitch, overlap, angle.

use crate::drawings::svg::dimension::Span;
use crate::drawings::svg::scale::Scale;
use crate::drawings::svg::{Anchor, Fill, Hatch, Pen, Point, Sheet, width_of};
use crate::drawings::{Drawing, Labels, Sketch, Words, diameter, drawable, figures, length, mm, sketch};
use crate::phrase::{Phrase, phrase};
use crate::quantity::print::{Rounding, number};
use crate::workings::{Given, Outcome};
use std::f64::consts::{PI, TAU};

/// The drawing of `wrap`.
pub(crate) struct WrapPitch;

/// Turns shown, where the loom has as many.
const TURNS: f64 = 4.0;

/// The wrap in mm and degrees.
#[derive(Clone, Copy, Debug)]
struct Plan {
    loom: f64,
    thickness: f64,
    width: f64,
    overlap: f64,
    pitch: f64,
    angle: f64,
    turns: f64,
}

impl Drawing for WrapPitch {
    fn name(&self) -> &'static str {
        "wrap-pitch"
    }

    fn workings(&self) -> &'static [&'static str] {
        &["wrap"]
    }

    fn draw(&self, given: &Given, outcome: &Outcome, labels: &Labels) -> Option<Sketch> {
        let measure = |name: &str| given.measure(name).map(|measure| measure.value);
        let overlap = measure("overlap")?;
        let plan = Plan {
            loom: drawable(measure("diameter")?)?,
            thickness: drawable(measure("tape-thickness")?)?,
            width: drawable(measure("tape-width")?)?,
            overlap,
            pitch: drawable(outcome.number("pitch")?)?,
            angle: drawable(outcome.number("angle")?)?,
            turns: drawable(outcome.number("turns")?)?,
        };
        let sound = (0.0..1.0).contains(&overlap) && plan.angle < 80.0 && plan.pitch < 20.0 * plan.loom;
        if !sound || plan.pitch < plan.loom / 40.0 {
            return None;
        }
        let mut callouts = vec![
            phrase!(
                "Loom {loom}, tape {width} wide and {thickness}\u{a0}mm thick",
                loom = diameter(plan.loom),
                width = mm(plan.width),
                thickness = figures(plan.thickness)
            ),
            phrase!("Pitch: {pitch} along the loom in one turn", pitch = mm(plan.pitch)),
            phrase!(
                "Overlap: {share}\u{a0}% of the width; one turn hatched, its hidden edge dashed",
                share = figures(100.0 * overlap)
            ),
            phrase!("Angle from a straight turn: {angle}°", angle = figures(plan.angle)),
            phrase!("{turns} turns in all", turns = figures(plan.turns)),
        ];
        if let Some(tape) = outcome.number("tape") {
            callouts.push(phrase!("Tape needed: {tape}\u{a0}m", tape = number(tape, Rounding::LengthUp)));
        }
        let words = Words {
            title: phrase!("Tape round a loom, pitch {pitch}", pitch = mm(plan.pitch)),
            description: phrase!(
                "The loom from the side: bare at the left, then turns of tape, each over the edge of the one \
                          before. Dimension lines show the pitch and the tape's width along the loom."
            ),
            callouts,
        };
        sketch(labels, words, |sheet| plan.lay(sheet))
    }
}

impl Plan {
    /// Puts the wrap on the sheet.
    fn lay(&self, sheet: &mut Sheet) -> Option<()> {
        let along = self.width / self.angle.to_radians().cos();
        let shown = TURNS.min(self.turns).max(2.0) * self.pitch + along;
        let lead = (0.12 * shown).max(0.5 * self.loom);
        let figure = format!("Ø\u{a0}{}", length(self.loom));
        let room = sheet.width - 32.0 - width_of(&figure) - 46.0;
        let outside = self.loom + 2.0 * self.thickness;
        let scale = Scale::fitting(lead + shown, room)?.and(Scale::fitting(outside, 140.0)?);
        let units = |mm: f64| scale.units(mm);
        let begin = 16.0 + width_of(&figure) + 46.0 + (room - units(lead + shown)) / 2.0;
        let (start, end) = (begin + units(lead), begin + units(lead + shown));
        let (bare, taped) = (units(self.loom) / 2.0, units(outside) / 2.0);
        let axis = 84.0 + taped;
        sheet.bar(Fill::Paper, (begin, start), axis, bare, (true, false));
        sheet.bar(Fill::Paper, (start, end), axis, taped, (false, true));
        let pitch = units(self.pitch);
        // The visible half of a helix runs half a pitch from the top to the foot.
        let edge = |from: f64| -> Vec<Point> {
            (0..=24)
                .map(|step| {
                    let turn = PI * f64::from(step) / 24.0;
                    (from + pitch * turn / TAU, axis - taped * turn.cos())
                })
                .collect()
        };
        let inside = |points: Vec<Point>| points.into_iter().filter(|(x, _)| *x <= end).collect::<Vec<_>>();
        let place = |turn: f64| start + pitch * turn;
        let (first, next) = (edge(place(1.0)), edge(place(2.0)));
        let strip: Vec<Point> = first.iter().copied().chain(next.into_iter().rev()).collect();
        sheet.path(Fill::Hatch(Hatch::Slant), Pen::None, &strip, true);
        for turn in 0_i32..8 {
            let points = inside(edge(place(f64::from(turn))));
            if points.len() > 1 && place(f64::from(turn)) < end - 2.0 {
                sheet.path(Fill::None, Pen::Line, &points, false);
            }
        }
        if self.overlap > 0.0 {
            sheet.path(Fill::None, Pen::Dash, &inside(edge(place(1.0) + units(along))), false);
        }
        sheet.line(Pen::Axis, (begin - 10.0, axis), (end + 12.0, axis));
        self.mark_angle(sheet, (place(2.0) + pitch / 4.0, axis), taped);
        sheet.upright(begin - 28.0 - width_of(&figure), (axis - bare, axis + bare), begin, &figure);
        let span = |from: f64, long: f64, y: f64, words: Phrase| Span {
            from,
            to: from + long,
            edges: (y, y),
            words,
        };
        let foot = axis + taped;
        let spans = [
            span(place(1.0) + pitch / 2.0, pitch, foot, phrase!("{pitch} pitch", pitch = length(self.pitch))),
            span(
                place(1.0) + pitch / 2.0,
                units(along),
                foot,
                phrase!("{along} tape, along", along = length(along)),
            ),
        ];
        let row = sheet.dimensions(foot + 28.0, &spans);
        sheet.scale_bar(scale, 16.0, row + 20.0);
        Some(())
    }

    /// The angle between a straight turn and the tape, above the loom; the edge's slope on the axis is true.
    fn mark_angle(&self, sheet: &mut Sheet, at: Point, half: f64) {
        let reach = half + 44.0;
        let turn = self.angle.to_radians();
        let tip = (at.0 - reach * turn.sin(), at.1 - reach * turn.cos());
        sheet.line(Pen::Thin, at, (at.0, at.1 - reach));
        sheet.line(Pen::Thin, at, tip);
        let arc: Vec<Point> = (0..=12)
            .map(|step| {
                let part = turn * f64::from(step) / 12.0;
                (at.0 - (reach - 10.0) * part.sin(), at.1 - (reach - 10.0) * part.cos())
            })
            .collect();
        sheet.path(Fill::None, Pen::Thin, &arc, false);
        sheet.figure((at.0 + 6.0, at.1 - reach + 14.0), Anchor::Start, &format!("{}°", figures(self.angle)));
    }
}
