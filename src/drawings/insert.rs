//! A piece let in: the wire with what is removed from it, the piece, and both joined, one below the other.

use crate::drawings::svg::dimension::{Beside, ROW, Span};
use crate::drawings::svg::scale::Scale;
use crate::drawings::svg::{Anchor, Fill, Hatch, Pen, Sheet, width_of};
use crate::drawings::{Drawing, Labels, Sketch, Words, diameter, drawable, length, mm, sketch};
use crate::phrase::{Phrase, phrase};
use crate::quantity::print::{Rounding, number};
use crate::workings::{Given, Outcome};

/// The drawing of `insert`.
pub(crate) struct Insert;

/// Half thickness of insulation and of a conductor on the sheet: the working does not know the conductor.
const INSULATION: f64 = 9.0;
const CONDUCTOR: f64 = 4.5;

/// A lap is at least this long on the sheet, or the drawing is broken in the middle.
const LEAST_LAP: f64 = 34.0;

/// Width of the break on the sheet.
const BREAK: f64 = 16.0;

/// The repair in mm.
#[derive(Clone, Copy, Debug)]
struct Plan {
    removed: f64,
    piece: f64,
    strip: f64,
    lap: f64,
    gap: f64,
    outside: Option<f64>,
}

/// Where lengths lie on the sheet. Measured from the near cut, the far cut lies at `removed`.
struct Course {
    scale: Scale,
    /// The near cut, and the far cut.
    cuts: (f64, f64),
    /// Both ends of what is drawn.
    ends: (f64, f64),
    /// The break in the middle, where there is one.
    gap: Option<(f64, f64)>,
}

impl Drawing for Insert {
    fn name(&self) -> &'static str {
        "insert"
    }

    fn workings(&self) -> &'static [&'static str] {
        &["insert"]
    }

    fn draw(&self, given: &Given, outcome: &Outcome, labels: &Labels) -> Option<Sketch> {
        let plan = Plan::read(given, outcome)?;
        let words = Words {
            title: phrase!("Piece of {cut} let in with two joints", cut = plan.cut()),
            description: phrase!(
                "Three views one below the other. The wire with a length removed, each end stripped; the \
                          piece, each end stripped; and the piece joined in, its conductors beside those of the \
                          wire. The piece is hatched. Thickness is not to scale; where a view is broken in the \
                          middle, the dimension across the break is the true length."
            ),
            callouts: plan.callouts(),
        };
        sketch(labels, words, |sheet| plan.lay(sheet))
    }
}

impl Plan {
    /// The repair, where it can be drawn: some insulation must be left on the piece.
    fn read(given: &Given, outcome: &Outcome) -> Option<Plan> {
        let measure = |name: &str| given.measure(name).map(|measure| measure.value);
        let gap = measure("gap")?;
        let plan = Plan {
            removed: drawable(measure("removed")?)?,
            piece: drawable(outcome.number("piece")?)?,
            strip: drawable(outcome.number("strip")?)?,
            lap: drawable(measure("lap")?)?,
            gap: if gap == 0.0 { 0.0 } else { drawable(gap)? },
            outside: measure("outside").and_then(drawable),
        };
        let sound = plan.piece > plan.removed && plan.strip < plan.piece && plan.gap < 20.0 * plan.lap;
        (sound && plan.removed > 2.2 * plan.gap && plan.removed > 0.2 * plan.lap).then_some(plan)
    }

    /// The length of the piece, as it is cut.
    fn cut(&self) -> String {
        format!("{}\u{a0}mm", number(self.piece, Rounding::LengthUp))
    }

    /// Every fact.
    fn callouts(&self) -> Vec<Phrase> {
        let mut facts = vec![
            phrase!("Removed from the wire: {removed}", removed = mm(self.removed)),
            phrase!("Piece to cut: {cut}, hatched", cut = self.cut()),
            phrase!("Strip, each end of the piece and of the wire: {strip}", strip = mm(self.strip)),
            phrase!("Lap of each joint: {lap}", lap = mm(self.lap)),
            phrase!("Gap from each tip to the other insulation: {gap}", gap = mm(self.gap)),
        ];
        facts.extend(
            self.outside.map(|outside| phrase!("Wire: {outside} outside", outside = diameter(outside))),
        );
        facts.push(phrase!("Thickness is not to scale"));
        facts
    }

