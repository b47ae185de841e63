//! The search for a tight arrangement: structured starts, descent with a growing penalty, seeded hops.
//!
//! The radius R of the enclosing circle is one of the variables: R + k/2·Σ overlap² is minimised for a
//! growing k, then everything is spread until nothing overlaps. Work is budgeted in pair evaluations, not in
//! time, so that the answer is the same on every machine.

use crate::workings::science::descent::descend;
use std::f64::consts::{PI, TAU};

/// Pair evaluations that any search may spend, and what each circle adds.
const BUDGET: (usize, usize) = (2_800_000, 45_000);
/// Descents that a search makes at least, whatever they cost.
const FEWEST: usize = 4;

/// Hops without gain after which a search ends, and what each circle adds: few circles are settled long before
/// the budget is spent.
const IN_VAIN: (usize, usize) = (8, 2);

/// Places of circles.
type Places = Vec<(f64, f64)>;

/// A best place for each radius (largest radius about one), from the centre.
pub(crate) fn best(radii: &[f64]) -> Places {
    let mut search = Search { radii, spent: 0, runs: 0, best: (f64::INFINITY, Vec::new()) };
    let mut seed = Seed(0x9E37_79B9_7F4A_7C15 ^ radii.len() as u64);
    for start in starts(radii) {
        if search.is_spent() {
            break;
        }
        search.descend_from(start, 1.0);
    }
    let mut current = search.best.1.clone();
    let mut stale = 0;
    let mut vain = 0;
    let patience = IN_VAIN.0 + IN_VAIN.1 * radii.len();
    while !search.is_spent() && vain < patience {
        let (start, stiff) = if stale > 3 {
            stale = 0;
            (scattered(radii, &mut seed), 1.0)
        } else {
            (hop(&current, radii, &mut seed), 30.0)
        };
        let before = search.best.0;
        search.descend_from(start, stiff);
        if search.best.0 < before - 1e-9 {
            current = search.best.1.clone();
            stale = 0;
            vain = 0;
        } else {
            stale += 1;
            vain += 1;
        }
    }
    search.sharpen();
    search.best.1
}

/// The state of one search.
struct Search<'a> {
    radii: &'a [f64],
    spent: usize,
    runs: usize,
    best: (f64, Places),
}

impl Search<'_> {
    /// Whether the budget is used up.
    fn is_spent(&self) -> bool {
        self.runs >= FEWEST && self.spent >= BUDGET.0 + BUDGET.1 * self.radii.len()
    }

    /// Descends from `start` through growing penalties and keeps the place where it is the best so far.
    fn descend_from(&mut self, start: Places, stiff: f64) {
        let mut point = flattened(&start, self.radii);
        for (penalty, iterations) in [(stiff, 100), (stiff * 30.0, 100), (3e4, 150)] {
            self.descend(&mut point, penalty, iterations);
        }
        self.runs += 1;
        self.keep(&point);
    }

    /// Descends from the best with a stiff penalty, so that spreading costs nothing visible.
    fn sharpen(&mut self) {
        let mut point = flattened(&self.best.1, self.radii);
        for penalty in [1e5, 3e6] {
            self.descend(&mut point, penalty, 200);
        }
        self.keep(&point);
    }

    /// One descent at one penalty.
    fn descend(&mut self, point: &mut [f64], penalty: f64, iterations: usize) {
        let radii = self.radii;
        let calls = descend(point, iterations, |at, slope| energy(at, slope, radii, penalty));
        self.spent += calls * (radii.len() * (radii.len() + 1) / 2 + 20);
    }

    /// Keeps a point where its true radius is smaller than the best.
    fn keep(&mut self, point: &[f64]) {
        let places = unflattened(point, self.radii.len());
        let radius = true_radius(&places, self.radii);
        if radius < self.best.0 {
            self.best = (radius, places);
        }
    }
}

/// R + k/2·Σ overlap² and its gradient. The point is all x, then all y, then R.
fn energy(point: &[f64], slope: &mut [f64], radii: &[f64], k: f64) -> f64 {
    let count = radii.len();
    slope.fill(0.0);
    let (x, rest) = point.split_at(count);
    let (y, outer) = rest.split_at(count);
    let outer = outer.first().copied().unwrap_or(0.0);
    let (slope_x, rest) = slope.split_at_mut(count);
    let (slope_y, slope_outer) = rest.split_at_mut(count);
    let mut squares = 0.0;
    let mut pull = 0.0;
    for (i, ((xi, yi), ri)) in x.iter().zip(y).zip(radii).enumerate() {
        let (mut gx, mut gy) = (0.0, 0.0);
        let others = x.iter().zip(y).zip(radii).skip(i + 1);
        let slopes = slope_x.iter_mut().zip(slope_y.iter_mut()).skip(i + 1);
        for (((xj, yj), rj), (sx, sy)) in others.zip(slopes) {
            let (dx, dy, reach) = (xi - xj, yi - yj, ri + rj);
            let apart = dx * dx + dy * dy;
            if apart < reach * reach {
                let apart = apart.sqrt().max(1e-9);
                let overlap = reach - apart;
                squares += overlap * overlap;
                let push = -k * overlap / apart;
                gx += push * dx;
                gy += push * dy;
                *sx -= push * dx;
                *sy -= push * dy;
            }
        }
        let room = outer - ri;
        let away = xi * xi + yi * yi;
        if room < 0.0 || away > room * room {
            let away = away.sqrt().max(1e-9);
            let beyond = away - room;
            squares += beyond * beyond;
            gx += k * beyond * xi / away;
            gy += k * beyond * yi / away;
            pull += beyond;
        }
        if let (Some(sx), Some(sy)) = (slope_x.get_mut(i), slope_y.get_mut(i)) {
            *sx += gx;
            *sy += gy;
        }
    }
    if let Some(last) = slope_outer.first_mut() {
        *last = 1.0 - k * pull;
    }
    outer + 0.5 * k * squares
}

