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
        for column in -2 * reach..=2 * reach {
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
    let mut places = vec![[0.0, 0.0]];
    let mut ring = 1;
    while places.len() < count {
        let reach = 2.0 * ring as f64;
        let (sin, cos) = (turned * PI / 12.0 * (ring as f64 - 1.0)).sin_cos();
        for step in 0..6 * ring {
            let side = (step / ring) as f64;
            let along = (step % ring) as f64 / ring as f64;
            let (a, b) = (TAU * side / 6.0, TAU * (side + 1.0) / 6.0);
            let x = reach * (a.cos() * (1.0 - along) + b.cos() * along);
            let y = reach * (a.sin() * (1.0 - along) + b.sin() * along);
            places.push([x * cos - y * sin, x * sin + y * cos]);
        }
        ring += 1;
    }
    places.truncate(count);
    places
}

/// Concentric rings, each as full as it can be, from the outside in.
fn rings(count: usize) -> Places {
    let mut outer = 1.0 + (count as f64 * 1.25).sqrt();
    let mut places = Places::new();
    while places.len() < count {
        let radius = (outer - 1.0).max(0.0);
        let fits = if radius < 1.0 { 1.0 } else { (PI / (1.0 / radius).asin()).floor() };
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
    match laid {
        [] => return [0.0, 0.0],
        [([x, y], first)] => return [x + first + radius, *y],
        _ => {}
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
            if square >= (near + far) * (near + far) || square < 1e-18 {
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

    #[test]
    fn every_start_has_a_place_for_each_circle() {
        for count in [2, 3, 4, 7, 8, 37, 40] {
            let equal = vec![1.0; count];
            let unequal: Vec<f64> = (0..count).map(|index| 1.0 / (1.0 + 0.1 * index as f64)).collect();
            for start in starts(&equal).chain(starts(&unequal)) {
                assert_eq!(start.len(), count);
                assert!(start.iter().flatten().all(|part| part.is_finite()));
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
