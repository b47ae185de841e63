//! Return loss over frequency, with the bands of the services and what each of them needs.

use crate::drawings::svg::dimension::Target;
use crate::drawings::svg::{Anchor, Fill, Hatch, Pen, Point, Sheet, width_of};
use crate::drawings::{Drawing, Labels, Sketch, Words, figures, sketch};
use crate::workings::{Given, Outcome, Service};

/// The drawing of `line-joint` over a band, and of the verdict on a coax.
pub(crate) struct ReturnLoss;

/// Beyond this a line counts as perfect; the curve is cut off here.
const CEILING: f64 = 60.0;

/// The curve (MHz, dB) and what is asked of it.
#[derive(Clone, Debug)]
struct Plan {
    curve: Vec<Point>,
    services: Vec<Service>,
    limit: Option<f64>,
}

/// Where a frequency and a level lie on the sheet.
struct Axes {
    left: f64,
    right: f64,
    top: f64,
    foot: f64,
    low: f64,
    high: f64,
    most: f64,
}

impl Drawing for ReturnLoss {
    fn name(&self) -> &'static str {
        "return-loss"
    }

    fn workings(&self) -> &'static [&'static str] {
        &["line-joint", "join-or-replace"]
    }

    fn draw(&self, given: &Given, outcome: &Outcome, labels: &Labels) -> Option<Sketch> {
        let sound = |(frequency, loss): &Point| {
            frequency.is_finite() && *frequency > 0.0 && loss.is_finite() && *loss >= 0.0
        };
        let plan = Plan {
            curve: outcome.curve.clone(),
            services: given.services("services").iter().take(12).cloned().collect(),
            limit: given.measure("limit").map(|limit| limit.value),
        };
        let rising = plan.curve.windows(2).all(|pair| matches!(pair, [one, other] if one.0 < other.0));
        if plan.curve.len() < 2 || plan.curve.len() > 5000 || !plan.curve.iter().all(sound) || !rising {
            return None;
        }
        let (low, high) = plan.band()?;
        let worst = worst(&plan.curve, low, high)?;
        let mut callouts: Vec<String> = Vec::new();
        for (place, service) in plan.services.iter().enumerate() {
            let found = self::worst(&plan.curve, service.low, service.high).map_or_else(
                || "not in this band".to_owned(),
                |(_, loss)| {
                    format!(
                        "worst {}\u{a0}dB, {}",
                        figures(loss),
                        if loss >= service.least_return_loss { "kept" } else { "not kept" }
                    )
                },
            );
            callouts.push(format!(
                "{} {}, {} to {}\u{a0}MHz: at least {}\u{a0}dB; {found}",
                place + 1,
                service.name,
                figures(service.low),
                figures(service.high),
                figures(service.least_return_loss)
            ));
        }
        callouts.push(format!("Worst: {}\u{a0}dB at {}\u{a0}MHz", figures(worst.1), figures(worst.0)));
        if let Some(limit) = plan.limit {
            callouts.push(format!("Limit: {}\u{a0}dB, dashed", figures(limit)));
        }
        let words = Words {
            title: format!("Return loss from {} to {}\u{a0}MHz", figures(low), figures(high)),
            description:
                "Return loss in dB over frequency in MHz; higher is better. Where the curve runs into the \
                          hatched box of a service, that service has less than it needs."
                    .to_owned(),
            callouts,
        };
        sketch(labels, words, |sheet| plan.lay(sheet, worst))
    }
}

impl Plan {
    /// The ends of the curve, MHz.
    fn band(&self) -> Option<(f64, f64)> {
        Some((self.curve.first()?.0, self.curve.last()?.0))
    }

