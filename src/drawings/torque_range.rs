//! A torque on the scale of a wrench, in N·m and lbf·ft, and the wrench with its adapter from above.

use crate::drawings::svg::dimension::Span;
use crate::drawings::svg::scale::Scale;
use crate::drawings::svg::{Anchor, Fill, Hatch, Pen, Point, Sheet, width_of};
use crate::drawings::{Drawing, Labels, Sketch, Words, drawable, figures, length, mm, sketch};
use crate::phrase::{Phrase, phrase};
use crate::workings::{Given, Outcome};

/// The drawing of `torque`.
pub(crate) struct TorqueRange;

/// The share of a wrench's range from which it is used.
const LEAST_SHARE: f64 = 0.2;

/// The torque in N·m, the wrench in mm and degrees.
#[derive(Clone, Copy, Debug)]
struct Plan {
    torque: f64,
    pounds: f64,
    set_to: f64,
    range: Option<(f64, f64)>,
    arm: Option<f64>,
    adapter: Option<f64>,
    angle: f64,
}

impl Drawing for TorqueRange {
    fn name(&self) -> &'static str {
        "torque-range"
    }

    fn workings(&self) -> &'static [&'static str] {
        &["torque"]
    }

    fn draw(&self, given: &Given, outcome: &Outcome, labels: &Labels) -> Option<Sketch> {
        let measure = |name: &str| given.measure(name).map(|measure| measure.value);
        let torque = drawable(outcome.number("torque")?)?;
        let plan = Plan {
            torque,
            pounds: drawable(outcome.number("torque-lbf-ft")?)?,
            set_to: outcome.number("set-to").map_or(Some(torque), drawable)?,
            range: given
                .range("range")
                .filter(|(low, high)| *low >= 0.0 && high > low && drawable(*high).is_some()),
            arm: measure("arm").and_then(drawable),
            adapter: measure("adapter").and_then(drawable),
            angle: measure("angle").unwrap_or(0.0),
        };
        let words = Words {
            title: phrase!("Torque {torque}\u{a0}N·m on the scale of a wrench", torque = figures(torque)),
            description: phrase!(
                "A scale in N·m above and lbf·ft below, with a mark at the torque at the fastener and one at \
                          what the wrench is set to; the part of a wrench's range that is used is hatched. Where an \
                          adapter is given, the wrench is drawn from above."
            ),
            callouts: plan.callouts(outcome),
        };
        sketch(labels, words, |sheet| {
            let foot = plan.scales(sheet)?;
            match plan.arm.zip(plan.adapter) {
                Some((arm, adapter)) => plan.wrench(sheet, foot + 26.0, arm, adapter),
                None => Some(()),
            }
        })
    }
}

impl Plan {
    /// Whether an adapter changes the setting.
    fn corrected(&self) -> bool {
        (self.set_to / self.torque - 1.0).abs() > 1e-9
    }

    /// The part of the range that is used.
    fn used(&self) -> Option<(f64, f64)> {
        self.range.map(|(low, high)| (low.max(LEAST_SHARE * high), high))
    }

    /// Every fact.
    fn callouts(&self, outcome: &Outcome) -> Vec<Phrase> {
        let other = |name: &str, unit: &str| {
            outcome
                .number(name)
                .map_or_else(String::new, |value| format!(" = {}\u{a0}{unit}", figures(value)))
        };
        let mut facts = vec![phrase!(
            "1 Torque at the fastener: {torque}\u{a0}N·m{feet}{inches}{metres}",
            torque = figures(self.torque),
            feet = other("torque-lbf-ft", "lbf·ft"),
            inches = other("torque-lbf-in", "lbf·in"),
            metres = other("torque-kgf-m", "kgf·m")
        )];
        if self.corrected() {
            facts.push(phrase!("2 Set the wrench to {set_to}\u{a0}N·m", set_to = figures(self.set_to)));
        }
        if let Some((low, high)) = self.used() {
            facts.push(phrase!(
                "Use of the wrench: {low} to {high}\u{a0}N·m, hatched (20\u{a0}% to 100\u{a0}% of its range)",
                low = figures(low),
                high = figures(high)
            ));
        }
        if let Some((arm, adapter)) = self.arm.zip(self.adapter) {
            facts.push(phrase!(
                "Wrench {wrench} from grip to drive, adapter {adapter} at {angle}°",
                wrench = mm(arm),
                adapter = mm(adapter),
                angle = figures(self.angle)
            ));
            let along = adapter * self.angle.to_radians().cos();
            let length = mm(along.abs());
            facts.push(match along < 0.0 {
                true => phrase!("Along the wrench the adapter takes away {length}", length = length),
                false => phrase!("Along the wrench the adapter adds {length}", length = length),
            });
        }
        facts
    }

