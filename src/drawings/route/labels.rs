//! Dimensions and leaders along a path, each put where it is clear of the path and of the others.

use crate::drawings::route::path::{Path, direction, meet};
use crate::drawings::svg::{Anchor, LETTER, Point, Sheet, width_of};

/// What stands at a part of a path, or at one of its ends.
#[derive(Clone, Debug)]
pub(crate) enum Label {
    /// A dimension along a straight piece.
    Run(String),
    /// A leader to a bend.
    Bend(String),
    /// Words where the path starts.
    Start(String),
    /// Words where it ends.
    End(String),
}

/// Words with the lines that lead to them.
#[derive(Clone, Debug)]
pub(crate) struct Placed {
    words: String,
    /// Left, top, right, foot of the words.
    around: [f64; 4],
    lines: Vec<(Point, Point)>,
    /// Tip, and direction of the body.
    arrows: Vec<(Point, Point)>,
    /// How far it is from where one would look first.
    cost: f64,
}

/// Half the height of figures.
const HALF: f64 = 0.45 * LETTER;

/// Length under which arrows stand outside.
const SHORT: f64 = 24.0;

/// What no label may cost: it would lie on another, or on the path, or its lines cross too many others.
const TOO_MUCH: f64 = 200.0;

/// Labels for the parts and ends of a path on a sheet of this width. One that finds no clear place is left out.
pub(crate) fn place(width: f64, path: &Path, labels: &[Label]) -> Vec<Placed> {
    let course = course(path);
    let wanted = wanted(width, path, labels);
    // What is placed first has the choice: several orders are tried, and the one that leaves out least is kept.
    let all: Vec<usize> = (0..labels.len()).collect();
    let is_bend = |place: &usize| matches!(labels.get(*place), Some(Label::Bend(_)));
    let (bends, others): (Vec<usize>, Vec<usize>) = all.iter().partition(|place| is_bend(place));
    let back: Vec<usize> = all.iter().rev().copied().collect();
    let orders = [back, all, [bends.clone(), others.clone()].concat(), [others, bends].concat()];
    let tried = orders.into_iter().map(|order| {
        let (placed, cost) = in_order(width, &order, &wanted, &course);
        (labels.len() - placed.len(), cost, placed)
    });
    let best = tried.min_by(|one, other| one.0.cmp(&other.0).then(one.1.total_cmp(&other.1)));
    best.map_or_else(Vec::new, |(_, _, placed)| placed)
}

/// Every place that each label could take.
fn wanted(width: f64, path: &Path, labels: &[Label]) -> Vec<Vec<Placed>> {
    let mut parts = path.pieces.iter();
    let mut wanted: Vec<Vec<Placed>> = Vec::new();
    for label in labels {
        wanted.push(match label {
            Label::Run(words) => parts.next().map_or_else(Vec::new, |piece| run(&piece.points, words)),
            Label::Bend(words) => {
                parts.next().map_or_else(Vec::new, |piece| bend(&piece.points, piece.centre, words))
            }
            Label::Start(words) => end(width, path, 0, words),
            Label::End(words) => end(width, path, 1, words),
        });
    }
    wanted
}

/// Labels placed one after the other, each where it costs least, and what they cost together.
fn in_order(width: f64, order: &[usize], wanted: &[Vec<Placed>], course: &[Point]) -> (Vec<Placed>, f64) {
    let (mut placed, mut sum): (Vec<Placed>, f64) = (Vec::new(), 0.0);
    for candidates in order.iter().filter_map(|place| wanted.get(*place)) {
        let judged = candidates
            .iter()
            .map(|candidate| (candidate.cost + hindrance(width, candidate, &placed, course), candidate));
        if let Some((cost, best)) = judged.min_by(|(one, _), (other, _)| one.total_cmp(other))
            && cost < TOO_MUCH
        {
            placed.push(best.clone());
            sum += cost;
        }
    }
    (placed, sum)
}

/// How far up labels reach.
pub(crate) fn top(placed: &[Placed]) -> f64 {
    placed.iter().map(|label| label.around[1]).fold(f64::INFINITY, f64::min)
}

/// How far down labels and their lines reach.
pub(crate) fn foot(placed: &[Placed]) -> f64 {
    let lines = placed.iter().flat_map(|label| &label.lines).map(|(from, to)| from.1.max(to.1));
    placed.iter().map(|label| label.around[3]).chain(lines).fold(f64::NEG_INFINITY, f64::max)
}

impl Placed {
    /// Words about a centre, without lines.
    fn about(centre: Point, words: &str, cost: f64) -> Placed {
        let half = width_of(words) / 2.0;
        Placed {
            words: words.to_owned(),
            around: [centre.0 - half, centre.1 - HALF, centre.0 + half, centre.1 + HALF],
            lines: Vec::new(),
            arrows: Vec::new(),
            cost,
        }
    }

