//! The route of a new cable: straight runs and bends to scale, and what is added to them before it is cut.
//!
//! The working knows lengths and bends, not which way each bend turns. So the bends turn back and forth and
//! the drawing says so; every fact of it stands in the list too.

mod labels;
mod path;

use crate::drawings::route::labels::Label;
use crate::drawings::route::path::{Part, Path};
use crate::drawings::svg::lettering::LEADING;
use crate::drawings::svg::scale::Scale;
use crate::drawings::svg::{Anchor, Fill, Pen, Point, Sheet, width_of};
use crate::drawings::{Drawing, Labels, Sketch, Words, drawable, figures, length, mm, sketch};
use crate::phrase::{Phrase, phrase};
use crate::quantity::print::{Rounding, number};
use crate::quantity::{Quantity, unit};
use crate::workings::{Given, Measure, Outcome};

/// The drawing of `cut-length`.
pub(crate) struct Route;

/// More runs, or more bends, than this make no readable picture.
const MOST: usize = 12;

/// A bend that turns further than this is a coil, not a bend.
const WIDEST: f64 = 270.0;

/// Radius of the sign for a service loop.
const LOOP: f64 = 13.0;

/// The cable in mm and degrees.
#[derive(Clone, Debug)]
struct Plan {
    runs: Vec<f64>,
    bends: Vec<(f64, f64)>,
    loops: Vec<f64>,
    ends: Vec<f64>,
    slack: f64,
    exact: f64,
    cut: f64,
    least_radius: Option<f64>,
    worst_case: bool,
}

impl Drawing for Route {
    fn name(&self) -> &'static str {
        "route"
    }

    fn workings(&self) -> &'static [&'static str] {
        &["cut-length"]
    }

    fn draw(&self, given: &Given, outcome: &Outcome, labels: &Labels) -> Option<Sketch> {
        let plan = Plan::read(given, outcome)?;
        let path = Path::laid(&plan.parts())?;
        let words = Words {
            title: phrase!("Route of a cable, cut {up}\u{a0}mm", up = plan.up(plan.cut)),
            description: phrase!(
                "The cable from its start at the circle: straight runs and bends in the order in which they are \
                 given, lengths and radii to scale. Directions are schematic: which way a bend turns is not known, \
                 so each turns back against the one before. Loops and what the ends use up are signs, not to scale."
            ),
            callouts: plan.callouts(),
        };
        sketch(labels, words, |sheet| plan.lay(sheet, &path))
    }
}

impl Plan {
    /// The cable, where it can be drawn.
    fn read(given: &Given, outcome: &Outcome) -> Option<Plan> {
        let all = |name: &str| given.measures(name).iter().map(Measure::high).filter(|length| *length > 0.0);
        let plan = Plan {
            runs: all("runs").map(drawable).collect::<Option<Vec<f64>>>()?,
            bends: given.texts("bends").iter().map(|text| bend(text)).collect::<Option<Vec<_>>>()?,
            loops: all("loops").map(drawable).collect::<Option<Vec<f64>>>()?,
            ends: all("terminations").map(drawable).collect::<Option<Vec<f64>>>()?,
            slack: given.measure("slack").map_or(0.0, |slack| slack.high()),
            exact: drawable(outcome.number("exact")?)?,
            cut: drawable(outcome.number("length")?)?,
            least_radius: outcome.number("least-radius").and_then(drawable),
            worst_case: outcome.worst_case,
        };
        let few = (1..=MOST).contains(&plan.runs.len())
            && plan.bends.len() <= MOST
            && plan.loops.len() <= MOST
            && plan.ends.len() <= MOST;
        (few && plan.exact <= plan.cut * 1.000_001).then_some(plan)
    }

    /// Runs and bends in turn. Of too few bends the last runs go straight on; of too many the rest follow the
    /// last run.
    fn parts(&self) -> Vec<Part> {
        let mut parts = Vec::new();
        for place in 0..self.runs.len().max(self.bends.len()) {
            parts.extend(self.runs.get(place).map(|long| Part::Run(*long)));
            parts.extend(self.bends.get(place).map(|(angle, radius)| Part::Bend(*angle, *radius)));
        }
        parts
    }