/// The radius of the circle round these places once they are spread until none overlap.
fn true_radius(places: &[(f64, f64)], radii: &[f64]) -> f64 {
    let mut spread: f64 = 1.0;
    for (i, ((x, y), r)) in places.iter().zip(radii).enumerate() {
        for ((u, v), s) in places.iter().zip(radii).skip(i + 1) {
            spread = spread.max((r + s) / (x - u).hypot(y - v).max(1e-12));
        }
    }
    places.iter().zip(radii).map(|((x, y), r)| spread * x.hypot(*y) + r).fold(0.0, f64::max)
}

/// Places as a point of the descent.
fn flattened(places: &[(f64, f64)], radii: &[f64]) -> Vec<f64> {
    let mut point: Vec<f64> = places.iter().map(|place| place.0).collect();
    point.extend(places.iter().map(|place| place.1));
    let area: f64 = radii.iter().map(|r| r * r).sum();
    let reach = places.iter().zip(radii).map(|((x, y), r)| x.hypot(*y) + r).fold(0.0, f64::max);
    point.push(reach.min(1.3 * area.sqrt() + 1.0));
    point
}

/// A point of the descent as places.
fn unflattened(point: &[f64], count: usize) -> Places {
    point.iter().zip(point.iter().skip(count)).take(count).map(|(x, y)| (*x, *y)).collect()
}

/// Structured starts, the most promising first.
fn starts(radii: &[f64]) -> Vec<Places> {
    let mut all = Vec::new();
    let least = radii.iter().copied().fold(f64::INFINITY, f64::min);
    let greatest = radii.iter().copied().fold(0.0, f64::max);
    if greatest <= 1.02 * least {
        all.extend([0.0, 1.0, 2.0].map(|turned| curved_hexagon(radii.len(), turned)));
        for centre in [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0 / 3f64.sqrt()), (0.5, 0.3)] {
            all.push(hexagonal(radii.len(), centre));
        }
        all.push(rings(radii.len()));
    } else {
        all.extend([0, 1, 2].map(|variant| nestled(radii, variant)));
    }
    all
}

/// The places of a hexagonal lattice nearest to `centre`, for circles of radius one.
fn hexagonal(count: usize, centre: (f64, f64)) -> Places {
    let reach = (count as f64).sqrt().ceil() as i32 + 2;
    let mut places = Places::new();
    for row in -reach..=reach {
        for column in -2 * reach..=2 * reach {
            let x = f64::from(2 * column + row.rem_euclid(2));
            places.push((x - centre.0, 3f64.sqrt() * f64::from(row) - centre.1));
        }
    }
    places.sort_by(|a, b| (a.0.hypot(a.1)).total_cmp(&b.0.hypot(b.1)));
    places.truncate(count);
    places
}