    /// Puts the three views on the sheet.
    fn lay(&self, sheet: &mut Sheet) -> Option<()> {
        let course = self.course(sheet.width - 32.0)?;
        let foot = self.wire(sheet, &course, 20.0);
        let foot = self.insert(sheet, &course, foot + 34.0);
        let foot = self.joined(sheet, &course, foot + 34.0);
        sheet.scale_bar(course.scale, 16.0, foot + 20.0);
        Some(())
    }

    /// Where everything lies: whole, or with a break where the laps would get too short.
    fn course(&self, room: f64) -> Option<Course> {
        let bare = self.lap + self.gap;
        let tail = 0.8 * bare;
        let whole = self.removed + 2.0 * (bare + tail);
        let unbroken = Scale::fitting(whole, room)?;
        let middle = 16.0 + room / 2.0;
        if unbroken.units(self.lap) >= LEAST_LAP {
            let half = unbroken.units(self.removed) / 2.0;
            let beyond = half + unbroken.units(bare + tail);
            return Some(Course {
                scale: unbroken,
                cuts: (middle - half, middle + half),
                ends: (middle - beyond, middle + beyond),
                gap: None,
            });
        }
        // On either side of the break a joint and a tail of insulation are drawn.
        let inner = self.gap + tail;
        let scale = Scale::fitting(2.0 * (tail + bare + inner), room - BREAK)?;
        let (reach, outer) = (scale.units(inner) + BREAK / 2.0, scale.units(bare + tail));
        let cuts = (middle - reach, middle + reach);
        let gap = (middle - BREAK / 2.0, middle + BREAK / 2.0);
        Some(Course { scale, cuts, ends: (cuts.0 - outer, cuts.1 + outer), gap: Some(gap) })
    }

    /// The wire without the length removed, its title on the base line `top`. Answers how far down it reaches.
    fn wire(&self, sheet: &mut Sheet, course: &Course, top: f64) -> f64 {
        sheet.text((16.0, top), Anchor::Start, &sheet.tell(&phrase!("The wire, a length removed")));
        let axis = top + 30.0;
        self.wire_ends(sheet, course, axis);
        course.lengthwise(sheet, Fill::None, Pen::Dash, (course.cuts.0, course.cuts.1), (axis, INSULATION));
        let strip = course.scale.units(self.strip);
        let (near, far) = course.cuts;
        let strips = vec![
            span((near - strip, near), axis, phrase!("{strip} strip", strip = length(self.strip))),
            span((far, far + strip), axis, phrase!("{strip} strip", strip = length(self.strip))),
        ];
        let out = span((near, far), axis, phrase!("{removed} removed", removed = length(self.removed)));
        rows(sheet, axis, &[strips, vec![out]])
    }

    /// The piece by itself. Answers how far down it reaches.
    fn insert(&self, sheet: &mut Sheet, course: &Course, top: f64) -> f64 {
        sheet.text((16.0, top), Anchor::Start, &sheet.tell(&phrase!("The piece")));
        let axis = top + 30.0;
        let (begin, end) = self.piece(sheet, course, axis);
        let strip = course.scale.units(self.strip);
        let strips = vec![
            span((begin, begin + strip), axis, phrase!("{strip} strip", strip = length(self.strip))),
            span((end - strip, end), axis, phrase!("{strip} strip", strip = length(self.strip))),
        ];
        let whole = span(
            (begin, end),
            axis,
            phrase!("{piece} piece", piece = number(self.piece, Rounding::LengthUp)),
        );
        rows(sheet, axis, &[strips, vec![whole]])
    }

    /// The piece in the wire. Answers how far down it reaches.
    fn joined(&self, sheet: &mut Sheet, course: &Course, top: f64) -> f64 {
        sheet.text((16.0, top), Anchor::Start, &sheet.tell(&phrase!("Joined")));
        let axis = top + 40.0;
        // The conductors lie beside one another, and so the piece lies a conductor higher.
        self.piece(sheet, course, axis - CONDUCTOR);
        self.wire_ends(sheet, course, axis + CONDUCTOR);
        let (lap, gap) = (course.scale.units(self.lap), course.scale.units(self.gap));
        let (near, far) = course.cuts;
        let low = axis + CONDUCTOR;
        let laps = vec![
            span((near - lap, near), low, phrase!("{lap} lap", lap = length(self.lap))),
            span((far, far + lap), low, phrase!("{lap} lap", lap = length(self.lap))),
        ];
        if self.gap == 0.0 {
            return rows(sheet, low, &[laps]);
        }
        let gaps = vec![
            span((near - lap - gap, near - lap), low, phrase!("{gap} gap", gap = length(self.gap))),
            span((far + lap, far + lap + gap), low, phrase!("{gap} gap", gap = length(self.gap))),
        ];
        rows(sheet, low, &[gaps, laps])
    }