    /// Puts the plot on the sheet.
    fn lay(&self, sheet: &mut Sheet, worst: Point) -> Option<()> {
        let (low, high) = self.band()?;
        let asked = self
            .services
            .iter()
            .map(|service| service.least_return_loss)
            .chain(self.limit)
            .fold(0.0, f64::max);
        let best = self.curve.iter().map(|(_, loss)| *loss).fold(0.0, f64::max);
        let most = ((best.max(asked + 5.0).min(CEILING)) / 10.0).ceil().max(2.0) * 10.0;
        let axes = Axes { left: 44.0, right: sheet.width - 20.0, top: 56.0, foot: 276.0, low, high, most };
        axes.frame(sheet, self.limit);
        for service in &self.services {
            let (from, to) = (service.low.max(low), service.high.min(high));
            if from < to && service.least_return_loss > 0.0 {
                let corner = axes.at((from, service.least_return_loss));
                // A narrow band stays wide enough to be seen.
                let right = axes.at((to, 0.0)).0.max(corner.0 + 3.0);
                sheet.rect(Fill::Hatch(Hatch::Slant), Pen::Thin, corner, (right, axes.foot), 0.0);
            }
        }
        if let Some(limit) = self.limit {
            sheet.line(Pen::Dash, axes.at((low, limit)), axes.at((high, limit)));
        }
        let every = self.curve.len().div_ceil(200);
        let last = self.curve.len().saturating_sub(1);
        let kept =
            self.curve.iter().enumerate().filter(|(place, _)| place.is_multiple_of(every) || *place == last);
        let points: Vec<Point> = kept.map(|(_, point)| axes.at(*point)).collect();
        sheet.path(Fill::None, Pen::Line, &points, false);
        let mark = axes.at(worst);
        sheet.circle(Fill::Paper, Pen::Line, mark, 3.5);
        let targets: Vec<Target> = self
            .services
            .iter()
            .enumerate()
            .filter(|(_, service)| service.low < high && service.high > low)
            .map(|(place, service)| {
                let middle = (service.low.max(low) * service.high.min(high)).sqrt();
                Target { number: place + 1, at: axes.at((middle, service.least_return_loss)) }
            })
            .collect();
        sheet.callouts(34.0, &targets);
        sheet.figure((16.0, 16.0), Anchor::Start, "dB");
        sheet.figure((axes.right, axes.foot + 36.0), Anchor::End, "MHz");
        let words = format!("worst {}\u{a0}dB at {}\u{a0}MHz", figures(worst.1), figures(worst.0));
        sheet.circle(Fill::Paper, Pen::Line, (axes.right - width_of(&words) - 10.0, 11.5), 3.5);
        sheet.figure((axes.right, 16.0), Anchor::End, &words);
        Some(())
    }
}

impl Axes {
    /// Whether frequencies are spaced by their ratio.
    fn is_logarithmic(&self) -> bool {
        self.high / self.low > 6.0
    }

    /// The place of a frequency and a level.
    fn at(&self, point: Point) -> Point {
        let share = if self.is_logarithmic() {
            (point.0 / self.low).ln() / (self.high / self.low).ln()
        } else {
            (point.0 - self.low) / (self.high - self.low)
        };
        (
            self.left + share * (self.right - self.left),
            self.foot - point.1.min(self.most) / self.most * (self.foot - self.top),
        )
    }

    /// Both axes with their figures; the line of a level gives way to a limit that lies on it.
    fn frame(&self, sheet: &mut Sheet, limit: Option<f64>) {
        let steps = self.most / 10.0;
        let mut level = 0.0;
        while level <= steps {
            let y = self.at((self.low, 10.0 * level)).1;
            let hides = limit.is_some_and(|limit| (limit - 10.0 * level).abs() < 0.02 * self.most);
            sheet.line(Pen::Thin, (self.left - 4.0, y), (if hides { self.left } else { self.right }, y));
            sheet.figure((self.left - 8.0, y + 4.5), Anchor::End, &figures(10.0 * level));
            level += 1.0;
        }
        sheet.line(Pen::Line, (self.left, self.top), (self.left, self.foot));
        sheet.line(Pen::Line, (self.left, self.foot), (self.right, self.foot));
        let mut free = 0.0;
        for frequency in self.marks() {
            let x = self.at((frequency, 0.0)).0;
            sheet.line(Pen::Thin, (x, self.foot), (x, self.foot + 6.0));
            let words = figures(frequency);
            let half = width_of(&words) / 2.0;
            if x - half >= free && x + half <= sheet.width - 2.0 {
                sheet.figure((x, self.foot + 20.0), Anchor::Middle, &words);
                free = x + half + 8.0;
            }
        }
    }

    /// Round frequencies inside the band.
    fn marks(&self) -> Vec<f64> {
        let mut marks = Vec::new();
        if self.is_logarithmic() {
            for power in -6_i32..=6 {
                marks.extend([1.0, 2.0, 5.0].map(|digit| digit * 10.0_f64.powi(power)));
            }
        } else {
            let wanted = (self.high - self.low) / 5.0;
            let ten = 10.0_f64.powf(wanted.log10().floor());
            let step = [1.0, 2.0, 5.0, 10.0]
                .into_iter()
                .map(|digit| digit * ten)
                .find(|step| *step >= wanted)
                .unwrap_or(10.0 * ten);
            let first = (self.low / step).ceil();
            marks.extend((0..12).map(|place| (first + f64::from(place)) * step));
        }
        marks.retain(|mark| *mark >= self.low * 0.999_999 && *mark <= self.high * 1.000_001);
        marks
    }
}

/// The point with the least return loss between two frequencies.
fn worst(curve: &[Point], low: f64, high: f64) -> Option<Point> {
    let inside = curve.iter().filter(|(frequency, _)| *frequency >= low && *frequency <= high);
    inside.copied().min_by(|one, other| one.1.total_cmp(&other.1))
}