/// Rings of 1, 6, 12, 18… with each ring turned against the one inside: the curved hexagonal packings of
/// Lubachevsky and Graham, best at 37 and 61. The last ring is filled as far as it goes.
fn curved_hexagon(count: usize, turned: f64) -> Places {
    let mut places = vec![(0.0, 0.0)];
    let mut ring = 1;
    while places.len() < count {
        let corner = 6 * ring;
        for step in 0..corner {
            let side = (step / ring) as f64;
            let along = (step % ring) as f64 / ring as f64;
            let straight = {
                let (a, b) = (TAU * side / 6.0, TAU * (side + 1.0) / 6.0);
                let reach = 2.0 * ring as f64;
                (
                    reach * (a.cos() * (1.0 - along) + b.cos() * along),
                    reach * (a.sin() * (1.0 - along) + b.sin() * along),
                )
            };
            let bend = turned * PI / 12.0 * (ring as f64 - 1.0);
            let (sin, cos) = bend.sin_cos();
            places.push((straight.0 * cos - straight.1 * sin, straight.0 * sin + straight.1 * cos));
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
        let radius = outer - 1.0;
        let fits = if radius < 1.0 { 1.0 } else { (PI / (1.0 / radius).min(1.0).asin()).floor() };
        for step in 0..(fits as usize).min(count - places.len()) {
            let angle = TAU * step as f64 / fits;
            places.push((radius.max(0.0) * angle.cos(), radius.max(0.0) * angle.sin()));
        }
        outer = (outer - 1.8).max(1.0);
    }
    places
}

/// Circles laid one after the other, each touching two laid before and as near to the middle as it goes:
/// largest first, or with the smallest first in the middle, or alternating.
fn nestled(radii: &[f64], variant: usize) -> Places {
    let mut order: Vec<(usize, f64)> = radii.iter().copied().enumerate().collect();
    order.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    match variant {
        1 => order.reverse(),
        2 => {
            let half = order.len() / 2;
            let small = order.split_off(half);
            order = order
                .into_iter()
                .zip(small.iter().copied().map(Some).chain(std::iter::repeat(None)))
                .flat_map(|(large, small)| [Some(large), small])
                .flatten()
                .chain(small.last().filter(|_| radii.len() % 2 == 1).copied())
                .collect();
        }
        _ => {}
    }
    let mut laid: Vec<(f64, f64, f64)> = Vec::new();
    let mut places = vec![(0.0, 0.0); radii.len()];
    for (index, r) in order {
        let place = nearest_gap(&laid, r);
        laid.push((place.0, place.1, r));
        if let Some(slot) = places.get_mut(index) {
            *slot = place;
        }
    }
    centred(&mut places, radii);
    places
}

/// The place nearest to the middle where a circle of radius `r` touches two laid ones and overlaps none.
fn nearest_gap(laid: &[(f64, f64, f64)], r: f64) -> (f64, f64) {
    let mut best = (f64::INFINITY, (0.0, 0.0));
    match laid {
        [] => return (0.0, 0.0),
        [(x, y, s)] => return (x + s + r, *y),
        _ => {}
    }
    for (i, (x, y, s)) in laid.iter().enumerate() {
        for (u, v, t) in laid.iter().skip(i + 1) {
            let (dx, dy) = (u - x, v - y);
            let apart = dx.hypot(dy);
            let (near, far) = (s + r, t + r);
            if apart >= near + far || apart < 1e-9 {
                continue;
            }
            let along = (near * near - far * far + apart * apart) / (2.0 * apart);
            let off = (near * near - along * along).max(0.0).sqrt();
            for side in [off, -off] {
                let place = (x + (dx * along - dy * side) / apart, y + (dy * along + dx * side) / apart);
                let distance = place.0.hypot(place.1) + r;
                let free = |(a, b, q): &(f64, f64, f64)| (place.0 - a).hypot(place.1 - b) >= q + r - 1e-9;
                if distance < best.0 && laid.iter().all(free) {
                    best = (distance, place);
                }
            }
        }
    }
    best.1
}

/// Moves the places so that their enclosing circle is about the origin: a few steps towards the farthest.
fn centred(places: &mut Places, radii: &[f64]) {
    for round in 1..=60 {
        let far = places
            .iter()
            .zip(radii)
            .max_by(|a, b| (a.0.0.hypot(a.0.1) + a.1).total_cmp(&(b.0.0.hypot(b.0.1) + b.1)));
        let Some(((x, y), _)) = far.map(|(place, r)| (*place, *r)) else { return };
        let share = 0.5 / f64::from(round);
        places.iter_mut().for_each(|place| *place = (place.0 - x * share, place.1 - y * share));
    }
}

/// Places thrown into a disc of about the right size.
fn scattered(radii: &[f64], seed: &mut Seed) -> Places {
    let area: f64 = radii.iter().map(|r| r * r).sum();
    let reach = 1.05 * area.sqrt();
    radii
        .iter()
        .map(|_| {
            let (distance, angle) = (reach * seed.next().sqrt(), TAU * seed.next());
            (distance * angle.cos(), distance * angle.sin())
        })
        .collect()
}

/// A neighbour of an arrangement: two circles of different size change places, or one jumps elsewhere.
fn hop(places: &[(f64, f64)], radii: &[f64], seed: &mut Seed) -> Places {
    let mut next = places.to_vec();
    let (one, two) = (seed.below(radii.len()), seed.below(radii.len()));
    let size = |index: usize| radii.get(index).copied().unwrap_or(0.0);
    if (size(one) - size(two)).abs() > 1e-3 && seed.next() < 0.7 {
        next.swap(one, two);
        return next;
    }
    let reach = places.iter().map(|(x, y)| x.hypot(*y)).fold(0.0, f64::max);
    for _ in 0..1 + seed.below(2) {
        let (distance, angle) = (reach * seed.next().sqrt(), TAU * seed.next());
        let index = seed.below(radii.len());
        if let Some(slot) = next.get_mut(index) {
            *slot = (distance * angle.cos(), distance * angle.sin());
        }
    }
    next
}

/// A small seeded generator (SplitMix64, Steele et al. 2014): the same numbers on every machine.
struct Seed(u64);

impl Seed {
    /// A number from 0 to below 1.
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((mixed ^ (mixed >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    /// A whole number below `limit`.
    fn below(&mut self, limit: usize) -> usize {
        ((self.next() * limit as f64) as usize).min(limit.saturating_sub(1))
    }
}
