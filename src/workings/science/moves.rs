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
    if seed.next() < SWAPS && (radius(radii, one) - radius(radii, other)).abs() >= SAME {
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

    fn is_near(one: f64, other: f64) -> bool {
        (one - other).abs() < 1e-12 * (1.0 + one.abs())
    }

    /// Circles of sizes from one downwards, anywhere in a disc in which they are cramped.
    fn cramped(count: usize, seed: &mut Seed) -> (Point, Vec<f64>) {
        let radii: Vec<f64> = (0..count).map(|index| 1.0 - 0.7 * index as f64 / count as f64).collect();
        let reach = 0.8 * radii.iter().map(|radius| radius * radius).sum::<f64>().sqrt();
        let places: Vec<[f64; 2]> = radii.iter().map(|_| seed.place(reach)).collect();
        (Point::of(&places, reach), radii)
    }

    /// What two circles overlap: (s² − d²)²/s² for their distance d and the sum s of their radii.
    fn pair(point: &Point, radii: &[f64], one: usize, other: usize) -> f64 {
        let ([x, y], [u, v]) = (point.place(one), point.place(other));
        let (reach, apart) = (radii[one] + radii[other], (x - u).hypot(y - v));
        if apart < reach { ((reach.powi(2) - apart.powi(2)) / reach).powi(2) } else { 0.0 }
    }

    /// What one circle overlaps with the wall.
    fn wall(point: &Point, radii: &[f64], index: usize) -> f64 {
        let [x, y] = point.place(index);
        let beyond = x.hypot(y) + radii[index] - point.outer();
        if beyond > 0.0 { (2.0 * beyond).powi(2) } else { 0.0 }
    }

    /// What one circle overlaps with everything but another.
    fn burden(point: &Point, radii: &[f64], index: usize, without: usize) -> f64 {
        let others = (0..radii.len()).filter(|other| *other != index && *other != without);
        wall(point, radii, index) + others.map(|other| pair(point, radii, index, other)).sum::<f64>()
    }

    /// What all circles overlap, each pair once.
    fn total(point: &Point, radii: &[f64]) -> f64 {
        (0..radii.len())
            .map(|one| {
                wall(point, radii, one) + (0..one).map(|other| pair(point, radii, one, other)).sum::<f64>()
            })
            .sum()
    }

    fn exchanged(point: &Point, one: usize, other: usize) -> Point {
        let mut point = point.clone();
        let (first, second) = (point.place(one), point.place(other));
        point.put(one, second);
        point.put(other, first);
        point
    }

    fn all(point: &Point) -> Vec<[f64; 2]> {
        point.places().collect()
    }

    #[test]
    fn what_two_circles_overlap_is_four_times_its_square() {
        // s = 2, d² = 1 + 0.25 and 2, (4 − d²)²/4.
        assert_eq!(between([3.0, -1.0], [4.0, -0.5], 2.0), 2.75 * 2.75 / 4.0);
        assert_eq!(between([1.0, 5.0], [0.0, 4.0], 2.0), 1.0);
        assert_eq!(between([1.0, 5.0], [-1.0, 5.0], 2.0), 0.0);
        assert_eq!(between([1.0, 5.0], [1.0, 9.0], 2.0), 0.0);
        // As the overlap vanishes: 4 · 0.001².
        assert!((between([0.0, 0.0], [0.0, 2.999], 3.0) - 4e-6).abs() < 1e-8);
    }

    #[test]
    fn overlaps_are_those_of_a_plain_sum() {
        let mut seed = Seed::new(1);
        for count in [2, 5, 12] {
            let (point, radii) = cramped(count, &mut seed);
            for one in 0..count {
                let own = overlap(&point, &radii, one, point.place(one), one);
                assert!(is_near(own, burden(&point, &radii, one, one)), "{count} {one}");
                for other in (0..count).filter(|other| *other != one) {
                    let after = exchanged(&point, one, other);
                    let both = burden(&after, &radii, one, other) + burden(&after, &radii, other, one);
                    assert!(is_near(swapped(&point, &radii, one, other), both), "{count} {one} {other}");
                    let without = overlap(&point, &radii, one, point.place(one), other);
                    assert!(is_near(without, burden(&point, &radii, one, other)));
                }
            }
        }
    }

    #[test]
    fn what_circles_overlap_is_kept_up_as_two_change_places() {
        let mut seed = Seed::new(2);
        let (mut point, radii) = cramped(9, &mut seed);
        let burdens =
            |point: &Point| -> Vec<f64> { (0..9).map(|index| burden(point, &radii, index, index)).collect() };
        let mut own = burdens(&point);
        for (one, other) in [(3, 0), (8, 2), (5, 4), (1, 3)] {
            let after = exchanged(&point, one, other);
            trade(&mut point, &radii, &mut own, (one, other));
            assert_eq!(all(&point), all(&after));
            for (kept, plain) in own.iter().zip(burdens(&point)) {
                assert!(is_near(*kept, plain), "{kept} {plain}");
            }
        }
    }

    /// Sorting as it is meant: each circle in turn changes places with that of the larger ones next to it in size
    /// which makes all overlap least, where that is less than now.
    fn sorted(mut point: Point, radii: &[f64]) -> (Point, bool) {
        let mut any = false;
        for one in 0..radii.len() {
            let now = total(&point, radii);
            let (mut least, mut partner) = (now - 1e-9, None);
            for other in one.saturating_sub(24)..one {
                let then = total(&exchanged(&point, one, other), radii);
                if radii[other] - radii[one] >= 1e-3 && then < least {
                    (least, partner) = (then, Some(other));
                }
            }
            if let Some(other) = partner {
                point = exchanged(&point, one, other);
                any = true;
            }
        }
        (point, any)
    }

    #[test]
    fn sorting_is_what_a_plain_search_over_all_partners_does() {
        let mut seed = Seed::new(3);
        let (mut did, mut did_not) = (false, false);
        for count in [2, 3, 3, 4, 5, 6, 7, 8, 9, 10, 12, 30] {
            let (mut point, radii) = cramped(count, &mut seed);
            for _ in 0..4 {
                let (plain, any) = sorted(point.clone(), &radii);
                let before = total(&point, &radii);
                assert_eq!(sort(&mut point, &radii), any, "{count}");
                assert_eq!(all(&point), all(&plain), "{count}");
                assert!(total(&point, &radii) <= before);
                (did, did_not) = (did || any, did_not || !any);
            }
        }
        assert!(did && did_not);
    }

    #[test]
    fn only_circles_of_different_size_are_sorted() {
        // The first fits where the second is, and sticks out where it is.
        for (second, is_different) in [(0.9995, false), (0.999 - 1e-9, true)] {
            let mut point = Point::of(&[[2.0, 0.0], [0.0, 0.0]], 2.0);
            assert_eq!(sort(&mut point, &[1.0, second]), is_different);
        }
        // A thousandth exactly is a difference.
        let mut point = Point::of(&[[0.1, 0.0], [0.0, 0.0]], 0.05);
        assert!(sort(&mut point, &[0.002, 0.001]));
    }

    #[test]
    fn circles_that_have_room_stay_where_they_are() {
        let mut point = Point::of(&[[2.0, 0.0], [-2.0, 0.0], [0.0, 2.0]], 5.0);
        assert!(!sort(&mut point, &[1.0, 0.8, 0.5]));
        assert_eq!(all(&point), [[2.0, 0.0], [-2.0, 0.0], [0.0, 2.0]]);
    }

    #[test]
    fn of_partners_that_are_as_good_the_largest_is_taken() {
        // Two large circles stick out alike, left and right of a small one.
        let mut point = Point::of(&[[-2.0, 0.0], [2.0, 0.0], [0.0, 0.0]], 2.5);
        assert!(sort(&mut point, &[1.0, 1.0, 0.5]));
        assert_eq!(all(&point), [[0.0, 0.0], [2.0, 0.0], [-2.0, 0.0]]);
    }

    #[test]
    fn moves_are_drawn_as_often_as_they_should_and_weighed_as_they_are() {
        let (mut seed, count) = (Seed::new(4), 10);
        let (point, radii) = cramped(count, &mut seed);
        let (mut swaps, mut farthest, draws) = (0, 0.0f64, 2000);
        for _ in 0..draws {
            let (cost, step) = draw(&point, &radii, &mut seed);
            match step {
                Move::Swap(one, other) => {
                    swaps += 1;
                    assert!(one < other);
                    let after = exchanged(&point, one, other);
                    let both = burden(&after, &radii, one, other) + burden(&after, &radii, other, one);
                    assert!(is_near(cost, both));
                }
                Move::Jump(index, [x, y]) => {
                    let mut after = point.clone();
                    after.put(index, [x, y]);
                    assert!(is_near(cost, burden(&after, &radii, index, index)));
                    let room = point.outer() - radii[index];
                    assert!(x.hypot(y) <= room);
                    farthest = farthest.max(x.hypot(y) / room);
                }
            }
        }
        // In four of five draws, but where both are the same circle: 0.8 · 0.9, give or take three deviations.
        assert!((f64::from(swaps) / f64::from(draws) - 0.72).abs() < 0.03, "{swaps}");
        assert!(farthest > 0.98, "{farthest}");
    }

    #[test]
    fn circles_of_one_size_only_jump() {
        let mut seed = Seed::new(5);
        let mut swaps = |radii: [f64; 3]| {
            let point = Point::of(&[[1.0, 0.0], [-1.0, 0.0], [0.0, 0.0]], 3.0);
            (0..200).filter(|_| matches!(draw(&point, &radii, &mut seed).1, Move::Swap(..))).count()
        };
        assert_eq!(swaps([1.0; 3]), 0);
        assert_eq!(swaps([1.0, 0.9998, 0.9995]), 0);
        // A thousandth exactly is a difference, as in sorting.
        assert!(swaps([0.002, 0.001, 0.001]) > 0);
    }

    #[test]
    fn a_hop_is_the_best_of_four_that_were_not_made_yet() {
        let (point, radii) = cramped(6, &mut Seed::new(6));
        let (mut seed, mut same) = (Seed::new(7), Seed::new(7));
        let mut hops = Hops::default();
        let mut made: Vec<Move> = Vec::new();
        for _ in 0..60 {
            let mut least: Option<(f64, Move)> = None;
            for _ in 0..4 {
                let (cost, step) = draw(&point, &radii, &mut same);
                if !made.contains(&step) && least.is_none_or(|(known, _)| cost < known) {
                    least = Some((cost, step));
                }
            }
            let mut after = point.clone();
            hops.hop(&mut after, &radii, &mut seed);
            let plain = match least {
                None => point.clone(),
                Some((_, Move::Swap(one, other))) => exchanged(&point, one, other),
                Some((_, Move::Jump(index, place))) => {
                    let mut plain = point.clone();
                    plain.put(index, place);
                    plain
                }
            };
            assert_eq!(all(&after), all(&plain));
            made.extend(least.map(|(_, step)| step));
        }
        assert!(made.iter().any(|step| matches!(step, Move::Swap(..))));
        // Begun again, it makes the same hops again.
        hops.restart();
        let (mut first, mut again) = (point.clone(), point.clone());
        hops.hop(&mut again, &radii, &mut Seed::new(7));
        Hops::default().hop(&mut first, &radii, &mut Seed::new(7));
        assert_eq!(all(&again), all(&first));
        assert_ne!(all(&again), all(&point));
    }

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
