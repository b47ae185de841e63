//! Return loss over frequency, with the bands of the services and what each of them needs.

mod axes;
mod curve;

use crate::drawings::return_loss::axes::Axes;
use crate::drawings::return_loss::curve::Curve;
use crate::drawings::svg::dimension::Target;
use crate::drawings::svg::lettering::LEADING;
use crate::drawings::svg::{Anchor, Fill, Hatch, Pen, Point, Sheet, width_of};
use crate::drawings::{Drawing, Labels, Sketch, Words, figures, sketch};
use crate::phrase::{Phrase, phrase};
use crate::workings::{Given, Outcome, Service};

/// The drawing of `line-joint` over a band, and of the verdict on a coax.
pub(crate) struct ReturnLoss;

/// A curve is drawn at least up to here, dB, if it gets so far.
const USUAL: f64 = 60.0;

/// Beyond this, dB, a line counts as perfect: workings cut it off.
const CEILING: f64 = 80.0;

/// More services than this are named in the list only.
const NAMED: usize = 8;

/// The curves and what is asked of them.
#[derive(Clone, Debug)]
struct Plan {
    /// The joint in hand.
    own: Curve,
    /// What it is read against.
    others: Vec<Curve>,
    services: Vec<Service>,
    limit: Option<f64>,
    /// The point that is marked, and whether it is the one nearest to what a service needs.
    mark: (Point, bool),
}

impl Drawing for ReturnLoss {
    fn name(&self) -> &'static str {
        "return-loss"
    }

    fn workings(&self) -> &'static [&'static str] {
        &["line-joint", "join-or-replace"]
    }

    fn draw(&self, given: &Given, outcome: &Outcome, labels: &Labels) -> Option<Sketch> {
        let plan = Plan::read(given, outcome, labels)?;
        let (low, high) = plan.own.band()?;
        let read = phrase!(
            "Return loss in dB over frequency in MHz; higher is better. The band of each service is hatched up to \
             the step that it needs: where a curve runs into the hatching, that service has less than it needs."
        );
        let names: Vec<Phrase> = plan.others.iter().map(|other| method(other.name)).collect();
        let against = (!names.is_empty()).then(|| {
            phrase!(
                "The solid curve is the joint in hand, {own}; dashed, {others}.",
                own = method(plan.own.name),
                others = Phrase::list(names, ", ")
            )
        });
        let words = Words {
            title: phrase!("Return loss from {band}", band = band(low, high)),
            description: Phrase::list(std::iter::once(read).chain(against).collect(), " "),
            callouts: plan.callouts(),
        };
        sketch(labels, words, |sheet| plan.lay(sheet))
    }
}

impl Plan {
    /// The curves, where they can be drawn.
    fn read(given: &Given, outcome: &Outcome, labels: &Labels) -> Option<Plan> {
        let own = Curve::read(outcome.curve_name, &outcome.curve)?;
        let others = outcome.others.iter().map(|(name, points)| Curve::read(name, points));
        let (low, high) = own.band()?;
        // Services that are asked about count; where none are, those of the stores that the curve passes.
        let asked = given.services("services");
        let passed =
            labels.services.iter().filter(|known| asked.is_empty() && known.low <= high && known.high >= low);
        let services: Vec<Service> = asked
            .iter()
            .chain(passed)
            .filter(|service| service.low > 0.0 && service.high >= service.low)
            .take(12)
            .cloned()
            .collect();
        let spare = |service: &Service| {
            let worst = own.worst(service.low, service.high)?;
            Some((worst.1 - service.least_return_loss, worst))
        };
        let tightest = services.iter().filter_map(spare).min_by(|(one, _), (other, _)| one.total_cmp(other));
        let mark = match tightest {
            Some((_, worst)) => (worst, true),
            None => (own.worst(low, high)?, false),
        };
        let limit = given.measure("limit").map(|limit| limit.value);
        Some(Plan { others: others.collect::<Option<Vec<Curve>>>()?, own, services, limit, mark })
    }

    /// All curves, the one in hand first.
    fn curves(&self) -> impl Iterator<Item = &Curve> {
        std::iter::once(&self.own).chain(&self.others)
    }

