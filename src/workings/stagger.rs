//! `stagger`: where each joint of a multi-conductor repair goes, so that the loom does not bulge.

use crate::phrase::{Phrase, phrase};
use crate::quantity::Bound;
use crate::quantity::print::{Rounding, number};
use crate::workings::base::declaration::{Declaration, Example, Formula, Input, Kind, Output};
use crate::workings::base::given::{Given, Measure, Settled};
use crate::workings::base::outcome::{Answer, Member, Outcome, Section, Value};
use crate::workings::base::refusal::Refusal;
use crate::workings::base::working::Working;
use crate::workings::science::packing::{Packing, pack, pack_beyond};
use crate::workings::science::stations::stations;

/// The working `stagger`.
pub(crate) struct Stagger;

/// The most wires that are staggered.
const MOST: usize = 61;
const DIAMETER: Bound = Bound::above(0.0, 200.0);
const LENGTH: Bound = Bound::above(0.0, 10_000.0);
const NOUGHT: Bound = Bound::from(0.0, 10_000.0);

static DECLARATION: Declaration = Declaration {
    name: "stagger",
    title: "Where each joint of a loom goes",
    purpose: "Places the joints one behind the other, and gives how far to trim each conductor on either side.",
    inputs: &[
        Input::need("wires", "mm", DIAMETER, "outside diameters of the wires").kind(Kind::Quantities),
        Input::need("finished", "mm", DIAMETER, "diameter over each sleeved joint; one stands for all")
            .kind(Kind::Quantities),
        Input::need("joint", "mm", LENGTH, "finished length of a joint"),
        Input::need("lap", "mm", LENGTH, "length over which the two conductors overlap inside a joint"),
        Input::need("gap", "mm", NOUGHT, "between the ends of neighbouring joints"),
        Input::may("sleeve", "mm", LENGTH, "cut length of a sleeve").derived("the same as `joint`"),
        Input::need("abreast", "1", Bound::from(1.0, 61.0), "joints allowed at one station").default("1"),
        Input::need("standoff", "mm", NOUGHT, "least distance of a parked sleeve from the heat")
            .default("25 mm"),
        Input::need(
            "available",
            "mm",
            NOUGHT,
            "how far the two sides can overlap; `unlimited` where one is new",
        )
        .kind(Kind::OrUnlimited)
        .default("unlimited"),
        Input::word("pairs", Kind::Texts, "twisted pairs by number of wire, `1-2`").optional(),
        Input::may("untwist-limit", "mm", NOUGHT, "the maker's limit for an untwisted length"),
    ],
    open: false,
    outputs: &[
        Output::number("zone", "mm", Rounding::LengthUp, "length of loom that the joints take"),
        Output::number(
            "offsets",
            "mm",
            Rounding::Length,
            "centre of each joint from the near edge of the zone",
        ),
        Output::number(
            "trim-near",
            "mm",
            Rounding::Length,
            "how far each near conductor reaches into the zone",
        ),
        Output::number(
            "trim-far",
            "mm",
            Rounding::Length,
            "how far each far conductor reaches into the zone",
        ),
        Output::number("overlap-needed", "mm", Rounding::LengthUp, "how far the two sides must overlap"),
        Output::text("park", "the side on which each sleeve waits"),
        Output::number(
            "open-near",
            "mm",
            Rounding::LengthUp,
            "loom to unwrap beyond the near edge for the sleeves",
        ),
        Output::number(
            "open-far",
            "mm",
            Rounding::LengthUp,
            "loom to unwrap beyond the far edge for the sleeves",
        ),
        Output::number(
            "bulge-staggered",
            "mm",
            Rounding::LengthUp,
            "largest diameter of the bundle over all stations",
        ),
        Output::number("bulge-level", "mm", Rounding::LengthUp, "diameter with all joints side by side"),
        Output::number("untwisted", "mm", Rounding::LengthUp, "untwisted length of each pair"),
        Output::text("verdict", "`stagger`, or `maker` where a pair needs the maker's word"),
    ],
    formulas: &[
        Formula {
            text: "zone = k·joint + (k − 1)·gap for k stations",
            mathml: "<mi>z</mi><mo>=</mo><mrow><mi>k</mi><mo>·</mo><mi>j</mi></mrow><mo>+</mo><mrow><mrow><mo>(</mo><mi>k</mi><mo>−</mo><mn>1</mn><mo>)</mo></mrow><mo>·</mo><mi>g</mi></mrow>",
        },
        Formula {
            text: "trim-near = offset + lap/2; trim-far = zone − offset + lap/2",
            mathml: "<mi>n</mi><mo>=</mo><mi>o</mi><mo>+</mo><mfrac><mi>l</mi><mn>2</mn></mfrac><mo>,</mo><mi>f</mi><mo>=</mo><mi>z</mi><mo>−</mo><mi>o</mi><mo>+</mo><mfrac><mi>l</mi><mn>2</mn></mfrac>",
        },
        Formula {
            text: "overlap-needed = zone + lap",
            mathml: "<mi>v</mi><mo>=</mo><mi>z</mi><mo>+</mo><mi>l</mi>",
        },
    ],
    limits: &[
        "Joints lie where the loom does not flex (NASA workmanship 4.07).",
        "Neighbouring wires at a station keep their own diameter.",
    ],
    sources: &[
        "Derived geometry; bundles by the working `bundle`",
        "NASA workmanship 4.07 and the splice profile for staggering",
    ],
    example: Example {
        given: &[
            ("wires", "2mm,2mm,2mm,2mm"),
            ("finished", "4 mm"),
            ("joint", "30 mm"),
            ("lap", "6 mm"),
            ("gap", "10 mm"),
        ],
        answers: &[("zone", 150.0), ("overlap-needed", 156.0)],
    },
    maker_first: false,
};

