//! Copper wire: resistivity, temperature, gauge.
//!
//! ρ₂₀ = 0.017241 Ω·mm²/m (IACS, 100 % annealed copper) and α₂₀ = 0.00393 /K, a straight line that holds from
//! about −50 °C to 150 °C.

use crate::quantity::{gauge_area, gauge_name};

/// Resistivity of annealed copper at 20 °C, Ω·mm²/m (IACS).
pub(crate) const RESISTIVITY: f64 = 0.017_241;
/// Temperature coefficient of copper at 20 °C, 1/K.
pub(crate) const COEFFICIENT: f64 = 0.003_93;

/// Resistance per length of ideal copper at 20 °C in mΩ/m, for an area in mm².
pub(crate) fn per_length(area: f64) -> f64 {
    1000.0 * RESISTIVITY / area
}

/// The factor on a resistance at 20 °C for a conductor at `celsius`.
pub(crate) fn warmth(celsius: f64) -> f64 {
    1.0 + COEFFICIENT * (celsius - 20.0)
}

/// The thinnest even gauge whose copper is not less than `area` mm², if any is thick enough.
pub(crate) fn gauge_at_least(area: f64) -> Option<String> {
    // The allowance keeps an area that came from a gauge with that gauge.
    (-2..=40)
        .rev()
        .filter(|number| number % 2 == 0)
        .find(|number| gauge_area(*number) >= area * (1.0 - 1e-9))
        .map(gauge_name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn even_gauges_are_chosen_by_copper() {
        assert_eq!(gauge_at_least(0.75).as_deref(), Some("18 AWG"));
        assert_eq!(gauge_at_least(gauge_area(18)).as_deref(), Some("18 AWG"));
        assert_eq!(gauge_at_least(50.0).as_deref(), Some("1/0 AWG"));
        assert_eq!(gauge_at_least(1000.0), None);
    }

    #[test]
    fn the_two_forms_of_the_temperature_rule_agree() {
        let straight = (234.5 + 105.0) / 254.5;
        assert!((warmth(105.0) / straight - 1.0).abs() < 1e-3);
    }
}
