//! Dimension lines after ISO 128 and ISO 129, and numbered callouts.

use crate::drawings::svg::{Anchor, Fill, LETTER, Pen, Point, Sheet, width_of};
use crate::phrase::Phrase;
use std::fmt::Write as _;

/// Distance between stacked dimension lines.
pub(crate) const ROW: f64 = 24.0;

/// Radius of a callout's circle.
const BALLOON: f64 = 10.0;

/// Length of an arrowhead.
const ARROW: f64 = 9.0;

/// Pen of dimension and extension lines.
const DIM: &str = r##"class="d-dim" fill="none" stroke="#6d2138" stroke-width="0.9""##;

/// A horizontal dimension: what it measures from and to, where its extension lines start, what it says.
#[derive(Clone, Debug)]
pub(crate) struct Span {
    /// Left end.
    pub(crate) from: f64,
    /// Right end.
    pub(crate) to: f64,
    /// Where the left and the right extension line start.
    pub(crate) edges: Point,
    /// The figure and its word.
    pub(crate) words: Phrase,
}

/// The side on which a figure stands that is too long for its dimension line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Beside {
    /// At the left, if there is room.
    Left,
    /// At the right, if there is room.
    Right,
}

/// A callout: what its leader points at.
#[derive(Clone, Debug)]
pub(crate) struct Target {
    /// The number, as printed.
    pub(crate) number: usize,
    /// The place that is meant.
    pub(crate) at: Point,
}

impl Sheet {
    /// Dimensions one below the other, the shortest first, the first at `y`. Answers where the last one lies.
    pub(crate) fn dimensions(&mut self, y: f64, spans: &[Span]) -> f64 {
        let mut sorted: Vec<&Span> = spans.iter().collect();
        sorted.sort_by(|one, other| (one.to - one.from).total_cmp(&(other.to - other.from)));
        let rows: Vec<(f64, &Span)> =
            sorted.into_iter().scan(y - ROW, |row, span| Some((advance(row), span))).collect();
        // The outermost comes first, so that no extension line crosses a figure further in.
        for (row, span) in rows.iter().rev() {
            self.dimension(*row, span);
        }
        rows.last().map_or(y, |(row, _)| *row)
    }

    /// One dimension line at height `y`, its figure above it, or beside it where it is too short: at the right
    /// if there is room.
    pub(crate) fn dimension(&mut self, y: f64, span: &Span) {
        self.dimension_towards(y, span, Beside::Right);
    }

    /// As [`Sheet::dimension`], with the side on which a figure stands that has no room above.
    pub(crate) fn dimension_towards(&mut self, y: f64, span: &Span, beside: Beside) {
        let (from, to) = (span.from.min(span.to), span.from.max(span.to));
        for (x, edge) in [(from, span.edges.0), (to, span.edges.1)] {
            let down = (y - edge).signum();
            self.ruled((x, edge + 2.0 * down), (x, y + 4.0 * down));
        }
        let inside = to - from >= 2.0 * ARROW + 4.0;
        let tail = if inside { 0.0 } else { ARROW + 5.0 };
        self.ruled((from - tail, y), (to + tail, y));
        let heading = if inside { 1.0 } else { -1.0 };
        self.arrow((from, y), (heading, 0.0));
        self.arrow((to, y), (-heading, 0.0));
        let words = self.tell(&span.words);
        let wide = width_of(&words);
        let base = y - 4.0;
        let right = to + tail + 4.0;
        let left = from - tail - 4.0;
        if wide + 6.0 <= to - from {
            self.backing((f64::midpoint(from, to) - wide / 2.0, base), wide);
            self.figure((f64::midpoint(from, to), base), Anchor::Middle, &words);
        } else if right + wide <= self.width - 4.0 && (beside == Beside::Right || left - wide < 4.0) {
            self.backing((right, base), wide);
            self.ruled((to, y), (right + wide, y));
            self.figure((right, base), Anchor::Start, &words);
        } else if left - wide >= 4.0 {
            self.backing((left - wide, base), wide);
            self.ruled((left - wide, y), (from, y));
            self.figure((left, base), Anchor::End, &words);
        } else {
            let middle = f64::midpoint(from, to)
                .clamp(4.0 + wide / 2.0, (self.width - 4.0 - wide / 2.0).max(5.0 + wide / 2.0));
            self.backing((middle - wide / 2.0, base), wide);
            self.figure((middle, base), Anchor::Middle, &words);
        }
    }

