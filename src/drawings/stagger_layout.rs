//! The stagger of a repair zone: where each joint lies, how far each side is trimmed, how thick it gets.

mod across;

use crate::drawings::stagger_layout::across::Across;
use crate::drawings::svg::dimension::Span;
use crate::drawings::svg::scale::Scale;
use crate::drawings::svg::{Anchor, Fill, Pen, Sheet, width_of};
use crate::drawings::{
    Drawing, Labels, Sketch, Words, diameter, drawable, length, mm, numbers, sketch, wire_name,
};
use crate::phrase::{Phrase, phrase};
use crate::quantity::print::{Rounding, number};
use crate::workings::{Given, Measure, Outcome, Value};

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
    /// The bundle with all joints level, and at its thickest when they are staggered.
    across: Option<[Across; 2]>,
    /// Whether the page knows what the wires are called.
    is_named: bool,
}

/// One wire of the zone.
#[derive(Clone, Debug)]
struct Wire {
    name: Phrase,
    /// In the letters of IEC 60757; empty where it is not known.
    colour: String,
    offset: f64,
    near: f64,
    far: f64,
    park: Option<Phrase>,
    /// Outside, and over its joint, mm.
    diameters: Option<(f64, f64)>,
}

/// How the lines of all wires lie on the sheet.
struct Rows {
    scale: Scale,
    /// The near edge of the zone.
    near: f64,
    /// Both ends of a line.
    ends: (f64, f64),
    /// Width of a column of figures.
    column: f64,
    /// Whether the names of the wires have room.
    is_named: bool,
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
        let words = Words {
            title: phrase!(
                "Stagger of {count} joints in a zone of {zone}",
                count = plan.wires.len(),
                zone = mm(plan.zone)
            ),
            description: phrase!(
                "One line a wire, the near side at the left: each sleeve as a box, the overlap of the \
                          conductors solid inside it, and beside it how far each side is trimmed. Lengths are to \
                          scale along the loom. Below, the loom across with all joints level and at its thickest \
                          when they are staggered, to one scale: joints hatched, wires that pass by plain."
            ),
            callouts: plan.callouts(outcome),
        };
        sketch(labels, words, |sheet| {
            let foot = plan.zone(sheet)?;
            plan.across.as_ref().map_or(Some(()), |both| across::lay(sheet, foot + 34.0, both))
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
        let outside: Vec<f64> = given.measures("wires").iter().map(Measure::high).collect();
        let over: Vec<f64> = given.measures("finished").iter().map(Measure::high).collect();
        let over_joint = |place: usize| if over.len() == 1 { over.first() } else { over.get(place) }.copied();
        let wires: Vec<Wire> = offsets
            .iter()
            .zip(near.iter().zip(&far))
            .enumerate()
            .map(|(place, (offset, (near, far)))| Wire {
                name: wire_name(labels, place),
                colour: labels.colours.get(place).cloned().unwrap_or_default(),
                offset: *offset,
                near: *near,
                far: *far,
                park: match parks.get(place) {
                    Some(&"near") => Some(phrase!("; sleeve waits on the near side")),
                    Some(&"far") => Some(phrase!("; sleeve waits on the far side")),
                    _ => None,
                },
                diameters: outside.get(place).copied().zip(over_joint(place)),
            })
            .collect();
        let plan = Plan {
            zone: drawable(outcome.number("zone")?)?,
            sleeve: drawable(joint)?,
            lap: drawable(measure("lap")?)?,
            across: across_both(outcome, wires.len()),
            is_named: labels.wires.iter().any(|name| !name.is_empty()),
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

    /// Every fact.
    fn callouts(&self, outcome: &Outcome) -> Vec<Phrase> {
        let mut facts: Vec<Phrase> = Vec::new();
        for (place, wire) in self.wires.iter().enumerate() {
            let thick = wire.diameters.map_or_else(Phrase::default, |(outside, over)| {
                phrase!(
                    ", {outside}, over its joint {over}",
                    outside = diameter(outside),
                    over = diameter(over)
                )
            });
            facts.push(phrase!(
                "{place} {wire}{thick}: joint {offset} from the near edge; trim near {near}, far {far}{park}",
                place = place + 1,
                wire = wire.name,
                thick = thick,
                offset = mm(wire.offset),
                near = mm(wire.near),
                far = mm(wire.far),
                park = wire.park.clone().unwrap_or_default()
            ));
        }
        facts.push(phrase!("Zone: {zone}", zone = mm(self.zone)));
        if let Some(overlap) = outcome.number("overlap-needed") {
            facts.push(phrase!("Both sides must overlap by {overlap}", overlap = mm(overlap)));
        }
        if let Some([level, staggered]) = &self.across {
            let up = |value: f64| number(value, Rounding::LengthUp);
            facts.push(phrase!("Thickest with all joints level: Ø\u{a0}{level}\u{a0}mm; staggered: Ø\u{a0}{staggered}\u{a0}mm", level = up(level.whole), staggered = up(staggered.whole)));
            let joined: Vec<String> = self.cut().iter().map(|place| (place + 1).to_string()).collect();
            if !joined.is_empty() {
                facts.push(phrase!(
                    "Staggered, it is thickest at A, where it is cut across; joint there: {joints}",
                    joints = joined.join(", ")
                ));
            }
        }
        facts
    }

    /// The wires that are joined where the staggered zone is cut across.
    fn cut(&self) -> Vec<usize> {
        let Some([_, staggered]) = &self.across else { return Vec::new() };
        staggered.members.iter().filter(|member| member.is_joint).map(|member| member.wire).collect()
    }

    /// The wires with their joints. Answers how far down they reach.
    fn zone(&self, sheet: &mut Sheet) -> Option<f64> {
        let column = self
            .wires
            .iter()
            .map(|wire| width_of(&length(wire.near)).max(width_of(&length(wire.far))))
            .fold(width_of(&sheet.tell(&phrase!("near"))), f64::max)
            + 10.0;
        let longest = self.wires.iter().map(|wire| width_of(&sheet.tell(&wire.name))).fold(0.0, f64::max);
        // Names stand in the drawing where all of them fit, else the letters of the colours; the list has both.
        let is_named = self.is_named && sheet.is_wide() && longest <= 170.0;
        let letters = self.wires.iter().map(|wire| width_of(&wire.colour)).fold(0.0, f64::max);
        let wide = if is_named { longest } else { letters };
        let names = if wide > 0.0 { wide + 8.0 } else { 0.0 };
        let (left, right) = (34.0 + names, sheet.width - 8.0 - 2.0 * column);
        let scale = Scale::fitting(self.zone * 1.12, right - left)?;
        let units = |mm: f64| scale.units(mm);
        let near = left + (right - left - units(self.zone)) / 2.0;
        let far = near + units(self.zone);
        let top = 62.0;
        sheet.text((sheet.width - 8.0, 18.0), Anchor::End, &sheet.tell(&phrase!("trim, mm")));
        sheet.text((sheet.width - 8.0 - column, 36.0), Anchor::End, &sheet.tell(&phrase!("near")));
        sheet.text((sheet.width - 8.0, 36.0), Anchor::End, &sheet.tell(&phrase!("far")));
        let foot = top + LINE * (self.wires.len() as f64 - 1.0) + 14.0;
        sheet.line(Pen::Dash, (near, 44.0), (near, foot));
        sheet.line(Pen::Dash, (far, 44.0), (far, foot));
        let cut =
            self.cut().first().and_then(|place| self.wires.get(*place)).map(|wire| near + units(wire.offset));
        let rows = Rows { scale, near, ends: (left + 2.0, right - 2.0), column, is_named };
        for (place, wire) in self.wires.iter().enumerate() {
            self.row(sheet, &rows, (place + 1, wire), top + LINE * place as f64);
        }
        if let Some(x) = cut {
            sheet.line(Pen::Axis, (x, 40.0), (x, foot + 4.0));
            sheet.figure((x, 36.0), Anchor::Middle, "A");
        }
        let mut spans = vec![Span {
            from: near,
            to: far,
            edges: (foot, foot),
            words: phrase!("{zone} zone", zone = length(self.zone)),
        }];
        if let Some(first) = self.wires.first() {
            let to = near + units(first.offset);
            let y = top + 6.0;
            spans.push(Span {
                from: near,
                to,
                edges: (foot, y),
                words: phrase!("{offset} to joint 1", offset = length(first.offset)),
            });
        }
        let low = sheet.dimensions(foot + 24.0, &spans);
        sheet.scale_bar(scale, 16.0, low + 20.0);
        Some(low + if sheet.is_wide() { 30.0 } else { 48.0 })
    }

    /// One wire at height `y` with its joint and how far each side is trimmed.
    fn row(&self, sheet: &mut Sheet, rows: &Rows, wire: (usize, &Wire), y: f64) {
        let (number, wire) = wire;
        let centre = rows.near + rows.scale.units(wire.offset);
        let (lap, half) = (rows.scale.units(self.lap) / 2.0, rows.scale.units(self.sleeve) / 2.0);
        sheet.figure((26.0, y + 4.5), Anchor::End, &number.to_string());
        let beside = if rows.is_named { sheet.tell(&wire.name) } else { wire.colour.clone() };
        if !beside.is_empty() {
            sheet.text((34.0, y + 4.5), Anchor::Start, &beside);
        }
        if !sheet.insulation(&wire.colour, (rows.ends.0, y - 3.0), (rows.ends.1, y + 3.0)) {
            sheet.line(Pen::Line, (rows.ends.0, y), (rows.ends.1, y));
        }
        let round = 4.0_f64.min(half);
        sheet.rect(Fill::Paper, Pen::Line, (centre - half, y - 6.0), (centre + half, y + 6.0), round);
        sheet.rect(Fill::Ink, Pen::None, (centre - lap, y - 2.5), (centre + lap, y + 2.5), 0.0);
        sheet.figure((sheet.width - 8.0 - rows.column, y + 4.5), Anchor::End, &length(wire.near));
        sheet.figure((sheet.width - 8.0, y + 4.5), Anchor::End, &length(wire.far));
    }
}

/// The bundle level and staggered: with its wires where the answer has them, else as plain circles.
fn across_both(outcome: &Outcome, wires: usize) -> Option<[Across; 2]> {
    let read = |name: &str, title: Phrase, diameter: &str| {
        let whole = outcome.number(diameter).and_then(drawable)?;
        let section = outcome.sections.iter().find(|section| section.name == name);
        let plain = Across { title: title.clone(), whole, members: Vec::new() };
        Some(section.and_then(|section| Across::read(section, title, wires)).unwrap_or(plain))
    };
    let level = read("level", phrase!("all level"), "bulge-level")?;
    let mut staggered = read("staggered", phrase!("staggered"), "bulge-staggered")?;
    if !staggered.members.is_empty() {
        staggered.title = phrase!("staggered, at A");
    }
    Some([level, staggered])
}
