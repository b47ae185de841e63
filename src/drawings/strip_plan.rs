//! The strip plan of a coax: one end with its layers, and the finished joint below, in lengthwise section.

use crate::drawings::svg::dimension::{Span, Target};
use crate::drawings::svg::scale::Scale;
use crate::drawings::svg::{Anchor, Fill, Hatch, Pen, Sheet};
use crate::drawings::{Drawing, Labels, Sketch, Words, diameter, drawable, length, mm, sketch};
use crate::phrase::{Phrase, phrase};
use crate::workings::{Given, Outcome};

/// The drawing of `coax-strip`.
pub(crate) struct StripPlan;

/// The plan in mm; lengths count from the cut end, coverings over the whole joint.
#[derive(Clone, Copy, Debug)]
struct Plan {
    core: f64,
    dielectric: f64,
    shield: f64,
    jacket: f64,
    joint: f64,
    core_strip: f64,
    shield_cut_back: f64,
    jacket_strip: f64,
    inner: f64,
    bridge: f64,
    outer: f64,
}

impl Drawing for StripPlan {
    fn name(&self) -> &'static str {
        "strip-plan"
    }

    fn workings(&self) -> &'static [&'static str] {
        &["coax-strip"]
    }

    fn draw(&self, given: &Given, outcome: &Outcome, labels: &Labels) -> Option<Sketch> {
        let plan = Plan::read(given, outcome)?;
        let words = Words {
            title: phrase!("Strip plan of a coax for a joint of {joint}", joint = mm(plan.joint)),
            description: phrase!(
                "Above, one end seen from the side, its layers in steps from the jacket to the bare core, \
                          with a dimension line from the cut end for each. Below, the finished joint in lengthwise \
                          section with what covers it; there lengths are to scale, and thickness is not."
            ),
            callouts: plan.callouts(),
        };
        sketch(labels, words, |sheet| {
            let foot = plan.end(sheet)?;
            plan.finished(sheet, foot + 34.0)
        })
    }
}

impl Plan {
    /// The plan, where its layers are nested and its lengths in order.
    fn read(given: &Given, outcome: &Outcome) -> Option<Plan> {
        let cable = given.cable("cable");
        let across = |name: &str| {
            let measured = given.measure(name).map(|measure| measure.value);
            let stored = cable.and_then(|cable| match name {
                "core" => cable.core,
                "dielectric" => cable.dielectric,
                "shield" => cable.shield,
                _ => cable.outside,
            });
            drawable(measured.or(stored)?)
        };
        let along = |name: &str| drawable(outcome.number(name)?);
        let plan = Plan {
            core: across("core")?,
            dielectric: across("dielectric")?,
            shield: across("shield")?,
            jacket: across("jacket")?,
            joint: drawable(given.measure("joint")?.value)?,
            core_strip: along("core-strip")?,
            shield_cut_back: along("shield-cut-back")?,
            jacket_strip: along("jacket-strip")?,
            inner: along("inner-sleeve-covers")?,
            bridge: along("shield-bridge")?,
            outer: along("outer-sleeve-covers")?,
        };
        let nested =
            plan.core < plan.dielectric && plan.dielectric <= plan.shield && plan.shield <= plan.jacket;
        let ordered = plan.joint <= plan.core_strip
            && plan.core_strip < plan.shield_cut_back
            && plan.shield_cut_back < plan.jacket_strip
            && plan.inner < plan.bridge
            && plan.bridge < plan.outer;
        (nested && ordered && plan.jacket < 4.0 * plan.jacket_strip).then_some(plan)
    }

    /// Every fact of both figures.
    fn callouts(&self) -> Vec<Phrase> {
        vec![
            phrase!("1 Jacket, {jacket}", jacket = diameter(self.jacket)),
            phrase!("2 Shield, {shield}", shield = diameter(self.shield)),
            phrase!("3 Dielectric, {dielectric}", dielectric = diameter(self.dielectric)),
            phrase!("4 Core, {core}", core = diameter(self.core)),
            phrase!("5 Inner sleeve, covers {inner} when finished", inner = mm(self.inner)),
            phrase!("6 Shield bridge, {bridge} long", bridge = mm(self.bridge)),
            phrase!("7 Outer sleeve, covers {outer} when finished", outer = mm(self.outer)),
            phrase!("Core bare: {core_strip} from the cut end", core_strip = mm(self.core_strip)),
            phrase!(
                "Shield cut back: {shield_cut_back} from the cut end",
                shield_cut_back = mm(self.shield_cut_back)
            ),
            phrase!("Jacket stripped: {jacket_strip} from the cut end", jacket_strip = mm(self.jacket_strip)),
            phrase!("Cores side by side: {joint}", joint = mm(self.joint)),
            phrase!("Both ends are stripped alike; thickness in the finished joint is not to scale"),
        ]
    }

