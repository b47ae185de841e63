//! The path of a cable: straight pieces and arcs that touch one another, laid so that it crosses itself nowhere.

use crate::drawings::svg::Point;
use crate::drawings::svg::scale::Scale;
use std::f64::consts::FRAC_PI_2;

/// One part of a route.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Part {
    /// Straight, mm.
    Run(f64),
    /// Angle in degrees, radius in mm.
    Bend(f64, f64),
}

/// One part as it lies.
#[derive(Clone, Debug)]
pub(crate) struct Piece {
    /// Both ends, and of an arc points between them.
    pub(crate) points: Vec<Point>,
    /// The centre of an arc.
    pub(crate) centre: Option<Point>,
}

/// A path; to the right and down, in mm or in units of a sheet.
#[derive(Clone, Debug)]
pub(crate) struct Path {
    pub(crate) pieces: Vec<Piece>,
}

/// Which way the next bend turns, from the heading and the last turn: 1 to the right, −1 to the left.
type Rule = fn(f64, f64) -> f64;

/// Back towards the first heading; from there against the last turn.
const BACK: Rule = |heading, last| if heading.abs() < 1e-9 { -last } else { -heading.signum() };

/// Always against the last turn.
const FORTH: Rule = |_, last| -last;

impl Path {
    /// The parts one after the other. None where every way of turning lets the path cross itself.
    pub(crate) fn laid(parts: &[Part]) -> Option<Path> {
        [BACK, FORTH].into_iter().map(|rule| Path::turning(parts, rule)).find(|path| !path.crosses())
    }

    /// The parts with bends that turn by a rule.
    fn turning(parts: &[Part], rule: Rule) -> Path {
        let (mut at, mut heading, mut last): (Point, f64, f64) = ((0.0, 0.0), 0.0, -1.0);
        let mut pieces = Vec::new();
        for part in parts {
            let piece = match part {
                Part::Run(long) => {
                    let end = (at.0 + long * heading.cos(), at.1 + long * heading.sin());
                    Piece { points: vec![at, end], centre: None }
                }
                Part::Bend(angle, radius) => {
                    let side = rule(heading, last);
                    let turn = side * angle.to_radians();
                    let out = heading - side * FRAC_PI_2;
                    let centre = (at.0 - radius * out.cos(), at.1 - radius * out.sin());
                    // One point about every six degrees, with one in the middle of the arc.
                    let steps = 2 * ((angle / 12.0).ceil() as usize).max(1);
                    let on = |step: usize| {
                        let way = out + turn * step as f64 / steps as f64;
                        (centre.0 + radius * way.cos(), centre.1 + radius * way.sin())
                    };
                    (heading, last) = (heading + turn, side);
                    Piece { points: (0..=steps).map(on).collect(), centre: Some(centre) }
                }
            };
            at = piece.points.last().copied().unwrap_or(at);
            pieces.push(piece);
        }
        Path { pieces }
    }

