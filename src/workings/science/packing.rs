//! The smallest circle that holds given circles: closed forms where they exist, else a search.
//!
//! Whatever comes back is a real arrangement: no two circles overlap, none sticks out, so the diameter is
//! never below the true minimum. Closed forms: one, two and three circles (outer Soddy circle, unless the
//! third lies in the gap of the first two), and equal circles on rings (n ≤ 9, 18 and 19; Graham, Pirl,
//! Fodor, as collected in the reference table of bundles).

use crate::workings::base::outcome::Circle;
use crate::workings::science::point::Places;
use crate::workings::science::search::{self, Aim};
use std::f64::consts::{PI, TAU};

/// Radius in that of the largest circle below which a circle is packed as if it were so large.
const LEAST: f64 = 1e-6;

/// An arrangement and the circle round it, in the unit of the diameters that went in.
#[derive(Clone, Debug, PartialEq)]
pub struct Packing {
    /// Diameter of the enclosing circle.
    pub diameter: f64,
    /// The circles in input order, from the centre of the enclosing one.
    pub circles: Vec<Circle>,
    /// Whether the diameter is proven: a closed form.
    pub exact: bool,
}

/// Packs circles of these diameters, which must be positive and finite. Deterministic, and in whatever order
/// the circles come, the same diameter.
pub fn pack(diameters: &[f64]) -> Packing {
    // No packing is within a floor below nought, so that there always is one.
    pack_beyond(diameters, f64::NEG_INFINITY).unwrap_or_else(|| finished(&[], &[], true))
}

/// The same packing where its diameter is above `floor`; nothing where it is not, which is told much sooner.
pub fn pack_beyond(diameters: &[f64], floor: f64) -> Option<Packing> {
    if let Some(exact) = closed_form(diameters) {
        return Some(exact).filter(|packing| packing.diameter > floor);
    }
    // The search works with a largest radius of one, and with the largest circle first.
    let order = largest_first(diameters);
    let unit = order.first().map_or(1.0, |(_, d)| d / 2.0);
    let radii: Vec<f64> = order.iter().map(|(_, d)| (d / 2.0 / unit).max(LEAST)).collect();
    let aim = Aim { enough: lower_bound(diameters) / 2.0 / unit, floor: floor / 2.0 / unit };
    let packed = |found: Places| {
        let mut places = vec![(0.0, 0.0); diameters.len()];
        for ((index, _), [x, y]) in order.iter().zip(found) {
            if let Some(slot) = places.get_mut(*index) {
                *slot = (x * unit, y * unit);
            }
        }
        finished(diameters, &places, false)
    };
    let all = search::best(&radii, aim).into_iter().map(packed);
    let best = all.min_by(|one, other| one.diameter.total_cmp(&other.diameter));
    best.filter(|packing| packing.diameter > floor)
}

/// A diameter that no packing is below, without any search: the three largest circles alone, and the area that
/// all fill together.
pub fn lower_bound(diameters: &[f64]) -> f64 {
    let largest: Vec<f64> = largest_first(diameters).iter().take(3).map(|(_, d)| *d).collect();
    let alone = closed_form(&largest).map_or(0.0, |packing| packing.diameter);
    alone.max(diameters.iter().map(|d| d * d).sum::<f64>().sqrt())
}

/// The diameters with their places, the largest first.
fn largest_first(diameters: &[f64]) -> Vec<(usize, f64)> {
    let mut order: Vec<(usize, f64)> = diameters.iter().copied().enumerate().collect();
    order.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    order
}

/// Puts the enclosing circle round places that may overlap a little: they are spread until none do.
pub(crate) fn finished(diameters: &[f64], places: &[(f64, f64)], exact: bool) -> Packing {
    let mut spread: f64 = 1.0;
    for (i, ((x, y), d)) in places.iter().zip(diameters).enumerate() {
        for ((u, v), e) in places.iter().zip(diameters).skip(i + 1) {
            let apart = distance(x - u, y - v);
            spread = spread.max((d + e) / 2.0 / apart.max(1e-12));
        }
    }
    // The last places of the product must not leave a hair's overlap.
    if spread > 1.0 {
        spread *= 1.0 + 4.0 * f64::EPSILON;
    }
    let circles: Vec<Circle> = places
        .iter()
        .zip(diameters)
        .map(|((x, y), d)| Circle { x: x * spread, y: y * spread, d: *d })
        .collect();
    let reach = |circle: &Circle| 2.0 * distance(circle.x, circle.y) + circle.d;
    let diameter = circles.iter().map(reach).fold(0.0, f64::max);
    Packing { diameter, circles, exact }
}