    /// One end from the side, the cut at the right. Answers how far down it reaches.
    fn end(&self, sheet: &mut Sheet) -> Option<f64> {
        let (left, right) = (16.0, sheet.width - 16.0);
        let shown = self.jacket_strip * 1.4;
        let scale = Scale::fitting(shown, right - left)?.and(Scale::fitting(self.jacket, 150.0)?);
        sheet.text((left, 20.0), Anchor::Start, &sheet.tell(&phrase!("One end, both alike")));
        let half = scale.units(self.jacket) / 2.0;
        let axis = 78.0 + half;
        // What the scale leaves over lies at both sides.
        let cut = right - (right - left - scale.units(shown)) / 2.0;
        let from_cut = |mm: f64| cut - scale.units(mm);
        let (begin, jacket, shield, dielectric) = (
            from_cut(shown),
            from_cut(self.jacket_strip),
            from_cut(self.shield_cut_back),
            from_cut(self.core_strip),
        );
        let radius = |across: f64| scale.units(across) / 2.0;
        sheet.bar(Fill::Copper, (dielectric, cut), axis, radius(self.core), (false, false));
        sheet.bar(Fill::Paper, (shield, dielectric), axis, radius(self.dielectric), (false, false));
        sheet.bar(Fill::Hatch(Hatch::Cross), (jacket, shield), axis, radius(self.shield), (false, false));
        sheet.bar(Fill::Jacket, (begin, jacket), axis, half, (true, false));
        sheet.line(Pen::Axis, (begin - 12.0, axis), (cut + 12.0, axis));
        let middle = f64::midpoint;
        let targets = [
            Target { number: 1, at: (middle(begin, jacket), axis - 0.5 * half) },
            Target { number: 2, at: (middle(jacket, shield), axis - 0.6 * radius(self.shield)) },
            Target { number: 3, at: (middle(shield, dielectric), axis - 0.6 * radius(self.dielectric)) },
            Target { number: 4, at: (middle(dielectric, cut), axis) },
        ];
        sheet.callouts(46.0, &targets);
        let span = |from: f64, across: f64, mm: f64, word: Phrase| Span {
            from,
            to: cut,
            edges: (axis + radius(across), axis + radius(self.core)),
            words: phrase!("{length} {word}", length = length(mm), word = word),
        };
        let spans = [
            span(dielectric, self.dielectric, self.core_strip, phrase!("core")),
            span(shield, self.shield, self.shield_cut_back, phrase!("shield cut back")),
            span(jacket, self.jacket, self.jacket_strip, phrase!("jacket strip")),
        ];
        let foot = sheet.dimensions(axis + half + 28.0, &spans);
        sheet.scale_bar(scale, left, foot + 20.0);
        Some(foot + if sheet.is_wide() { 30.0 } else { 48.0 })
    }

