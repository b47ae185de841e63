//! Lossless lines in a chain between matched ends: what a joint reflects.
//!
//! The exact chain (ABCD) matrix of each section is multiplied; no small-angle approximation. Losses, a
//! broken ground path and the radiation of a pigtail are not in it.

use std::f64::consts::PI;

/// Speed of light in vacuum, m/s (exact).
pub const LIGHT: f64 = 299_792_458.0;
/// Impedance of vacuum, Ω (CODATA).
pub const VACUUM_IMPEDANCE: f64 = 376.730_313_412;

/// A uniform section of line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Section {
    /// Characteristic impedance, Ω.
    pub impedance: f64,
    /// Length, mm.
    pub length: f64,
    /// Velocity factor.
    pub velocity: f64,
}

impl Section {
    /// Electrical length in radians at a frequency in MHz.
    pub fn phase(&self, megahertz: f64) -> f64 {
        2.0 * PI * megahertz * 1e6 * self.length / 1000.0 / (LIGHT * self.velocity)
    }
}

/// Impedance of a coax in Ω from its diameters and the relative permittivity between them.
pub fn coax_impedance(core: f64, shield: f64, permittivity: f64) -> f64 {
    VACUUM_IMPEDANCE / (2.0 * PI) / permittivity.sqrt() * (shield / core).ln()
}

/// Impedance and velocity factor of a coax with two layers: `core` to `middle` of one permittivity, `middle`
/// to `shield` of another. The capacitances are in series: ln(b/a)/εr summed.
pub fn two_layer(core: f64, middle: f64, shield: f64, inner: f64, outer: f64) -> (f64, f64) {
    let whole = (shield / core).ln();
    let layers = (middle / core).ln() / inner + (shield / middle).ln() / outer;
    let permittivity = whole / layers;
    (coax_impedance(core, shield, permittivity), 1.0 / permittivity.sqrt())
}

/// Impedance in Ω of two parallel round wires of one diameter, their centres `apart`.
pub fn parallel_wires(diameter: f64, apart: f64, permittivity: f64) -> f64 {
    VACUUM_IMPEDANCE / PI / permittivity.sqrt() * (apart / diameter).acosh()
}

/// The reflection |Γ| of sections in a line of impedance `line`, matched at the far end.
pub fn reflection(line: f64, sections: &[Section], megahertz: f64) -> f64 {
    // Lossless: A and D are real, B and C imaginary. B is in Ω over line, C times line, so all are numbers.
    let (mut a, mut b, mut c, mut d) = (1.0, 0.0, 0.0, 1.0);
    for section in sections {
        let (sin, cos) = section.phase(megahertz).sin_cos();
        let z = section.impedance / line;
        let (p, q) = (z * sin, sin / z);
        (a, b, c, d) = (a * cos - b * q, a * p + b * cos, c * cos + d * q, d * cos - c * p);
    }
    // |Γ|² = |A + jB − jC − D|²/|A + jB + jC + D|²; and for a lossless chain the denominator exceeds the numerator by four.
    let odd = (a - d) * (a - d) + (b - c) * (b - c);
    (odd / (odd + 4.0)).sqrt()
}

/// Return loss in dB of a reflection; infinite for none.
pub fn return_loss(reflection: f64) -> f64 {
    if reflection <= 0.0 { f64::INFINITY } else { -20.0 * reflection.log10() }
}

/// The frequency in the band where the reflection is greatest, and that reflection. Sampled so finely that
/// each half wave has forty points, then refined about the best (golden section).
pub fn worst(line: f64, sections: &[Section], low: f64, high: f64) -> (f64, f64) {
    let at = |megahertz: f64| reflection(line, sections, megahertz);
    if high <= low {
        return (low, at(low));
    }
    let points = samples(sections, low, high);
    let step = (high - low) / points as f64;
    let mut best = (low, at(low));
    for index in 1..=points {
        let megahertz = low + step * index as f64;
        let reached = at(megahertz);
        if reached > best.1 {
            best = (megahertz, reached);
        }
    }
    let (mut from, mut to) = ((best.0 - step).max(low), (best.0 + step).min(high));
    let golden = 0.618_033_988_749_894_9;
    for _ in 0..60 {
        let (left, right) = (to - golden * (to - from), from + golden * (to - from));
        if at(left) > at(right) { to = right } else { from = left }
    }
    let middle = f64::midpoint(from, to);
    if at(middle) > best.1 { (middle, at(middle)) } else { best }
}

