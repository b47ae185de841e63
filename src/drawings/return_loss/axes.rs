//! The axes of the plot: levels up, frequencies along, spaced by their ratio over a wide band.

use crate::drawings::figures;
use crate::drawings::svg::{Anchor, Pen, Point, Sheet, width_of};

/// A band with a greater ratio than this between its ends is spaced by the ratio of frequencies.
const WIDE: f64 = 4.0;

/// Where a frequency and a level lie on the sheet.
pub(crate) struct Axes {
    pub(crate) left: f64,
    pub(crate) right: f64,
    pub(crate) top: f64,
    pub(crate) foot: f64,
    /// Ends of the band, MHz.
    pub(crate) low: f64,
    pub(crate) high: f64,
    /// The level at the top, dB.
    pub(crate) most: f64,
}

impl Axes {
    /// Whether frequencies are spaced by their ratio.
    fn is_logarithmic(&self) -> bool {
        self.high / self.low > WIDE
    }

    /// The place of a frequency and a level.
    pub(crate) fn at(&self, point: Point) -> Point {
        let share = if self.is_logarithmic() {
            (point.0 / self.low).ln() / (self.high / self.low).ln()
        } else {
            (point.0 - self.low) / (self.high - self.low)
        };
        (
            self.left + share.clamp(0.0, 1.0) * (self.right - self.left),
            self.foot - point.1.min(self.most) / self.most * (self.foot - self.top),
        )
    }

    /// Both axes with their figures; the line of a level gives way to a limit that lies on it.
    pub(crate) fn frame(&self, sheet: &mut Sheet, limit: Option<f64>) {
        let steps = self.most / 10.0;
        let mut level = 0.0;
        while level <= steps {
            let y = self.at((self.low, 10.0 * level)).1;
            let hides = limit.is_some_and(|limit| (limit - 10.0 * level).abs() < 0.02 * self.most);
            sheet.line(Pen::Thin, (self.left - 4.0, y), (self.left, y));
            if !hides {
                sheet.line(Pen::Grid, (self.left, y), (self.right, y));
            }
            sheet.figure((self.left - 8.0, y + 4.5), Anchor::End, &figures(10.0 * level));
            level += 1.0;
        }
        sheet.line(Pen::Line, (self.left, self.top), (self.left, self.foot));
        sheet.line(Pen::Line, (self.left, self.foot), (self.right, self.foot));
        let (marks, named) = self.marks();
        for frequency in &marks {
            let x = self.at((*frequency, 0.0)).0;
            let long = if named.contains(frequency) { 8.0 } else { 4.0 };
            sheet.line(Pen::Thin, (x, self.foot), (x, self.foot + long));
        }
        for (x, words) in self.figures(&named) {
            sheet.figure((x, self.foot + 21.0), Anchor::Middle, &words);
        }
    }

    /// Where the figures of frequencies stand.
    fn figures(&self, frequencies: &[f64]) -> Vec<(f64, String)> {
        let edge = self.right + 18.0;
        let place = |frequency: &f64| {
            let words = figures(*frequency);
            let half = width_of(&words) / 2.0;
            (self.at((*frequency, 0.0)).0.min(edge - half), words)
        };
        frequencies.iter().map(place).collect()
    }

    /// Whether the figures of frequencies are clear of one another.
    fn are_clear(&self, frequencies: &[f64]) -> bool {
        let places = self.figures(frequencies);
        let ends: Vec<(f64, f64)> =
            places.iter().map(|(x, words)| (x - width_of(words) / 2.0, x + width_of(words) / 2.0)).collect();
        ends.windows(2).all(|pair| matches!(pair, [one, other] if one.1 + 6.0 <= other.0))
    }

    /// Round frequencies inside the band: those with a mark, and those of them with a figure.
    fn marks(&self) -> (Vec<f64>, Vec<f64>) {
        let inside = |mark: &f64| *mark >= self.low * 0.999_999 && *mark <= self.high * 1.000_001;
        if !self.is_logarithmic() {
            let wanted = (self.high - self.low) / 5.0;
            let ten = 10.0_f64.powf(wanted.log10().floor());
            let steps = [1.0, 2.0, 5.0].into_iter().map(|digit| digit * ten);
            let step = steps.filter(|step| *step >= wanted).min_by(f64::total_cmp).unwrap_or(10.0 * ten);
            let first = (self.low / step).ceil();
            let marks: Vec<f64> =
                (0..12).map(|place| (first + f64::from(place)) * step).filter(inside).collect();
            let named = if self.are_clear(&marks) { marks.clone() } else { every(&marks, 2) };
            return (marks, named);
        }
        let decades = |digits: &[f64]| -> Vec<f64> {
            let powers = (-6_i32..=6).map(|power| 10.0_f64.powi(power));
            powers.flat_map(|ten| digits.iter().map(move |digit| digit * ten)).filter(inside).collect()
        };
        let marks = decades(&[1.0, 2.0, 5.0]);
        let tens = decades(&[1.0]);
        let sets = [marks.clone(), decades(&[1.0, 5.0]), tens.clone(), every(&tens, 2), every(&tens, 3)];
        let named = sets.into_iter().find(|set| set.len() > 1 && self.are_clear(set));
        let named = named.unwrap_or_else(|| every(&marks, marks.len()));
        (marks, named)
    }
}

/// Every so many of a list, the first with them.
fn every(marks: &[f64], step: usize) -> Vec<f64> {
    marks.iter().step_by(step.max(1)).copied().collect()
}