    /// The two scales. Answers how far down they reach.
    fn scales(&self, sheet: &mut Sheet) -> Option<f64> {
        let highest = self.used().map_or(1.6 * self.torque.max(self.set_to), |(_, high)| high);
        let top = 1.04 * highest.max(self.torque).max(self.set_to);
        let (left, right) = (24.0, sheet.width - 24.0);
        let at = |torque: f64| left + (right - left) * torque / top;
        let (upper, lower) = (82.0, 100.0);
        if let Some((low, high)) = self.used() {
            sheet.rect(Fill::Hatch(Hatch::Slant), Pen::None, (at(low), upper), (at(high), lower), 0.0);
            for end in [low, high] {
                sheet.line(Pen::Line, (at(end), upper), (at(end), lower));
            }
        }
        sheet.line(Pen::Line, (left, upper), (right, upper));
        sheet.line(Pen::Line, (left, lower), (right, lower));
        let factor = self.pounds / self.torque;
        let marks =
            if self.corrected() { vec![(1, self.torque), (2, self.set_to)] } else { vec![(1, self.torque)] };
        let taken: Vec<f64> = marks.iter().map(|(_, torque)| at(*torque)).collect();
        ticks(sheet, top, at, (upper, -1.0), &taken);
        ticks(sheet, top * factor, |value| at(value / factor), (lower, 1.0), &[]);
        sheet.text((left, 20.0), Anchor::Start, "N·m");
        sheet.text((left, lower + 44.0), Anchor::Start, "lbf·ft");
        for (_, torque) in &marks {
            sheet.line(Pen::Line, (at(*torque), upper - 36.0), (at(*torque), lower + 2.0));
            let x = at(*torque);
            sheet.path(
                Fill::Ink,
                Pen::None,
                &[(x, upper), (x - 5.0, upper - 11.0), (x + 5.0, upper - 11.0)],
                true,
            );
        }
        self.flags(sheet, &marks, at, upper - 46.0);
        Some(lower + 48.0)
    }

    /// Number and figure of each mark at height `y`, kept apart.
    fn flags(&self, sheet: &mut Sheet, marks: &[(usize, f64)], at: impl Fn(f64) -> f64, y: f64) {
        let mut sorted = marks.to_vec();
        sorted.sort_by(|one, other| one.1.total_cmp(&other.1));
        let last = sorted.len().saturating_sub(1);
        for (place, (index, torque)) in sorted.iter().enumerate() {
            let words = figures(*torque);
            let wide = 24.0 + width_of(&words);
            // Of two marks the lower has its flag at the left, the higher at the right.
            let x = at(*torque);
            let leftward = (last > 0 && place == 0) || x + wide > sheet.width - 4.0;
            let aside = if last > 0 { 11.0 } else { 0.0 };
            let (balloon, text, anchor) = if leftward {
                (x - aside, x - aside - 14.0, Anchor::End)
            } else {
                (x + aside, x + aside + 14.0, Anchor::Start)
            };
            sheet.balloon((balloon, y), *index);
            sheet.figure((text, y + 4.5), anchor, &words);
        }
    }

