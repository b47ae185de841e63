//! How thorough a packing search is, by how many circles it packs and how equal they are.

use crate::workings::science::starts::are_equal;

/// Up to so many circles there are few enough arrangements that searching through more of them is worth it.
const FEW: usize = 12;

/// Beyond so many circles they move together, and a descent needs patience; likewise where they are equal.
const MANY: usize = 30;

/// How thorough a search is.
pub(crate) struct Plan {
    /// Heights that it asks for at most.
    pub(crate) calls: usize,
    /// Starts that end at the best arrangement before it is taken for the best.
    pub(crate) finds: usize,
    /// Whether starts are loosened, and the penalty at which they forget where they came from.
    pub(crate) is_loosened: bool,
    pub(crate) loose: f64,
    /// Share of the height below which an iteration ends the descent that judges.
    pub(crate) judged: f64,
    /// The same for the descent that presses together.
    pub(crate) pressed: f64,
}

impl Plan {
    /// The plan for circles of these radii. All figures are the best of several that were tried on a thousand
    /// random bundles against a search a hundred times as long.
    pub(crate) fn of(radii: &[f64]) -> Plan {
        let count = radii.len();
        let together = count > MANY || are_equal(radii);
        let (judged, pressed) = match count {
            4 => (1e-4, 1e-6),
            6 => (1e-3, 1e-5),
            _ if together => (1e-4, 1e-5),
            _ => (1e-3, 1e-4),
        };
        Plan {
            calls: if count <= FEW {
                120 * count * count
            } else {
                (108_000 + 3_000 * count).max(200_000) / count
            },
            // The structured starts of four circles are all arrangements that there are.
            finds: match count {
                4 => 0,
                5 => 2,
                _ => 4,
            },
            is_loosened: count != 4,
            loose: if together { 0.5 } else { 1.0 },
            judged,
            pressed,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Radii of so many circles, the least at this share of the largest.
    fn radii(count: usize, least: f64) -> Vec<f64> {
        (0..count).map(|index| 1.0 - (1.0 - least) * index as f64 / (count - 1) as f64).collect()
    }

    #[test]
    fn many_circles_and_equal_ones_move_together() {
        let loose = |count, least| Plan::of(&radii(count, least)).loose;
        assert_eq!(loose(30, 0.5), 1.0);
        assert_eq!(loose(31, 0.5), 0.5);
        assert_eq!(loose(10, 0.99), 0.5);
        let patience = |count, least| {
            let plan = Plan::of(&radii(count, least));
            (plan.judged, plan.pressed)
        };
        // Those that move together are given more patience, and so are the few of four.
        assert!(patience(31, 0.5) < patience(30, 0.5));
        assert_eq!(patience(31, 0.5), patience(10, 0.99));
        assert!(patience(4, 0.5) < patience(31, 0.5));
        let (six, ten) = (patience(6, 0.5), patience(10, 0.5));
        assert!(six.0 == ten.0 && six.1 < ten.1);
    }

    #[test]
    fn the_work_of_a_search_is_bounded_by_its_circles() {
        // A height costs as much as there are circles, so that calls times circles is the work.
        for count in 13..=500 {
            let work = Plan::of(&radii(count, 0.5)).calls * count;
            let most = 200_000.max(108_000 + 3_000 * count);
            assert!(work <= most && work + count > most, "{count}: {work}");
        }
        // Few circles are searched as thoroughly as there are pairs of them.
        for count in 4..=12 {
            assert_eq!(Plan::of(&radii(count, 0.5)).calls, 120 * count * count);
        }
    }

    #[test]
    fn four_circles_need_no_more_than_their_starts() {
        let plan = |count| Plan::of(&radii(count, 0.5));
        assert_eq!([4, 5, 6, 40].map(|count| plan(count).finds), [0, 2, 4, 4]);
        assert_eq!([3, 4, 5].map(|count| plan(count).is_loosened), [true, false, true]);
    }
}
