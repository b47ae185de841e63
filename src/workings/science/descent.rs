//! Limited-memory quasi-Newton descent (L-BFGS, two-loop recursion of Nocedal 1980).
//!
//! Small and deterministic: a fixed number of iterations, an Armijo line search that shortens the step. Not
//! reaching a minimum is no error; the caller judges the point that comes back. The buffers are kept from one
//! descent to the next, so that a descent allocates nothing. Points have a multiple of four numbers.

/// How many pairs of differences the curvature is built from.
const MEMORY: usize = 5;

/// Iterations after which a descent is asked whether it still leads anywhere.
const STRETCH: usize = 6;

/// A descent goes on while the height worth reaching is at most so many times the gain of the last stretch away.
const HOPE: f64 = 3.0;

/// Four numbers of a point, on which a processor works at once.
type Four = [f64; 4];

/// One remembered step: change of point, change of slope, reciprocal of their product.
struct Pair {
    step: Vec<Four>,
    change: Vec<Four>,
    rho: f64,
    weight: f64,
}

/// How far a descent goes.
#[derive(Clone, Copy)]
pub(crate) struct Patience {
    /// At most so many iterations.
    pub(crate) iterations: usize,
    /// It ends as soon as an iteration gains no more than this share of the height.
    pub(crate) gain: f64,
    /// A height that is worth reaching: out of reach, the descent ends. Infinite where any is.
    pub(crate) target: f64,
    /// Share of the slope that the first step takes, before there is any curvature to go by.
    pub(crate) first: f64,
}

/// The buffers of a descent over points of one size.
pub(crate) struct Descent {
    /// The remembered steps. The newest is before `next`; once all are used, the oldest is at `next`.
    pairs: Vec<Pair>,
    next: usize,
    used: usize,
    slope: Vec<Four>,
    trial: Vec<Four>,
    trial_slope: Vec<Four>,
    direction: Vec<Four>,
}

impl Descent {
    /// Buffers for points of `size` numbers.
    pub(crate) fn new(size: usize) -> Descent {
        let zeros = || vec![[0.0; 4]; size.div_ceil(4)];
        let pair = || Pair { step: zeros(), change: zeros(), rho: 0.0, weight: 0.0 };
        Descent {
            pairs: (0..MEMORY).map(|_| pair()).collect(),
            next: 0,
            used: 0,
            slope: zeros(),
            trial: zeros(),
            trial_slope: zeros(),
            direction: zeros(),
        }
    }

    /// Moves `point` downhill and returns the height there.
    ///
    /// `slope_of` writes the gradient into its second argument and returns the height.
    pub(crate) fn run(
        &mut self,
        point: &mut [f64],
        patience: Patience,
        mut slope_of: impl FnMut(&[f64], &mut [f64]) -> f64,
    ) -> f64 {
        (self.next, self.used) = (0, 0);
        let mut height = slope_of(point, self.slope.as_flattened_mut());
        let point = point.as_chunks_mut::<4>().0;
        let mut mark = f64::INFINITY;
        for iteration in 1..=patience.iterations {
            if iteration % STRETCH == 0 {
                if height - patience.target > HOPE * (mark - height) {
                    break;
                }
                mark = height;
            }
            let fall = self.aim();
            if fall > -1e-20 {
                break;
            }
            let length = if self.used == 0 { patience.first } else { 1.0 };
            let Some(reached) = self.step(point, height, fall, length, &mut slope_of) else { break };
            self.remember(point);
            point.copy_from_slice(&self.trial);
            std::mem::swap(&mut self.slope, &mut self.trial_slope);
            let gained = height - reached;
            height = reached;
            if gained <= patience.gain * height.abs() {
                break;
            }
        }
        height
    }

