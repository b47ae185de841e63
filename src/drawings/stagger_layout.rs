//! The stagger of a repair zone: where each joint lies, how far each side is trimmed, how thick it gets.

use crate::drawings::svg::dimension::Span;
use crate::drawings::svg::scale::Scale;
use crate::drawings::svg::{Anchor, Fill, Hatch, Pen, Sheet, width_of};
use crate::drawings::{Drawing, Labels, Sketch, Words, drawable, length, mm, numbers, sketch, wire_name};
use crate::quantity::print::{Rounding, number};
use crate::workings::{Given, Outcome, Value};

/// The drawing of `stagger`.
pub(crate) struct StaggerLayout;

/// More wires than this make no readable picture.
const MOST: usize = 120;

/// Distance between the lines of two wires.
const LINE: f64 = 22.0;

/// The zone in mm.
#[derive(Clone, Debug)]
struct Plan {
    wires: Vec<Wire>,
    zone: f64,
    sleeve: f64,
    lap: f64,
    bulges: Option<(f64, f64)>,
}

/// One wire of the zone.
#[derive(Clone, Debug)]
struct Wire {
    name: String,
    offset: f64,
    near: f64,
    far: f64,
    park: String,
}

impl Drawing for StaggerLayout {
    fn name(&self) -> &'static str {
        "stagger-layout"
    }

    fn workings(&self) -> &'static [&'static str] {
        &["stagger"]
    }

    fn draw(&self, given: &Given, outcome: &Outcome, labels: &Labels) -> Option<Sketch> {
        let plan = Plan::read(given, outcome, labels)?;
        let mut callouts: Vec<String> = Vec::new();
        for (place, wire) in plan.wires.iter().enumerate() {
            callouts.push(format!(
                "{} {}: joint {} from the near edge; trim near {}, far {}{}",
                place + 1,
                wire.name,
                mm(wire.offset),
                mm(wire.near),
                mm(wire.far),
                wire.park
            ));
        }
        callouts.push(format!("Zone: {}", mm(plan.zone)));
        if let Some(overlap) = outcome.number("overlap-needed") {
            callouts.push(format!("Both sides must overlap by {}", mm(overlap)));
        }
        if let Some((level, staggered)) = plan.bulges {
            let up = |value: f64| number(value, Rounding::LengthUp);
            callouts.push(format!(
                "Thickest with all joints level: Ø\u{a0}{}\u{a0}mm; staggered: Ø\u{a0}{}\u{a0}mm",
                up(level),
                up(staggered)
            ));
        }
        let words = Words {
            title: format!("Stagger of {} joints in a zone of {}", plan.wires.len(), mm(plan.zone)),
            description: "One line a wire, the near side at the left: each sleeve as a box, the overlap of the \
                          conductors solid inside it, and beside it how far each side is trimmed. Lengths are to \
                          scale along the loom."
                .to_owned(),
            callouts,
        };
        sketch(labels, words, |sheet| {
            let foot = plan.zone(sheet)?;
            plan.bulges.map_or(Some(()), |bulges| sections(sheet, foot + 34.0, bulges))
        })
    }
}

impl Plan {
    /// The zone, where it can be drawn.
    fn read(given: &Given, outcome: &Outcome, labels: &Labels) -> Option<Plan> {
        let (offsets, near, far) =
            (numbers(outcome, "offsets"), numbers(outcome, "trim-near"), numbers(outcome, "trim-far"));
        let parks: Vec<&str> = match outcome.get("park") {
            Some(Value::List(items)) => items
                .iter()
                .map(|item| if let Value::Text(side) = item { side.as_str() } else { "" })
                .collect(),
            _ => Vec::new(),
        };
        let measure = |name: &str| given.measure(name).map(|measure| measure.high());
        let joint = measure("joint").or_else(|| measure("sleeve"))?;
        let wires: Vec<Wire> = offsets
            .iter()
            .zip(near.iter().zip(&far))
            .enumerate()
            .map(|(place, (offset, (near, far)))| Wire {
                name: wire_name(labels, place),
                offset: *offset,
                near: *near,
                far: *far,
                park: parks
                    .get(place)
                    .filter(|side| !side.is_empty())
                    .map_or_else(String::new, |side| format!("; sleeve waits on the {side} side")),
            })
            .collect();
        let level = outcome.number("bulge-level").and_then(drawable);
        let plan = Plan {
            zone: drawable(outcome.number("zone")?)?,
            sleeve: drawable(joint)?,
            lap: drawable(measure("lap")?)?,
            bulges: level.zip(outcome.number("bulge-staggered").and_then(drawable)),
            wires,
        };
        let inside = |wire: &Wire| {
            [wire.offset, wire.near, wire.far].iter().all(|value| drawable(*value).is_some())
                && wire.offset <= plan.zone * 1.001
        };
        let sound = (1..=MOST).contains(&plan.wires.len()) && plan.wires.iter().all(inside);
        (sound
            && plan.wires.len() == offsets.len()
            && plan.lap <= plan.sleeve * 1.001
            && plan.sleeve <= plan.zone * 1.001)
            .then_some(plan)
    }

