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

    /// The sum of the squared overlaps; adds half of its gradient.
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workings::science::seed::Seed;

    /// Circles anywhere in a disc, some of which overlap.
    fn anywhere(count: usize, seed: &mut Seed) -> (Vec<f64>, Vec<f64>, Vec<f64>) {
        let radii: Vec<f64> = (0..count).map(|index| 1.0 - 0.6 * index as f64 / count as f64).collect();
        let places: Vec<[f64; 2]> = radii.iter().map(|_| seed.place(1.2 * (count as f64).sqrt())).collect();
        let part = |axis: usize| places.iter().map(|place| place[axis]).collect();
        (radii, part(0), part(1))
    }

    fn apart((x, y): Places, one: usize, other: usize) -> f64 {
        (x[one] - x[other]).hypot(y[one] - y[other])
    }

    /// All pairs, each once.
    fn pairs(count: usize) -> impl Iterator<Item = (usize, usize)> {
        (0..count).flat_map(move |one| (one + 1..count).map(move |other| (one, other)))
    }

    /// The sum of all squared overlaps (s² − d²)/2s.
    fn plain(radii: &[f64], at: Places) -> f64 {
        let square = |(one, other)| {
            let reach: f64 = radii[one] + radii[other];
            ((reach * reach - apart(at, one, other).powi(2)) / (2.0 * reach)).max(0.0).powi(2)
        };
        pairs(radii.len()).map(square).sum()
    }

    fn squares(neighbours: &mut Neighbours, at: Places) -> f64 {
        let (mut slope_x, mut slope_y) = (vec![0.0; at.0.len()], vec![0.0; at.0.len()]);
        neighbours.squares(at, (&mut slope_x, &mut slope_y))
    }

    /// The neighbours as they are listed.
    fn listed(neighbours: &Neighbours) -> Vec<(usize, usize)> {
        let mut start = 0;
        let mut all = Vec::new();
        for (one, end) in neighbours.ends.iter().enumerate() {
            all.extend(neighbours.touches[start..*end].iter().map(|touch| (one, touch.other)));
            start = *end;
        }
        all
    }

    #[test]
    fn neighbours_are_all_pairs_that_a_plain_search_finds() {
        let mut seed = Seed::new(1);
        for count in [1, 2, 7, 40] {
            let (radii, x, y) = anywhere(count, &mut seed);
            let mut neighbours = Neighbours::new(&radii);
            neighbours.list((&x, &y));
            let near = |pair: &(usize, usize)| {
                apart((&x, &y), pair.0, pair.1) < radii[pair.0] + radii[pair.1] + SKIN
            };
            assert_eq!(listed(&neighbours), pairs(count).filter(near).collect::<Vec<_>>());
        }
        // At 1 + 1 + ½ they are no neighbours, a hair nearer they are.
        for (second, is_near) in [(2.5, false), (2.4999, true)] {
            let mut neighbours = Neighbours::new(&[1.0, 1.0]);
            neighbours.list((&[0.0, 0.0], &[0.0, second]));
            assert_eq!(!listed(&neighbours).is_empty(), is_near);
        }
    }

    #[test]
    fn the_lists_follow_the_circles_wherever_they_go() {
        let mut seed = Seed::new(2);
        let (radii, mut x, mut y) = anywhere(12, &mut seed);
        let mut neighbours = Neighbours::new(&radii);
        for _ in 0..300 {
            let sum = squares(&mut neighbours, (&x, &y));
            assert!((sum - plain(&radii, (&x, &y))).abs() < 1e-12 * (1.0 + sum));
            // All go somewhere, and one far.
            let one = seed.below(12);
            for index in 0..12 {
                let [to_x, to_y] = seed.place(if index == one { 0.3 } else { 0.05 });
                let centre = |from: f64, to: f64| (from + to).clamp(-4.0, 4.0);
                (x[index], y[index]) = (centre(x[index], to_x), centre(y[index], to_y));
            }
        }
    }

    #[test]
    fn the_lists_stay_until_a_circle_has_moved_by_half_of_the_skin() {
        // Far from nought, so that a sum of places is no difference of them.
        for [u, v] in [[1.0, 0.0], [-1.0, 0.0], [0.0, 1.0], [0.0, -1.0], [0.6, 0.8]] {
            for (moved, is_listed_anew) in [(0.2, false), (0.24, false), (0.26, true), (0.8, true)] {
                let (radii, x, y) = ([1.0, 1.0], [10.0, 12.0], [20.0, 20.0]);
                let mut neighbours = Neighbours::new(&radii);
                squares(&mut neighbours, (&x, &y));
                let (to_x, to_y) = ([x[0], x[1] + moved * u], [y[0], y[1] + moved * v]);
                squares(&mut neighbours, (&to_x, &to_y));
                let now = [to_x, to_y].concat();
                assert_eq!(neighbours.listed == now, is_listed_anew, "{moved} {u} {v}");
            }
        }
        // Just half of it is not yet too far.
        let mut neighbours = Neighbours::new(&[1.0]);
        squares(&mut neighbours, (&[1.0], &[0.0]));
        squares(&mut neighbours, (&[1.25], &[0.0]));
        assert_eq!(neighbours.listed, [1.0, 0.0]);
    }

    #[test]
    fn contacts_are_held_apart_by_what_they_overlap_until_they_are_forgotten() {
        // Three on a line; s² = 4, d² = 1.9² = 3.61 and 1.96² = 3.8416; the outer two are far apart.
        let at: Places = (&[0.0, 1.9, 1.9], &[0.5, 0.5, 2.46]);
        let radii = [1.0; 3];
        let mut neighbours = Neighbours::new(&radii);
        let weighed = |one: f64, other: f64| (one * one + other * other) / 16.0;
        assert!((squares(&mut neighbours, at) - weighed(0.39, 0.1584)).abs() < 1e-12);
        for times in [2.0, 3.0] {
            // What is held apart grows by 4 − d² each time.
            assert!((neighbours.tighten(at) - 0.1).abs() < 1e-12);
            assert!((squares(&mut neighbours, at) - weighed(times * 0.39, times * 0.1584)).abs() < 1e-12);
        }
        neighbours.forget();
        assert!((squares(&mut neighbours, at) - weighed(0.39, 0.1584)).abs() < 1e-12);
        // Nothing overlaps: nothing is held.
        let at: Places = (&[0.0, 2.2, 4.4], &[0.0, 0.0, 0.0]);
        neighbours.forget();
        squares(&mut neighbours, at);
        assert_eq!(neighbours.tighten(at), 0.0);
        assert!(neighbours.touches.iter().all(|touch| touch.held == 4.0));
    }

    #[test]
    fn all_contacts_of_many_circles_are_held_apart() {
        let mut seed = Seed::new(3);
        for count in [4, 12, 30] {
            let (radii, x, y) = anywhere(count, &mut seed);
            let at: Places = (&x, &y);
            let mut neighbours = Neighbours::new(&radii);
            let overlap = |(one, other): (usize, usize)| radii[one] + radii[other] - apart(at, one, other);
            let most = pairs(count).map(overlap).fold(0.0, f64::max);
            assert!((squares(&mut neighbours, at) - plain(&radii, at)).abs() < 1e-12 * count as f64);
            // Each overlap is doubled, so that its square is four times as large.
            assert!((neighbours.tighten(at) - most).abs() < 1e-12);
            assert!((squares(&mut neighbours, at) - 4.0 * plain(&radii, at)).abs() < 1e-12 * count as f64);
        }
    }

    #[test]
    fn the_gradient_is_the_slope_of_the_sum() {
        let (radii, x, y) = anywhere(9, &mut Seed::new(4));
        let mut neighbours = Neighbours::new(&radii);
        // Half the slope is added to what is there already: k times it is that of k/2·Σ o².
        let (mut slope_x, mut slope_y) = (vec![1.0; 9], vec![2.0; 9]);
        neighbours.squares((&x, &y), (&mut slope_x, &mut slope_y));
        for index in 0..9 {
            let shifted = |all: &[f64], by: f64| {
                let mut all = all.to_vec();
                all[index] += by;
                all
            };
            let along_x = |by: f64| plain(&radii, (&shifted(&x, by), &y));
            let along_y = |by: f64| plain(&radii, (&x, &shifted(&y, by)));
            let half = |up: f64, down: f64| (up - down) / 2e-6 / 2.0;
            assert!((slope_x[index] - 1.0 - half(along_x(1e-6), along_x(-1e-6))).abs() < 1e-6);
            assert!((slope_y[index] - 2.0 - half(along_y(1e-6), along_y(-1e-6))).abs() < 1e-6);
        }
    }

    #[test]
    fn only_what_is_above_nought_is_kept() {
        assert_eq!((positive(2.5), positive(0.0), positive(-2.5)), (2.5, 0.0, 0.0));
    }
}