    /// Both ends of the wire, stripped.
    fn wire_ends(&self, sheet: &mut Sheet, course: &Course, axis: f64) {
        let strip = course.scale.units(self.strip);
        let (near, far) = course.cuts;
        sheet.bar(Fill::Copper, (near - strip, near), axis, CONDUCTOR, (false, false));
        sheet.bar(Fill::Copper, (far, far + strip), axis, CONDUCTOR, (false, false));
        sheet.bar(Fill::Paper, (course.ends.0, near - strip), axis, INSULATION, (true, false));
        sheet.bar(Fill::Paper, (far + strip, course.ends.1), axis, INSULATION, (false, true));
    }

    /// The piece with its stripped ends. Answers where it begins and ends.
    fn piece(&self, sheet: &mut Sheet, course: &Course, axis: f64) -> (f64, f64) {
        let (lap, strip) = (course.scale.units(self.lap), course.scale.units(self.strip));
        let (begin, end) = (course.cuts.0 - lap, course.cuts.1 + lap);
        sheet.bar(Fill::Copper, (begin, begin + strip), axis, CONDUCTOR, (false, false));
        sheet.bar(Fill::Copper, (end - strip, end), axis, CONDUCTOR, (false, false));
        let hatched = Fill::Hatch(Hatch::Back);
        course.lengthwise(sheet, hatched, Pen::Line, (begin + strip, end - strip), (axis, INSULATION));
        (begin, end)
    }
}

impl Course {
    /// A bar that may run over the break: then it is drawn in two with wavy edges.
    fn lengthwise(&self, sheet: &mut Sheet, fill: Fill, pen: Pen, x: (f64, f64), at: (f64, f64)) {
        let (axis, half) = at;
        match (self.gap, pen) {
            (Some((from, to)), Pen::Line) => {
                sheet.bar(fill, (x.0, from), axis, half, (false, true));
                sheet.bar(fill, (to, x.1), axis, half, (true, false));
            }
            (Some((from, to)), _) => {
                for (begin, end) in [(x.0, from), (to, x.1)] {
                    for y in [axis - half, axis + half] {
                        sheet.line(pen, (begin, y), (end, y));
                    }
                }
            }
            (None, Pen::Line) => sheet.bar(fill, x, axis, half, (false, false)),
            (None, _) => sheet.rect(fill, pen, (x.0, axis - half), (x.1, axis + half), 0.0),
        }
    }
}

/// A dimension under an axis.
fn span(ends: (f64, f64), axis: f64, words: Phrase) -> Span {
    let edge = axis + INSULATION;
    Span { from: ends.0, to: ends.1, edges: (edge, edge), words }
}

/// Dimensions under a view, those of one row one at the left and one at the right. Answers where the last row lies.
fn rows(sheet: &mut Sheet, axis: f64, rows: &[Vec<Span>]) -> f64 {
    let first = axis + INSULATION + ROW;
    let at = |place: usize| first + ROW * place as f64;
    // The outermost comes first, so that no extension line crosses a figure further in.
    for (place, row) in rows.iter().enumerate().rev() {
        if let [left, right] = row.as_slice() {
            sheet.dimension_towards(at(place), left, Beside::Left);
            sheet.dimension(at(place), &short(sheet, right));
        } else {
            row.iter().for_each(|span| sheet.dimension(at(place), span));
        }
    }
    at(rows.len().saturating_sub(1))
}

/// The dimension at the right without its word, where that fits neither above it nor beside it: its twin at the
/// left has the word.
fn short(sheet: &Sheet, span: &Span) -> Span {
    let words = sheet.tell(&span.words);
    let wide = width_of(&words);
    let fits = wide + 6.0 <= span.to - span.from || span.to + 24.0 + wide <= sheet.width;
    // A translation may put the figure anywhere.
    let is_figure = |part: &&str| part.starts_with(|letter: char| letter.is_ascii_digit());
    let figure = Phrase::verbatim(words.split(' ').find(is_figure).unwrap_or_default());
    if fits { span.clone() } else { Span { words: figure, ..span.clone() } }
}
