//! A shrink sleeve: across, as supplied and shrunk; and lengthwise, cut length against what it covers.

use crate::drawings::svg::dimension::Span;
use crate::drawings::svg::scale::Scale;
use crate::drawings::svg::{Anchor, Fill, Hatch, Pen, Point, Sheet};
use crate::drawings::{Drawing, Labels, Sketch, Words, diameter, drawable, length, mm, sketch};
use crate::phrase::{Phrase, phrase};
use crate::quantity::print::{Rounding, number};
use crate::workings::{Given, Measure, Outcome, Value};

/// The drawing of `sleeve`.
pub(crate) struct NestedSleeves;

/// The sleeve and its place in mm.
#[derive(Clone, Debug)]
struct Plan {
    size: Phrase,
    supplied: f64,
    recovered: f64,
    wall: f64,
    over: f64,
    grip: f64,
    wall_after: f64,
    finished: f64,
    cut: f64,
    covers: f64,
    overlap: f64,
}

impl Drawing for NestedSleeves {
    fn name(&self) -> &'static str {
        "nested-sleeves"
    }

    fn workings(&self) -> &'static [&'static str] {
        &["sleeve"]
    }

    fn draw(&self, given: &Given, outcome: &Outcome, labels: &Labels) -> Option<Sketch> {
        let plan = Plan::read(given, outcome)?;
        let words = Words {
            title: phrase!("Sleeve {size} across and lengthwise", size = plan.size),
            description: phrase!(
                "Across: at the left the sleeve as supplied round the largest and the smallest diameter of \
                          its place, at the right shrunk over the largest one, its free bore dashed. Lengthwise: \
                          the cut length above, below it the sleeve shrunk over what it covers."
            ),
            callouts: plan.callouts(),
        };
        sketch(labels, words, |sheet| {
            let foot = plan.across(sheet)?;
            plan.lengthwise(sheet, foot + 30.0)
        })
    }
}

impl Plan {
    /// The sleeve, where it can be drawn.
    fn read(given: &Given, outcome: &Outcome) -> Option<Plan> {
        let size = match outcome.get("sleeve")? {
            Value::Text(size) => Phrase::verbatim(size),
            Value::Words(words) => words.clone(),
            _ => return None,
        };
        let by_bore = |one: &&crate::workings::Sleeve, other: &&crate::workings::Sleeve| {
            one.supplied.total_cmp(&other.supplied)
        };
        let stored = given
            .sleeves("from")
            .iter()
            .filter(|sleeve| Phrase::verbatim(&sleeve.id) == size)
            .min_by(by_bore);
        let bare = |name: &str| given.measure(name).map(|measure| measure.value);
        let (supplied, recovered, wall) = match stored {
            Some(sleeve) => (sleeve.supplied, sleeve.recovered, sleeve.wall),
            None => (bare("supplied")?, bare("recovered")?, bare("wall")?),
        };
        let grip = given.measures("grip").iter().min_by(|one, other| one.low().total_cmp(&other.low()))?;
        let covers = given.measure("covers")?.high();
        // The default of the overlap depends on the grip: NASA-STD-8739.3 9.8.
        let overlap = given.measure("overlap").map_or((2.0 * grip.high()).max(5.0), |overlap| overlap.high());
        let plan = Plan {
            size,
            supplied: drawable(supplied)?,
            recovered: drawable(recovered)?,
            wall: drawable(wall)?,
            over: drawable(given.measures("over").iter().map(Measure::high).fold(0.0, f64::max))?,
            grip: drawable(grip.low())?,
            wall_after: drawable(outcome.number("wall-after")?)?,
            finished: drawable(outcome.number("finished-diameter")?)?,
            cut: drawable(outcome.number("cut-length")?)?,
            covers: if covers == 0.0 { 0.0 } else { drawable(covers)? },
            overlap: if overlap == 0.0 { 0.0 } else { drawable(overlap)? },
        };
        (plan.grip <= plan.over && plan.over <= plan.supplied && plan.recovered <= plan.grip).then_some(plan)
    }