    /// A length to cut, for people.
    fn up(&self, value: f64) -> String {
        number(value, Rounding::LengthUp)
    }

    /// What slack adds, mm.
    fn slack_length(&self) -> f64 {
        let arcs: f64 = self.bends.iter().map(|(angle, radius)| angle.to_radians() * radius).sum();
        self.slack * (self.runs.iter().sum::<f64>() + arcs)
    }

    /// Every fact.
    fn callouts(&self) -> Vec<Phrase> {
        let mut facts = vec![phrase!("Cut length: {up}\u{a0}mm", up = self.up(self.cut))];
        facts.push(phrase!("Before rounding up: {up}\u{a0}mm", up = self.up(self.exact)));
        facts.extend(
            (1_u32..)
                .zip(&self.runs)
                .map(|(place, run)| phrase!("Run {place}: {run}", place = place, run = mm(*run))),
        );
        for (place, (angle, radius)) in (1_u32..).zip(&self.bends) {
            let arc = angle.to_radians() * radius;
            facts.push(phrase!(
                "Bend {place}: {angle}°, radius {radius}, {arc} along the cable's axis",
                place = place,
                angle = figures(*angle),
                radius = mm(*radius),
                arc = mm(arc)
            ));
        }
        facts.extend(
            (1_u32..)
                .zip(&self.loops)
                .map(|(place, held)| phrase!("Loop {place}: {held}", place = place, held = mm(*held))),
        );
        facts.extend(
            (1_u32..).zip(&self.ends).map(|(place, used)| {
                phrase!("Used up by end {place}: {used}", place = place, used = mm(*used))
            }),
        );
        if self.slack > 0.0 {
            facts.push(phrase!(
                "Slack: {share}, {length}",
                share = self.slack_share(),
                length = mm(self.slack_length())
            ));
        }
        if let Some(least) = self.least_radius {
            facts.push(phrase!("Least bend radius: {up}\u{a0}mm to the cable's axis", up = self.up(least)));
        }
        if self.worst_case {
            facts.push(phrase!("Lengths with a tolerance stand at their longest"));
        }
        facts.push(phrase!("Directions are schematic; lengths and radii are to scale"));
        facts
    }

    /// Slack as a share of what it is added to.
    fn slack_share(&self) -> Phrase {
        phrase!("{slack}\u{a0}% of runs and bends", slack = figures(100.0 * self.slack))
    }

    /// Puts the route on the sheet.
    fn lay(&self, sheet: &mut Sheet, path: &Path) -> Option<()> {
        let (aside, tall) = if sheet.is_wide() { (66.0, 320.0) } else { (62.0, 440.0) };
        let room = (sheet.width - 2.0 * aside, tall);
        let fit = |path: &Path| {
            let (wide, high) = path.extent();
            // A direction in which nothing lies sets no scale.
            let along = Scale::fitting(wide.max(1e-3), room.0)?;
            Some(along.and(Scale::fitting(high.max(1e-3), room.1)?))
        };
        let turned = path.turned();
        let (level, upright) = (fit(path)?, fit(&turned)?);
        let (path, scale) = if upright.ratio > level.ratio { (&turned, upright) } else { (path, level) };
        let drawn = path.on_sheet(scale, sheet.width / 2.0);
        let placed = labels::place(sheet.width, &drawn, &self.labels(sheet));
        // Labels may stand above the path: the whole moves down under the headline.
        let down = 64.0 - labels::top(&placed).min(drawn.top());
        sheet
            .headline((16.0, 30.0), &sheet.tell(&phrase!("cut length {up}\u{a0}mm", up = self.up(self.cut))));
        for label in &placed {
            label.draw(sheet, down);
        }
        let points: Vec<Point> = drawn.points().map(|(x, y)| (x, y + down)).collect();
        sheet.path(Fill::None, Pen::Heavy, &points, false);
        for seam in drawn.seams() {
            sheet.circle(Fill::Ink, Pen::None, (seam.0, seam.1 + down), 4.0);
        }
        let [(start, _), (end, way)] = drawn.ends()?;
        sheet.circle(Fill::Paper, Pen::Line, (start.0, start.1 + down), 5.0);
        let bar = (7.0 * way.1, 7.0 * way.0);
        sheet.line(Pen::Line, (end.0 - bar.0, end.1 + bar.1 + down), (end.0 + bar.0, end.1 - bar.1 + down));
        let foot = labels::foot(&placed).max(drawn.foot()) + down;
        let left_out = placed.len() < self.labels(sheet).len();
        let base = self.additions(sheet, foot + 34.0, left_out);
        sheet.scale_bar(scale, 16.0, base + 14.0);
        Some(())
    }