/// Unlike `hypot` the root is the same on every machine.
fn distance(x: f64, y: f64) -> f64 {
    (x * x + y * y).sqrt()
}

/// The proven answer, where there is one.
fn closed_form(diameters: &[f64]) -> Option<Packing> {
    match diameters {
        [] => Some(Packing { diameter: 0.0, circles: Vec::new(), exact: true }),
        [only] => Some(finished(&[*only], &[(0.0, 0.0)], true)),
        [one, two] => {
            let places = [(-two / 2.0, 0.0), (one / 2.0, 0.0)];
            Some(finished(diameters, &places, true))
        }
        [_, _, _] => Some(three(diameters)),
        _ => equal(diameters),
    }
}

/// Three circles: in the gap of the two largest, or inside the outer Soddy circle.
fn three(diameters: &[f64]) -> Packing {
    let order = largest_first(diameters);
    let radius = |rank: usize| order.get(rank).map_or(0.0, |(_, d)| d / 2.0);
    let (a, b, c) = (radius(0), radius(1), radius(2));
    let gap = a * b * (a + b) / (a * a + a * b + b * b);
    let places = if c <= gap {
        // Both large circles span a diameter; the third touches both of them, off the line.
        let along = ((a + c) * (a + c) - (b + c) * (b + c) + (a + b) * (a + b)) / (2.0 * (a + b));
        let off = ((a + c) * (a + c) - along * along).max(0.0).sqrt();
        [(-b, 0.0), (a, 0.0), (along - b, off)]
    } else {
        // Descartes: the curvature of the circle round three touching ones.
        let (ka, kb, kc) = (1.0 / a, 1.0 / b, 1.0 / c);
        let outer = 1.0 / (2.0 * (ka * kb + kb * kc + kc * ka).sqrt() - ka - kb - kc);
        let angle = |p: f64, q: f64| {
            let (u, v, w) = (outer - p, outer - q, p + q);
            ((u * u + v * v - w * w) / (2.0 * u * v)).clamp(-1.0, 1.0).acos()
        };
        let place = |r: f64, turn: f64| ((outer - r) * turn.cos(), (outer - r) * turn.sin());
        [place(a, 0.0), place(b, angle(a, b)), place(c, -angle(a, c))]
    };
    let mut sorted = vec![(0.0, 0.0); 3];
    for ((index, _), place) in order.iter().zip(places) {
        if let Some(slot) = sorted.get_mut(*index) {
            *slot = place;
        }
    }
    finished(diameters, &sorted, true)
}