impl Working for Stagger {
    fn declaration(&self) -> &'static Declaration {
        &DECLARATION
    }

    fn packs(&self) -> Option<&'static str> {
        Some("wires")
    }

    fn work(&self, given: &Given) -> Result<Outcome, Refusal> {
        let wires: Vec<f64> = given.measures("wires").iter().map(Measure::high).collect();
        if wires.len() > MOST {
            return Err(Refusal::input(
                "wires",
                phrase!(
                    "{count} wires are too many: at most {most} are staggered",
                    count = wires.len(),
                    most = MOST
                ),
            ));
        }
        let finished = finished(given, &wires)?;
        let pairs = pairs(given.texts("pairs"), wires.len())?;
        let abreast = given.need("abreast")?.value;
        if abreast.fract() != 0.0 {
            return Err(Refusal::input("abreast", phrase!("`abreast` must be a whole number of joints")));
        }
        let (joint, lap, gap) =
            (given.need("joint")?.high(), given.need("lap")?.high(), given.need("gap")?.high());
        if lap > joint {
            return Err(Refusal::input(
                "lap",
                phrase!("`lap` must be at most `joint`: the overlap lies inside the finished joint"),
            ));
        }
        let layout = stations(wires.len(), &pairs, abreast as usize);
        let count = layout.iter().copied().max().map_or(0, |last| last + 1);
        let zone = count as f64 * joint + (count as f64 - 1.0) * gap;
        let overlap = zone + lap;
        available(given, overlap, Steps { count: count as f64, pitch: joint + gap, lap })?;
        let offsets: Vec<f64> =
            layout.iter().map(|station| *station as f64 * (joint + gap) + joint / 2.0).collect();

        let mut answer = Answer::new(&DECLARATION);
        answer.worst_case(given.is_tolerant());
        answer.step(phrase!("{count} stations for {joints} joints", count = count, joints = wires.len()));
        answer.put("zone", zone);
        answer.put_all("offsets", offsets.iter().copied());
        answer.put_all("trim-near", offsets.iter().map(|offset| offset + lap / 2.0));
        answer.put_all("trim-far", offsets.iter().map(|offset| zone - offset + lap / 2.0));
        answer.put("overlap-needed", overlap);
        park(&mut answer, given, &offsets, zone, joint, lap)?;
        let thickest = thickest(&wires, &finished, &layout, count);
        let level = section("level", pack(&finished), |_| true);
        answer.put("bulge-staggered", thickest.diameter);
        answer.put("bulge-level", level.diameter);
        answer.section(level);
        answer.section(thickest);
        untwist(&mut answer, given, &pairs, 2.0 * joint + gap);
        answer.caution(phrase!("Joints lie where the loom does not flex: NASA workmanship 4.07."));
        answer.finish()
    }
}

/// The diameter over each joint; one stands for all.
fn finished(given: &Given, wires: &[f64]) -> Result<Vec<f64>, Refusal> {
    let listed: Vec<f64> = given.measures("finished").iter().map(Measure::high).collect();
    match listed.as_slice() {
        [one] => Ok(vec![*one; wires.len()]),
        all if all.len() == wires.len() => Ok(listed),
        all => {
            let message = phrase!(
                "`finished` has {values} values for {wires} wires: give one for all, or one for each",
                values = all.len(),
                wires = wires.len()
            );
            Err(Refusal::input("finished", message))
        }
    }
}