    /// Every point in order.
    pub(crate) fn points(&self) -> impl Iterator<Item = Point> + '_ {
        self.pieces.iter().flat_map(|piece| piece.points.iter().copied())
    }

    /// Whether two of its lines that are no neighbours meet.
    fn crosses(&self) -> bool {
        let points: Vec<Point> = self.points().collect();
        let lines: Vec<(Point, Point)> = points
            .windows(2)
            .filter_map(|pair| if let [from, to] = pair { Some((*from, *to)) } else { None })
            .filter(|(from, to)| (from.0 - to.0).hypot(from.1 - to.1) > 1e-9)
            .collect();
        let apart = |place: usize| lines.iter().skip(place + 2);
        lines.iter().enumerate().any(|(place, line)| apart(place).any(|other| meet(*line, *other)))
    }

    /// Least and greatest of both directions.
    fn bounds(&self) -> (Point, Point) {
        let none = ((f64::INFINITY, f64::INFINITY), (f64::NEG_INFINITY, f64::NEG_INFINITY));
        self.points()
            .fold(none, |(low, high), (x, y)| ((low.0.min(x), low.1.min(y)), (high.0.max(x), high.1.max(y))))
    }

    /// Width and height.
    pub(crate) fn extent(&self) -> Point {
        let (low, high) = self.bounds();
        (high.0 - low.0, high.1 - low.1)
    }

    /// The path a quarter turn on, so that it runs down the sheet.
    pub(crate) fn turned(&self) -> Path {
        self.each(|(x, y)| (-y, x))
    }

    /// The path in units of the sheet, about a height of nought downward and with its middle at `centre` across.
    pub(crate) fn on_sheet(&self, scale: Scale, centre: f64) -> Path {
        let (low, high) = self.bounds();
        let middle = f64::midpoint(low.0, high.0);
        self.each(|(x, y)| (centre + scale.units(x - middle), scale.units(y - low.1)))
    }

    /// Every point elsewhere.
    fn each(&self, to: impl Fn(Point) -> Point) -> Path {
        let pieces = self.pieces.iter().map(|piece| Piece {
            points: piece.points.iter().map(|point| to(*point)).collect(),
            centre: piece.centre.map(&to),
        });
        Path { pieces: pieces.collect() }
    }

    /// How far up it reaches.
    pub(crate) fn top(&self) -> f64 {
        self.bounds().0.1
    }

    /// How far down it reaches.
    pub(crate) fn foot(&self) -> f64 {
        self.bounds().1.1
    }

    /// Both ends, each with the direction in which the path leaves it outward.
    pub(crate) fn ends(&self) -> Option<[(Point, Point); 2]> {
        let points: Vec<Point> = self.points().collect();
        let ([first, second, ..], [.., before, last]) = (points.as_slice(), points.as_slice()) else {
            return None;
        };
        Some([(*first, direction(*second, *first)), (*last, direction(*before, *last))])
    }

    /// Where one straight piece goes straight on in the next.
    pub(crate) fn seams(&self) -> Vec<Point> {
        let straight = |piece: &Piece| piece.centre.is_none();
        let pairs = self.pieces.windows(2).filter_map(|pair| match pair {
            [one, other] if straight(one) && straight(other) => other.points.first().copied(),
            _ => None,
        });
        pairs.collect()
    }
}

/// The direction from one point to another, of length 1; to the right where they are the same.
pub(crate) fn direction(from: Point, to: Point) -> Point {
    let long = (to.0 - from.0).hypot(to.1 - from.1);
    if long > 1e-9 { ((to.0 - from.0) / long, (to.1 - from.1) / long) } else { (1.0, 0.0) }
}

/// Whether two lines meet: the ends of each lie on different sides of the other, or on it.
pub(crate) fn meet(one: (Point, Point), other: (Point, Point)) -> bool {
    let side = |line: (Point, Point), at: Point| {
        let (along, to) = ((line.1.0 - line.0.0, line.1.1 - line.0.1), (at.0 - line.0.0, at.1 - line.0.1));
        along.0 * to.1 - along.1 * to.0
    };
    let parted = |line, ends: (Point, Point)| side(line, ends.0) * side(line, ends.1) <= 0.0;
    let near = |from: fn(Point) -> f64| {
        let (low, high) = (from(one.0).min(from(one.1)), from(one.0).max(from(one.1)));
        from(other.0).min(from(other.1)) <= high && from(other.0).max(from(other.1)) >= low
    };
    near(|point| point.0) && near(|point| point.1) && parted(one, other) && parted(other, one)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The end of a path by hand: a quarter bend moves its radius along and its radius aside.
    #[test]
    fn quarter_bends_move_by_their_radius() {
        let parts = [Part::Run(400.0), Part::Bend(90.0, 30.0), Part::Run(250.0), Part::Bend(90.0, 30.0)];
        let path = Path::laid(&[parts.as_slice(), &[Part::Run(600.0)]].concat()).unwrap();
        let end = path.points().last().unwrap();
        assert!((end.0 - 1060.0).abs() < 1e-9 && (end.1 - 310.0).abs() < 1e-9, "{end:?}");
        assert_eq!(path.extent().0.round(), 1060.0);
    }

    #[test]
    fn a_path_that_must_cross_itself_is_not_laid() {
        let coil = [Part::Run(200.0), Part::Bend(270.0, 100.0), Part::Run(500.0)];
        assert!(Path::laid(&coil).is_none());
        let hairpins = [Part::Run(300.0), Part::Bend(180.0, 20.0)].repeat(5);
        assert!(Path::laid(&hairpins).is_some());
    }

    #[test]
    fn lines_meet_or_do_not() {
        let line = ((0.0, 0.0), (10.0, 10.0));
        assert!(meet(line, ((0.0, 10.0), (10.0, 0.0))));
        assert!(!meet(line, ((0.0, 1.0), (10.0, 11.0))));
        assert!(!meet(line, ((20.0, 0.0), (20.0, 30.0))));
    }
}
