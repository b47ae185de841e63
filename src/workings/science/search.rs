//! The search for a tight arrangement: structured starts, then seeded ones with hops from each.
//!
//! Arrangements are judged softly first: at a low penalty a descent is short, and tells nearly how tight the
//! arrangement would become. Only what promises as much as the arrangement that it came from is pressed
//! together. Work is budgeted in descent steps, not in time, so that the answer is the same on every machine.

use crate::workings::science::descent::{Descent, Patience};
use crate::workings::science::field::Field;
use crate::workings::science::moves::{Hops, sort};
use crate::workings::science::plan::Plan;
use crate::workings::science::point::{Places, Point};
use crate::workings::science::seed::Seed;
use crate::workings::science::starts::{are_equal, starts};

/// Penalty at which arrangements are judged, pressed together, compared and finished.
const SOFT: f64 = 3.0;
const HARD: f64 = 30.0;
const FIRM: f64 = 200.0;

/// How much worse than the arrangement that it came from one may be when judged softly.
const SLACK: f64 = 2e-3;

/// How much larger than the best radius one may be to be compared with it; to be as good, once it is; and to be
/// the same.
const NEAR: f64 = 1e-3;
const ALIKE: f64 = 1e-4;
const SAME: f64 = 1e-5;

/// How near to closed the contacts of what is found are, in radii of the largest circle.
const CLOSED: f64 = 1e-7;

/// Hops without gain after which another start is made, for each circle.
const STALE: f64 = 2.5;

/// Arrangements that are kept to be finished.
const KEPT: usize = 4;

/// What a search must find.
#[derive(Clone, Copy)]
pub(crate) struct Aim {
    /// A radius that no arrangement is below: reached, the search ends.
    pub(crate) enough: f64,
    /// An arrangement within this radius is of no interest: found, the search ends without one.
    pub(crate) floor: f64,
}

/// The best arrangements, all but equally good: a place for each circle, from the centre. None where one is within
/// the floor. Radii are sorted, the largest first and one.
pub(crate) fn best(radii: &[f64], aim: Aim) -> Vec<Places> {
    let mut search = Search::new(radii, aim);
    let mut seed = Seed::new(radii.len());
    for start in starts(radii) {
        if search.is_settled() {
            break;
        }
        search.begin(&start);
    }
    while !search.is_done() {
        search.scatter(&mut seed);
        search.hop_on(&mut seed);
    }
    if search.is_idle() { Vec::new() } else { search.finish() }
}

/// An arrangement from which hops start.
struct Stand {
    /// The height when judged softly, and the radius that it promises.
    height: f64,
    promise: f64,
    /// The radius that it promises when pressed together.
    radius: f64,
    /// Where the circles are when judged softly.
    soft: Point,
}

/// The radius, about the origin, of the circle round all.
fn reach(places: &[[f64; 2]], radii: &[f64]) -> f64 {
    let reach = |([x, y], radius): (&[f64; 2], &f64)| (x * x + y * y).sqrt() + radius;
    places.iter().zip(radii).map(reach).fold(0.0, f64::max)
}

/// The state of one search.
struct Search<'a> {
    radii: &'a [f64],
    aim: Aim,
    plan: Plan,
    field: Field<'a>,
    descent: Descent,
    /// Where the circles are now.
    point: Point,
    spare: Point,
    stand: Stand,
    /// The best arrangements and their radii, the best first.
    kept: Vec<(f64, Point)>,
    /// The best radius since the last start, and how many starts found the best of all.
    found: f64,
    finds: usize,
}

