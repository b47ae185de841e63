//! A curve of return loss over frequency: levels between its points, the worst of a band.

use crate::drawings::svg::Point;

/// Points of frequency (MHz) and return loss (dB), frequencies rising.
#[derive(Clone, Debug)]
pub(crate) struct Curve {
    /// What people call it; may be empty.
    pub(crate) name: &'static str,
    points: Vec<Point>,
}

impl Curve {
    /// The curve, where every point is sound.
    pub(crate) fn read(name: &'static str, points: &[Point]) -> Option<Curve> {
        let sound = |(frequency, loss): &Point| {
            frequency.is_finite() && *frequency > 0.0 && loss.is_finite() && *loss >= 0.0
        };
        let rising = points.windows(2).all(|pair| matches!(pair, [one, other] if one.0 < other.0));
        let few = (2..=5000).contains(&points.len());
        (few && rising && points.iter().all(sound)).then(|| Curve { name, points: points.to_vec() })
    }

    /// The ends, MHz.
    pub(crate) fn band(&self) -> Option<Point> {
        Some((self.points.first()?.0, self.points.last()?.0))
    }

    /// The highest level.
    pub(crate) fn best(&self) -> f64 {
        self.points.iter().map(|(_, loss)| *loss).fold(0.0, f64::max)
    }

    /// The lowest level.
    pub(crate) fn least(&self) -> Option<f64> {
        self.points.iter().map(|(_, loss)| *loss).min_by(f64::total_cmp)
    }

    /// The point with the least return loss in a band, its ends with it. Where a band holds no point of the
    /// curve, the level between two points counts.
    pub(crate) fn worst(&self, low: f64, high: f64) -> Option<Point> {
        let (first, last) = self.band()?;
        // The last places of a frequency that was converted put no band outside the curve.
        let (low, high) = (low.max(first), high.min(last));
        if low > high * (1.0 + 1e-9) {
            return None;
        }
        let inside = self.points.iter().copied().filter(|(at, _)| *at >= low && *at <= high);
        let ends = [low, high].into_iter().filter_map(|at| Some((at, self.level(at)?)));
        inside.chain(ends).min_by(|one, other| one.1.total_cmp(&other.1))
    }

    /// The level at a frequency. Where a joint is short to the wave, its return loss falls evenly over the
    /// logarithm of the frequency, so between two points it is taken along that.
    fn level(&self, at: f64) -> Option<f64> {
        let pair = self
            .points
            .windows(2)
            .find(|pair| matches!(pair, [one, other] if one.0 <= at && at <= other.0))?;
        let [one, other] = pair else { return None };
        let share = (at / one.0).ln() / (other.0 / one.0).ln();
        Some(one.1 + share * (other.1 - one.1))
    }

    /// The parts of the curve below a level, cut where it passes through it.
    pub(crate) fn below(&self, most: f64) -> Vec<Vec<Point>> {
        let mut parts: Vec<Vec<Point>> = Vec::new();
        let mut part: Vec<Point> = Vec::new();
        for pair in self.points.windows(2) {
            let [one, other] = pair else { continue };
            let through = || {
                let share = (most - one.1) / (other.1 - one.1);
                (one.0 * (other.0 / one.0).powf(share), most)
            };
            match (one.1 < most, other.1 < most) {
                (true, true) => {
                    if part.is_empty() {
                        part.push(*one);
                    }
                    part.push(*other);
                }
                (true, false) => {
                    if part.is_empty() {
                        part.push(*one);
                    }
                    part.push(through());
                    parts.push(std::mem::take(&mut part));
                }
                (false, true) => part = vec![through(), *other],
                (false, false) => {}
            }
        }
        parts.push(part);
        parts.retain(|part| part.len() > 1);
        parts
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A line over the logarithm of the frequency: 20 dB a decade.
    fn even() -> Curve {
        Curve::read("even", &[(1.0, 60.0), (10.0, 40.0), (100.0, 20.0)]).unwrap()
    }

    #[test]
    fn a_band_without_a_point_has_a_worst_level_all_the_same() {
        let worst = even().worst(20.0, 31.622_776_601_683_8).unwrap();
        assert!((worst.1 - 30.0).abs() < 1e-9 && worst.0 > 31.6, "{worst:?}");
        assert_eq!(even().worst(200.0, 300.0), None);
        assert_eq!(even().worst(50.0, 300.0).map(|worst| worst.1), Some(20.0));
    }

    #[test]
    fn a_curve_is_cut_where_it_passes_the_top() {
        let parts = even().below(50.0);
        let [part] = parts.as_slice() else { panic!("{parts:?}") };
        assert!((part[0].0 - 10.0_f64.sqrt()).abs() < 1e-9 && part[0].1 == 50.0);
        assert_eq!(part.len(), 3);
        let dip = Curve::read("", &[(1.0, 60.0), (2.0, 40.0), (3.0, 60.0), (4.0, 40.0)]).unwrap();
        assert_eq!(dip.below(50.0).len(), 2);
    }
}
