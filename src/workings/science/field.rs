//! The height that a packing search descends: the radius round the circles, and a penalty for each overlap.
//!
//! R + k/2·Σ o², where R, the radius of the enclosing circle, is one of the variables, and o is how far two
//! circles overlap, or one sticks out. Between two circles o is taken as (s² − d²)/2s for their distance d and
//! the sum s of their radii, which needs no root and is the overlap itself as it vanishes.
//!
//! At the bottom each o is the force of a contact divided by k. So R + k·Σ o² tells, but for the square of an
//! overlap, the radius at which the contacts close, and the height is below that radius.

use crate::workings::science::neighbours::{Neighbours, positive};
use crate::workings::science::point::{Point, parts, slopes};

/// The circles of a search.
pub(crate) struct Field<'a> {
    radii: &'a [f64],
    /// How far from the wall each circle is held: its radius, or more.
    walls: Vec<f64>,
    neighbours: Neighbours<'a>,
    /// How often the height was asked.
    pub(crate) calls: usize,
}

impl Field<'_> {
    /// A field for circles of these radii, the largest about one.
    pub(crate) fn new(radii: &[f64]) -> Field<'_> {
        Field { radii, walls: radii.to_vec(), neighbours: Neighbours::new(radii), calls: 0 }
    }

    /// Lets go of all contacts that were held apart.
    pub(crate) fn release(&mut self) {
        self.walls.copy_from_slice(self.radii);
        self.neighbours.forget();
    }

    /// The height at these numbers of a point, and its gradient.
    pub(crate) fn height(&mut self, numbers: &[f64], slope: &mut [f64], k: f64) -> f64 {
        self.calls += 1;
        let Some((x, y, outer)) = parts(numbers, self.radii.len()) else { return 0.0 };
        let Some((slope_x, slope_y, slope_outer)) = slopes(slope, self.radii.len()) else { return 0.0 };
        // The wall begins the gradient.
        let (mut squares, mut pull) = (0.0, 0.0);
        let to = slope_x.iter_mut().zip(slope_y.iter_mut());
        for (((x, y), wall), (to_x, to_y)) in x.iter().zip(y).zip(&self.walls).zip(to) {
            let away = (x * x + y * y).sqrt();
            let beyond = positive(away + wall - outer);
            let push = beyond / (away + 1e-12);
            (*to_x, *to_y) = (push * x, push * y);
            squares += beyond * beyond;
            pull += beyond;
        }
        squares += self.neighbours.squares((x, y), (&mut *slope_x, &mut *slope_y));
        slope_x.iter_mut().chain(slope_y).for_each(|part| *part *= k);
        slope_outer.fill(0.0);
        if let Some(slot) = slope_outer.first_mut() {
            *slot = 1.0 - k * pull;
        }
        outer + 0.5 * k * squares
    }

    /// Holds each contact apart by as much as it overlaps now, so that the next descent at the same penalty
    /// closes it (method of multipliers, Hestenes and Powell 1969). Returns the largest overlap.
    pub(crate) fn tighten(&mut self, point: &mut Point) -> f64 {
        let Some((x, y, outer)) = parts(point.numbers(), self.radii.len()) else { return 0.0 };
        let mut worst: f64 = 0.0;
        for ((x, y), (wall, radius)) in x.iter().zip(y).zip(self.walls.iter_mut().zip(self.radii)) {
            let room = outer - (x * x + y * y).sqrt();
            worst = worst.max(radius - room);
            *wall = radius + positive(*wall - room);
        }
        worst.max(self.neighbours.tighten((x, y)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The largest difference between the gradient and the slope of the height itself.
    fn fault(radii: &[f64], k: f64) -> f64 {
        let spiral = |index: usize| {
            let turn = index as f64;
            [0.35 * turn.sqrt() * turn.cos(), 0.35 * turn.sqrt() * turn.sin()]
        };
        let places: Vec<[f64; 2]> = (0..radii.len()).map(|index| spiral(index + 1)).collect();
        let mut point = Point::of(&places, 1.5);
        let numbers = point.numbers().to_vec();
        let mut field = Field::new(radii);
        let (mut slope, mut unused) = (vec![0.0; numbers.len()], vec![0.0; numbers.len()]);
        field.height(&numbers, &mut slope, k);
        let mut worst: f64 = 0.0;
        for (index, part) in slope.iter().enumerate().take(2 * radii.len() + 1) {
            let mut at = |shift: f64| {
                let mut moved = numbers.clone();
                moved[index] += shift;
                field.height(&moved, &mut unused, k)
            };
            worst = worst.max((part - (at(1e-6) - at(-1e-6)) / 2e-6).abs());
        }
        worst
    }

    #[test]
    fn the_gradient_is_the_slope_of_the_height() {
        for count in [2, 5, 8, 24] {
            let radii: Vec<f64> = (0..count).map(|index| 1.0 - 0.6 * index as f64 / count as f64).collect();
            assert!(fault(&radii, 3.0) < 1e-5, "{count}: {}", fault(&radii, 3.0));
        }
    }

    /// R + k/2·Σ o² by a plain double sum.
    fn plain(radii: &[f64], places: &[[f64; 2]], outer: f64, k: f64) -> f64 {
        let mut sum = 0.0;
        for (index, [x, y]) in places.iter().enumerate() {
            sum += (x.hypot(*y) + radii[index] - outer).max(0.0).powi(2);
            for (other, [u, v]) in places.iter().enumerate().take(index) {
                let reach = radii[index] + radii[other];
                let square = (x - u).powi(2) + (y - v).powi(2);
                sum += ((reach * reach - square) / (2.0 * reach)).max(0.0).powi(2);
            }
        }
        outer + k / 2.0 * sum
    }

    fn height(field: &mut Field, point: &mut Point, k: f64) -> f64 {
        let mut slope = vec![0.0; point.numbers().len()];
        field.height(point.numbers(), &mut slope, k)
    }

    #[test]
    fn the_height_is_a_plain_double_sum() {
        for count in [1usize, 2, 5, 24] {
            let radii: Vec<f64> = (0..count).map(|index| 1.0 - 0.6 * index as f64 / count as f64).collect();
            let place = |index: usize| [0.4 * (index as f64).sqrt(), 0.3 * (index as f64 * 1.7).sin()];
            let places: Vec<[f64; 2]> = (0..count).map(place).collect();
            let mut field = Field::new(&radii);
            for (calls, (outer, k)) in [(1.5, 3.0), (0.9, 30.0), (20.0, 0.5)].into_iter().enumerate() {
                assert_eq!(field.calls, calls);
                let mut point = Point::of(&places, outer);
                let known = plain(&radii, &places, outer, k);
                assert!((height(&mut field, &mut point, k) / known - 1.0).abs() < 1e-12, "{count} {outer}");
            }
        }
    }

    #[test]
    fn a_circle_in_the_very_middle_has_no_slope() {
        let (mut field, mut slope) = (Field::new(&[1.0]), [9.0; 4]);
        // It sticks out by a quarter: 0.75 + 4/2 · 1/16, and the radius is drawn out by 1 − 4 · 1/4.
        assert_eq!(field.height(&[0.0, 0.0, 0.75, 0.0], &mut slope, 4.0), 0.875);
        assert_eq!(slope, [0.0; 4]);
    }

    #[test]
    fn contacts_are_held_apart_by_what_they_overlap_until_they_are_let_go() {
        // Two of radius 1 at 0.9 from the middle and at right angles (d² = 1.62) in a circle of 1.7: they stick out by
        // 0.2.
        let radii = [1.0, 1.0];
        let mut point = Point::of(&[[0.9, 0.0], [0.0, -0.9]], 1.7);
        let (mut field, pair) = (Field::new(&radii), (4.0 - 1.62) / 4.0);
        let known = |times: f64| 1.7 + 0.5 * 3.0 * times * times * (2.0 * 0.2 * 0.2 + pair * pair);
        assert!((height(&mut field, &mut point, 3.0) - known(1.0)).abs() < 1e-12);
        for times in [2.0, 3.0] {
            // The overlap of the two is the largest: 2 − 0.9 √2.
            assert!((field.tighten(&mut point) - (2.0 - 0.9 * 2f64.sqrt())).abs() < 1e-12);
            assert!((height(&mut field, &mut point, 3.0) - known(times)).abs() < 1e-12);
        }
        field.release();
        assert!((height(&mut field, &mut point, 3.0) - known(1.0)).abs() < 1e-12);
    }

    #[test]
    fn what_sticks_out_most_may_be_the_largest_overlap() {
        let mut point = Point::of(&[[0.75, 1.0], [-1.0, 0.0]], 2.0);
        let radii = [1.0, 0.5];
        let mut field = Field::new(&radii);
        height(&mut field, &mut point, 3.0);
        // √(0.5625 + 1) + 1 − 2 = 0.25, and the other has room.
        for _ in 0..2 {
            assert_eq!(field.tighten(&mut point), 0.25);
        }
        assert_eq!(field.walls, [1.5, 0.5]);
    }
}