impl Search<'_> {
    fn new(radii: &[f64], aim: Aim) -> Search<'_> {
        let mut point = Point::new(radii.len());
        let stand = Stand {
            height: f64::INFINITY,
            promise: f64::INFINITY,
            radius: f64::INFINITY,
            soft: point.clone(),
        };
        Search {
            radii,
            aim,
            plan: Plan::of(radii),
            field: Field::new(radii),
            descent: Descent::new(point.numbers().len()),
            spare: point.clone(),
            point,
            stand,
            kept: Vec::new(),
            found: f64::INFINITY,
            finds: 0,
        }
    }

    /// The best radius so far.
    fn best(&self) -> f64 {
        self.kept.first().map_or(f64::INFINITY, |(radius, _)| *radius)
    }

    /// Whether an arrangement within the floor was found.
    fn is_idle(&self) -> bool {
        self.best() * (1.0 + 2.0 * ALIKE) <= self.aim.floor
    }

    /// Whether there is nothing more to find, or no budget left to find it with.
    fn is_settled(&self) -> bool {
        self.field.calls >= self.plan.calls || self.best() <= self.aim.enough * (1.0 + SAME) || self.is_idle()
    }

    /// Whether the search may end.
    fn is_done(&self) -> bool {
        self.is_settled() || self.finds >= self.plan.finds
    }

    /// One descent from where the circles are. Returns the radius that it promises, and the height.
    fn descend(&mut self, penalty: f64, gain: f64, target: f64) -> (f64, f64) {
        let patience = Patience { iterations: 200, gain, target, first: 0.2 / penalty };
        let field = &mut self.field;
        let height =
            self.descent.run(self.point.numbers(), patience, |at, slope| field.height(at, slope, penalty));
        (2.0 * height - self.point.outer(), height)
    }

    /// The radius of a disc about as large as all circles together.
    fn disc(&self) -> f64 {
        1.05 * self.radii.iter().map(|radius| radius * radius).sum::<f64>().sqrt()
    }

    /// Begins with a structured start: pressed together as it is where it may be the answer, and softened.
    fn begin(&mut self, start: &[[f64; 2]]) {
        if are_equal(self.radii) {
            self.point = Point::of(start, reach(start, self.radii));
            self.leave();
            self.field.release();
            self.press();
        }
        self.point = Point::of(start, 1.2 * self.disc());
        self.leave();
        if self.plan.is_loosened {
            self.loosen();
        }
        self.judge();
    }

    /// A start from anywhere.
    fn scatter(&mut self, seed: &mut Seed) {
        let disc = self.disc();
        for index in 0..self.radii.len() {
            self.point.put(index, seed.place(disc));
        }
        self.point.set_outer(disc);
        self.leave();
        self.loosen();
    }

    /// Forgets the arrangement from which hops start.
    fn leave(&mut self) {
        (self.stand.height, self.stand.promise) = (f64::INFINITY, f64::INFINITY);
        (self.stand.radius, self.found) = (f64::INFINITY, f64::INFINITY);
    }

    /// Lets circles find together where they hardly feel each other, and change places where that helps.
    fn loosen(&mut self) {
        self.field.release();
        self.descend(self.plan.loose, 1e-4, f64::INFINITY);
        for _ in 0..4 {
            if !sort(&mut self.point, self.radii) {
                break;
            }
            self.descend(self.plan.loose, 1e-4, f64::INFINITY);
        }
    }

    /// Judges where the circles are, then hops from the best of it until that leads nowhere.
    fn hop_on(&mut self, seed: &mut Seed) {
        let most = (STALE * self.radii.len() as f64) as usize;
        self.judge();
        let (mut stale, mut hops) = (0, Hops::default());
        while stale <= most && !self.is_done() {
            self.point.take(&self.stand.soft);
            hops.hop(&mut self.point, self.radii, seed);
            stale += 1;
            if self.judge() {
                stale = 0;
                hops.restart();
            }
        }
        if self.found <= self.best() * (1.0 + ALIKE) {
            self.finds += 1;
        }
    }

    /// Judges where the circles are, and presses them together where that promises enough. Returns whether it is
    /// better than what hops started from so far, which it then takes the place of.
    fn judge(&mut self) -> bool {
        self.field.release();
        let (promise, height) = self.descend(SOFT, self.plan.judged, self.stand.height * (1.0 + SLACK));
        if promise > self.stand.promise * (1.0 + SLACK) {
            return false;
        }
        self.spare.take(&self.point);
        let is_better = self.press();
        if is_better {
            (self.stand.promise, self.stand.height) = (promise, height);
            std::mem::swap(&mut self.stand.soft, &mut self.spare);
        }
        is_better
    }

    /// Presses the circles together, and keeps the arrangement where it is among the best. Returns whether it is
    /// better than what hops started from so far.
    fn press(&mut self) -> bool {
        let (radius, _) = self.descend(HARD, self.plan.pressed, self.stand.radius * (1.0 - NEAR));
        let is_better = radius < self.stand.radius * (1.0 - 1e-6);
        if is_better {
            self.stand.radius = radius;
        }
        if radius < self.best() * (1.0 + NEAR) {
            let (radius, _) = self.descend(FIRM, 1e-7, f64::INFINITY);
            self.keep(radius);
        }
        is_better
    }

    /// Keeps the arrangement where it is among the best and not among them yet.
    fn keep(&mut self, radius: f64) {
        if radius < self.best() * (1.0 - ALIKE) {
            self.finds = 0;
        }
        self.found = self.found.min(radius);
        let rank = self.kept.partition_point(|(known, _)| *known < radius);
        if self.kept.iter().all(|(known, _)| (known - radius).abs() > SAME * radius) {
            self.kept.insert(rank, (radius, self.point.clone()));
            self.kept.truncate(KEPT);
        }
    }

    /// The arrangements that are as good as the best, with their contacts closed.
    fn finish(&mut self) -> Vec<Places> {
        let bound = self.best() * (1.0 + ALIKE);
        let mut finished = Vec::new();
        for (radius, point) in std::mem::take(&mut self.kept) {
            if radius <= bound {
                self.point = point;
                self.close();
                finished.push(self.point.places().collect());
            }
        }
        finished
    }

    /// Closes the contacts of where the circles are: the larger the force of one, the farther the two are held
    /// apart.
    fn close(&mut self) {
        self.field.release();
        self.descend(FIRM, 1e-9, f64::INFINITY);
        let mut before = f64::INFINITY;
        for _ in 0..8 {
            let overlap = self.field.tighten(&mut self.point);
            let outer = self.point.outer();
            if overlap + (outer - before).abs() < CLOSED {
                break;
            }
            before = outer;
            self.descend(FIRM, 1e-13, f64::INFINITY);
        }
    }
}

#[cfg(test)]
mod tests;