/// Equal circles whose best arrangement is rings, proven.
fn equal(diameters: &[f64]) -> Option<Packing> {
    let first = *diameters.first()?;
    if diameters.iter().any(|d| *d != first) {
        return None;
    }
    // Rings as number, radius in circle radii, turn in radians.
    let touching = |count: f64| 1.0 / (PI / count).sin();
    let rings: Vec<(usize, f64, f64)> = match diameters.len() {
        count @ 4..=6 => vec![(count, touching(count as f64), 0.0)],
        7 => vec![(1, 0.0, 0.0), (6, 2.0, 0.0)],
        count @ 8..=9 => vec![(1, 0.0, 0.0), (count - 1, touching(count as f64 - 1.0), 0.0)],
        18 => vec![(6, 2.0, 0.0), (12, touching(12.0), PI / 12.0)],
        19 => vec![(1, 0.0, 0.0), (6, 2.0, 0.0), (12, touching(12.0), PI / 12.0)],
        _ => return None,
    };
    let mut places = Vec::with_capacity(diameters.len());
    for (count, radius, turn) in rings {
        for step in 0..count {
            let angle = turn + TAU * step as f64 / count as f64;
            places.push((radius * angle.cos() * first / 2.0, radius * angle.sin() * first / 2.0));
        }
    }
    Some(finished(diameters, &places, true))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::indexing_slicing)]
    use super::*;

    /// The largest overlap and the farthest reach beyond the enclosing circle.
    fn faults(packing: &Packing) -> f64 {
        let mut worst: f64 = 0.0;
        for (i, one) in packing.circles.iter().enumerate() {
            worst = worst.max(one.x.hypot(one.y) + one.d / 2.0 - packing.diameter / 2.0);
            for other in &packing.circles[i + 1..] {
                worst = worst.max((one.d + other.d) / 2.0 - (one.x - other.x).hypot(one.y - other.y));
            }
        }
        worst
    }

    #[test]
    fn two_and_three_are_exact() {
        assert_eq!(pack(&[1.0, 2.0]).diameter, 3.0);
        assert_eq!(pack(&[4.0, 4.0, 1.2]).diameter, 8.0);
        assert_eq!(pack(&[1.0, 5.0, 3.0]).diameter, 8.0);
        for trio in [[3.0, 2.4, 2.1], [4.0, 4.0, 1.2], [1.0, 1.0, 1.0], [1.0, 9.0, 3.0]] {
            let packing = pack(&trio);
            assert!(faults(&packing) < 1e-12, "{trio:?}");
            assert_eq!(packing.circles.iter().map(|circle| circle.d).collect::<Vec<_>>(), trio);
        }
    }

    #[test]
    fn one_and_none_are_exact() {
        assert_eq!(pack(&[]), Packing { diameter: 0.0, circles: Vec::new(), exact: true });
        let alone = Packing { diameter: 2.5, circles: vec![Circle { x: 0.0, y: 0.0, d: 2.5 }], exact: true };
        assert_eq!(pack(&[2.5]), alone);
    }

    #[test]
    fn two_span_the_diameter() {
        for step in 1..40 {
            let (one, two) = (0.1 * f64::from(step), 0.37 + 0.03 * f64::from(step * 7 % 40));
            let packing = pack(&[one, two]);
            assert!(packing.exact);
            assert_eq!(packing.diameter, one + two);
            // Each touches the other and the wall.
            let [first, second] = packing.circles.as_slice() else { panic!() };
            assert!((second.x - first.x - packing.diameter / 2.0).abs() < 1e-12);
            assert!((two / 2.0 + first.x).abs() < 1e-12 && (one / 2.0 - second.x).abs() < 1e-12);
            assert_eq!((first.y, second.y), (0.0, 0.0));
        }
    }

    /// The overlap of each two circles and the reach of each beyond the wall: nought where they touch.
    fn contacts(packing: &Packing) -> (Vec<f64>, Vec<f64>) {
        let circles = &packing.circles;
        let beyond = |one: &Circle| one.x.hypot(one.y) + one.d / 2.0 - packing.diameter / 2.0;
        let between =
            |one: &Circle, other: &Circle| (one.d + other.d) / 2.0 - (one.x - other.x).hypot(one.y - other.y);
        let pairs = circles
            .iter()
            .enumerate()
            .flat_map(|(index, one)| circles[index + 1..].iter().map(move |other| between(one, other)));
        (pairs.collect(), circles.iter().map(beyond).collect())
    }

    #[test]
    fn three_that_touch_fill_the_circle_of_descartes() {
        // Whole curvatures of four circles that touch, the first round the others: root quadruples of Apollonian
        // packings (Graham, Lagarias, Mallows, Wilks and Yan 2003).
        for [round, a, b, c] in [[3.0, 5.0, 8.0, 8.0], [6.0, 11.0, 14.0, 15.0], [7.0, 12.0, 17.0, 20.0]] {
            for unit in [0.01, 1.0, 300.0] {
                let diameters = [b, c, a].map(|curvature| unit / curvature);
                let packing = pack(&diameters);
                assert!(packing.exact);
                assert!((packing.diameter * round / unit - 1.0).abs() < 1e-12, "{round}");
                let (pairs, walls) = contacts(&packing);
                assert!(
                    pairs.iter().chain(&walls).all(|off| off.abs() < 1e-12 * unit),
                    "{pairs:?} {walls:?}"
                );
            }
        }
    }

    #[test]
    fn a_third_in_the_gap_touches_both() {
        // The gap of 3 and 6 in a circle of 2 holds 7, as curvatures (the same source); of 2 and 2 it holds 3.
        for (a, b, c) in
            [(3.0, 6.0, 7.0), (2.0, 2.0, 3.0), (3.0, 6.0, 7.5), (3.0, 6.0, 30.0), (2.0, 5.0, 19.0)]
        {
            for unit in [0.01, 1.0, 300.0] {
                let packing = pack(&[unit / c, unit / a, unit / b]);
                assert!((packing.diameter / unit - (1.0 / a + 1.0 / b)).abs() < 1e-12, "{a} {b} {c}");
                let (pairs, walls) = contacts(&packing);
                assert!(pairs.iter().all(|off| off.abs() < 1e-9 * unit), "{a} {b} {c}: {pairs:?}");
                assert!(walls.iter().all(|off| *off < 1e-9 * unit), "{a} {b} {c}: {walls:?}");
            }
        }
        // A little larger, and it no longer fits.
        assert!(pack(&[1.0 / 6.95, 1.0 / 3.0, 1.0 / 6.0]).diameter > 0.5 + 1e-6);
    }

    #[test]
    fn equal_circles_on_rings_are_exact() {
        let root = f64::sqrt;
        // Proven ratios in another closed form, as in the tables of R. L. Graham (1968), Pirl (1969) and Fodor (1999).
        for (count, ratio) in [
            (3, 1.0 + 2.0 / root(3.0)),
            (4, 1.0 + root(2.0)),
            (5, 1.0 + root(2.0 * (1.0 + 1.0 / root(5.0)))),
            (6, 3.0),
            (7, 3.0),
            (8, 1.0 + 1.0 / (180f64 / 7.0).to_radians().sin()),
            (9, 1.0 + root(2.0 * (2.0 + root(2.0)))),
            (18, 1.0 + root(2.0) + root(6.0)),
            (19, 1.0 + root(2.0) + root(6.0)),
        ] {
            for diameter in [0.03, 1.7, 50.0] {
                let packing = closed_form(&vec![diameter; count]).unwrap();
                assert!(packing.exact);
                assert!((packing.diameter / diameter / ratio - 1.0).abs() < 1e-12, "{count}");
                assert!(faults(&packing) < 1e-12 * diameter, "{count}");
            }
        }
        for count in (10..18).chain([20]) {
            assert_eq!(closed_form(&vec![1.0; count]), None);
        }
        assert_eq!(closed_form(&[1.0, 1.0, 1.0, 1.01]), None);
    }

    #[test]
    fn circles_that_overlap_are_spread_until_none_do() {
        // Two at half the distance that they need: (1 + 2)/2 = 1.5.
        let packing = finished(&[1.0, 2.0], &[(-0.5, 0.0), (0.25, 0.0)], false);
        let [one, two] = packing.circles.as_slice() else { panic!() };
        assert!((one.x + 1.0).abs() < 1e-12 && (two.x - 0.5).abs() < 1e-12, "{packing:?}");
        assert!((packing.diameter - 3.0).abs() < 1e-12);
        assert!(!packing.exact);
        // Where none overlap they stay.
        let packing = finished(&[1.0, 2.0], &[(-1.0, 0.0), (0.75, 0.25)], true);
        assert_eq!((packing.circles[0].x, packing.circles[1].x, packing.circles[1].y), (-1.0, 0.75, 0.25));
        assert_eq!(packing.diameter, 2.0 * 0.625f64.sqrt() + 2.0);
        // Not even the last digit overlaps.
        for step in 1..300 {
            let (d, e) = (1.0 + 0.013 * f64::from(step), 0.9 + 0.007 * f64::from(step));
            let (x, y) = (0.011 * f64::from(step), 0.3 / f64::from(step));
            let packing = finished(&[d, e], &[(0.1, 0.0), (0.1 + x / 4.0, y)], false);
            let [one, two] = packing.circles.as_slice() else { panic!() };
            assert!(distance(one.x - two.x, one.y - two.y) >= (d + e) / 2.0, "{step}");
        }
    }

    #[test]
    fn the_bound_is_that_of_the_area_or_of_the_three_largest() {
        // 100 circles of 3 have the area of one of 30.
        assert!((lower_bound(&[3.0; 100]) - 30.0).abs() < 1e-12);
        // Two span a diameter, whatever little ones there are; so do three with Descartes' curvatures 5, 8, 8 and 3.
        assert_eq!(lower_bound(&[0.1, 4.0, 0.1, 0.1, 5.0]), 9.0);
        assert!((lower_bound(&[1.0 / 8.0, 0.01, 1.0 / 5.0, 0.01, 1.0 / 8.0]) - 1.0 / 3.0).abs() < 1e-12);
        assert_eq!(lower_bound(&[]), 0.0);
    }

    #[test]
    fn a_bundle_of_another_scale_is_packed_alike() {
        // Powers of two change no digit. The little ones fit in the gap, so that the bound is reached.
        for diameters in [vec![4.0, 5.0, 0.5, 0.4], vec![1.3, 2.1, 2.8, 1.6], vec![2.0, 2.2, 2.6, 1.7, 3.1]] {
            let packing = pack(&diameters);
            for scale in [1.0 / 64.0, 0.25, 8.0] {
                let scaled: Vec<f64> = diameters.iter().map(|d| d * scale).collect();
                assert_eq!(pack(&scaled).diameter, packing.diameter * scale, "{diameters:?} {scale}");
                let floor = packing.diameter * scale * (1.0 - 1e-3);
                assert!(pack_beyond(&scaled, floor).is_some(), "{diameters:?} {scale}");
            }
        }
    }

    #[test]
    fn every_packing_is_a_real_one() {
        for count in (1..=9).chain([12, 18, 19, 23]) {
            let packing = pack(&vec![2.0; count]);
            assert!(faults(&packing) < 1e-9 * packing.diameter, "{count}");
        }
        let mixed: Vec<f64> = (1..=11).map(|i| 0.5 + 0.2 * f64::from(i)).collect();
        let packing = pack(&mixed);
        assert!(faults(&packing) < 1e-9 * packing.diameter);
        assert!(packing.diameter >= lower_bound(&mixed));
        assert_eq!(packing, pack(&mixed));
    }

    #[test]
    fn the_order_of_the_circles_does_not_matter() {
        let mut diameters = vec![2.1, 3.4, 1.3, 2.8, 2.6];
        let packing = pack(&diameters);
        diameters.rotate_left(2);
        assert_eq!(pack(&diameters).diameter, packing.diameter);
    }

    #[test]
    fn a_floor_changes_nothing_of_what_is_above_it() {
        for diameters in [vec![3.0, 2.4, 2.1], vec![1.3, 2.1, 2.8, 1.6], vec![2.0, 2.2, 2.6, 1.7, 3.1, 2.5]] {
            let packing = pack(&diameters);
            let below = packing.diameter * (1.0 - 1e-9);
            assert_eq!(pack_beyond(&diameters, below).as_ref(), Some(&packing));
            assert_eq!(pack_beyond(&diameters, packing.diameter), None);
            assert_eq!(pack_beyond(&diameters, 2.0 * packing.diameter), None);
        }
    }

    #[test]
    fn circles_of_very_different_size_are_packed() {
        for diameters in [vec![1e3, 1e-300, 1e-300, 1e-5], vec![200.0, 1e-9, 0.3, 0.3, 0.3, 0.3, 0.3]] {
            let packing = pack(&diameters);
            assert!(faults(&packing) < 1e-9 * packing.diameter);
            assert!(packing.diameter < lower_bound(&diameters) * (1.0 + 1e-6), "{diameters:?} {packing:?}");
        }
    }

    #[test]
    fn unequal_circles_come_up_to_the_best_known_packings() {
        // Radii 1, 2, … n: the best known radii round all, as collected by E. Specht; from memory.
        for (count, best) in [(5, 9.001_398), (6, 11.057_040), (7, 13.462_111), (8, 16.221_747)] {
            let diameters: Vec<f64> = (1..=count).map(|radius| 2.0 * f64::from(radius)).collect();
            let radius = pack(&diameters).diameter / 2.0;
            assert!((radius / best - 1.0).abs() < 1e-4, "{count}: {radius}");
        }
    }

    /// Radii round equal circles of radius one (R. L. Graham 1968, U. Pirl 1969, F. Fodor 1999), from their closed
    /// forms: 1 + 1/sin(π/n) on one ring.
    #[test]
    fn the_proven_arrangements_of_equal_circles_are_closed_forms() {
        for (count, radius) in [
            (1, 1.0),
            (2, 2.0),
            (3, 2.154_700_538),
            (4, 2.414_213_562),
            (5, 2.701_301_617),
            (6, 3.0),
            (7, 3.0),
            (8, 3.304_764_871),
            (9, 3.613_125_930),
            (18, 4.863_703_305),
            (19, 4.863_703_305),
        ] {
            let packing = closed_form(&vec![3.0; count]).unwrap_or_else(|| panic!("{count} has none"));
            assert!((packing.diameter / 3.0 - radius).abs() < 1e-8, "{count}: {}", packing.diameter / 3.0);
            assert!(packing.exact && packing.circles.len() == count && faults(&packing) < 1e-9, "{count}");
        }
        for count in (10..=17).chain([20, 21]) {
            assert!(closed_form(&vec![3.0; count]).is_none(), "{count} is not proven by rings");
        }
        assert!(closed_form(&[3.0, 3.0, 3.0, 2.9]).is_none() && closed_form(&[2.9, 3.0, 3.0, 3.0]).is_none());
    }

    /// Radii 2 and 1 in a circle of radius 3 leave room for 6/7 (Descartes' circle theorem; the largest circle in
    /// an arbelos), two of radius 1 in one of radius 2 for 2/3.
    #[test]
    fn a_third_circle_fits_the_gap_of_two_up_to_the_one_that_touches_all() {
        for (one, two, gap) in [(2.0, 1.0, 6.0 / 7.0), (1.0, 1.0, 2.0 / 3.0)] {
            let both = 2.0 * (one + two);
            let of =
                |third: f64| closed_form(&[2.0 * one, 2.0 * two, 2.0 * third]).map_or(0.0, |it| it.diameter);
            assert!((of(gap - 1e-6) - both).abs() < 1e-12);
            assert!(of(gap + 1e-3) > both + 1e-6);
        }
        for trio in [[4.0, 2.0, 1.0], [4.0, 2.0, 1.9], [2.0, 2.0, 2.0], [5.0, 3.0, 2.7], [1.9, 4.0, 2.0]] {
            let packing = pack(&trio);
            let [a, b, c] = [0, 1, 2].map(|index| packing.circles[index]);
            let gap = |p: Circle, q: Circle| (p.x - q.x).hypot(p.y - q.y) - (p.d + q.d) / 2.0;
            assert!(
                [gap(a, b), gap(b, c), gap(c, a)].iter().all(|gap| gap.abs() < 1e-9),
                "{trio:?}: they touch"
            );
        }
        // Descartes in whole curvatures: 5, 8 and 8 in −3, the outer Soddy circle.
        assert!((pack(&[0.25, 0.4, 0.25]).diameter - 2.0 / 3.0).abs() < 1e-9);
    }

    #[test]
    fn places_that_overlap_are_spread_until_they_touch() {
        let packing = finished(&[2.0, 2.0, 4.0], &[(0.0, 0.0), (1.0, 0.0), (0.0, 9.0)], false);
        assert!(faults(&packing) < 1e-12);
        assert!((packing.circles[1].x - 2.0).abs() < 1e-12, "twice as far");
        assert!((packing.diameter - 40.0).abs() < 1e-9, "18 and 2 beyond it, on both sides");
        let loose = finished(&[2.0, 2.0], &[(-3.0, 0.0), (3.0, 0.0)], false);
        assert_eq!((loose.circles[0].x, loose.diameter), (-3.0, 8.0), "what does not overlap stays");
    }

    #[test]
    fn no_packing_is_below_its_area_or_its_three_largest() {
        assert_eq!(lower_bound(&[1.0; 100]), 10.0);
        assert_eq!(lower_bound(&[3.0, 4.0]), 7.0);
        assert!((lower_bound(&[0.25, 0.01, 0.4, 0.25]) - 2.0 / 3.0).abs() < 1e-9, "the three largest alone");
    }
}