    /// The wires with their joints. Answers how far down they reach.
    fn zone(&self, sheet: &mut Sheet) -> Option<f64> {
        let column = self
            .wires
            .iter()
            .map(|wire| width_of(&length(wire.near)).max(width_of(&length(wire.far))))
            .fold(width_of("near"), f64::max)
            + 10.0;
        let longest = self.wires.iter().map(|wire| width_of(&wire.name)).fold(0.0, f64::max);
        // Names stand in the drawing where all of them fit; the list has them in any case.
        let names = if sheet.is_wide() && longest > 0.0 && longest <= 170.0 { longest + 8.0 } else { 0.0 };
        let (left, right) = (34.0 + names, sheet.width - 8.0 - 2.0 * column);
        let scale = Scale::fitting(self.zone * 1.12, right - left)?;
        let units = |mm: f64| scale.units(mm);
        let near = left + (right - left - units(self.zone)) / 2.0;
        let far = near + units(self.zone);
        let top = 44.0;
        let (begin, end) = (left + 2.0, right - 2.0);
        sheet.text((sheet.width - 8.0 - column, 20.0), Anchor::End, "near");
        sheet.text((sheet.width - 8.0, 20.0), Anchor::End, "far");
        sheet.text((sheet.width - 16.0 - 2.0 * column, 20.0), Anchor::End, "trim, mm:");
        let foot = top + LINE * (self.wires.len() as f64 - 1.0) + 14.0;
        sheet.line(Pen::Dash, (near, 26.0), (near, foot));
        sheet.line(Pen::Dash, (far, 26.0), (far, foot));
        for (place, wire) in self.wires.iter().enumerate() {
            let y = top + LINE * place as f64;
            let centre = near + units(wire.offset);
            let (lap, half) = (units(self.lap) / 2.0, units(self.sleeve) / 2.0);
            sheet.figure((26.0, y + 4.5), Anchor::End, &(place + 1).to_string());
            if names > 0.0 {
                sheet.text((34.0, y + 4.5), Anchor::Start, &wire.name);
            }
            sheet.line(Pen::Line, (begin, y), (end, y));
            sheet.rect(
                Fill::Paper,
                Pen::Line,
                (centre - half, y - 6.0),
                (centre + half, y + 6.0),
                4.0_f64.min(half),
            );
            sheet.rect(Fill::Ink, Pen::None, (centre - lap, y - 2.5), (centre + lap, y + 2.5), 0.0);
            sheet.figure((sheet.width - 8.0 - column, y + 4.5), Anchor::End, &length(wire.near));
            sheet.figure((sheet.width - 8.0, y + 4.5), Anchor::End, &length(wire.far));
        }
        let mut spans = vec![Span {
            from: near,
            to: far,
            edges: (foot, foot),
            words: format!("{} zone", length(self.zone)),
        }];
        if let Some(first) = self.wires.first() {
            let to = near + units(first.offset);
            let y = top + 6.0;
            spans.push(Span {
                from: near,
                to,
                edges: (foot, y),
                words: format!("{} to joint 1", length(first.offset)),
            });
        }
        let low = sheet.dimensions(foot + 24.0, &spans);
        sheet.scale_bar(scale, 16.0, low + 20.0);
        Some(low + if sheet.is_wide() { 30.0 } else { 48.0 })
    }
}

/// The thickest places level and staggered, across, side by side.
fn sections(sheet: &mut Sheet, top: f64, bulges: (f64, f64)) -> Option<()> {
    let scale = Scale::fitting(bulges.0.max(bulges.1), if sheet.is_wide() { 130.0 } else { 110.0 })?;
    let tall = scale.units(bulges.0.max(bulges.1)) / 2.0;
    let centre = top + 18.0 + tall;
    for (share, word, across) in [(0.27, "all level", bulges.0), (0.73, "staggered", bulges.1)] {
        let x = sheet.width * share;
        let half = scale.units(across) / 2.0;
        sheet.text((x, top + 4.0), Anchor::Middle, word);
        sheet.circle(Fill::Hatch(Hatch::Back), Pen::Line, (x, centre), half);
        let words = format!("Ø\u{a0}{}", number(across, Rounding::LengthUp));
        sheet.dimension(
            centre + tall + 28.0,
            &Span { from: x - half, to: x + half, edges: (centre, centre), words },
        );
    }
    sheet.scale_bar(scale, 16.0, centre + tall + 48.0);
    Some(())
}
