//! Routes and replays: each procedure walked through with everything that it carries out, once for every combination
//! of its parameters' words.

use super::items::Items;
use super::overlong::overlong;
use super::route::{self, Route};
use crate::finding::{Code, Finding, Sink};
use crate::ledger::{Replay, replay};
use crate::model::{Given, Item, Procedure};
use crate::parse::{Parsed, span};
use crate::phrase::phrase;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::sync::Arc;

/// The most combinations of words that one procedure is replayed for.
const MOST_COMBINATIONS: usize = 64;

/// Routes and replays, in parallel; a procedure with parameters is replayed for every word of each, and the
/// first stands for the pages.
pub(super) fn all(
    parsed: &Parsed,
    merged: &BTreeMap<String, Items>,
    sink: &mut Sink,
) -> BTreeMap<String, (Route, Replay)> {
    let times = |procedure: &Procedure| combinations(&procedure.parameters).len();
    let over = overlong(parsed, times, route::MOST_LEGS, sink);
    let walked: Vec<_> = parsed
        .procedures()
        .par_iter()
        .map(|(id, procedure)| {
            let mut found = Sink::new();
            let items = merged.get(id).cloned().unwrap_or_default();
            let mut first: Option<(Route, Replay)> = None;
            if over.contains(id) {
                let mut unknown = Route::default();
                unknown.broken = true;
                return (id.clone(), (unknown, Replay::default()), found);
            }
            left_out(procedure, &mut found);
            for given in combinations(&procedure.parameters) {
                let mut route = route::lay(parsed, merged, procedure, &given, &mut found);
                // Without its vehicle nothing that it touches is known, which is said once.
                route.broken |=
                    procedure.applies_to.iter().any(|a| !parsed.vehicles().contains_key(&a.vehicle));
                let mut known = Arc::clone(&items);
                borrow(merged, &route, &mut known);
                if !route.broken {
                    route.mend(&known, &mut found);
                }
                let mut replay = replay(&known, &route.stops(), &procedure.expects, &procedure.leaves);
                if route.broken {
                    replay.faults.clear();
                }
                match &mut first {
                    None => first = Some((route, replay)),
                    Some((_, kept)) => kept.faults.extend(replay.faults),
                }
            }
            (id.clone(), first.unwrap_or_default(), found)
        })
        .collect();
    let mut routes = BTreeMap::new();
    for (id, walked, found) in walked {
        for finding in found.into_sorted() {
            sink.push(finding.in_procedure(&id));
        }
        routes.insert(id, walked);
    }
    routes
}

/// Items that only a procedure declares which is carried out here.
pub(super) fn borrow(merged: &BTreeMap<String, Items>, route: &Route, items: &mut Items) {
    let mut seen: Vec<&str> = Vec::new();
    for leg in route.legs.iter().filter(|leg| leg.depth > 0) {
        if seen.contains(&leg.procedure.as_str()) {
            continue;
        }
        seen.push(&leg.procedure);
        let Some(others) = merged.get(&leg.procedure) else { continue };
        let missing: Vec<&Item> =
            others.iter().filter(|(id, _)| !items.contains_key(*id)).map(|(_, item)| item).collect();
        if !missing.is_empty() {
            let items = Arc::make_mut(items);
            items.extend(missing.into_iter().map(|item| (item.id.clone(), item.clone())));
        }
    }
}

/// Every way to give words to parameters; at most [`MOST_COMBINATIONS`].
fn combinations(parameters: &BTreeMap<String, Vec<String>>) -> Vec<Given> {
    let mut all = vec![Given::new()];
    for (name, words) in parameters {
        all = all
            .into_iter()
            .flat_map(|one| {
                words.iter().map(move |word| {
                    let mut more = one.clone();
                    more.insert(name.clone(), word.clone());
                    more
                })
            })
            .take(MOST_COMBINATIONS)
            .collect();
    }
    all
}

/// Says how many combinations are not replayed, where there are more than the limit: what they leave open is not
/// known.
fn left_out(procedure: &Procedure, sink: &mut Sink) {
    let all = procedure.parameters.values().try_fold(1_usize, |all, words| all.checked_mul(words.len()));
    let all = all.unwrap_or(usize::MAX);
    if all > MOST_COMBINATIONS {
        let place = procedure.keys.get("parameters").copied().unwrap_or(procedure.place);
        let headline = phrase!(
            "the words of the parameters meet in {all} ways, and {most} of them are replayed",
            all = all,
            most = MOST_COMBINATIONS
        );
        let finding = Finding::error(Code("LED-10"), headline)
            .at(span(place), phrase!("{left} ways are not looked at", left = all - MOST_COMBINATIONS));
        sink.push(finding.help(phrase!("split the procedure, or take out the words that nobody gives")));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parameters(count: usize, words: usize) -> BTreeMap<String, Vec<String>> {
        (0..count)
            .map(|number| (format!("p{number}"), (0..words).map(|word| format!("w{word}")).collect()))
            .collect()
    }

    #[test]
    fn every_word_meets_every_other() {
        assert_eq!(combinations(&parameters(0, 0)).len(), 1);
        let all = combinations(&parameters(2, 3));
        let distinct: std::collections::BTreeSet<&Given> = all.iter().collect();
        assert_eq!((all.len(), distinct.len()), (9, 9));
    }

    #[test]
    fn no_more_are_replayed_than_the_limit() {
        assert_eq!(combinations(&parameters(6, 2)).len(), MOST_COMBINATIONS);
        assert_eq!(combinations(&parameters(7, 2)).len(), MOST_COMBINATIONS);
    }
}