/// Return loss over the band for a drawing, at most 240 points; what is infinite is cut at 80 dB. Over more
/// than a decade the points stand at equal ratios, or the lower decades would have none.
pub fn curve(line: f64, sections: &[Section], low: f64, high: f64) -> Vec<(f64, f64)> {
    let points = if high > low { 240 } else { 0 };
    let wide = low > 0.0 && high > 10.0 * low;
    let mut curve = Vec::with_capacity(points + 1);
    for index in 0..=points {
        let share = if points == 0 { 0.0 } else { index as f64 / points as f64 };
        let megahertz = if wide { low * (high / low).powf(share) } else { low + (high - low) * share };
        curve.push((megahertz, return_loss(reflection(line, sections, megahertz)).min(80.0)));
    }
    curve
}

/// How many samples a band needs.
fn samples(sections: &[Section], low: f64, high: f64) -> usize {
    let phase: f64 = sections.iter().map(|section| section.phase(high - low)).sum();
    ((phase / PI * 40.0).ceil().clamp(200.0, 40_000.0)) as usize
}

#[cfg(test)]
mod tests {
    #![allow(clippy::indexing_slicing)]
    use super::*;

    #[test]
    fn one_section_agrees_with_the_closed_form() {
        for (zj, length, velocity, megahertz) in
            [(100.0, 20.0, 0.8, 1575.42), (25.0, 10.0, 0.66, 2441.0), (60.0, 500.0, 0.9, 900.0)]
        {
            let section = Section { impedance: zj, length, velocity };
            let u = 0.5 * (zj / 50.0 - 50.0 / zj).abs() * section.phase(megahertz).sin().abs();
            let closed = u / (1.0 + u * u).sqrt();
            assert!((reflection(50.0, &[section], megahertz) - closed).abs() < 1e-12);
        }
    }

    #[test]
    fn two_halves_are_one_whole() {
        let whole = Section { impedance: 120.0, length: 40.0, velocity: 0.7 };
        let half = Section { length: 20.0, ..whole };
        assert!((reflection(75.0, &[whole], 800.0) - reflection(75.0, &[half, half], 800.0)).abs() < 1e-12);
    }

    #[test]
    fn the_worst_of_a_band_is_found_inside_it() {
        let section = Section { impedance: 100.0, length: 100.0, velocity: 0.8 };
        let quarter = LIGHT * 0.8 / 0.4 / 1e6;
        let (megahertz, reached) = worst(50.0, &[section], 1.0, 1400.0);
        assert!((megahertz - quarter).abs() < 1e-3, "{megahertz} {quarter}");
        assert!((reached - 0.6).abs() < 1e-9);
    }

    #[test]
    fn equal_layers_are_one_layer() {
        let (impedance, velocity) = two_layer(0.5, 1.0, 3.0, 2.25, 2.25);
        assert!((impedance - coax_impedance(0.5, 3.0, 2.25)).abs() < 1e-9);
        assert!((velocity - 1.0 / 1.5).abs() < 1e-12);
    }

    /// |Γ| by the other way: the impedance seen through each section from the last one on, Z·(L + jZ·t)/(Z + jL·t)
    /// with t = tan θ, and (Z − Z₀)/(Z + Z₀) at the front.
    fn by_impedance(line: f64, sections: &[Section], megahertz: f64) -> f64 {
        let times = |(a, b): (f64, f64), (c, d): (f64, f64)| (a * c - b * d, a * d + b * c);
        let over = |(a, b): (f64, f64), (c, d): (f64, f64)| {
            let square = c * c + d * d;
            ((a * c + b * d) / square, (b * c - a * d) / square)
        };
        let mut seen = (line, 0.0);
        for section in sections.iter().rev() {
            let (z, t) = (section.impedance, section.phase(megahertz).tan());
            seen = times((z, 0.0), over((seen.0, seen.1 + z * t), (z - seen.1 * t, seen.0 * t)));
        }
        let (re, im) = over((seen.0 - line, seen.1), (seen.0 + line, seen.1));
        re.hypot(im)
    }

