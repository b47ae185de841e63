//! Scales after ISO 5455, with its intermediate steps, and the bar that proves them.

use crate::drawings::svg::{Anchor, Fill, Pen, Sheet, width_of};
use crate::phrase::phrase;
use crate::quantity::print::{Rounding, number};

/// Units of a drawing to one millimetre on paper: a unit is a CSS pixel.
const UNITS_PER_MM: f64 = 96.0 / 25.4;

/// Steps of a decade: those of ISO 5455 with intermediate ones, enlarging and reducing alike.
const STEPS: [f64; 9] = [1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0];

/// How large a drawing is against the thing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Scale {
    /// Millimetres on paper to one millimetre of the thing.
    pub(crate) ratio: f64,
}

impl Scale {
    /// The largest scale at which `length` mm fit into `room` units. None where that is nothing sensible.
    pub(crate) fn fitting(length: f64, room: f64) -> Option<Scale> {
        if !length.is_finite() || length <= 0.0 || room <= 0.0 {
            return None;
        }
        let steps = || (0..=4).flat_map(|power| STEPS.map(|step| step * 10.0_f64.powi(power)));
        let all = steps().map(|step| 1.0 / step).chain(steps()).map(|ratio| Scale { ratio });
        all.filter(|scale| scale.units(length) <= room).max_by(|one, other| one.ratio.total_cmp(&other.ratio))
    }

    /// The smaller of two scales, so that both directions fit.
    pub(crate) fn and(self, other: Scale) -> Scale {
        if other.ratio < self.ratio { other } else { self }
    }

    /// `mm` in units of the drawing.
    pub(crate) fn units(self, mm: f64) -> f64 {
        mm * self.ratio * UNITS_PER_MM
    }

    /// How it is written: `5 : 1`, `1 : 2`.
    pub(crate) fn words(self) -> String {
        let plain = |value: f64| number(value, Rounding::Figures);
        if self.ratio >= 1.0 {
            format!("{} : 1", plain(self.ratio))
        } else {
            format!("1 : {}", plain(1.0 / self.ratio))
        }
    }
}

impl Sheet {
    /// A scale bar at the left, its top at `y`, and the scale with the width at which it is true.
    pub(crate) fn scale_bar(&mut self, scale: Scale, left: f64, y: f64) {
        let mut step = 0.001;
        for power in -3_i32..=6 {
            for digit in [1.0, 2.0, 5.0] {
                let next = digit * 10.0_f64.powi(power);
                if scale.units(next) <= 90.0 {
                    step = next;
                }
            }
        }
        let half = scale.units(step) / 2.0;
        self.rect(Fill::Ink, Pen::Thin, (left, y), (left + half, y + 5.0), 0.0);
        self.rect(Fill::Paper, Pen::Thin, (left + half, y), (left + 2.0 * half, y + 5.0), 0.0);
        let length = format!("{}\u{a0}mm", number(step, Rounding::Figures));
        let after = left + 2.0 * half + 8.0;
        self.figure((after, y + 8.0), Anchor::Start, &length);
        let printed = number(self.width / UNITS_PER_MM, Rounding::Whole);
        let words = self.tell(&phrase!(
            "scale {scale}, drawing {printed}\u{a0}mm wide",
            scale = scale.words(),
            printed = printed
        ));
        let start = after + width_of(&length) + 16.0;
        if start + width_of(&words) <= self.width - 4.0 {
            self.text((start, y + 8.0), Anchor::Start, &words);
        } else {
            self.text((left, y + 26.0), Anchor::Start, &words);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_largest_scale_that_fits_is_chosen() {
        for (length, room, words) in [
            (30.0, 600.0, "5 : 1"),
            (60.0, 600.0, "2.5 : 1"),
            (52.0, 600.0, "3 : 1"),
            (600.0, 600.0, "1 : 4"),
            (158.0, 600.0, "1 : 1"),
        ] {
            assert_eq!(Scale::fitting(length, room).unwrap().words(), words, "{length}");
        }
    }

    #[test]
    fn a_millimetre_on_paper_is_a_millimetre() {
        let scale = Scale { ratio: 1.0 };
        assert!((scale.units(25.4) - 96.0).abs() < 1e-9);
    }

    #[test]
    fn nothing_sensible_has_no_scale() {
        for length in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e12] {
            assert_eq!(Scale::fitting(length, 600.0), None, "{length}");
        }
    }
}