    /// The wrench and its adapter from above, to scale, from `top` down.
    fn wrench(&self, sheet: &mut Sheet, top: f64, arm: f64, adapter: f64) -> Option<()> {
        let turn = self.angle.to_radians();
        let (along, aside) = (adapter * turn.cos(), adapter * turn.sin());
        let (low, high) = (along.min(0.0) - 0.1 * arm, (arm + along).max(arm));
        let room = sheet.width - 72.0;
        let scale =
            Scale::fitting(high - low.min(-0.1 * arm), room)?.and(Scale::fitting(aside.max(1.0), 150.0)?);
        let units = |mm: f64| scale.units(mm);
        let start = 30.0 + (room - units(high - low)) / 2.0 - units(low);
        let axis = top + 34.0 + units(aside);
        let grip: Point = (start, axis);
        let drive: Point = (start + units(arm), axis);
        let nut: Point = (drive.0 + units(along), axis - units(aside));
        sheet.text((16.0, top), Anchor::Start, &sheet.tell(&phrase!("Wrench and adapter from above")));
        sheet.rect(
            Fill::Hatch(Hatch::Slant),
            Pen::Line,
            (grip.0 - units(0.1 * arm), axis - 9.0),
            (grip.0 + units(0.1 * arm), axis + 9.0),
            4.0,
        );
        sheet.rect(
            Fill::Paper,
            Pen::Line,
            (grip.0 + units(0.1 * arm), axis - 5.0),
            (drive.0, axis + 5.0),
            0.0,
        );
        let (sine, cosine) = (6.0 * turn.sin(), 6.0 * turn.cos());
        let plate = [
            (drive.0 - sine, drive.1 - cosine),
            (nut.0 - sine, nut.1 - cosine),
            (nut.0 + sine, nut.1 + cosine),
            (drive.0 + sine, drive.1 + cosine),
        ];
        sheet.path(Fill::Paper, Pen::Line, &plate, true);
        sheet.circle(Fill::Paper, Pen::Line, nut, 12.0);
        sheet.path(Fill::Paper, Pen::Line, &hexagon(nut, 7.5), true);
        sheet.circle(Fill::Paper, Pen::Line, drive, 9.0);
        sheet.rect(Fill::Ink, Pen::None, (drive.0 - 3.5, axis - 3.5), (drive.0 + 3.5, axis + 3.5), 0.0);
        sheet.line(Pen::Axis, (grip.0 - units(0.1 * arm) - 8.0, axis), (drive.0 + 24.0, axis));
        let mut spans = vec![Span {
            from: grip.0,
            to: drive.0,
            edges: (axis + 9.0, axis + 9.0),
            words: phrase!("{arm} wrench", arm = length(arm)),
        }];
        if along.abs() > 1e-6 {
            let (left, right) =
                if along > 0.0 { (axis + 9.0, nut.1 + 12.0) } else { (nut.1 + 12.0, axis + 9.0) };
            let words = match along > 0.0 {
                true => phrase!("{length} adapter, along", length = length(along.abs())),
                false => phrase!("{length} adapter, back", length = length(along.abs())),
            };
            spans.push(Span {
                from: drive.0.min(nut.0),
                to: drive.0.max(nut.0),
                edges: (left, right),
                words,
            });
        }
        let foot = sheet.dimensions(axis + 40.0, &spans);
        sheet.scale_bar(scale, 16.0, foot + 20.0);
        Some(())
    }
}

/// Ticks with figures at round values from nought to `top`; `side` is the line's height and the way they point.
/// Where a mark is near, its figure is left out.
fn ticks(sheet: &mut Sheet, top: f64, at: impl Fn(f64) -> f64, side: Point, taken: &[f64]) {
    let room = sheet.width / (width_of("0000.0") + 12.0);
    let mut step = 1e-3;
    'found: for power in -3_i32..=6 {
        for digit in [1.0, 2.0, 5.0] {
            step = digit * 10.0_f64.powi(power);
            if top / step <= room.min(10.0) {
                break 'found;
            }
        }
    }
    let mut value = 0.0;
    let mut count = 0.0;
    while value <= top && count < 40.0 {
        sheet.line(Pen::Thin, (at(value), side.0), (at(value), side.0 + 7.0 * side.1));
        let base = side.0 + if side.1 < 0.0 { -11.0 } else { 19.0 };
        let words = figures(value);
        if taken.iter().all(|mark| (mark - at(value)).abs() > width_of(&words) / 2.0 + 7.0) {
            sheet.figure((at(value), base), Anchor::Middle, &words);
        }
        count += 1.0;
        value = step * count;
    }
}

/// A hexagon across its corners.
fn hexagon(at: Point, radius: f64) -> Vec<Point> {
    (0..6)
        .map(|corner| {
            let turn = f64::from(corner) * std::f64::consts::FRAC_PI_3;
            (at.0 + radius * turn.cos(), at.1 + radius * turn.sin())
        })
        .collect()
}
