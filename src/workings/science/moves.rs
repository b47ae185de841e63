//! How a packing search goes from one arrangement to another: circles change places, or one jumps elsewhere.

use crate::workings::science::neighbours::positive;
use crate::workings::science::point::Point;
use crate::workings::science::seed::Seed;

/// Moves that are drawn for each hop; the one that makes the least overlap is taken.
const DRAWN: usize = 4;

/// How often two circles change places rather than one jumps.
const SWAPS: f64 = 0.8;

/// Larger circles with which one may change places when they are sorted: those next to it in size.
const PARTNERS: usize = 24;

/// Radii that differ by less are the same.
const SAME: f64 = 1e-3;

/// A step from an arrangement to a neighbouring one.
#[derive(Clone, Copy, PartialEq)]
enum Move {
    Swap(usize, usize),
    Jump(usize, [f64; 2]),
}

/// Hops from one arrangement; none is made twice.
#[derive(Default)]
pub(crate) struct Hops(Vec<Move>);

impl Hops {
    /// Begins with another arrangement.
    pub(crate) fn restart(&mut self) {
        self.0.clear();
    }

    /// Changes the arrangement into a neighbour of it: of a few moves that are drawn, the one that makes the
    /// least overlap.
    pub(crate) fn hop(&mut self, point: &mut Point, radii: &[f64], seed: &mut Seed) {
        let drawn = (0..DRAWN).map(|_| draw(point, radii, seed)).filter(|(_, step)| !self.0.contains(step));
        let least = drawn.min_by(|one, other| one.0.total_cmp(&other.0));
        let Some((_, step)) = least else { return };
        match step {
            Move::Swap(one, other) => point.swap(one, other),
            Move::Jump(index, place) => point.put(index, place),
        }
        self.0.push(step);
    }
}

/// A move, and what the circles that move overlap after it.
fn draw(point: &Point, radii: &[f64], seed: &mut Seed) -> (f64, Move) {
    let (one, other) = (seed.below(radii.len()), seed.below(radii.len()));
    if seed.next() < SWAPS && (radius(radii, one) - radius(radii, other)).abs() > SAME {
        return (swapped(point, radii, one, other), Move::Swap(one.min(other), one.max(other)));
    }
    let place = seed.place(point.outer() - radius(radii, one));
    (overlap(point, radii, one, place, one), Move::Jump(one, place))
}

/// Lets circles of different size change places wherever that makes less overlap, one partner for each.
/// Radii come largest first. Returns whether any did.
pub(crate) fn sort(point: &mut Point, radii: &[f64]) -> bool {
    let mut own: Vec<f64> =
        (0..radii.len()).map(|index| overlap(point, radii, index, point.place(index), index)).collect();
    let mut any = false;
    for (one, first) in radii.iter().enumerate() {
        let mut best = (-1e-9, one);
        for ((other, second), cost) in
            radii.iter().enumerate().zip(&own).take(one).skip(one.saturating_sub(PARTNERS))
        {
            if (first - second).abs() < SAME {
                continue;
            }
            let apart = between(point.place(one), point.place(other), first + second);
            let most = own.get(one).unwrap_or(&0.0) + cost - 2.0 * apart + best.0;
            // The larger one alone mostly settles it.
            let larger = overlap(point, radii, other, point.place(one), one);
            if larger < most {
                let change = larger + overlap(point, radii, one, point.place(other), other) - most;
                if change < 0.0 {
                    best = (best.0 + change, other);
                }
            }
        }
        if best.1 != one {
            trade(point, radii, &mut own, (one, best.1));
            any = true;
        }
    }
    any
}

/// Lets two circles change places, and keeps up what each circle overlaps.
fn trade(point: &mut Point, radii: &[f64], own: &mut [f64], (one, other): (usize, usize)) {
    let (place, second) = (point.place(one), point.place(other));
    let (first_radius, second_radius) = (radius(radii, one), radius(radii, other));
    for ((cost, at), radius) in own.iter_mut().zip(point.places()).zip(radii) {
        let now = between(at, place, radius + first_radius) + between(at, second, radius + second_radius);
        let then = between(at, second, radius + first_radius) + between(at, place, radius + second_radius);
        *cost += then - now;
    }
    point.swap(one, other);
    for index in [one, other] {
        let cost = overlap(point, radii, index, point.place(index), index);
        if let Some(slot) = own.get_mut(index) {
            *slot = cost;
        }
    }
}

/// What two circles overlap with all others once they have changed places.
fn swapped(point: &Point, radii: &[f64], one: usize, other: usize) -> f64 {
    overlap(point, radii, one, point.place(other), other)
        + overlap(point, radii, other, point.place(one), one)
}

/// What a circle overlaps with the wall and with all others but `without`, as squares, were it at `place`.
fn overlap(point: &Point, radii: &[f64], index: usize, place: [f64; 2], without: usize) -> f64 {
    let own = radius(radii, index);
    let mut sum = 0.0;
    for (other, (second, radius)) in point.places().zip(radii).enumerate() {
        let apart = between(place, second, own + radius);
        sum += if other == index || other == without { 0.0 } else { apart };
    }
    let away = (place[0] * place[0] + place[1] * place[1]).sqrt();
    let beyond = positive(away + own - point.outer());
    sum + 4.0 * beyond * beyond
}

/// The square of what two circles overlap, four times.
fn between([x, y]: [f64; 2], [u, v]: [f64; 2], reach: f64) -> f64 {
    let (dx, dy, square) = (x - u, y - v, reach * reach);
    let over = positive(square - dx * dx - dy * dy);
    over * over / square
}

fn radius(radii: &[f64], index: usize) -> f64 {
    radii.get(index).copied().unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_large_circle_that_is_cramped_changes_places_with_a_small_one() {
        // In a row across a circle of radius three, the large one at an end, where it sticks out.
        let radii = [2.0, 0.5, 0.5];
        let mut point = Point::of(&[[2.4, 0.0], [0.0, 0.0], [-2.4, 0.0]], 3.0);
        assert!(sort(&mut point, &radii));
        assert_eq!(point.place(0), [0.0, 0.0]);
        assert!(!sort(&mut point, &radii));
    }
}