    /// Every fact.
    fn callouts(&self) -> Vec<Phrase> {
        let mut facts: Vec<Phrase> = Vec::new();
        for (place, service) in (1_usize..).zip(&self.services) {
            let found = self.curves().map(|curve| kept(curve, service));
            facts.push(phrase!(
                "{number} {facts}",
                number = place,
                facts = Phrase::list(std::iter::once(needs(service)).chain(found).collect(), "; ")
            ));
        }
        for other in &self.others {
            facts.push(phrase!(
                "Solid: {own}, the joint in hand; dashed: {other}",
                own = method(self.own.name),
                other = method(other.name)
            ));
        }
        let (which, found) = self.marked();
        facts.push(phrase!("Circle, {which}: {found}", which = which, found = found));
        if let Some(limit) = self.limit {
            facts.push(phrase!("Limit: {limit}\u{a0}dB, dashed", limit = figures(limit)));
        }
        facts
    }

    /// What is marked on the curve in hand, and its figures.
    fn marked(&self) -> (Phrase, Phrase) {
        let ((frequency, loss), of_service) = self.mark;
        let which = match of_service {
            true => phrase!("tightest band"),
            false => phrase!("worst"),
        };
        let (digits, unit) = hertz(frequency);
        let frequency = format!("{digits}\u{a0}{unit}");
        (which, phrase!("{level} at {frequency}", level = level(loss), frequency = frequency))
    }

    /// The level at the top of the plot, dB.
    fn most(&self) -> f64 {
        let asked = self.services.iter().map(|service| service.least_return_loss).chain(self.limit);
        let asked = asked.fold(0.0, f64::max) + 5.0;
        let best = self.curves().map(Curve::best).fold(0.0, f64::max).min(USUAL);
        // Of every curve something is to be seen, however good it is.
        let least = self.curves().filter_map(Curve::least).fold(0.0, f64::max) + 5.0;
        (asked.max(best).max(least).min(CEILING) / 10.0).ceil().max(2.0) * 10.0
    }

    /// Puts the plot on the sheet.
    fn lay(&self, sheet: &mut Sheet) -> Option<()> {
        let (low, high) = self.own.band()?;
        let head = self.head(sheet);
        let top = head + if self.services.is_empty() { 20.0 } else { 50.0 };
        let axes = Axes {
            left: 44.0,
            right: sheet.width - 20.0,
            top,
            foot: top + 220.0,
            low,
            high,
            most: self.most(),
        };
        axes.frame(sheet, self.limit);
        self.bands(sheet, &axes);
        if let Some(limit) = self.limit {
            sheet.line(Pen::Dash, axes.at((low, limit)), axes.at((high, limit)));
        }
        for (place, curve) in self.curves().enumerate() {
            let pen = if place == 0 { Pen::Heavy } else { Pen::Dash };
            for points in curve.below(axes.most) {
                let points: Vec<Point> = points.into_iter().map(|point| axes.at(point)).collect();
                sheet.path(Fill::None, pen, &points, false);
            }
        }
        sheet.circle(Fill::Paper, Pen::Line, axes.at(self.mark.0), 4.0);
        self.numbers(sheet, &axes, top - 30.0);
        sheet.figure((axes.right, axes.foot + 38.0), Anchor::End, "MHz");
        if self.services.len() <= NAMED {
            let mut base = axes.foot + 44.0;
            for (place, service) in (1..).zip(&self.services) {
                let words = format!(
                    "{place} {}, {}, ≥\u{a0}{}\u{a0}dB",
                    service.name,
                    sheet.tell(&band(service.low, service.high)),
                    figures(service.least_return_loss)
                );
                base = sheet.paragraph(16.0, base + LEADING, &words);
            }
        }
        Some(())
    }

    /// What stands above the plot: its level, the mark, the names of the curves. Answers how far down it reaches.
    fn head(&self, sheet: &mut Sheet) -> f64 {
        sheet.text((16.0, 18.0), Anchor::Start, &sheet.tell(&phrase!("return loss, dB")));
        let (which, found) = self.marked();
        let words = format!("{}: {}", sheet.tell(&which), sheet.tell(&found));
        let wide = width_of(&words);
        let mut row = 18.0;
        let left = if sheet.is_wide() {
            sheet.width - 20.0 - wide
        } else {
            row += 20.0;
            30.0
        };
        sheet.circle(Fill::Paper, Pen::Line, (left - 9.0, row - 4.5), 4.0);
        sheet.figure((left, row), Anchor::Start, &words);
        if self.others.is_empty() {
            return row;
        }
        row += 20.0;
        let mut x = 16.0;
        for (place, curve) in self.curves().enumerate() {
            let name = method(curve.name);
            let (pen, words) = match place {
                0 => (Pen::Heavy, sheet.tell(&phrase!("{name}, in hand", name = name))),
                _ => (Pen::Dash, sheet.tell(&name)),
            };
            sheet.line(pen, (x, row - 4.5), (x + 36.0, row - 4.5));
            sheet.text((x + 42.0, row), Anchor::Start, &words);
            x += 42.0 + width_of(&words) + 14.0;
        }
        row
    }