    /// An upright dimension at `x` between two heights, its extension lines from `edge`, its figure to the right.
    pub(crate) fn upright(&mut self, x: f64, heights: Point, edge: f64, words: &str) {
        let (top, foot) = (heights.0.min(heights.1), heights.0.max(heights.1));
        let right = (x - edge).signum();
        for y in [top, foot] {
            self.ruled((edge + 2.0 * right, y), (x + 4.0 * right, y));
        }
        let inside = foot - top >= 2.0 * ARROW + 4.0;
        let tail = if inside { 0.0 } else { ARROW + 5.0 };
        self.ruled((x, top - tail), (x, foot + tail));
        let heading = if inside { 1.0 } else { -1.0 };
        self.arrow((x, top), (0.0, heading));
        self.arrow((x, foot), (0.0, -heading));
        self.figure((x + 7.0, f64::midpoint(top, foot) + 0.35 * LETTER), Anchor::Start, words);
    }

    /// Callouts in a row at height `y`, kept apart, each with a leader to its target.
    pub(crate) fn callouts(&mut self, y: f64, targets: &[Target]) {
        let mut sorted: Vec<&Target> = targets.iter().collect();
        sorted.sort_by(|one, other| one.at.0.total_cmp(&other.at.0));
        let wanted: Vec<f64> = sorted.iter().map(|target| target.at.0).collect();
        let places = spread(&wanted, 2.0 * BALLOON + 5.0, (BALLOON + 3.0, self.width - BALLOON - 3.0));
        for (target, x) in sorted.iter().zip(&places) {
            let down = (target.at.1 - y).signum();
            self.line(Pen::Thin, (*x, y + BALLOON * down), target.at);
            self.circle(Fill::Paper, Pen::Thin, target.at, 2.2);
        }
        for (target, x) in sorted.iter().zip(&places) {
            self.balloon((*x, y), target.number);
        }
    }

    /// One numbered circle.
    pub(crate) fn balloon(&mut self, at: Point, number: usize) {
        self.circle(Fill::Paper, Pen::Thin, at, BALLOON);
        self.number(at, &number.to_string());
    }

    /// A line in the pen of dimensions.
    pub(crate) fn ruled(&mut self, from: Point, to: Point) {
        let (x1, y1, x2, y2) = (self.at(from.0), self.at(from.1), self.at(to.0), self.at(to.1));
        self.reach(from.1.max(to.1));
        self.raw(&format!(r#"<path {DIM} d="M{x1} {y1}L{x2} {y2}"/>"#));
    }

    /// A closed arrowhead with its tip at `tip`; its body lies in the direction `body`.
    pub(crate) fn arrow(&mut self, tip: Point, body: Point) {
        let back = (tip.0 + body.0 * ARROW, tip.1 + body.1 * ARROW);
        let side = (-body.1 * 2.2, body.0 * 2.2);
        let corners = [tip, (back.0 + side.0, back.1 + side.1), (back.0 - side.0, back.1 - side.1)];
        let mut points = String::new();
        for (x, y) in corners {
            let (x, y) = (self.at(x), self.at(y));
            let _ = write!(points, "{x},{y} ");
        }
        self.raw(&format!(r##"<polygon class="d-arrow" fill="#6d2138" points="{}"/>"##, points.trim_end()));
    }

    /// White under a figure, so that a line that passes is broken there.
    fn backing(&mut self, left: Point, wide: f64) {
        let (x, base) = left;
        self.rect(Fill::Paper, Pen::None, (x - 1.5, base - LETTER + 2.0), (x + wide + 1.5, base + 2.5), 0.0);
    }
}

/// Moves a row on and answers it.
fn advance(row: &mut f64) -> f64 {
    *row += ROW;
    *row
}

/// Places in ascending order at least `gap` apart, as near as can be to those wanted, inside the limits
/// where these give room for all.
pub(crate) fn spread(wanted: &[f64], gap: f64, limits: Point) -> Vec<f64> {
    let mut least = limits.0;
    let mut places = Vec::with_capacity(wanted.len());
    for place in wanted {
        let place = place.max(least);
        least = place + gap;
        places.push(place);
    }
    let mut most = limits.1;
    for place in places.iter_mut().rev() {
        *place = place.min(most);
        most = *place - gap;
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_kept_apart_and_inside() {
        assert_eq!(spread(&[10.0, 11.0, 12.0], 5.0, (0.0, 100.0)), [10.0, 15.0, 20.0]);
        assert_eq!(spread(&[98.0, 99.0], 5.0, (0.0, 100.0)), [95.0, 100.0]);
        assert_eq!(spread(&[-5.0, 50.0], 5.0, (0.0, 100.0)), [0.0, 50.0]);
    }

    #[test]
    fn arrows_turn_outward_where_there_is_no_room() {
        let draw = |to: f64| {
            let mut sheet = Sheet::new("p", 640.0, std::sync::Arc::new(crate::phrase::English));
            let words = "1.0".to_owned();
            sheet.dimension(
                50.0,
                &Span { from: 100.0, to, edges: (10.0, 10.0), words: Phrase::verbatim(words) },
            );
            sheet.finish("t", "d").unwrap()
        };
        assert!(draw(200.0).contains(r#"points="100,50 109"#));
        assert!(draw(110.0).contains(r#"points="100,50 91"#));
    }
}