    /// Shortens the step until it goes down far enough (Armijo). Returns the height at the trial, if any does.
    fn step(
        &mut self,
        point: &[Four],
        height: f64,
        fall: f64,
        mut length: f64,
        slope_of: &mut impl FnMut(&[f64], &mut [f64]) -> f64,
    ) -> Option<f64> {
        for _ in 0..20 {
            for ((new, old), part) in self.trial.iter_mut().zip(point).zip(&self.direction) {
                *new = each(old, part, |old, part| old + length * part);
            }
            let reached = slope_of(self.trial.as_flattened(), self.trial_slope.as_flattened_mut());
            if reached <= height + 1e-4 * length * fall {
                return Some(reached);
            }
            length *= 0.4;
        }
        None
    }

    /// Points the direction to where the remembered curvature suggests, or straight downhill where that leads
    /// up. Returns how steeply it falls.
    fn aim(&mut self) -> f64 {
        self.downhill();
        if self.used == 0 {
            return dot(&self.direction, &self.slope);
        }
        let direction = &mut self.direction;
        let (newer, older) = self.pairs.split_at_mut(self.next);
        let older = older.get_mut(..self.used - newer.len()).unwrap_or_default();
        for pair in newer.iter_mut().rev().chain(older.iter_mut().rev()) {
            pair.weight = pair.rho * dot(&pair.step, direction);
            add(direction, -pair.weight, &pair.change);
        }
        if let Some(last) = newer.last().or(older.last()) {
            let scale = 1.0 / (last.rho * dot(&last.change, &last.change));
            direction.iter_mut().for_each(|four| *four = four.map(|part| part * scale));
        }
        for pair in older.iter().chain(newer.iter()) {
            let correction = pair.weight - pair.rho * dot(&pair.change, direction);
            add(direction, correction, &pair.step);
        }
        let fall = dot(&self.direction, &self.slope);
        if fall < 0.0 {
            return fall;
        }
        (self.next, self.used) = (0, 0);
        self.downhill();
        dot(&self.direction, &self.slope)
    }

    /// Points the direction straight downhill.
    fn downhill(&mut self) {
        for (part, slope) in self.direction.iter_mut().zip(&self.slope) {
            *part = slope.map(|part| -part);
        }
    }

    /// Keeps the step from `point` to the trial where its curvature is positive, in place of the oldest.
    fn remember(&mut self, point: &[Four]) {
        let next = self.next % MEMORY;
        let Some(pair) = self.pairs.get_mut(next) else { return };
        let mut sums = [0.0; 4];
        let trials = self.trial.iter().zip(point).zip(self.trial_slope.iter().zip(&self.slope));
        for ((new, old), (new_slope, old_slope)) in trials {
            let (step, change) = (each(new, old, |a, b| a - b), each(new_slope, old_slope, |a, b| a - b));
            sums = each(&sums, &each(&step, &change, |a, b| a * b), |a, b| a + b);
        }
        let product = whole(sums);
        if product <= 1e-14 {
            return;
        }
        for ((slot, new), old) in pair.step.iter_mut().zip(&self.trial).zip(point) {
            *slot = each(new, old, |a, b| a - b);
        }
        for ((slot, new), old) in pair.change.iter_mut().zip(&self.trial_slope).zip(&self.slope) {
            *slot = each(new, old, |a, b| a - b);
        }
        pair.rho = 1.0 / product;
        self.next = next + 1;
        self.used = (self.used + 1).min(MEMORY);
    }
}

/// The same for each of four numbers.
#[inline(always)]
fn each(one: &Four, other: &Four, of: impl Fn(f64, f64) -> f64) -> Four {
    [of(one[0], other[0]), of(one[1], other[1]), of(one[2], other[2]), of(one[3], other[3])]
}

/// Four sums together.
#[inline(always)]
fn whole([a, b, c, d]: Four) -> f64 {
    (a + c) + (b + d)
}

/// The scalar product, in four sums that do not wait for each other.
#[inline(always)]
fn dot(one: &[Four], other: &[Four]) -> f64 {
    let mut sums = [0.0; 4];
    for (a, b) in one.iter().zip(other) {
        sums = each(&sums, &each(a, b, |a, b| a * b), |sum, product| sum + product);
    }
    whole(sums)
}