    /// Every fact.
    fn callouts(&self) -> Vec<Phrase> {
        let up = |value: f64| format!("{}\u{a0}mm", number(value, Rounding::LengthUp));
        vec![
            phrase!(
                "Sleeve {size}: bore {supplied} as supplied, {recovered} shrunk free, then its wall {wall}",
                size = self.size,
                supplied = mm(self.supplied),
                recovered = mm(self.recovered),
                wall = mm(self.wall)
            ),
            phrase!(
                "It slides over {over} and grips {grip}",
                over = diameter(self.over),
                grip = diameter(self.grip)
            ),
            phrase!(
                "Shrunk over the largest diameter: wall {wall}, Ø\u{a0}{outside} outside",
                wall = mm(self.wall_after),
                outside = up(self.finished)
            ),
            phrase!("Cut length: {cut}", cut = up(self.cut)),
            phrase!(
                "Shrunk length: {length}, of which it covers {covered} and overlaps {overlap} at each end",
                length = up(self.shrunk()),
                covered = mm(self.covers),
                overlap = mm(self.overlap)
            ),
        ]
    }

    /// Length after shrinking.
    fn shrunk(&self) -> f64 {
        self.covers + 2.0 * self.overlap
    }

    /// The wall on a diameter: the area of the wall stays.
    fn wall_on(&self, across: f64) -> f64 {
        let area = self.wall * (self.wall + self.recovered);
        area / ((across * across / 4.0 + area).sqrt() + across / 2.0)
    }

    /// Outside diameter as supplied.
    fn outside(&self) -> f64 {
        self.supplied + 2.0 * self.wall_on(self.supplied)
    }

    /// Both sections across, side by side, one below the other on a narrow sheet. Answers how far down they reach.
    fn across(&self, sheet: &mut Sheet) -> Option<f64> {
        let scale = Scale::fitting(self.outside().max(self.finished), 200.0)?;
        let whole = |across: f64| scale.units(across) / 2.0;
        let span = |at: Point, across: f64, rounding: Rounding, word: Phrase| Span {
            from: at.0 - whole(across),
            to: at.0 + whole(across),
            edges: (at.1, at.1),
            words: phrase!("Ø\u{a0}{diameter} {word}", diameter = number(across, rounding), word = word),
        };
        let plain = Rounding::Length;
        let wide = sheet.is_wide();
        let tall = whole(self.outside().max(self.finished));
        let left = (
            sheet.width * if wide { 0.25 } else { 0.36 },
            36.0 + if wide { tall } else { whole(self.outside()) },
        );
        sheet.text((left.0, 22.0), Anchor::Middle, &sheet.tell(&phrase!("as supplied")));
        ring(sheet, left, (whole(self.outside()), whole(self.supplied)));
        sheet.circle(Fill::None, Pen::Thin, left, whole(self.over));
        sheet.circle(Fill::None, Pen::Thin, left, whole(self.grip));
        let spans = [
            span(left, self.over, plain, phrase!("over")),
            span(left, self.supplied, plain, phrase!("bore")),
        ];
        let row = left.1 + if wide { tall } else { whole(self.outside()) } + 28.0;
        let foot = sheet.dimensions(row, &spans);
        let top = if wide { 22.0 } else { foot + 40.0 };
        let right =
            if wide { (sheet.width * 0.75, left.1) } else { (left.0, top + 14.0 + whole(self.finished)) };
        sheet.text((right.0, top), Anchor::Middle, &sheet.tell(&phrase!("shrunk")));
        ring(sheet, right, (whole(self.finished), whole(self.over)));
        sheet.circle(Fill::None, Pen::Thin, right, whole(self.grip));
        sheet.circle(Fill::None, Pen::Dash, right, whole(self.recovered));
        let spans = [
            span(right, self.recovered, plain, phrase!("free bore")),
            span(right, self.grip, plain, phrase!("grip")),
            span(right, self.finished, Rounding::LengthUp, phrase!("finished")),
        ];
        let row = if wide { row } else { right.1 + whole(self.finished) + 28.0 };
        let foot = sheet.dimensions(row, &spans).max(foot);
        sheet.scale_bar(scale, 16.0, foot + 20.0);
        Some(foot + if wide { 30.0 } else { 48.0 })
    }