    /// The bands of the services, the widest first so that a narrow one inside it is seen.
    fn bands(&self, sheet: &mut Sheet, axes: &Axes) {
        let mut sorted: Vec<(usize, &Service)> = self.services.iter().enumerate().collect();
        sorted.sort_by(|(_, one), (_, other)| (other.high / other.low).total_cmp(&(one.high / one.low)));
        let mut steps = Vec::new();
        for (place, service) in sorted {
            let (from, to) = (service.low.max(axes.low), service.high.min(axes.high));
            if from > to || service.least_return_loss <= 0.0 {
                continue;
            }
            let corner = axes.at((from, service.least_return_loss));
            // A narrow band stays wide enough to be seen.
            let right = axes.at((to, 0.0)).0.max(corner.0 + 4.0);
            let hatch = if place.is_multiple_of(2) { Hatch::Slant } else { Hatch::Back };
            sheet.rect(Fill::Hatch(hatch), Pen::Thin, corner, (right, axes.foot), 0.0);
            steps.push((corner, (right, corner.1)));
        }
        for (from, to) in steps {
            sheet.line(Pen::Line, from, to);
        }
    }

    /// The number of each service above the plot, with a leader to its step.
    fn numbers(&self, sheet: &mut Sheet, axes: &Axes, y: f64) {
        let inside = |service: &Service| service.low <= axes.high && service.high >= axes.low;
        let targets: Vec<Target> = (1..)
            .zip(&self.services)
            .filter(|(_, service)| inside(service))
            .map(|(number, service)| {
                let middle = (service.low.max(axes.low) * service.high.min(axes.high)).sqrt();
                Target { number, at: axes.at((middle, service.least_return_loss)) }
            })
            .collect();
        sheet.callouts(y, &targets);
    }
}

/// A service with its band and what it needs.
fn needs(service: &Service) -> Phrase {
    phrase!(
        "{service}, {band}: at least {least}\u{a0}dB",
        service = service.name,
        band = band(service.low, service.high),
        least = figures(service.least_return_loss)
    )
}

/// What a curve leaves of a service.
fn kept(curve: &Curve, service: &Service) -> Phrase {
    let found = match curve.worst(service.low, service.high) {
        None => phrase!("not in this band"),
        Some((_, loss)) => match loss >= service.least_return_loss {
            true => phrase!("worst {level}, kept", level = level(loss)),
            false => phrase!("worst {level}, not kept", level = level(loss)),
        },
    };
    match curve.name {
        "" => found,
        name => phrase!("{method}: {found}", method = method(name), found = found),
    }
}

/// A way to close a shield, in words.
fn method(name: &str) -> Phrase {
    match name {
        "bridged" => phrase!("bridged"),
        "pigtail" => phrase!("pigtail"),
        name => Phrase::verbatim(name),
    }
}

/// A return loss for people: what is better than the usual plot is perfect for all practical purposes.
fn level(loss: f64) -> Phrase {
    if loss > USUAL {
        return phrase!("over {value}\u{a0}dB", value = figures(USUAL));
    }
    Phrase::verbatim(format!("{}\u{a0}dB", figures(loss)))
}

/// Two frequencies in MHz; a unit that they share is written once.
fn band(low: f64, high: f64) -> Phrase {
    let ((from, unit), (to, other)) = (hertz(low), hertz(high));
    let from = if unit == other { from } else { format!("{from}\u{a0}{unit}") };
    let to = format!("{to}\u{a0}{other}");
    phrase!("{from} to {to}", from = from, to = to)
}

/// A frequency in MHz with up to five digits, and the unit that suits it.
fn hertz(megahertz: f64) -> (String, &'static str) {
    let (value, unit) = match megahertz {
        low if low < 1.0 => (1000.0 * megahertz, "kHz"),
        high if high >= 10_000.0 => (megahertz / 1000.0, "GHz"),
        _ => (megahertz, "MHz"),
    };
    let places = (4 - value.abs().max(1.0).log10().floor() as i32).clamp(0, 4);
    let digits = format!("{value:.*}", usize::try_from(places).unwrap_or(0));
    let plain = digits.trim_end_matches('0').trim_end_matches('.');
    (if digits.contains('.') { plain.to_owned() } else { digits }, unit)
}
