//! Structured starts of a packing search: lattices and rings for equal circles, circles laid one after the other
//! for others.

use crate::workings::science::point::Places;
use std::f64::consts::{PI, TAU};

/// How much larger the largest of equal circles may be: lattices and rings still suit them.
const EQUAL: f64 = 1.02;

/// Steps in the radius of the largest circle to which starts are rounded. The last digits of a sine differ from
/// machine to machine, and must not choose the arrangement.
const GRID: f64 = (1u64 << 30) as f64;

/// Whether circles are as good as equal.
pub(crate) fn are_equal(radii: &[f64]) -> bool {
    let least = radii.iter().copied().fold(f64::INFINITY, f64::min);
    radii.iter().all(|radius| *radius <= EQUAL * least)
}

/// Structured starts, the most promising first. Radii come largest first.
pub(crate) fn starts(radii: &[f64]) -> impl Iterator<Item = Places> {
    (0..).map_while(|rank| start(radii, rank)).map(|mut places| {
        places.iter_mut().flatten().for_each(|part| *part = (*part * GRID).round() / GRID);
        places
    })
}

/// The structured start of this rank.
fn start(radii: &[f64], rank: usize) -> Option<Places> {
    let count = radii.len();
    let alternating = (0..count / 2).flat_map(|index| [index, count / 2 + index]).chain(count / 2 * 2..count);
    match (count, are_equal(radii), rank) {
        (4, _, 0) => Some(round(radii, &[0, 1, 2, 3])),
        (4, _, 1) => Some(round(radii, &[0, 2, 1, 3])),
        (4, _, 2) => Some(round(radii, &[0, 1, 3, 2])),
        (4, _, 3) => Some(round(radii, &[0, 1, 2])),
        (4, _, 4) => Some(round(radii, &[0, 1, 3])),
        (4, ..) => None,
        (_, true, 0..=2) => Some(curved_hexagon(count, rank as f64)),
        (_, true, 3) => Some(hexagonal(count, [0.0, 0.0])),
        (_, true, 4) => Some(hexagonal(count, [1.0, 0.0])),
        (_, true, 5) => Some(hexagonal(count, [1.0, 1.0 / 3f64.sqrt()])),
        (_, true, 6) => Some(hexagonal(count, [0.5, 0.3])),
        (_, true, 7) => Some(rings(count)),
        (_, false, 0) => Some(nestled(radii, 0..count)),
        (_, false, 1) => Some(nestled(radii, (0..count).rev())),
        (_, false, 2) => Some(nestled(radii, alternating)),
        _ => None,
    }
}

/// A few circles in a ring in this order, about the one that is not among them, if any.
fn round(radii: &[f64], ring: &[usize]) -> Places {
    let radius = |index: usize| radii.get(index).copied().unwrap_or(0.0);
    let middle = (0..radii.len()).find(|index| !ring.contains(index));
    let outer = 1.3 * radii.iter().map(|radius| radius * radius).sum::<f64>().sqrt();
    let around: f64 = ring.iter().map(|index| 2.0 * radius(*index)).sum();
    let mut places = vec![[0.0, 0.0]; radii.len()];
    let mut turned = 0.0;
    for index in ring {
        let own = radius(*index);
        let away = middle.map_or(outer - own, |middle| radius(middle) + own);
        let (sin, cos) = ((turned + own) / around * TAU).sin_cos();
        if let Some(slot) = places.get_mut(*index) {
            *slot = [away * cos, away * sin];
        }
        turned += 2.0 * own;
    }
    places
}

/// The places of a hexagonal lattice nearest to `centre`, for circles of radius one.
fn hexagonal(count: usize, centre: [f64; 2]) -> Places {
    let reach = (count as f64).sqrt().ceil() as i32 + 2;
    let mut places = Places::new();
    for row in -reach..=reach {
        for column in -reach..=reach {
            let x = f64::from(2 * column + row.rem_euclid(2));
            places.push([x - centre[0], 3f64.sqrt() * f64::from(row) - centre[1]]);
        }
    }
    places.sort_by(|a, b| length(*a).total_cmp(&length(*b)));
    places.truncate(count);
    places
}