    /// Draws it, `down` units lower.
    pub(crate) fn draw(&self, sheet: &mut Sheet, down: f64) {
        let lower = |point: Point| (point.0, point.1 + down);
        for (from, to) in &self.lines {
            sheet.ruled(lower(*from), lower(*to));
        }
        for (tip, body) in &self.arrows {
            sheet.arrow(lower(*tip), *body);
        }
        let [left, top, right, foot] = self.around;
        let base = f64::midpoint(top, foot) + 0.36 * LETTER + down;
        sheet.figure((f64::midpoint(left, right), base), Anchor::Middle, &self.words);
    }

    /// Whether a point lies on the words or nearly so.
    fn holds(&self, at: Point) -> bool {
        let [left, top, right, foot] = self.around;
        (left - 3.0..=right + 3.0).contains(&at.0) && (top - 3.0..=foot + 3.0).contains(&at.1)
    }

    /// Whether the words of two labels touch.
    fn touches(&self, other: &Placed) -> bool {
        let ([left, top, right, foot], [l, t, r, f]) = (self.around, other.around);
        left < r + 5.0 && l < right + 5.0 && top < f + 3.0 && t < foot + 3.0
    }
}

/// Points along a path, close together.
fn course(path: &Path) -> Vec<Point> {
    let points: Vec<Point> = path.points().collect();
    let mut course = Vec::new();
    for pair in points.windows(2) {
        if let [from, to] = pair {
            course.extend(along(*from, *to, 3.0));
        }
    }
    course
}

/// Points of a line about `step` apart, both ends with them.
fn along(from: Point, to: Point, step: f64) -> impl Iterator<Item = Point> {
    let count = ((to.0 - from.0).hypot(to.1 - from.1) / step).ceil().clamp(1.0, 2000.0);
    (0..=count as usize).map(move |place| {
        let share = place as f64 / count;
        (from.0 + share * (to.0 - from.0), from.1 + share * (to.1 - from.1))
    })
}

/// What is in the way of a label: the edge of the sheet, the path, other labels and their lines.
fn hindrance(width: f64, label: &Placed, placed: &[Placed], course: &[Point]) -> f64 {
    let [left, _, right, _] = label.around;
    let ends = label.lines.iter().flat_map(|(from, to)| [from.0, to.0]);
    let outside =
        left < 5.0 || right > width - 5.0 || ends.into_iter().any(|x| !(4.0..=width - 4.0).contains(&x));
    let on_path = course.iter().any(|point| label.holds(*point));
    let on_words = placed.iter().any(|other| label.touches(other));
    if outside || on_path || on_words {
        return TOO_MUCH;
    }
    let mut cost = 0.0;
    let crossed = |lines: &[(Point, Point)], words: &Placed| {
        lines.iter().any(|(from, to)| along(*from, *to, 3.0).any(|point| words.holds(point)))
    };
    if crossed(&label.lines, label) {
        return TOO_MUCH;
    }
    for other in placed {
        if crossed(&label.lines, other) || crossed(&other.lines, label) {
            return TOO_MUCH;
        }
        let meeting = label.lines.iter().flat_map(|line| other.lines.iter().map(move |held| (line, held)));
        cost += 120.0 * meeting.filter(|(line, held)| meet(**line, **held)).count() as f64;
    }
    cost + 25.0 * close_to(&label.lines, course)
}

/// How many points of lines lie close to the path. A line that leads to the path ends on it: only further off
/// it is in the way.
fn close_to(lines: &[(Point, Point)], course: &[Point]) -> f64 {
    const NEAR: f64 = 4.5;
    let mut count = 0.0;
    for (from, to) in lines {
        let (low, high) = ((from.0.min(to.0), from.1.min(to.1)), (from.0.max(to.0), from.1.max(to.1)));
        let beside = |at: &&Point| {
            at.0 > low.0 - NEAR && at.0 < high.0 + NEAR && at.1 > low.1 - NEAR && at.1 < high.1 + NEAR
        };
        let around: Vec<&Point> = course.iter().filter(beside).collect();
        let is_near = |at: &Point| around.iter().any(|point| (point.0 - at.0).hypot(point.1 - at.1) < NEAR);
        count += along(*from, *to, 4.0).skip(2).filter(is_near).count() as f64;
    }
    count
}