    /// The cut length over the shrunk sleeve, from `top` down.
    fn lengthwise(&self, sheet: &mut Sheet, top: f64) -> Option<()> {
        let whole = self.cut.max(self.shrunk());
        let scale =
            Scale::fitting(1.2 * whole, sheet.width - 32.0)?.and(Scale::fitting(self.outside(), 100.0)?);
        let units = |mm: f64| scale.units(mm);
        let centre = sheet.width / 2.0;
        let half = units(self.outside()) / 2.0;
        sheet.text((16.0, top), Anchor::Start, &sheet.tell(&phrase!("as cut")));
        let first = top + 42.0 + half;
        let cut = (centre - units(self.cut) / 2.0, centre + units(self.cut) / 2.0);
        sheet.bar(Fill::Hatch(Hatch::Slant), cut, first, half, (false, false));
        sheet.rect(
            Fill::Paper,
            Pen::Thin,
            (cut.0, first - units(self.supplied) / 2.0),
            (cut.1, first + units(self.supplied) / 2.0),
            0.0,
        );
        let words = phrase!("{cut} cut length", cut = number(self.cut, Rounding::LengthUp));
        sheet.dimension(
            top + 26.0,
            &Span { from: cut.0, to: cut.1, edges: (first - half, first - half), words },
        );
        let second = first + half + 40.0 + units(self.finished) / 2.0;
        sheet.text((16.0, first + half + 26.0), Anchor::Start, &sheet.tell(&phrase!("shrunk")));
        let (edge, end) = (units(self.covers) / 2.0, units(self.shrunk()) / 2.0);
        let beyond = end + units(0.1 * whole);
        let wire = units(self.grip) / 2.0;
        let collar = wire + units(self.wall_on(self.grip));
        let sleeve = Fill::Hatch(Hatch::Slant);
        sheet.bar(sleeve, (centre - end, centre + end), second, collar, (false, false));
        sheet.bar(Fill::Paper, (centre - beyond, centre + beyond), second, wire, (true, true));
        if self.covers > 0.0 {
            sheet.bar(
                sleeve,
                (centre - edge, centre + edge),
                second,
                units(self.finished) / 2.0,
                (false, false),
            );
            sheet.bar(
                Fill::Paper,
                (centre - edge, centre + edge),
                second,
                units(self.over) / 2.0,
                (false, false),
            );
        }
        let low = second + collar;
        let span = |from: f64, to: f64, value: f64, word: Phrase| Span {
            from: centre + from,
            to: centre + to,
            edges: (low, low),
            words: phrase!("{length} {word}", length = length(value), word = word),
        };
        let mut spans = vec![span(-end, end, self.shrunk(), phrase!("shrunk"))];
        if self.covers > 0.0 {
            spans.push(span(-edge, edge, self.covers, phrase!("covered")));
        }
        if self.overlap > 0.0 {
            spans.push(span(edge, end, self.overlap, phrase!("overlap")));
        }
        let foot = sheet.dimensions(second + units(self.finished) / 2.0 + 26.0, &spans);
        sheet.scale_bar(scale, 16.0, foot + 20.0);
        Some(())
    }
}

/// A sleeve across, from its outer and inner radius.
fn ring(sheet: &mut Sheet, at: Point, radii: Point) {
    sheet.circle(Fill::Hatch(Hatch::Slant), Pen::Line, at, radii.0);
    sheet.circle(Fill::Paper, Pen::Line, at, radii.1);
}