/// Rings of 1, 6, 12, 18… with each ring turned against the one inside: the curved hexagonal packings of
/// Lubachevsky and Graham, best at 37 and 61. The last ring is filled as far as it goes.
fn curved_hexagon(count: usize, turned: f64) -> Places {
    let ring = |ring: usize| {
        let reach = 2.0 * ring as f64;
        let (sin, cos) = (turned * PI / 12.0 * (ring as f64 - 1.0)).sin_cos();
        (0..6 * ring).map(move |step| {
            let side = (step / ring) as f64;
            let along = (step % ring) as f64 / ring as f64;
            let (a, b) = (TAU * side / 6.0, TAU * (side + 1.0) / 6.0);
            let x = reach * (a.cos() * (1.0 - along) + b.cos() * along);
            let y = reach * (a.sin() * (1.0 - along) + b.sin() * along);
            [x * cos - y * sin, x * sin + y * cos]
        })
    };
    std::iter::once([0.0, 0.0]).chain((1..).flat_map(ring)).take(count).collect()
}

/// Concentric rings, each as full as it can be, from the outside in.
fn rings(count: usize) -> Places {
    let mut outer = 1.0 + (count as f64 * 1.25).sqrt();
    let mut places = Places::new();
    while places.len() < count {
        let radius = (outer - 1.0).max(0.0);
        // Within a radius of one there is no such angle, and one circle.
        let fits = (PI / (1.0 / radius).asin()).floor().max(1.0);
        for step in 0..(fits as usize).min(count - places.len()) {
            let (sin, cos) = (TAU * step as f64 / fits).sin_cos();
            places.push([radius * cos, radius * sin]);
        }
        outer = (outer - 1.8).max(1.0);
    }
    places
}

/// Circles laid one after the other in this order, each touching two laid before and as near to the middle as
/// it goes.
fn nestled(radii: &[f64], order: impl Iterator<Item = usize>) -> Places {
    let mut laid: Vec<([f64; 2], f64)> = Vec::new();
    let mut places = vec![[0.0, 0.0]; radii.len()];
    for index in order {
        if let (Some(radius), Some(slot)) = (radii.get(index), places.get_mut(index)) {
            *slot = nearest_gap(&laid, *radius);
            laid.push((*slot, *radius));
        }
    }
    centred(&mut places, radii);
    places
}

/// The place nearest to the middle where a circle of this radius touches two laid ones and overlaps none.
fn nearest_gap(laid: &[([f64; 2], f64)], radius: f64) -> [f64; 2] {
    if let [([x, y], first)] = laid {
        return [x + first + radius, *y];
    }
    let mut best = (f64::INFINITY, [0.0, 0.0]);
    for (index, ([x, y], first)) in laid.iter().enumerate() {
        let near = first + radius;
        if length([*x, *y]) - near > best.0 {
            continue;
        }
        for ([u, v], second) in laid.iter().skip(index + 1) {
            let (dx, dy, far) = (u - x, v - y, second + radius);
            let square = dx * dx + dy * dy;
            if square > (near + far) * (near + far) {
                continue;
            }
            let apart = square.sqrt();
            let along = (near * near - far * far + square) / (2.0 * apart);
            let off = (near * near - along * along).max(0.0).sqrt();
            for side in [off, -off] {
                let place = [x + (dx * along - dy * side) / apart, y + (dy * along + dx * side) / apart];
                let is_free = |([x, y], other): &([f64; 2], f64)| {
                    let (dx, dy, least) = (place[0] - x, place[1] - y, other + radius - 1e-9);
                    dx * dx + dy * dy >= least * least
                };
                let distance = length(place);
                if distance < best.0 && laid.iter().all(is_free) {
                    best = (distance, place);
                }
            }
        }
    }
    best.1
}

/// Moves the places so that their enclosing circle is about the origin: ever smaller steps towards the farthest.
fn centred(places: &mut Places, radii: &[f64]) {
    for round in 1..=60 {
        let reach = |(place, radius): (&[f64; 2], &f64)| (length(*place) + radius, *place);
        let farthest = places.iter().zip(radii).map(reach).max_by(|a, b| a.0.total_cmp(&b.0));
        let Some((_, [x, y])) = farthest else { return };
        let share = 0.5 / f64::from(round);
        places.iter_mut().for_each(|place| *place = [place[0] - x * share, place[1] - y * share]);
    }
}