/// Pairs as indices from nought, each wire in one pair at most.
fn pairs(texts: &[String], count: usize) -> Result<Vec<(usize, usize)>, Refusal> {
    let mut pairs: Vec<(usize, usize)> = Vec::new();
    for text in texts {
        let shown: String = text.chars().take(20).collect();
        let refused = |why: Phrase| {
            Refusal::input(
                "pairs",
                phrase!("`{shown}` {why}: write two numbers of wires, `1-2`", shown = shown, why = why),
            )
        };
        let (one, two) = text.split_once(['-', '–']).ok_or_else(|| refused(phrase!("is not a pair")))?;
        let index =
            |part: &str| part.trim().parse::<usize>().ok().filter(|number| (1..=count).contains(number));
        let (Some(one), Some(two)) = (index(one), index(two)) else {
            return Err(refused(phrase!("names a wire that is not there")));
        };
        let taken = |wire: usize| pairs.iter().any(|(a, b)| *a == wire - 1 || *b == wire - 1);
        if one == two || taken(one) || taken(two) {
            return Err(refused(phrase!("uses a wire twice")));
        }
        pairs.push((one - 1, two - 1));
    }
    Ok(pairs)
}

/// How the joints of a repair follow one another.
struct Steps {
    /// Stations.
    count: f64,
    /// From one joint's beginning to the next's, mm.
    pitch: f64,
    /// The overlap of two conductors, mm.
    lap: f64,
}

impl Steps {
    /// What is taken out of each wire where pieces are let in between ends that overlap by `available`. The near
    /// ends are trimmed back by 0, 1, 2 … steps and the far ends by as many, counted from the last wire and one
    /// more: so every wire has the same gap, and its two joints and all others lie a step apart. Derived.
    fn removed(&self, available: f64) -> f64 {
        self.count * self.pitch - available
    }
}

/// Refuses where the two sides cannot overlap so far, and offers the piece that helps.
fn available(given: &Given, needed: f64, steps: Steps) -> Result<(), Refusal> {
    let Some(Settled::Measure(available, _)) = given.get("available") else { return Ok(()) };
    if available.low() + 1e-9 >= needed {
        return Ok(());
    }
    let (has, needs) = (number(available.low(), Rounding::Figures), number(needed, Rounding::LengthUp));
    Err(Refusal::input(
        "available",
        phrase!("the two sides overlap by {has} mm, and {needs} mm are needed: ends that were cut level cannot be staggered by trimming", has = has, needs = needs),
    )
    .help(phrase!("let a piece of {piece} mm into each wire: trim the near ends back in steps of {step} mm and the far ends likewise the other way, so that no two of the joints lie together (see `insert`, `removed` {removed} mm)", piece = number(steps.removed(available.low()) + 2.0 * steps.lap, Rounding::LengthUp), step = number(steps.pitch, Rounding::LengthUp), removed = number(steps.removed(available.low()), Rounding::LengthUp))))
}

/// Parks each sleeve on the side that needs less of the loom unwrapped; the near side where both are alike.
fn park(
    answer: &mut Answer,
    given: &Given,
    offsets: &[f64],
    zone: f64,
    joint: f64,
    lap: f64,
) -> Result<(), Refusal> {
    let sleeve = given.measure("sleeve").map_or(joint, |sleeve| sleeve.high());
    let room = given.need("standoff")?.high() + sleeve + lap / 2.0;
    let (mut near, mut far) = (0.0f64, 0.0f64);
    let mut sides = Vec::with_capacity(offsets.len());
    for offset in offsets {
        let (left, right) = ((room - offset).max(0.0), (room - (zone - offset)).max(0.0));
        if left <= right {
            near = near.max(left);
            sides.push(Value::Text("near".to_owned()));
        } else {
            far = far.max(right);
            sides.push(Value::Text("far".to_owned()));
        }
    }
    answer.put_value("park", Value::List(sides));
    answer.put("open-near", near);
    answer.put("open-far", far);
    Ok(())
}

/// The thickest bundle over all stations: the joints at one, with the other wires beside them.
///
/// The stations with the most in them come first, so that most others are left as soon as they are found to be
/// thinner.
fn thickest(wires: &[f64], finished: &[f64], layout: &[usize], count: usize) -> Section {
    let mut stations: Vec<(usize, Vec<f64>)> =
        (0..count).map(|station| (station, circles(wires, finished, layout, station))).collect();
    let area = |circles: &[f64]| circles.iter().map(|d| d * d).sum::<f64>();
    stations.sort_by(|one, other| area(&other.1).total_cmp(&area(&one.1)));
    let mut seen: Vec<Vec<f64>> = Vec::new();
    let mut thickest = section("staggered", pack(&[]), |_| false);
    for (station, circles) in stations {
        let mut sorted = circles.clone();
        sorted.sort_by(|a, b| b.total_cmp(a));
        if seen.iter().any(|larger| fits(&sorted, larger)) {
            continue;
        }
        seen.push(sorted);
        if let Some(packing) = pack_beyond(&circles, thickest.diameter) {
            thickest = section("staggered", packing, |wire| layout.get(wire) == Some(&station));
        }
    }
    thickest
}