/// Dimensions of a straight piece: on either side, nearer or farther, the figure beside the line or beyond it.
fn run(points: &[Point], words: &str) -> Vec<Placed> {
    let (Some(from), Some(to)) = (points.first().copied(), points.last().copied()) else { return Vec::new() };
    let (u, half) = (direction(from, to), width_of(words) / 2.0);
    let long = (to.0 - from.0).hypot(to.1 - from.1);
    let is_short = long < SHORT;
    let tail = if is_short { 14.0 } else { 0.0 };
    let mut all = Vec::new();
    for side in [-1.0, 1.0] {
        let n = (-u.1 * side, u.0 * side);
        for off in [24.0, 40.0, 58.0, 78.0] {
            let move_by = |at: Point, by: Point, far: f64| (at.0 + far * by.0, at.1 + far * by.1);
            let (a, b) = (move_by(from, n, off), move_by(to, n, off));
            let lines = vec![
                (move_by(from, n, 4.0), move_by(a, n, 4.0)),
                (move_by(to, n, 4.0), move_by(b, n, 4.0)),
                (move_by(a, u, -tail), move_by(b, u, tail)),
            ];
            let heading = if is_short { -1.0 } else { 1.0 };
            let arrows = vec![(a, (u.0 * heading, u.1 * heading)), (b, (-u.0 * heading, -u.1 * heading))];
            let middle = (f64::midpoint(a.0, b.0), f64::midpoint(a.1, b.1));
            // A figure stands above a level dimension line, and on the outer side of any other.
            let level = u.1.abs() < 0.5;
            let beside = if level && n.1 > 0.0 { (-n.0, -n.1) } else { n };
            let clear = |by: Point| by.0.abs() * half + by.1.abs() * HALF + 4.0;
            let places = [
                (move_by(middle, beside, clear(beside)), 0.0),
                (move_by(middle, (-beside.0, -beside.1), clear(beside)), 6.0),
                (move_by(b, u, tail + clear(u) + 2.0), 8.0),
                (move_by(a, u, -tail - clear(u) - 2.0), 8.0),
            ];
            all.extend(places.into_iter().map(|(centre, cost)| Placed {
                lines: lines.clone(),
                arrows: arrows.clone(),
                ..Placed::about(centre, words, off / 10.0 + cost)
            }));
        }
    }
    all
}

/// Angles in degrees from straight outward at which a leader leaves a bend, each with what it costs.
const LEADERS: [(f64, f64); 12] = [
    (0.0, 0.0),
    (30.0, 1.0),
    (-30.0, 1.0),
    (60.0, 2.0),
    (-60.0, 2.0),
    (85.0, 3.0),
    (-85.0, 3.0),
    (180.0, 3.0),
    (150.0, 4.0),
    (-150.0, 4.0),
    (120.0, 5.0),
    (-120.0, 5.0),
];

/// Leaders of a bend: from the middle of its arc outward or inward, at several angles and lengths.
fn bend(points: &[Point], centre: Option<Point>, words: &str) -> Vec<Placed> {
    let (Some(tip), Some(centre)) = (points.get(points.len() / 2).copied(), centre) else {
        return Vec::new();
    };
    let out = direction(centre, tip);
    let half = width_of(words) / 2.0;
    let mut all = Vec::new();
    for (turn, odd) in LEADERS {
        let (sine, cosine) = f64::to_radians(turn).sin_cos();
        let way = (out.0 * cosine - out.1 * sine, out.0 * sine + out.1 * cosine);
        for long in [26.0, 40.0, 60.0, 84.0, 110.0] {
            let elbow = (tip.0 + long * way.0, tip.1 + long * way.1);
            let side = if way.0 < -1e-9 { -1.0 } else { 1.0 };
            let shelf = (elbow.0 + side * 7.0, elbow.1);
            all.push(Placed {
                lines: vec![(tip, elbow), (elbow, shelf)],
                arrows: vec![(tip, way)],
                ..Placed::about((shelf.0 + side * (half + 4.0), elbow.1), words, long / 10.0 + odd)
            });
        }
    }
    all
}

/// Words round an end of the path, kept on the sheet.
fn end(width: f64, path: &Path, which: usize, words: &str) -> Vec<Placed> {
    let Some((at, out)) = path.ends().and_then(|ends| ends.get(which).copied()) else { return Vec::new() };
    let half = width_of(words) / 2.0;
    let mut all = Vec::new();
    for turn in [0.0, 90.0, -90.0, 45.0, -45.0, 135.0, -135.0] {
        let (sine, cosine) = f64::to_radians(turn).sin_cos();
        let way = (out.0 * cosine - out.1 * sine, out.0 * sine + out.1 * cosine);
        for gap in [10.0, 18.0, 28.0] {
            let far = way.0.abs() * half + way.1.abs() * HALF + gap;
            let x = (at.0 + far * way.0).clamp(half + 6.0, (width - half - 6.0).max(half + 6.0));
            // Dimensions of level runs stand above them, so words go below.
            let above = if way.1 < -0.1 { 1.0 } else { 0.0 };
            let cost = gap / 10.0 + turn.abs() / 45.0 + above;
            all.push(Placed::about((x, at.1 + far * way.1), words, cost));
        }
    }
    all
}
