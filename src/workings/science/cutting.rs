//! Fewest stock lengths for given pieces: first-fit decreasing, and a proof or a better plan by search.

/// The most pieces for which the fewest lengths are proven.
const PROVEN: usize = 30;
/// Branches that a search may open before it gives up the proof.
const BRANCHES: usize = 3_000_000;

/// Pieces by stock length.
pub(crate) struct Plan {
    /// The pieces of each length, longest first.
    pub(crate) lengths: Vec<Vec<f64>>,
    /// Whether fewer lengths are proven impossible.
    pub(crate) proven: bool,
}

/// Plans the cuts. Each piece must fit the stock by itself.
///
/// A length with n pieces has n − 1 cuts between them, so a piece takes its own length and a kerf of a stock
/// that is longer by one kerf.
pub(crate) fn plan(pieces: &[f64], stock: f64, kerf: f64) -> Plan {
    let mut sizes: Vec<f64> = pieces.iter().map(|piece| piece + kerf).collect();
    sizes.sort_by(|a, b| b.total_cmp(a));
    // Sums of decimals gain a last place: a billionth of the stock is no length.
    let room = (stock + kerf) * (1.0 + 1e-9);
    let mut bins = first_fit(&sizes, room);
    let least = lower_bound(&sizes, room);
    let mut proven = bins.len() <= least;
    if !proven && sizes.len() <= PROVEN {
        let mut search = Search { sizes: &sizes, room, branches: 0 };
        proven = true;
        while bins.len() > least {
            match search.fill(bins.len() - 1) {
                Found::Plan(better) => bins = better,
                Found::Impossible => break,
                Found::GaveUp => {
                    proven = false;
                    break;
                }
            }
        }
    }
    let lengths = bins.into_iter().map(|bin| bin.into_iter().map(|size| size - kerf).collect()).collect();
    Plan { lengths, proven }
}

/// Longest first, each into the first length that has room.
fn first_fit(sizes: &[f64], room: f64) -> Vec<Vec<f64>> {
    let mut bins: Vec<(f64, Vec<f64>)> = Vec::new();
    for size in sizes {
        match bins.iter_mut().find(|(left, _)| *left >= *size) {
            Some((left, bin)) => {
                *left -= size;
                bin.push(*size);
            }
            None => bins.push((room - size, vec![*size])),
        }
    }
    bins.into_iter().map(|(_, bin)| bin).collect()
}

/// The larger of two bounds: total length, and for each threshold the pieces that cannot share a length
/// (Martello and Toth's L2).
fn lower_bound(sizes: &[f64], room: f64) -> usize {
    let total: f64 = sizes.iter().sum();
    let mut best = (total / room - 1e-9).ceil().max(1.0);
    for threshold in sizes.iter().copied().filter(|size| *size <= room / 2.0) {
        let alone = sizes.iter().filter(|size| **size > room - threshold).count() as f64;
        let halves: Vec<f64> =
            sizes.iter().copied().filter(|size| *size <= room - threshold && *size > room / 2.0).collect();
        let small: f64 = sizes.iter().filter(|size| **size <= room / 2.0 && **size >= threshold).sum();
        let left = halves.len() as f64 * room - halves.iter().sum::<f64>();
        let more = ((small - left) / room - 1e-9).ceil().max(0.0);
        best = best.max(alone + halves.len() as f64 + more);
    }
    best as usize
}

/// What a search for a number of lengths came to.
enum Found {
    Plan(Vec<Vec<f64>>),
    Impossible,
    GaveUp,
}

/// Depth-first search for a plan with a given number of lengths.
struct Search<'a> {
    sizes: &'a [f64],
    room: f64,
    branches: usize,
}

impl Search<'_> {
    /// Fits all pieces into `count` lengths.
    fn fill(&mut self, count: usize) -> Found {
        self.branches = 0;
        let mut bins = vec![(self.room, Vec::new()); count];
        let spare = count as f64 * self.room - self.sizes.iter().sum::<f64>();
        if spare < 0.0 {
            return Found::Impossible;
        }
        match self.place(0, &mut bins) {
            Some(true) => {
                Found::Plan(bins.into_iter().map(|(_, bin)| bin).filter(|bin| !bin.is_empty()).collect())
            }
            Some(false) => Found::Impossible,
            None => Found::GaveUp,
        }
    }

    /// Places the pieces from `index` on; none where the branches are used up. Lengths with equal room are
    /// tried once.
    fn place(&mut self, index: usize, bins: &mut Vec<(f64, Vec<f64>)>) -> Option<bool> {
        let Some(size) = self.sizes.get(index).copied() else { return Some(true) };
        self.branches += 1;
        if self.branches > BRANCHES {
            return None;
        }
        // What fits no remaining piece is lost; where the loss exceeds the spare room, this way is closed.
        let smallest = self.sizes.last().copied().unwrap_or(0.0);
        let lost: f64 = bins.iter().map(|(left, _)| *left).filter(|left| *left < smallest).sum();
        let usable = bins.iter().map(|(left, _)| *left).sum::<f64>() - lost;
        if usable < self.sizes.iter().skip(index).sum::<f64>() * (1.0 - 1e-12) {
            return Some(false);
        }
        let mut tried: Vec<f64> = Vec::new();
        for bin in 0..bins.len() {
            let Some((left, held)) = bins.get_mut(bin) else { continue };
            let before = *left;
            if before < size || tried.iter().any(|other| (other - before).abs() < 1e-9) {
                continue;
            }
            tried.push(before);
            *left -= size;
            held.push(size);
            let exact = *left < smallest && before - size < 1e-9 * self.room;
            match self.place(index + 1, bins) {
                Some(false) => {}
                done => return done,
            }
            if let Some((left, held)) = bins.get_mut(bin) {
                held.pop();
                *left = before;
            }
            // A piece that fills a length exactly is nowhere better.
            if exact {
                return Some(false);
            }
        }
        Some(false)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn search_beats_first_fit_where_it_can() {
        // First-fit decreasing takes three lengths here: 6 5, 4 4 3, 3…
        let pieces = [6.0, 5.0, 5.0, 4.0, 4.0, 4.0, 2.0];
        let plan = plan(&pieces, 15.0, 0.0);
        assert_eq!(plan.lengths.len(), 2);
        assert!(plan.proven);
    }

    #[test]
    fn cuts_between_pieces_count() {
        assert_eq!(plan(&[500.0, 500.0], 1000.0, 0.0).lengths.len(), 1);
        assert_eq!(plan(&[500.0, 500.0], 1000.0, 1.0).lengths.len(), 2);
        assert_eq!(plan(&[499.5, 499.5], 1000.0, 1.0).lengths.len(), 1);
    }

    #[test]
    fn many_pieces_are_planned_without_proof_or_with_the_bound() {
        let pieces: Vec<f64> = (0..100).map(|i| 100.0 + f64::from(i * 37 % 61)).collect();
        let plan = plan(&pieces, 1000.0, 2.0);
        assert_eq!(plan.lengths.iter().map(Vec::len).sum::<usize>(), 100);
        for length in &plan.lengths {
            assert!(length.iter().sum::<f64>() + 2.0 * (length.len() as f64 - 1.0) <= 1000.0 + 1e-5);
        }
    }
}
