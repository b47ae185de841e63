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
