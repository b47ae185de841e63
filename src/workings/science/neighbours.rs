//! Which circles of a packing search are near each other, and what their overlaps cost.

/// How much farther than touching a neighbour may be, in radii of the largest circle.
const SKIN: f64 = 0.5;

/// All x and all y.
type Places<'a> = (&'a [f64], &'a [f64]);
/// The gradient by all x and all y.
type Slopes<'a> = (&'a mut [f64], &'a mut [f64]);

/// A contact that may be.
struct Touch {
    /// The second circle.
    other: usize,
    /// The distance at which the two touch.
    reach: f64,
    /// The square of the distance to which they are held apart: of `reach`, or more.
    held: f64,
    /// What the square of an overlap of squares weighs, so that it is that of an overlap.
    weight: f64,
}

impl Touch {
    fn new(other: usize, reach: f64) -> Touch {
        Touch { other, reach, held: reach * reach, weight: 0.25 / (reach * reach) }
    }

    /// Holds the two apart by as much as they overlap. Returns the overlap.
    fn tighten(&mut self, square: f64) -> f64 {
        self.held = self.reach * self.reach + positive(self.held - square);
        self.reach - square.sqrt()
    }
}

/// The number, or nought where it is negative. Unlike `max` it is one instruction, and never a jump.
#[inline(always)]
pub(crate) fn positive(number: f64) -> f64 {
    if number > 0.0 { number } else { 0.0 }
}

/// For each circle those after it that are near. The lists follow the circles.
pub(crate) struct Neighbours<'a> {
    radii: &'a [f64],
    touches: Vec<Touch>,
    /// Where in `touches` the neighbours of each circle end; empty before they are listed.
    ends: Vec<usize>,
    /// Where the circles were when they were listed: all x, then all y.
    listed: Vec<f64>,
}

impl Neighbours<'_> {
    /// No lists yet.
    pub(crate) fn new(radii: &[f64]) -> Neighbours<'_> {
        Neighbours { radii, touches: Vec::new(), ends: Vec::new(), listed: Vec::new() }
    }

    /// Drops the lists, and with them what was held apart.
    pub(crate) fn forget(&mut self) {
        self.ends.clear();
    }

    /// Each circle's touches, one run after the other.
    fn run<'a>(touches: &mut &'a [Touch], start: &mut usize, end: usize) -> &'a [Touch] {
        let (run, later) = touches.split_at_checked(end - *start).unwrap_or((touches, &[]));
        (*touches, *start) = (later, end);
        run
    }

    /// The sum of the squared overlaps; adds its gradient.
    pub(crate) fn squares(&mut self, (x, y): Places, (slope_x, slope_y): Slopes) -> f64 {
        self.follow((x, y));
        let (mut touches, mut start, mut squares) = (self.touches.as_slice(), 0, 0.0);
        for (index, ((xi, yi), end)) in x.iter().zip(y).zip(&self.ends).enumerate() {
            let (mut sum_x, mut sum_y) = (0.0, 0.0);
            for touch in Neighbours::run(&mut touches, &mut start, *end) {
                let (Some(xj), Some(yj)) = (x.get(touch.other), y.get(touch.other)) else { continue };
                let (dx, dy) = (xi - xj, yi - yj);
                let over = positive(touch.held - (dx * dx + dy * dy));
                let half = over * touch.weight;
                squares += over * half;
                let (push_x, push_y) = ((half + half) * dx, (half + half) * dy);
                sum_x += push_x;
                sum_y += push_y;
                if let (Some(to_x), Some(to_y)) = (slope_x.get_mut(touch.other), slope_y.get_mut(touch.other))
                {
                    *to_x += push_x;
                    *to_y += push_y;
                }
            }
            if let (Some(to_x), Some(to_y)) = (slope_x.get_mut(index), slope_y.get_mut(index)) {
                *to_x -= sum_x;
                *to_y -= sum_y;
            }
        }
        squares
    }

    /// Holds all contacts apart by as much as they overlap. Returns the largest overlap.
    pub(crate) fn tighten(&mut self, (x, y): Places) -> f64 {
        let (mut worst, mut start): (f64, usize) = (0.0, 0);
        let mut touches = self.touches.iter_mut();
        for ((xi, yi), end) in x.iter().zip(y).zip(&self.ends) {
            for touch in touches.by_ref().take(end - start) {
                let (Some(xj), Some(yj)) = (x.get(touch.other), y.get(touch.other)) else { continue };
                worst = worst.max(touch.tighten((xi - xj) * (xi - xj) + (yi - yj) * (yi - yj)));
            }
            start = *end;
        }
        worst
    }

    /// Lists the neighbours anew where circles have moved so far that others may be near.
    fn follow(&mut self, (x, y): Places) {
        if let Some((then_x, then_y)) = self.listed.split_at_checked(x.len())
            && !self.ends.is_empty()
        {
            let mut most = 0.0;
            for ((x, y), (u, v)) in x.iter().zip(y).zip(then_x.iter().zip(then_y)) {
                let moved = (x - u) * (x - u) + (y - v) * (y - v);
                most = if moved > most { moved } else { most };
            }
            if most <= SKIN * SKIN / 4.0 {
                return;
            }
        }
        self.list((x, y));
    }

    /// Lists who is near whom.
    fn list(&mut self, (x, y): Places) {
        self.touches.clear();
        self.ends.clear();
        let circles = || x.iter().zip(y).zip(self.radii);
        for (index, ((xi, yi), radius)) in circles().enumerate() {
            for (other, ((xj, yj), second)) in circles().enumerate().skip(index + 1) {
                let (dx, dy, near) = (xi - xj, yi - yj, radius + second + SKIN);
                if dx * dx + dy * dy < near * near {
                    self.touches.push(Touch::new(other, radius + second));
                }
            }
            self.ends.push(self.touches.len());
        }
        self.listed.clear();
        self.listed.extend(x.iter().chain(y));
    }
}