    /// The finished joint in lengthwise section, from `top` down.
    fn finished(&self, sheet: &mut Sheet, top: f64) -> Option<()> {
        let (left, right) = (16.0, sheet.width - 16.0);
        let reach = self.outer / 2.0 * 1.14;
        let scale = Scale::fitting(2.0 * reach, right - left)?.and(Scale::fitting(self.jacket, 120.0)?);
        // Layers of a thin cable would run together at the scale of their lengths.
        let thick = Scale::fitting(self.jacket, if sheet.is_wide() { 80.0 } else { 60.0 })?;
        let is_enlarged = thick.ratio > scale.ratio;
        let thick = if is_enlarged { thick } else { scale };
        // Walls that the working does not know are as thick as the shield, and never too thin to see.
        let wall = thick.units(self.shield - self.dielectric).max(7.0) / 2.0;
        let radius = |across: f64| thick.units(across) / 2.0;
        let inner = radius(self.dielectric) + wall;
        let bridge = inner.max(radius(self.shield)) + wall;
        let outer = bridge.max(radius(self.jacket)) + 1.4 * wall;
        let axis = top + 62.0 + outer;
        let centre = sheet.width / 2.0;
        let along = |mm: f64| scale.units(mm);
        let (core, shield, jacket) = (
            along(self.core_strip - self.joint / 2.0),
            along(self.shield_cut_back - self.joint / 2.0),
            along(self.jacket_strip - self.joint / 2.0),
        );
        let both = |mm: f64| (centre - along(mm) / 2.0, centre + along(mm) / 2.0);
        let what = match is_enlarged {
            true => phrase!("thickness enlarged"),
            false => phrase!("lengthwise section"),
        };
        sheet.text(
            (left, top + 4.0),
            Anchor::Start,
            &sheet.tell(&phrase!("Finished joint, {what}", what = what)),
        );
        let (begin, end) = (centre - along(reach), centre + along(reach));
        let layers = |sheet: &mut Sheet, fill: Fill, edge: f64, half: f64| {
            sheet.bar(fill, (begin, centre - edge), axis, half, (true, false));
            sheet.bar(fill, (centre + edge, end), axis, half, (false, true));
        };
        sheet.bar(Fill::Hatch(Hatch::Slant), both(self.outer), axis, outer, (false, false));
        sheet.bar(Fill::Paper, (centre - jacket, centre + jacket), axis, outer - 1.4 * wall, (false, false));
        layers(sheet, Fill::Jacket, jacket, radius(self.jacket));
        sheet.bar(Fill::Hatch(Hatch::Dense), both(self.bridge), axis, bridge, (false, false));
        sheet.bar(Fill::Paper, (centre - shield, centre + shield), axis, bridge - wall, (false, false));
        layers(sheet, Fill::Hatch(Hatch::Cross), shield, radius(self.shield));
        sheet.bar(Fill::Hatch(Hatch::Back), both(self.inner), axis, inner, (false, false));
        sheet.bar(Fill::Paper, (centre - core, centre + core), axis, radius(self.dielectric), (false, false));
        layers(sheet, Fill::Paper, core, radius(self.dielectric));
        let thin = radius(self.core);
        let tip = along(self.joint / 2.0);
        // Each core leaves its dielectric on the axis and steps aside in the gap at the other's tip.
        for side in [1.0, -1.0] {
            let far = if side > 0.0 { begin } else { end };
            let run = [
                (far, axis),
                (centre - side * core, axis),
                (centre - side * tip, axis - side * thin),
                (centre + side * tip, axis - side * thin),
            ];
            let upper = run.iter().map(|(x, y)| (*x, y - thin));
            let lower = run.iter().rev().map(|(x, y)| (*x, y + thin));
            sheet.path(Fill::Copper, Pen::Line, &upper.chain(lower).collect::<Vec<_>>(), true);
        }
        let middle = f64::midpoint;
        let (inner_half, bridge_half, outer_half) =
            (along(self.inner) / 2.0, along(self.bridge) / 2.0, along(self.outer) / 2.0);
        let targets = [
            Target { number: 1, at: (begin + 4.0, axis - middle(radius(self.jacket), radius(self.shield))) },
            Target { number: 7, at: (centre - middle(outer_half, bridge_half), axis - outer + 0.7 * wall) },
            Target {
                number: 2,
                at: (
                    centre - middle(jacket, shield),
                    axis - middle(radius(self.shield), radius(self.dielectric)),
                ),
            },
            Target { number: 4, at: (centre, axis - thin) },
            Target { number: 5, at: (centre + inner_half * 0.9, axis - inner + 0.5 * wall) },
            Target { number: 6, at: (centre + middle(bridge_half, inner_half), axis - bridge + 0.5 * wall) },
            Target {
                number: 3,
                at: (middle(centre + jacket, end), axis - middle(thin, radius(self.dielectric))),
            },
        ];
        sheet.callouts(top + 30.0, &targets);
        let span = |half: f64, radius: f64, mm: f64, word: Phrase| Span {
            from: centre - half,
            to: centre + half,
            edges: (axis + radius, axis + radius),
            words: phrase!("{length} {word}", length = length(mm), word = word),
        };
        let spans = [
            span(tip, 2.0 * thin, self.joint, phrase!("joint")),
            span(inner_half, inner, self.inner, phrase!("inner sleeve")),
            span(bridge_half, bridge, self.bridge, phrase!("bridge")),
            span(outer_half, outer, self.outer, phrase!("outer sleeve")),
        ];
        let foot = sheet.dimensions(axis + outer + 26.0, &spans);
        sheet.scale_bar(scale, left, foot + 20.0);
        Some(())
    }
}
