//! Limited-memory quasi-Newton descent (L-BFGS, two-loop recursion of Nocedal 1980).
//!
//! Small and deterministic: a fixed number of iterations, an Armijo line search that halves the step. Not
//! reaching a minimum is no error; the caller judges the point that comes back.

/// How many pairs of differences the curvature is built from.
const MEMORY: usize = 8;

/// One remembered step: change of point, change of slope, reciprocal of their product.
struct Pair {
    step: Vec<f64>,
    change: Vec<f64>,
    rho: f64,
}

/// Moves `point` downhill for at most `iterations`, and returns how often `slope_of` was called.
///
/// `slope_of` writes the gradient into its second argument and returns the height.
pub(crate) fn descend(
    point: &mut [f64],
    iterations: usize,
    mut slope_of: impl FnMut(&[f64], &mut [f64]) -> f64,
) -> usize {
    let size = point.len();
    let mut slope = vec![0.0; size];
    let mut height = slope_of(point, &mut slope);
    let mut calls = 1;
    let mut memory: Vec<Pair> = Vec::with_capacity(MEMORY);
    let mut trial = vec![0.0; size];
    let mut trial_slope = vec![0.0; size];
    for _ in 0..iterations {
        let mut direction = towards(&slope, &memory);
        let mut fall = dot(&direction, &slope);
        if fall >= 0.0 {
            memory.clear();
            direction = slope.iter().map(|part| -part).collect();
            fall = -dot(&slope, &slope);
        }
        if fall > -1e-20 {
            break;
        }
        // Without memory the length of the slope says nothing about distance: start with a short step.
        let mut length = if memory.is_empty() { (0.1 / (-fall).sqrt()).min(1.0) } else { 1.0 };
        let mut lower = None;
        for _ in 0..20 {
            for ((new, old), part) in trial.iter_mut().zip(point.iter()).zip(&direction) {
                *new = old + length * part;
            }
            let reached = slope_of(&trial, &mut trial_slope);
            calls += 1;
            if reached <= height + 1e-4 * length * fall {
                lower = Some(reached);
                break;
            }
            length *= 0.4;
        }
        let Some(reached) = lower else { break };
        remember(&mut memory, point, &slope, &trial, &trial_slope);
        point.copy_from_slice(&trial);
        slope.copy_from_slice(&trial_slope);
        let gained = height - reached;
        height = reached;
        if gained <= 1e-11 * height.abs() {
            break;
        }
    }
    calls
}

/// The descent direction that the remembered curvature suggests.
fn towards(slope: &[f64], memory: &[Pair]) -> Vec<f64> {
    let mut direction: Vec<f64> = slope.iter().map(|part| -part).collect();
    let mut weights = Vec::with_capacity(memory.len());
    for pair in memory.iter().rev() {
        let weight = pair.rho * dot(&pair.step, &direction);
        add(&mut direction, -weight, &pair.change);
        weights.push(weight);
    }
    if let Some(last) = memory.last() {
        let scale = 1.0 / (last.rho * dot(&last.change, &last.change));
        direction.iter_mut().for_each(|part| *part *= scale);
    }
    for (pair, weight) in memory.iter().zip(weights.iter().rev()) {
        let correction = weight - pair.rho * dot(&pair.change, &direction);
        add(&mut direction, correction, &pair.step);
    }
    direction
}

/// Keeps the newest step where its curvature is positive, and drops the oldest.
fn remember(memory: &mut Vec<Pair>, point: &[f64], slope: &[f64], next: &[f64], next_slope: &[f64]) {
    let step: Vec<f64> = next.iter().zip(point).map(|(new, old)| new - old).collect();
    let change: Vec<f64> = next_slope.iter().zip(slope).map(|(new, old)| new - old).collect();
    let product = dot(&step, &change);
    if product > 1e-14 {
        if memory.len() == MEMORY {
            memory.remove(0);
        }
        memory.push(Pair { step, change, rho: 1.0 / product });
    }
}

/// The scalar product.
fn dot(one: &[f64], other: &[f64]) -> f64 {
    one.iter().zip(other).map(|(a, b)| a * b).sum()
}

/// Adds a multiple of `other`.
fn add(target: &mut [f64], factor: f64, other: &[f64]) {
    for (part, addend) in target.iter_mut().zip(other) {
        *part += factor * addend;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bowl_is_found_to_its_bottom() {
        let mut point = vec![3.0, -2.0, 1.0];
        let calls = descend(&mut point, 100, |at, slope| {
            let mut height = 0.0;
            for (index, (x, s)) in at.iter().zip(slope.iter_mut()).enumerate() {
                let weight = 1.0 + 10.0 * index as f64;
                height += weight * (x - 1.0) * (x - 1.0);
                *s = 2.0 * weight * (x - 1.0);
            }
            height
        });
        assert!(calls < 100);
        assert!(point.iter().all(|x| (x - 1.0).abs() < 1e-4), "{point:?}");
    }
}