/// How far from the origin a place is. Unlike `hypot` the root is the same on every machine.
fn length([x, y]: [f64; 2]) -> f64 {
    (x * x + y * y).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn apart([x, y]: [f64; 2], [u, v]: [f64; 2]) -> f64 {
        (x - u).hypot(y - v)
    }

    fn is_near(one: f64, other: f64) -> bool {
        (one - other).abs() < 1e-9
    }

    /// Radii that fall evenly from one, all different.
    fn falling(count: usize) -> Vec<f64> {
        (0..count).map(|index| 1.0 - 0.7 * index as f64 / count as f64).collect()
    }

    /// The distances from `centre` of the nearest places of the lattice with the steps (2, 0) and (1, √3).
    fn lattice(count: usize, centre: [f64; 2]) -> Vec<f64> {
        let whole = |number: i32| f64::from(number);
        let step = |a: i32, b: i32| [2.0 * whole(a) + whole(b), 3f64.sqrt() * whole(b)];
        let all = (-20..=20).flat_map(|a| (-20..=20).map(move |b| apart(step(a, b), centre)));
        let mut all: Vec<f64> = all.collect();
        all.sort_by(f64::total_cmp);
        all.truncate(count);
        all
    }

    #[test]
    fn circles_are_equal_up_to_a_fiftieth() {
        assert!(are_equal(&[1.0, 1.0]));
        assert!(are_equal(&[1.02, 1.0]));
        assert!(are_equal(&[1.0, 1.02, 1.01]));
        assert!(!are_equal(&[1.021, 1.0]));
        assert!(!are_equal(&[1.0, 1.0, 0.5]));
    }

    #[test]
    fn every_start_has_a_place_for_each_circle() {
        for count in [2, 3, 4, 7, 8, 37, 40] {
            let (equal, unequal) = (vec![1.0; count], falling(count));
            for start in starts(&equal).chain(starts(&unequal)) {
                assert_eq!(start.len(), count);
                assert!(start.iter().flatten().all(|part| part.is_finite()));
            }
            let ranks = (starts(&equal).count(), starts(&unequal).count());
            assert_eq!(ranks, if count == 4 { (5, 5) } else { (8, 3) }, "{count}");
        }
    }

    #[test]
    fn starts_stand_on_the_grid_next_to_their_places() {
        for radii in [vec![1.0; 4], vec![1.0; 23], falling(4), falling(9)] {
            for (rank, places) in starts(&radii).enumerate() {
                let exact = start(&radii, rank).unwrap();
                for (on, off) in places.iter().flatten().zip(exact.iter().flatten()) {
                    assert!((on - off).abs() <= 0.5 / GRID);
                    assert_eq!((on * GRID).fract(), 0.0);
                }
            }
        }
    }

    #[test]
    fn four_circles_are_put_round_in_all_orders_there_are() {
        // Up to turning and mirroring, four in a ring come in three orders; or three lie about the fourth.
        let radii = [1.0, 0.8, 0.5, 0.4];
        let orders: [&[usize]; 5] = [&[0, 1, 2, 3], &[0, 2, 1, 3], &[0, 1, 3, 2], &[0, 1, 2], &[0, 1, 3]];
        for (rank, ring) in orders.into_iter().enumerate() {
            assert_eq!(start(&radii, rank), Some(round(&radii, ring)));
        }
        assert_eq!(start(&radii, 5), None);
    }

    #[test]
    fn circles_put_round_share_the_turn_by_their_size() {
        let radii = [1.0, 0.8, 0.5, 0.4];
        // √(1 + 0.64 + 0.25 + 0.16) = √2.05.
        let outer = 1.3 * 2.05f64.sqrt();
        for ring in [[0, 1, 2, 3].as_slice(), &[0, 2, 1, 3], &[0, 1, 3]] {
            let places = round(&radii, ring);
            let middle = (0..4).find(|index| !ring.contains(index));
            let all: f64 = ring.iter().map(|index| radii[*index]).sum();
            assert!(middle.is_none_or(|middle| places[middle] == [0.0, 0.0]));
            for (rank, one) in ring.iter().enumerate() {
                let away = middle.map_or(outer - radii[*one], |middle| radii[*one] + radii[middle]);
                assert!(is_near(length(places[*one]), away), "{ring:?} {one}");
                let next = ring[(rank + 1) % ring.len()];
                let [x, y] = places[*one];
                let [u, v] = places[next];
                let turn = (x * v - y * u).atan2(x * u + y * v).rem_euclid(TAU);
                assert!(is_near(turn, PI * (radii[*one] + radii[next]) / all), "{ring:?} {one} {turn}");
            }
            // The first begins at the axis.
            let [x, y] = places[ring[0]];
            assert!(is_near(y.atan2(x), PI * radii[ring[0]] / all));
        }
    }

    #[test]
    fn hexagonal_places_are_the_nearest_of_the_lattice() {
        let centres = [[0.0, 0.0], [1.0, 0.0], [1.0, 1.0 / 3f64.sqrt()], [0.5, 0.3]];
        for (rank, centre) in centres.into_iter().enumerate() {
            for count in [1, 4, 7, 19, 37, 60] {
                let places = hexagonal(count, centre);
                assert_eq!(places.len(), count);
                for (place, distance) in places.iter().zip(lattice(count, centre)) {
                    assert!(is_near(length(*place), distance), "{count} {centre:?}");
                }
                for (index, place) in places.iter().enumerate() {
                    assert!(places.iter().skip(index + 1).all(|other| apart(*place, *other) > 2.0 - 1e-9));
                    // The same lattice, not one turned: the rows lie along x.
                    let row = (place[1] + centre[1]) / 3f64.sqrt();
                    assert!(is_near(row, row.round()));
                    assert!(is_near((place[0] + centre[0] + row.round()).rem_euclid(2.0) % 2.0, 0.0));
                }
            }
            assert_eq!(start(&[1.0; 30], rank + 3), Some(hexagonal(30, centre)));
        }
        // About a place, midway between two, and in the gap of three.
        assert!(is_near(length(hexagonal(1, [1.0, 0.0])[0]), 1.0));
        let gap = start(&[1.0; 7], 5).unwrap();
        assert!(gap[..3].iter().all(|place| is_near(length(*place), 2.0 / 3f64.sqrt())));
    }

    #[test]
    fn curved_hexagons_are_hexagonal_rings_turned_against_each_other() {
        // Lubachevsky and Graham 1997: 3k(k + 1) + 1 circles in k rings about one, 6j of them in ring j.
        for rank in 0..=2 {
            let places = start(&[1.0; 61], rank).unwrap();
            let [middle, rest @ ..] = places.as_slice() else { panic!() };
            assert_eq!(*middle, [0.0, 0.0]);
            let mut rest = rest;
            for ring in 1..=4 {
                let (own, others) = rest.split_at(6 * ring);
                rest = others;
                let turn = 15f64.to_radians() * rank as f64 * (ring as f64 - 1.0);
                for (step, place) in own.iter().enumerate() {
                    // Each touches the next, and the corners are as far from each other as from the middle.
                    assert!(is_near(apart(*place, own[(step + 1) % own.len()]), 2.0));
                    if step % ring == 0 {
                        let angle = turn + 60f64.to_radians() * (step / ring) as f64;
                        let corner = [2.0 * ring as f64 * angle.cos(), 2.0 * ring as f64 * angle.sin()];
                        assert!(apart(*place, corner) < 1e-9, "{rank} {ring} {step}");
                    }
                }
            }
            assert!(rest.is_empty());
            assert_eq!(start(&[1.0; 40], rank).unwrap(), places[..40]);
        }
    }

    #[test]
    fn rings_are_as_full_as_they_can_be() {
        for count in [7, 12, 30, 50] {
            let places = start(&[1.0; 60][..count], 7).unwrap();
            assert_eq!(places.len(), count);
            let mut rest = places.as_slice();
            let mut radius = (1.25 * count as f64).sqrt();
            while !rest.is_empty() {
                let own = rest.iter().take_while(|place| is_near(length(**place), radius)).count();
                let (ring, others) = rest.split_at(own);
                rest = others;
                assert!(own > 0, "{count}: a ring at {radius}");
                // Chords of at least two, unless it is the only one; and with one more they were shorter.
                let chord = |of: f64| 2.0 * radius * (PI / of).sin();
                let full = (1..).take_while(|of| *of == 1 || chord(f64::from(*of)) >= 2.0).last().unwrap();
                let full = if radius < 1.0 { 1 } else { full as usize };
                assert!(own == full || rest.is_empty(), "{count}: {own} at {radius}, not {full}");
                for (step, place) in ring.iter().enumerate() {
                    let angle = TAU * step as f64 / full as f64;
                    assert!(apart(*place, [radius * angle.cos(), radius * angle.sin()]) < 1e-9);
                }
                radius = (radius - 1.8).max(0.0);
            }
        }
    }

    /// Where a circle touches two others: by the angle at the first, with the law of cosines.
    fn touching(one: ([f64; 2], f64), other: ([f64; 2], f64), radius: f64) -> Vec<[f64; 2]> {
        let (near, far, base) = (one.1 + radius, other.1 + radius, apart(one.0, other.0));
        let cosine = (near * near + base * base - far * far) / (2.0 * near * base);
        if cosine.abs() > 1.0 {
            return Vec::new();
        }
        let towards = (other.0[1] - one.0[1]).atan2(other.0[0] - one.0[0]);
        let at = |angle: f64| [one.0[0] + near * angle.cos(), one.0[1] + near * angle.sin()];
        vec![at(towards + cosine.acos()), at(towards - cosine.acos())]
    }

    #[test]
    fn the_nearest_gap_is_the_nearest_of_all() {
        let mut laid: Vec<([f64; 2], f64)> = Vec::new();
        for step in 0..24 {
            // Sizes in no order, so that small ones fall into gaps.
            let radius = 0.15 + f64::from(step * 7 % 24) / 24.0;
            let place = nearest_gap(&laid, radius);
            match laid.as_slice() {
                [] => assert_eq!(place, [0.0, 0.0]),
                [_] => assert_eq!(place, [0.15 + radius, 0.0]),
                _ => {
                    let mut least = f64::INFINITY;
                    for (index, one) in laid.iter().enumerate() {
                        for other in &laid[index + 1..] {
                            for spot in touching(*one, *other, radius) {
                                let is_free =
                                    |(at, size): &([f64; 2], f64)| apart(*at, spot) > size + radius - 1e-9;
                                if laid.iter().all(is_free) {
                                    least = least.min(length(spot));
                                }
                            }
                        }
                    }
                    assert!((length(place) - least).abs() < 1e-6, "{step}: {place:?}, {least}");
                    let touches = laid.iter().filter(|(at, size)| is_near(apart(*at, place), size + radius));
                    assert!(touches.count() >= 2);
                }
            }
            laid.push((place, radius));
        }
    }

    #[test]
    fn a_gap_that_fits_exactly_is_one() {
        assert_eq!(nearest_gap(&[([-2.0, 0.0], 1.0), ([2.0, 0.0], 1.0)], 1.0), [0.0, 0.0]);
        // A hair less, and both are touched off the line only by a larger one.
        let place = nearest_gap(&[([-2.0, 0.0], 1.0), ([2.0, 0.0], 1.0)], 1.5);
        assert!(is_near(place[0], 0.0) && is_near(place[1].abs(), 1.5));
    }

    #[test]
    fn circles_are_nestled_in_the_order_that_the_start_names() {
        let radii = falling(9);
        let nestle = |order: [usize; 9]| Some(nestled(&radii, order.into_iter()));
        assert_eq!(start(&radii, 0), nestle([0, 1, 2, 3, 4, 5, 6, 7, 8]));
        assert_eq!(start(&radii, 1), nestle([8, 7, 6, 5, 4, 3, 2, 1, 0]));
        assert_eq!(start(&radii, 2), nestle([0, 4, 1, 5, 2, 6, 3, 7, 8]));
        assert_eq!(start(&radii, 3), None);
        let places = nestled(&radii, [3, 0, 1, 2, 4, 5, 6, 7, 8].into_iter());
        assert!(is_near(places[0][0] - places[3][0], radii[0] + radii[3]));
        assert!(is_near(places[0][1], places[3][1]));
    }

    #[test]
    fn centred_circles_are_nearly_in_the_middle_of_the_one_round_them() {
        // Two, in a circle from -3 to 11 on a line; three equal ones on a circle of radius two about (5, -4).
        let three = [[7.0, -4.0], [5.0 - 1.0, -4.0 + 3f64.sqrt()], [5.0 - 1.0, -4.0 - 3f64.sqrt()]];
        for (mut places, radii, round) in [
            (vec![[0.0, 0.0], [10.0, 0.0]], vec![3.0, 1.0], 7.0),
            (vec![[0.0, 0.0], [0.0, -10.0]], vec![3.0, 1.0], 7.0),
            (three.to_vec(), vec![1.0; 3], 3.0),
        ] {
            let before = places.clone();
            centred(&mut places, &radii);
            let reach = places.iter().zip(&radii).map(|(place, radius)| length(*place) + radius);
            let reach = reach.fold(0.0, f64::max);
            assert!(reach > round - 1e-9 && reach < 1.03 * round, "{reach} for {round}");
            for (then, now) in before.iter().zip(&places) {
                let moved = [before[0][0] - places[0][0], before[0][1] - places[0][1]];
                assert!(apart([then[0] - now[0], then[1] - now[1]], moved) < 1e-9);
            }
        }
    }

    #[test]
    fn nestled_circles_do_not_overlap() {
        let radii: Vec<f64> = (0..20).map(|index| 1.0 - 0.04 * f64::from(index)).collect();
        for places in starts(&radii) {
            for (index, [x, y]) in places.iter().enumerate() {
                for (other, [u, v]) in places.iter().enumerate().skip(index + 1) {
                    assert!(length([x - u, y - v]) > radii[index] + radii[other] - 1e-8);
                }
            }
        }
    }
}