    /// The words at each part of the path and at both ends, in order.
    fn labels(&self, sheet: &Sheet) -> Vec<Label> {
        let end = |place: usize, side: Phrase| match self.ends.get(place) {
            Some(used) => sheet.tell(&phrase!("{side}, uses {used}", side = side, used = length(*used))),
            None => sheet.tell(&side),
        };
        let parts = self.parts().into_iter().map(|part| match part {
            Part::Run(long) => Label::Run(length(long)),
            Part::Bend(angle, radius) => {
                Label::Bend(format!("{}°\u{a0}R\u{a0}{}", figures(angle), length(radius)))
            }
        });
        let ends = [Label::Start(end(0, phrase!("start"))), Label::End(end(1, phrase!("end")))];
        parts.chain(ends).collect()
    }

    /// What is added to the route, in a row of signs with their lengths. Answers where the next line goes.
    fn additions(&self, sheet: &mut Sheet, y: f64, left_out: bool) -> f64 {
        let (mut x, mut base) = (16.0, y);
        for held in &self.loops {
            let words = sheet.tell(&phrase!("loop {held}", held = length(*held)));
            let wide = 2.0 * LOOP + 34.0 + width_of(&words);
            if x + wide > sheet.width - 12.0 && x > 16.0 {
                (x, base) = (16.0, base + 2.0 * LOOP + 12.0);
            }
            let foot = base + 4.0;
            sheet.circle(Fill::None, Pen::Line, (x + LOOP + 8.0, foot - LOOP), LOOP);
            sheet.line(Pen::Line, (x, foot), (x + 2.0 * LOOP + 16.0, foot));
            sheet.figure((x + 2.0 * LOOP + 22.0, base), Anchor::Start, &words);
            x += wide + 16.0;
        }
        if !self.loops.is_empty() {
            base += LEADING + 8.0;
        }
        for used in self.ends.iter().skip(2) {
            sheet.text(
                (16.0, base),
                Anchor::Start,
                &sheet.tell(&phrase!("a further end uses {used}", used = length(*used))),
            );
            base += LEADING;
        }
        if self.slack > 0.0 {
            let words = sheet.tell(&phrase!(
                "slack {share}: {length}",
                share = self.slack_share(),
                length = length(self.slack_length())
            ));
            base = sheet.paragraph(16.0, base, &words) + LEADING;
        }
        if left_out {
            let words = sheet.tell(&phrase!("figures without room here: see the list"));
            base = sheet.paragraph(16.0, base, &words) + LEADING;
        }
        let words = sheet.tell(&phrase!("directions schematic, lengths and radii to scale"));
        sheet.paragraph(16.0, base, &words)
    }
}

/// The angle in degrees and the radius in mm of a bend as it is written, `90deg/30mm`, each at its most.
fn bend(text: &str) -> Option<(f64, f64)> {
    let (angle, radius) = text.split_once('/')?;
    let most = |text: &str, symbol: &str| {
        let unit = unit(symbol)?;
        let quantity = Quantity::parse_as(text, unit).ok()?;
        Some(quantity.in_unit(unit).ok()? + quantity.tolerance_in(unit).ok()?)
    };
    let (angle, radius) = (most(angle, "°")?, drawable(most(radius, "mm")?)?);
    (angle > 0.0 && angle <= WIDEST).then_some((angle, radius))
}