/// Adds a multiple of `other`.
#[inline(always)]
fn add(target: &mut [Four], factor: f64, other: &[Four]) {
    for (four, addend) in target.iter_mut().zip(other) {
        *four = each(four, addend, |part, addend| part + factor * addend);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Descends into a bowl with its bottom at one, and returns the calls that it takes.
    fn bowl(descent: &mut Descent, point: &mut [f64], patience: Patience) -> usize {
        let mut calls = 0;
        descent.run(point, patience, |at, slope| {
            calls += 1;
            let mut height = 0.0;
            for (index, (x, s)) in at.iter().zip(slope.iter_mut()).enumerate() {
                let weight = 1.0 + 10.0 * index as f64;
                height += weight * (x - 1.0) * (x - 1.0);
                *s = 2.0 * weight * (x - 1.0);
            }
            height
        });
        calls
    }

    const PATIENT: Patience = Patience { iterations: 100, gain: 1e-12, target: f64::INFINITY, first: 0.01 };

    #[test]
    fn a_bowl_is_found_to_its_bottom_again_and_again() {
        let mut descent = Descent::new(8);
        for start in [3.0, -7.0, 1.5] {
            let mut point = vec![start; 8];
            assert!(bowl(&mut descent, &mut point, PATIENT) < 100);
            assert!(point.iter().all(|x| (x - 1.0).abs() < 1e-4), "{point:?}");
        }
    }

    #[test]
    fn a_target_out_of_reach_ends_the_descent() {
        let (mut descent, mut point) = (Descent::new(8), vec![3.0; 8]);
        let all = bowl(&mut descent, &mut point, PATIENT);
        let mut point = vec![3.0; 8];
        let some = bowl(&mut descent, &mut point, Patience { target: -1e6, ..PATIENT });
        assert!(some < all, "{some} of {all}");
    }

    /// A long curved valley: Rosenbrock's function of eight numbers (1960), with its gradient.
    fn valley(at: &[f64], slope: &mut [f64]) -> f64 {
        slope.fill(0.0);
        let mut height = 0.0;
        for index in 0..at.len() - 1 {
            let (x, off) = (at[index], at[index + 1] - at[index] * at[index]);
            height += 100.0 * off * off + (1.0 - x) * (1.0 - x);
            slope[index] -= 400.0 * off * x + 2.0 * (1.0 - x);
            slope[index + 1] += 200.0 * off;
        }
        height
    }

    const START: [f64; 8] = [-1.2, 1.0, -1.2, 1.0, -1.2, 1.0, -1.2, 1.0];
    const STEADY: Patience = Patience { iterations: 40, gain: 0.0, target: f64::INFINITY, first: 1e-3 };

    fn product(one: &[f64], other: &[f64]) -> f64 {
        one.iter().zip(other).map(|(a, b)| a * b).sum()
    }

    /// The heights after each iteration, by the textbook: two loops over the last five steps (Nocedal and Wright,
    /// Numerical Optimization, algorithm 7.4) and Armijo's rule.
    fn textbook(iterations: usize) -> Vec<f64> {
        let (mut at, mut slope) = (START.to_vec(), vec![0.0; 8]);
        let mut height = valley(&at, &mut slope);
        let mut pairs: Vec<(Vec<f64>, Vec<f64>)> = Vec::new();
        let mut heights = vec![height];
        for _ in 0..iterations {
            let mut direction = slope.clone();
            let mut weights = Vec::new();
            for (step, change) in pairs.iter().rev() {
                let weight = product(step, &direction) / product(step, change);
                direction.iter_mut().zip(change).for_each(|(part, change)| *part -= weight * change);
                weights.push(weight);
            }
            if let Some((step, change)) = pairs.last() {
                let scale = product(step, change) / product(change, change);
                direction.iter_mut().for_each(|part| *part *= scale);
            }
            for ((step, change), weight) in pairs.iter().zip(weights.iter().rev()) {
                let back = product(change, &direction) / product(step, change);
                direction.iter_mut().zip(step).for_each(|(part, step)| *part += (weight - back) * step);
            }
            let fall = -product(&direction, &slope);
            let mut length = if pairs.is_empty() { 1e-3 } else { 1.0 };
            let mut new_slope = vec![0.0; 8];
            loop {
                let trial: Vec<f64> = at.iter().zip(&direction).map(|(x, part)| x - length * part).collect();
                let reached = valley(&trial, &mut new_slope);
                if reached <= height + 1e-4 * length * fall {
                    let step: Vec<f64> = trial.iter().zip(&at).map(|(new, old)| new - old).collect();
                    let change: Vec<f64> = new_slope.iter().zip(&slope).map(|(new, old)| new - old).collect();
                    if product(&step, &change) > 1e-14 {
                        pairs.push((step, change));
                        pairs.drain(..pairs.len().saturating_sub(5));
                    }
                    (at, slope, height) = (trial, new_slope, reached);
                    break;
                }
                length *= 0.4;
            }
            heights.push(height);
        }
        heights
    }

    #[test]
    fn each_iteration_is_that_of_the_textbook() {
        let mut descent = Descent::new(8);
        let heights = textbook(40);
        for (iterations, height) in heights.iter().enumerate() {
            let mut at = START;
            let reached = descent.run(&mut at, Patience { iterations, ..STEADY }, valley);
            assert!((reached / height - 1.0).abs() < 1e-4, "{iterations}: {reached} {height}");
            // It is the height where the point is.
            assert_eq!(valley(&at, &mut [0.0; 8]), reached);
        }
    }

    #[test]
    fn an_iteration_that_gains_too_little_is_the_last() {
        let heights: Vec<f64> = (0..=40)
            .map(|iterations| {
                Descent::new(8).run(&mut START.clone(), Patience { iterations, ..STEADY }, valley)
            })
            .collect();
        for gain in [0.003, 0.02, 0.1] {
            let last = heights.windows(2).find(|pair| pair[0] - pair[1] <= gain * pair[1]).unwrap()[1];
            let reached = Descent::new(8).run(&mut START.clone(), Patience { gain, ..STEADY }, valley);
            assert_eq!(reached, last, "{gain}");
        }
    }

    #[test]
    fn a_descent_ends_where_the_last_stretch_gives_no_hope() {
        let heights: Vec<f64> = (0..=40)
            .map(|iterations| {
                Descent::new(8).run(&mut START.clone(), Patience { iterations, ..STEADY }, valley)
            })
            .collect();
        let mut ends = Vec::new();
        for target in [-300.0, -100.0, -30.0, -10.0, -3.0, 0.0, 3.0, 100.0] {
            // Asked before each sixth iteration, and for the first time when there was a stretch of six.
            let is_vain = |end: &usize| heights[*end] - target > 3.0 * (heights[end - 6] - heights[*end]);
            let end = (11..40).step_by(6).find(is_vain).unwrap_or(40);
            let reached = Descent::new(8).run(&mut START.clone(), Patience { target, ..STEADY }, valley);
            assert_eq!(reached, heights[end], "{target} {end}");
            ends.push(end);
        }
        ends.dedup();
        assert!(ends.len() > 2, "{ends:?}");
    }

    #[test]
    fn a_step_across_to_the_same_height_is_shortened() {
        // x² from 1 with the step −2 is as high at −1: Armijo asks for less, and 0.4 of the step leads to 0.2.
        let mut at = [1.0, 0.0, 0.0, 0.0];
        let patience = Patience { iterations: 1, first: 1.0, ..STEADY };
        let height = Descent::new(4).run(&mut at, patience, |at, slope| {
            slope.copy_from_slice(&[2.0 * at[0], 0.0, 0.0, 0.0]);
            at[0] * at[0]
        });
        assert!((at[0] - 0.2).abs() < 1e-12 && (height - 0.04).abs() < 1e-12);
    }

    #[test]
    fn a_point_at_the_bottom_stays() {
        let mut at = [1.0; 8];
        assert_eq!(Descent::new(8).run(&mut at, PATIENT, valley), 0.0);
        assert_eq!(at, [1.0; 8]);
    }
}