    /// Chains of one to four sections that differ in everything.
    fn chains() -> Vec<Vec<Section>> {
        let mut seed = crate::workings::science::seed::Seed::new(11);
        let mut section = || Section {
            impedance: 20.0 + 200.0 * seed.next(),
            length: 5.0 + 200.0 * seed.next(),
            velocity: 0.5 + 0.5 * seed.next(),
        };
        (1..=4_usize)
            .flat_map(|count| std::iter::repeat_n(count, 5))
            .map(|count| (0..count).map(|_| section()).collect())
            .collect()
    }

    #[test]
    fn a_chain_reflects_what_the_impedance_seen_through_it_reflects() {
        for (index, chain) in chains().iter().enumerate() {
            for megahertz in [1.0, 98.0, 433.92, 1575.42] {
                for line in [50.0, 75.0] {
                    let (one, other) =
                        (reflection(line, chain, megahertz), by_impedance(line, chain, megahertz));
                    assert!((one - other).abs() < 1e-9, "{index} at {megahertz}: {one} {other}");
                }
            }
        }
    }

    #[test]
    fn nothing_in_the_band_is_worse_than_the_worst() {
        for (index, chain) in chains().iter().enumerate() {
            for (low, high) in [(87.5, 108.0), (1.0, 3000.0), (470.0, 790.0)] {
                let (megahertz, reached) = worst(50.0, chain, low, high);
                assert!((low..=high).contains(&megahertz));
                assert!((reached - reflection(50.0, chain, megahertz)).abs() < 1e-12);
                let step = (high - low) / 20_000.0;
                let brute = (0..=20_000).map(|at| reflection(50.0, chain, low + step * f64::from(at)));
                let brute = brute.fold(0.0, f64::max);
                assert!(reached >= brute - 1e-9, "{index}, {low} to {high}: {reached} and {brute}");
            }
            let at = worst(50.0, chain, 100.0, 100.0);
            assert_eq!(at, (100.0, reflection(50.0, chain, 100.0)), "a band of one frequency");
        }
    }

    #[test]
    fn a_band_is_sampled_forty_times_in_each_half_wave() {
        // A half wave each 149.9 MHz: one metre at the speed of light.
        let metre = Section { impedance: 100.0, length: 1000.0, velocity: 1.0 };
        let half_wave = LIGHT / 2.0 / 1e6;
        assert_eq!(samples(&[metre], 0.0, half_wave), 200, "never fewer than 200");
        assert_eq!(samples(&[metre], 10.0, 10.0 + 9.999 * half_wave), 400);
        assert_eq!(samples(&[metre, metre], 10.0, 10.0 + 9.999 * half_wave), 800);
        assert_eq!(samples(&[metre], 0.0, 1e9), 40_000, "and never more than 40 000");
    }

    #[test]
    fn a_curve_runs_over_the_band_evenly_and_over_decades_by_equal_ratios() {
        let chain = [Section { impedance: 100.0, length: 100.0, velocity: 0.8 }];
        let even = curve(50.0, &chain, 100.0, 1000.0);
        assert_eq!((even.len(), even[0].0, even[240].0), (241, 100.0, 1000.0));
        assert!(even.windows(2).all(|pair| (pair[1].0 - pair[0].0 - 3.75).abs() < 1e-9));
        let wide = curve(50.0, &chain, 100.0, 1001.0);
        let ratio = 10.01f64.powf(1.0 / 240.0);
        assert_eq!((wide.len(), wide[0].0, wide[240].0), (241, 100.0, 1001.0));
        assert!(wide.windows(2).all(|pair| (pair[1].0 / pair[0].0 - ratio).abs() < 1e-9));
        let from_nought = curve(50.0, &chain, 0.0, 240.0);
        assert!((from_nought[120].0 - 120.0).abs() < 1e-9);
        assert_eq!(from_nought[0], (0.0, 80.0), "what reflects nothing is cut at 80 dB");
        assert_eq!(curve(50.0, &chain, 100.0, 100.0).len(), 1);
        for (megahertz, loss) in even {
            assert!((loss - return_loss(by_impedance(50.0, &chain, megahertz)).min(80.0)).abs() < 1e-6);
        }
    }
}