/// What lies side by side at a station, in the order of the wires.
fn circles(wires: &[f64], finished: &[f64], layout: &[usize], station: usize) -> Vec<f64> {
    let here = wires.iter().zip(finished).zip(layout);
    here.map(|((wire, joint), at)| if *at == station { *joint } else { *wire }).collect()
}

/// Whether circles fit into the arrangement of as many others, each in the place of one that is as large. Both are
/// sorted.
fn fits(circles: &[f64], others: &[f64]) -> bool {
    circles.iter().zip(others).all(|(circle, other)| circle <= other)
}

/// A packing in the order of the wires as a section; `is_joint` says which wires are joined here.
fn section(name: &'static str, packing: Packing, is_joint: impl Fn(usize) -> bool) -> Section {
    let members = packing
        .circles
        .into_iter()
        .enumerate()
        .map(|(wire, circle)| Member { circle, wire, is_joint: is_joint(wire) })
        .collect();
    Section { name, diameter: packing.diameter, members }
}

/// What staggering untwists of each pair, and whether that is the maker's to allow.
fn untwist(answer: &mut Answer, given: &Given, pairs: &[(usize, usize)], common: f64) {
    if pairs.is_empty() {
        return answer.put_text("verdict", "stagger");
    }
    answer.put_all("untwisted", pairs.iter().map(|_| common));
    let length = number(common, Rounding::LengthUp);
    match given.measure("untwist-limit") {
        None => {
            answer.put_text("verdict", "maker");
            answer.caution(phrase!("Each pair is untwisted over {length} mm, and no limit of the maker is given: the maker decides.", length = length));
        }
        Some(limit) if common > limit.low() => {
            answer.put_text("verdict", "maker");
            let limit = number(limit.low(), Rounding::Figures);
            answer.caution(phrase!("Each pair is untwisted over {length} mm, above the maker's limit of {limit} mm: the maker decides.", length = length, limit = limit));
        }
        Some(_) => answer.put_text("verdict", "stagger"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const WIRES: [f64; 5] = [1.3, 2.1, 2.8, 1.6, 3.7];
    const FINISHED: [f64; 5] = [2.9, 3.4, 5.2, 3.1, 6.0];

    #[test]
    fn the_thickest_station_is_the_thickest_of_all() {
        let layout = [0, 1, 2, 0, 3];
        let found = thickest(&WIRES, &FINISHED, &layout, 4);
        let all = (0..4).map(|station| pack(&circles(&WIRES, &FINISHED, &layout, station)).diameter);
        assert_eq!(found.diameter, all.fold(0.0, f64::max));
        let station = found.members.iter().find(|member| member.is_joint).map(|member| layout[member.wire]);
        for member in &found.members {
            assert_eq!(member.is_joint, Some(layout[member.wire]) == station);
            let own = if member.is_joint { FINISHED } else { WIRES };
            assert_eq!(member.circle.d, own[member.wire]);
        }
        assert_eq!(found.members.iter().map(|member| member.wire).collect::<Vec<_>>(), [0, 1, 2, 3, 4]);
    }

    #[test]
    fn with_equal_joints_the_thinnest_wire_makes_the_thickest_station() {
        // Joined there, it leaves the larger ones beside the joint.
        let found = thickest(&WIRES, &[6.0; 5], &[0, 1, 2, 3, 4], 5);
        let joints: Vec<usize> =
            found.members.iter().filter(|member| member.is_joint).map(|member| member.wire).collect();
        assert_eq!(joints, [0]);
    }

    #[test]
    fn pieces_take_out_what_the_steps_are_longer_than_the_overlap() {
        // Four steps of 40 mm where 100 mm of overlap are there already.
        assert_eq!(Steps { count: 4.0, pitch: 40.0, lap: 6.0 }.removed(100.0), 60.0);
    }

    #[test]
    fn pairs_are_counted_from_one_and_kept_from_nought() {
        let said = |text: &str| pairs(&text.split(',').map(str::to_owned).collect::<Vec<_>>(), 4).ok();
        assert_eq!(said("1-2"), Some(vec![(0, 1)]));
        assert_eq!(said("3-2,1-4"), Some(vec![(2, 1), (0, 3)]));
        assert!(
            ["1-2,2-3", "1-2,4-2", "2-1,2-3", "3-3", "0-1", "4-5", "1"]
                .iter()
                .all(|text| said(text).is_none())
        );
    }
}
