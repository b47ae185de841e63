//! How many steps the routes of a manual take over from other procedures. A line of source carries out a procedure of
//! any length, so that a short text could ask for millions of them; the shop has a limit for all together.

use crate::finding::{Code, Finding, Sink};
use crate::model::{Procedure, Step};
use crate::parse::{Parsed, span};
use std::collections::{BTreeMap, BTreeSet};

/// Procedures are followed so deep into one another; what is deeper has no route.
const DEEPEST: usize = 32;

/// The lengths of procedures and of their stages, with all that they carry out.
type Lengths<'a> = BTreeMap<(&'a str, Option<&'a str>), u64>;

/// The procedures that are not walked, because those before them take over all that the shop allows; where the limit
/// is passed is reported. `times` tells how often a procedure is walked, and `most` the longest route there is.
pub(super) fn overlong(
    parsed: &Parsed,
    times: impl Fn(&Procedure) -> usize,
    most: usize,
    sink: &mut Sink,
) -> BTreeSet<String> {
    let wide = |count: usize| u64::try_from(count).unwrap_or(u64::MAX);
    let (lengths, limit, most) = (lengths(parsed, wide(most)), parsed.shop().limits.carried, wide(most));
    let mut carried = 0_u64;
    let mut over = BTreeSet::new();
    for (id, procedure) in parsed.procedures() {
        let own = wide(procedure.steps().count());
        let whole = lengths.get(&(id.as_str(), None)).copied().unwrap_or(own).min(most);
        let taken = whole.saturating_sub(own).saturating_mul(wide(times(procedure)));
        carried = carried.saturating_add(taken);
        // One that carries nothing out is walked all the same: its own text pays for its steps.
        if carried <= limit || taken == 0 {
            continue;
        }
        if over.is_empty() {
            let headline = format!(
                "with this procedure {carried} steps are carried out of others, and the limit is {limit}"
            );
            let finding = Finding::error(Code("SRC-02"), headline)
                .at(span(procedure.place), "this procedure and those after it are not replayed")
                .help("carry out shorter procedures, or raise `limits.carried` in shop.yaml");
            sink.push(finding.in_procedure(id));
        }
        over.insert(id.clone());
    }
    over
}

/// The length of everything that can be carried out, from the inside out: in each round what was counted to a depth
/// is counted one deeper. Circles, which have no route, grow up to `most`.
fn lengths(parsed: &Parsed, most: u64) -> Lengths<'_> {
    let mut lengths = Lengths::new();
    for _ in 0..=DEEPEST {
        let mut deeper = Lengths::new();
        for (id, procedure) in parsed.procedures() {
            let mut whole = 0_u64;
            for stage in &procedure.stages {
                let steps = stage.steps.iter().map(|step| with_carried(step, &lengths));
                let length = steps.fold(0, u64::saturating_add).min(most);
                whole = whole.saturating_add(length).min(most);
                deeper.insert((id.as_str(), Some(stage.id.as_str())), length);
            }
            deeper.insert((id.as_str(), None), whole);
        }
        if deeper == lengths {
            break;
        }
        lengths = deeper;
    }
    lengths
}

/// A step and what it carries out.
fn with_carried(step: &Step, lengths: &Lengths<'_>) -> u64 {
    let Some(carry) = &step.carry_out else { return 1 };
    let key = (carry.procedure.as_str(), carry.stage.as_deref());
    lengths.get(&key).copied().unwrap_or(0).saturating_add(1)
}
