//! The plot of a computed table: one line over one axis, from nought up.

use super::svg::{Anchor, Fill, Pen, Point, Sheet, width_of};
use super::{Labels, Sketch, Words, figures, sketch};
use crate::phrase::Phrase;

/// What a plot shows. Its figures stand in the table beside it.
#[derive(Clone, Copy, Debug)]
pub struct Plot<'a> {
    /// What it is called.
    pub title: &'a str,
    /// What runs along, with its unit.
    pub along: &'a str,
    /// What runs up, with its unit.
    pub up: &'a str,
    /// The points, along and up.
    pub points: &'a [(f64, f64)],
}

impl Plot<'_> {
    /// The plot, or none where there is no line to draw: fewer than two points, all at one place along, or none above
    /// nought.
    pub fn sketch(&self, labels: &Labels) -> Option<Sketch> {
        let (first, last) = ends(self.points.iter().map(|(along, _)| *along))?;
        let (_, top) = ends(self.points.iter().map(|(_, up)| *up))?;
        if last <= first || top <= 0.0 {
            return None;
        }
        let words = Words {
            title: Phrase::verbatim(self.title),
            description: Phrase::verbatim(format!("{} – {}", self.up, self.along)),
            callouts: Vec::new(),
        };
        let step = nice(top / 4.0);
        let levels = (top / step - 1e-9).ceil();
        sketch(labels, words, |sheet| {
            let area = Area {
                first,
                last,
                most: levels * step,
                right: sheet.width - 18.0,
                foot: sheet.width * 0.47,
            };
            area.levels(sheet, levels, step);
            area.marks(sheet, self.points);
            let line: Vec<Point> = self.points.iter().map(|point| area.at(*point)).collect();
            sheet.path(Fill::None, Pen::Heavy, &line, false);
            line.iter().for_each(|point| sheet.circle(Fill::Ink, Pen::Line, *point, 3.0));
            sheet.text((16.0, 18.0), Anchor::Start, self.up);
            sheet.text((area.right, area.foot + 42.0), Anchor::End, self.along);
            Some(())
        })
    }
}

/// Where the line lies on the sheet.
struct Area {
    first: f64,
    last: f64,
    /// The level at the top.
    most: f64,
    right: f64,
    foot: f64,
}

/// The left and the upper edge.
const CORNER: Point = (64.0, 34.0);

impl Area {
    fn at(&self, point: Point) -> Point {
        let share = (point.0 - self.first) / (self.last - self.first);
        (CORNER.0 + share * (self.right - CORNER.0), self.foot - point.1 / self.most * (self.foot - CORNER.1))
    }

    /// The levels from nought to the top, each with its figure.
    fn levels(&self, sheet: &mut Sheet, levels: f64, step: f64) {
        let mut level = 0.0;
        while level <= levels {
            let y = self.at((self.first, level * step)).1;
            sheet.line(Pen::Grid, (CORNER.0, y), (self.right, y));
            sheet.figure((CORNER.0 - 8.0, y + 4.5), Anchor::End, &figures(level * step));
            level += 1.0;
        }
    }

    /// A mark for each point; a figure that would lie on its neighbour is left out, since the table holds it.
    fn marks(&self, sheet: &mut Sheet, points: &[(f64, f64)]) {
        let mut free = f64::NEG_INFINITY;
        for (along, _) in points {
            let (x, words) = (self.at((*along, 0.0)).0, figures(*along));
            sheet.line(Pen::Thin, (x, self.foot), (x, self.foot + 6.0));
            let half = width_of(&words) / 2.0;
            if x - half >= free {
                sheet.figure((x, self.foot + 21.0), Anchor::Middle, &words);
                free = x + half + 6.0;
            }
        }
    }
}

fn ends(values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    values.fold(None, |ends, value| match ends {
        None => Some((value, value)),
        Some((least, most)) => Some((f64::min(least, value), f64::max(most, value))),
    })
}

/// The next 1, 2 or 5 times a power of ten.
fn nice(step: f64) -> f64 {
    let power = 10f64.powf(step.log10().floor());
    let factor = [1.0, 2.0, 5.0, 10.0].into_iter().find(|factor| factor * power >= step * 0.999);
    factor.unwrap_or(10.0) * power
}

#[cfg(test)]
mod tests {
    use super::*;

    fn plot(points: &[(f64, f64)]) -> Option<Sketch> {
        Plot { title: "Drop", along: "size, mm²", up: "drop, V", points }.sketch(&Labels::default())
    }

    #[test]
    fn a_plot_needs_two_points_apart_and_names_its_axes() {
        for points in [&[][..], &[(1.0, 1.0)], &[(1.0, 1.0), (1.0, 2.0)], &[(1.0, 0.0), (2.0, -1.0)]] {
            assert!(plot(points).is_none(), "{points:?}");
        }
        assert!(plot(&[(1.0, 1.0), (2.0, f64::NAN)]).is_none());
        let drawn = plot(&[(1.0, 1.0), (2.0, 3.0)]).unwrap();
        for svg in [&drawn.svg, &drawn.narrow] {
            assert!(
                svg.contains(">Drop<") && svg.contains(">size, mm²<") && svg.contains(">drop, V<"),
                "{svg}"
            );
        }
        // Levels of 1 up to 3, and no fourth for the last place of a sum.
        assert!(drawn.svg.contains(">3<") && !drawn.svg.contains(">4<"), "{}", drawn.svg);
    }

    #[test]
    fn figures_that_would_meet_are_left_out() {
        let points: Vec<(f64, f64)> = (0..100).map(|at| (1000.0 + f64::from(at), 1.0)).collect();
        let drawn = plot(&points).unwrap();
        let figures = |svg: &str| (1000..1100).filter(|at| svg.contains(&format!(">{at}<"))).count();
        assert!(figures(&drawn.svg) > figures(&drawn.narrow) && figures(&drawn.narrow) > 2);
        assert!(figures(&drawn.svg) < 30, "{}", figures(&drawn.svg));
    }

    #[test]
    fn steps_are_round() {
        for (step, wanted) in [(0.7, 1.0), (1.0, 1.0), (3.0, 5.0), (12.0, 20.0)] {
            assert!((nice(step) - wanted).abs() < 1e-9, "{step}");
        }
    }
}
