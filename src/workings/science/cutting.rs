//! Fewest stock lengths for given pieces: first-fit decreasing, and a proof or a better plan by search.

use std::collections::BTreeMap;

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
        let mut search = Search::new(&sizes, room);
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

/// Pieces as bits, the longest in the lowest.
type Pieces = u32;

/// Search for a plan with a given number of lengths, length by length (bin completion, after Martello and Toth
/// and Korf): the longest piece left must lie somewhere, so every way to fill up its length is tried, fullest
/// first. A way that wastes more than there is to spare is no way, nor is one in which pieces could be
/// exchanged for a longer one that still fits: whatever it leads to, the exchange leads to as well.
struct Search<'a> {
    sizes: &'a [f64],
    room: f64,
    branches: usize,
    /// Pieces that cannot be fitted, with the number of lengths for which that is known.
    failed: BTreeMap<Pieces, usize>,
}

impl<'a> Search<'a> {
    fn new(sizes: &'a [f64], room: f64) -> Search<'a> {
        Search { sizes, room, branches: 0, failed: BTreeMap::new() }
    }

    /// Fits all pieces into `count` lengths.
    fn fill(&mut self, count: usize) -> Found {
        self.branches = 0;
        let all = (0..self.sizes.len()).fold(0, |all, at| all | bit(at));
        let mut plan = Vec::new();
        match self.place(all, count, &mut plan) {
            Some(true) => {
                Found::Plan(plan.into_iter().map(|pieces| self.lengths(pieces).collect()).collect())
            }
            Some(false) => Found::Impossible,
            None => Found::GaveUp,
        }
    }

    /// The lengths of some pieces, the longest first.
    fn lengths(&self, pieces: Pieces) -> impl Iterator<Item = f64> {
        self.sizes.iter().enumerate().filter(move |(at, _)| pieces & bit(*at) != 0).map(|(_, size)| *size)
    }

    /// Places the pieces that are left into `count` lengths; none where the branches are used up.
    fn place(&mut self, left: Pieces, count: usize, plan: &mut Vec<Pieces>) -> Option<bool> {
        if left == 0 {
            return Some(true);
        }
        let spare = count as f64 * self.room - self.lengths(left).sum::<f64>();
        if spare < 0.0 || self.failed.get(&left).is_some_and(|known| count <= *known) {
            return Some(false);
        }
        let first = left & left.wrapping_neg();
        let size: f64 = self.lengths(first).sum();
        let mut ways = Vec::new();
        let start = Filling { chosen: first, skipped: 0, left: self.room - size };
        self.complete(left & !first, start, spare, &mut ways)?;
        ways.sort_by(|one, other| one.left.total_cmp(&other.left).then(one.chosen.cmp(&other.chosen)));
        for way in ways {
            plan.push(way.chosen);
            if self.place(left & !way.chosen, count - 1, plan)? {
                return Some(true);
            }
            plan.pop();
        }
        self.failed.insert(left, count);
        Some(false)
    }

    /// Every way to fill up a length from `open` pieces that wastes no more than `spare`.
    fn complete(
        &mut self,
        open: Pieces,
        filling: Filling,
        spare: f64,
        ways: &mut Vec<Filling>,
    ) -> Option<()> {
        self.branches += 1;
        if self.branches > BRANCHES {
            return None;
        }
        // Were all that is open to fit as well, too much would still be wasted.
        if filling.left - self.lengths(open).sum::<f64>() > spare {
            return Some(());
        }
        let Some(at) = (open != 0).then(|| open.trailing_zeros() as usize) else {
            if !self.is_exchanged(&filling) {
                ways.push(filling);
            }
            return Some(());
        };
        let (next, size) = (bit(at), self.sizes.get(at).copied().unwrap_or(0.0));
        // The last place of a sum is no length: what an exchange counts as fitting must fit here too.
        if size <= filling.left + 1e-12 * self.room {
            let with = Filling { chosen: filling.chosen | next, left: filling.left - size, ..filling };
            self.complete(open & !next, with, spare, ways)?;
        }
        // Of equal pieces the first are taken: skipping one skips all of its length.
        let alike = (0..self.sizes.len())
            .filter(|other| open & bit(*other) != 0 && self.sizes.get(*other) == Some(&size))
            .fold(0, |all, other| all | bit(other));
        self.complete(open & !alike, Filling { skipped: filling.skipped | alike, ..filling }, spare, ways)
    }

    /// Whether a skipped piece could take the place of one or two chosen ones and fill the length better, or of
    /// two and fill it as well. The longest piece stays: it is the one that is being placed.
    fn is_exchanged(&self, filling: &Filling) -> bool {
        let first = filling.chosen & filling.chosen.wrapping_neg();
        let chosen: Vec<f64> = self.lengths(filling.chosen & !first).collect();
        self.lengths(filling.skipped).any(|skipped| {
            let serves = |held: f64| skipped <= held + filling.left;
            let alone = chosen.iter().any(|held| skipped > *held && serves(*held));
            let pair = |at: usize, one: &f64| {
                chosen.iter().skip(at + 1).any(|other| skipped >= one + other && serves(one + other))
            };
            serves(0.0) || alone || chosen.iter().enumerate().any(|(at, one)| pair(at, one))
        })
    }
}

/// A length that is being filled.
#[derive(Clone, Copy)]
struct Filling {
    chosen: Pieces,
    skipped: Pieces,
    /// Room that is left in it.
    left: f64,
}

fn bit(at: usize) -> Pieces {
    // More than thirty pieces are not searched, so that they fit.
    1 << at.min(31)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::indexing_slicing)]
    use super::*;

    #[test]
    fn search_beats_first_fit_where_it_can() {
        // First-fit decreasing takes three lengths here: 4 4, 3 3 3 and 3.
        let pieces = [4.0, 4.0, 3.0, 3.0, 3.0, 3.0];
        assert_eq!(first_fit(&pieces, 10.0).len(), 3);
        let plan = plan(&pieces, 10.0, 0.0);
        assert_eq!(plan.lengths.len(), 2);
        assert!(plan.proven);
    }

    /// Triplets that fill ten lengths to the last millimetre: the least is ten by construction, and first-fit
    /// decreasing needs more.
    #[test]
    fn thirty_pieces_that_leave_no_waste_are_planned_and_proven() {
        for seed in 1..20_u32 {
            let mut state = seed;
            let mut next = || {
                state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
                f64::from(260 + (state >> 16) % 140)
            };
            let mut pieces = Vec::new();
            for _ in 0..10 {
                let (one, two) = (next(), next());
                pieces.extend([one, two, 1000.0 - one - two]);
            }
            let plan = plan(&pieces, 1000.0, 0.0);
            assert!(plan.proven, "seed {seed}");
            assert_eq!(plan.lengths.len(), 10, "seed {seed}");
            assert_eq!(plan.lengths.iter().map(Vec::len).sum::<usize>(), 30, "seed {seed}");
        }
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

    /// Martello and Toth's second bound in whole numbers, from its definition (Knapsack Problems, 1990, 8.3.2).
    fn second_bound(sizes: &[u64], room: u64) -> u64 {
        let mut best = sizes.iter().sum::<u64>().div_ceil(room).max(1);
        for threshold in (0..=room / 2).filter(|threshold| sizes.contains(threshold)) {
            let of = |fits: &dyn Fn(u64) -> bool| {
                sizes.iter().copied().filter(|size| fits(*size)).collect::<Vec<_>>()
            };
            let alone = of(&|size| size > room - threshold);
            let halves = of(&|size| size <= room - threshold && 2 * size > room);
            let small = of(&|size| 2 * size <= room && size >= threshold);
            let left = halves.len() as u64 * room - halves.iter().sum::<u64>();
            let more = small.iter().sum::<u64>().saturating_sub(left).div_ceil(room);
            best = best.max(alone.len() as u64 + halves.len() as u64 + more);
        }
        best
    }

    /// The fewest lengths by trying every place for every piece.
    fn by_trying(sizes: &[u64], room: u64) -> usize {
        fn place(sizes: &[u64], room: u64, bins: &mut Vec<u64>, best: &mut usize) {
            let Some((size, rest)) = sizes.split_first() else {
                *best = bins.len().min(*best);
                return;
            };
            for index in 0..bins.len() {
                if bins[index] + size <= room {
                    bins[index] += size;
                    place(rest, room, bins, best);
                    bins[index] -= size;
                }
            }
            if bins.len() + 1 < *best {
                bins.push(*size);
                place(rest, room, bins, best);
                bins.pop();
            }
        }
        let mut best = sizes.len();
        place(sizes, room, &mut Vec::new(), &mut best);
        best
    }

    /// Random sets of whole sizes, small and large ones.
    fn sets(count: usize) -> Vec<(Vec<u64>, u64)> {
        let mut seed = crate::workings::science::seed::Seed::new(count);
        let mut set = || {
            let room = 20 + seed.below(80);
            let (least, most) = if seed.next() < 0.5 { (1, room) } else { (room / 5, room / 2 + 4) };
            let sizes = (0..count).map(|_| (least + seed.below(most - least) + 1).min(room) as u64).collect();
            (sizes, room as u64)
        };
        (0..150).map(|_| set()).collect()
    }

    fn real(sizes: &[u64]) -> Vec<f64> {
        let mut sizes: Vec<f64> = sizes.iter().map(|size| *size as f64).collect();
        sizes.sort_by(|a, b| b.total_cmp(a));
        sizes
    }

    #[test]
    fn the_bound_is_the_published_one_and_never_above_the_least() {
        let mut better = 0;
        for (sizes, room) in sets(8).into_iter().chain(sets(5)) {
            let bound = lower_bound(&real(&sizes), room as f64);
            assert_eq!(bound as u64, second_bound(&sizes, room), "{sizes:?} in {room}");
            assert!(bound <= by_trying(&sizes, room), "{sizes:?} in {room}");
            better += u64::from(bound as u64 > sizes.iter().sum::<u64>().div_ceil(room));
        }
        assert!(better > 20, "only {better} sets are bounded by more than their length");
        assert_eq!(lower_bound(&[3.0], 10.0), 1);
    }

    #[test]
    fn a_plan_has_the_fewest_lengths_that_trying_everything_finds() {
        for (sizes, room) in sets(9).into_iter().chain(sets(6)) {
            let plan = plan(&real(&sizes), room as f64, 0.0);
            assert!(plan.proven, "{sizes:?} in {room}");
            assert_eq!(plan.lengths.len(), by_trying(&sizes, room), "{sizes:?} in {room}");
            let mut cut: Vec<f64> = plan.lengths.concat();
            cut.sort_by(|a, b| b.total_cmp(a));
            assert_eq!(cut, real(&sizes), "each piece is cut once");
            assert!(plan.lengths.iter().all(|length| length.iter().sum::<f64>() <= room as f64 + 1e-6));
        }
    }

    /// By hand: 7 2 1, 6 4, 5 5 and 5 2 of ten.
    #[test]
    fn first_fit_puts_each_into_the_first_length_with_room() {
        let bins = first_fit(&[7.0, 6.0, 5.0, 5.0, 5.0, 4.0, 2.0, 2.0, 1.0], 10.0);
        assert_eq!(bins, [vec![7.0, 2.0, 1.0], vec![6.0, 4.0], vec![5.0, 5.0], vec![5.0, 2.0]]);
    }

    fn pieces(chosen: &[usize]) -> Pieces {
        chosen.iter().fold(0, |all, at| all | bit(*at))
    }

    #[test]
    fn what_could_be_exchanged_for_a_longer_piece_is_no_way() {
        let sizes = [6.0, 5.0, 4.0, 3.0, 2.0, 1.0];
        let search = Search::new(&sizes, 12.0);
        for (chosen, skipped, is_exchanged) in [
            // 6 + 5: the skipped 1 fits into what is left.
            (&[0, 1][..], &[5][..], true),
            (&[0, 1, 5], &[2, 3, 4], false),
            // 6 + 4, 2 left: 5 takes the place of 4.
            (&[0, 2], &[1], true),
            // 6 + 4 + 1, 1 left: 5 takes the place of 4, and would be as good as 4 and 1 together.
            (&[0, 2, 5], &[1], true),
            // 6 + 3 + 2, 1 left: 5 is as long as both; 4 takes the place of 3.
            (&[0, 3, 4], &[1], true),
            (&[0, 3, 4], &[2], true),
            // 6 + 4 + 2, full: 5 is too long for either, and shorter than both.
            (&[0, 2, 4], &[1], false),
            // 6 + 3 + 2 + 1, full: 5 is as long as 3 and 2, 4 as 3 and 1.
            (&[0, 3, 4, 5], &[1], true),
            (&[0, 3, 4, 5], &[2], true),
        ] {
            let left = 12.0 - search.lengths(pieces(chosen)).sum::<f64>();
            let filling = Filling { chosen: pieces(chosen), skipped: pieces(skipped), left };
            assert_eq!(search.is_exchanged(&filling), is_exchanged, "{chosen:?} {skipped:?}");
        }
        // 5 alone, 0.5 left: the longest stays, whatever could take its place.
        let first = Filling { chosen: pieces(&[1]), skipped: pieces(&[0, 2]), left: 1.5 };
        assert!(!search.is_exchanged(&first));
    }

    #[test]
    fn the_ways_to_fill_a_length_are_those_that_waste_no_more_than_is_to_spare() {
        let sizes = [61.0, 47.0, 40.0, 33.0, 26.0, 21.0, 13.0, 8.0];
        for (room, spare) in
            [(100.0, 100.0), (100.0, 5.0), (100.0, 1.0), (120.0, 3.0), (90.0, 40.0), (101.0, 0.0)]
        {
            // Each choice of the others by itself, by the same three exchanges.
            let mut wanted: Vec<Vec<f64>> = Vec::new();
            for choice in 0_u32..128 {
                let is_in = |at: usize| at == 0 || choice & 1 << (at - 1) != 0;
                let chosen: Vec<f64> = (0..8).filter(|at| is_in(*at)).map(|at| sizes[at]).collect();
                let left = room - chosen.iter().sum::<f64>();
                let longer = |held: f64, skipped: f64| skipped <= held + left;
                let better = |skipped: f64| {
                    longer(0.0, skipped)
                        || chosen[1..].iter().any(|one| skipped > *one && longer(*one, skipped))
                        || (1..chosen.len()).any(|at| {
                            chosen[at + 1..]
                                .iter()
                                .map(|other| chosen[at] + other)
                                .any(|both| skipped >= both && longer(both, skipped))
                        })
                };
                if left >= 0.0 && left <= spare && !(0..8).any(|at| !is_in(at) && better(sizes[at])) {
                    wanted.push(chosen);
                }
            }
            let mut search = Search::new(&sizes, room);
            let mut ways = Vec::new();
            let start = Filling { chosen: 1, skipped: 0, left: room - 61.0 };
            assert!(search.complete(0b1111_1110, start, spare, &mut ways).is_some());
            let mut found: Vec<Vec<f64>> =
                ways.iter().map(|way| search.lengths(way.chosen).collect()).collect();
            let order =
                |one: &Vec<f64>, other: &Vec<f64>| one.partial_cmp(other).expect("no number is missing");
            found.sort_by(order);
            wanted.sort_by(order);
            assert_eq!(found, wanted, "{room} {spare}");
        }
    }

    #[test]
    fn of_equal_pieces_the_first_are_taken() {
        let sizes = [6.0, 3.0, 3.0, 3.0];
        let mut search = Search::new(&sizes, 12.0);
        let mut ways = Vec::new();
        let start = Filling { chosen: 1, skipped: 0, left: 6.0 };
        assert!(search.complete(0b1110, start, 0.0, &mut ways).is_some());
        assert_eq!(ways.iter().map(|way| way.chosen).collect::<Vec<_>>(), [0b0111]);
    }

    #[test]
    fn pieces_that_cannot_be_placed_are_told_without_a_search() {
        let room = |sizes: &'static [f64], known: Option<usize>, count: usize| {
            let mut search = Search::new(sizes, 10.0);
            let all = pieces(&(0..sizes.len()).collect::<Vec<_>>());
            search.failed.extend(known.map(|known| (all, known)));
            let placed = search.place(all, count, &mut Vec::new());
            (placed, search.branches > 0)
        };
        assert_eq!(room(&[6.0, 5.0], None, 1), (Some(false), false));
        // Full to the last, and what is known of fewer lengths.
        assert_eq!(room(&[6.0, 4.0], None, 1), (Some(true), true));
        assert_eq!(room(&[6.0, 3.0], Some(2), 2), (Some(false), false));
        assert_eq!(room(&[6.0, 3.0], Some(2), 1), (Some(false), false));
        assert_eq!(room(&[6.0, 3.0], Some(2), 3), (Some(true), true));
    }

    #[test]
    fn a_search_gives_up_once_its_branches_are_used() {
        let sizes = [5.0];
        for (used, placed) in [(BRANCHES - 1, Some(true)), (BRANCHES, None)] {
            let mut search = Search::new(&sizes, 10.0);
            search.branches = used;
            assert_eq!(search.place(1, 1, &mut Vec::new()), placed);
        }
    }

    #[test]
    fn more_than_thirty_pieces_are_not_searched() {
        // First-fit takes 4 4, 3 3 3 and 3 of ten, where 4 3 3 twice do; the others fill a length each.
        let mut many = vec![4.0, 4.0, 3.0, 3.0, 3.0, 3.0];
        many.extend([10.0; 24]);
        let thirty = plan(&many, 10.0, 0.0);
        assert_eq!((thirty.lengths.len(), thirty.proven), (26, true));
        many.push(10.0);
        let more = plan(&many, 10.0, 0.0);
        assert_eq!((more.lengths.len(), more.proven), (28, false));
    }
}
