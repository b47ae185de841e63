//! Which joint goes to which station: a few abreast, the two wires of a pair at neighbouring stations.

/// The station of each wire, counted from nought, in input order. Pairs are disjoint.
///
/// Two orders are tried, wires as they come and pairs first; the one with fewer stations is taken.
pub(crate) fn stations(count: usize, pairs: &[(usize, usize)], abreast: usize) -> Vec<usize> {
    let natural: Vec<usize> = (0..count).collect();
    let paired = |wire: &usize| pairs.iter().any(|(a, b)| a == wire || b == wire);
    let (mut first, rest): (Vec<usize>, Vec<usize>) = natural.iter().partition(|wire| paired(wire));
    first.extend(rest);
    let one = filled(&natural, pairs, abreast.max(1));
    let two = filled(&first, pairs, abreast.max(1));
    if two.iter().max() < one.iter().max() { two } else { one }
}

/// Fills one station after the other in this order of wires. The second wire of a pair comes before all
/// others at the station after the first.
fn filled(order: &[usize], pairs: &[(usize, usize)], abreast: usize) -> Vec<usize> {
    let mate = |wire: usize| {
        pairs.iter().find_map(|(a, b)| match wire {
            wire if wire == *a => Some(*b),
            wire if wire == *b => Some(*a),
            _ => None,
        })
    };
    let mut placed: Vec<Option<usize>> = vec![None; order.len()];
    let mut owed: Vec<usize> = Vec::new();
    let mut station = 0;
    while placed.iter().any(Option::is_none) {
        let mut here: Vec<usize> = std::mem::take(&mut owed);
        for wire in order {
            let free = placed.get(*wire).is_some_and(Option::is_none)
                && !here.contains(wire)
                && !owed.contains(wire);
            if !free || here.len() >= abreast {
                continue;
            }
            match mate(*wire) {
                Some(second) if owed.len() < abreast => {
                    here.push(*wire);
                    owed.push(second);
                }
                Some(_) => {}
                None => here.push(*wire),
            }
        }
        for wire in here {
            if let Some(slot) = placed.get_mut(wire) {
                *slot = Some(station);
            }
        }
        station += 1;
    }
    placed.into_iter().map(|station| station.unwrap_or(0)).collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::indexing_slicing)]
    use super::*;

    #[test]
    fn one_abreast_goes_in_order() {
        assert_eq!(stations(4, &[], 1), [0, 1, 2, 3]);
        assert_eq!(stations(4, &[(0, 3)], 1), [0, 2, 3, 1]);
    }

    #[test]
    fn several_abreast_fill_stations() {
        assert_eq!(stations(5, &[], 2), [0, 0, 1, 1, 2]);
    }

    #[test]
    fn pairs_stand_at_neighbouring_stations() {
        for abreast in 1..5 {
            let pairs = [(0, 5), (1, 2), (7, 3)];
            let layout = stations(9, &pairs, abreast);
            for (a, b) in pairs {
                assert_eq!(layout[a].abs_diff(layout[b]), 1, "{abreast} {layout:?}");
            }
            for station in 0..9 {
                assert!(layout.iter().filter(|at| **at == station).count() <= abreast);
            }
        }
    }

    #[test]
    fn pairs_come_first_only_where_that_saves_a_station() {
        // As they come: 0 with 2, then 1 and 3 with 4's partner … the last pair would want two stations more.
        for (count, pairs, abreast) in [
            (4, vec![(2, 3)], 2),
            (5, vec![(3, 4)], 2),
            (6, vec![(4, 5)], 3),
            (6, vec![(2, 5), (3, 4)], 2),
            (3, vec![], 1),
        ] {
            let natural: Vec<usize> = (0..count).collect();
            let is_paired = |wire: usize| pairs.iter().any(|(a, b)| *a == wire || *b == wire);
            let (first, rest): (Vec<usize>, Vec<usize>) = natural.iter().partition(|wire| is_paired(**wire));
            let as_they_come = filled(&natural, &pairs, abreast);
            let pairs_first = filled(&[first, rest].concat(), &pairs, abreast);
            let layout = stations(count, &pairs, abreast);
            let last = |layout: &[usize]| layout.iter().copied().max();
            assert_eq!(last(&layout), last(&as_they_come).min(last(&pairs_first)));
            if last(&as_they_come) == last(&pairs_first) {
                assert_eq!(layout, as_they_come);
            }
        }
    }

    #[test]
    fn a_station_is_owed_no_more_than_it_takes() {
        for abreast in 1..4 {
            let pairs = [(0, 1), (2, 3), (4, 5), (6, 7)];
            let layout = stations(8, &pairs, abreast);
            for station in 0..8 {
                assert!(
                    layout.iter().filter(|at| **at == station).count() <= abreast,
                    "{abreast} {layout:?}"
                );
            }
            assert!(pairs.iter().all(|(a, b)| layout[*a].abs_diff(layout[*b]) == 1));
        }
    }
}
