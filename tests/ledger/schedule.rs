//! Interleaves the lives of a job's things at random, each deed as soon as the rules of order allow it.

use crate::garage::{Plans, Tape, needs_off};
use crate::job::{Deed, Job, Thing};
use std::collections::BTreeMap;

struct Bench {
    job: Job,
    plans: Plans,
    /// How many deeds of each plan are done.
    done: BTreeMap<String, usize>,
}

/// A legal order of the plans' deeds, in steps of one or a few.
pub fn schedule(
    things: BTreeMap<String, Thing>,
    plans: Plans,
    needs_off: Option<Vec<String>>,
    tape: &mut Tape<'_>,
) -> Job {
    let done = things.keys().map(|id| (id.clone(), 0)).collect();
    let mut bench = Bench { job: Job { things, steps: Vec::new(), needs_off }, plans, done };
    loop {
        let ready: Vec<Deed> = bench.plans.keys().filter_map(|id| bench.ready(id)).cloned().collect();
        if ready.is_empty() {
            break;
        }
        let deed = ready[tape.below(ready.len())].clone();
        *bench.done.get_mut(&deed.item).unwrap() += 1;
        bench.write(deed, tape);
    }
    for (id, plan) in &bench.plans {
        assert_eq!(bench.done[id], plan.len(), "the plan of {id} is stuck: {:?}", bench.job);
    }
    bench.job
}

impl Bench {
    /// Puts a deed into a step of its own or, now and then, into the last one.
    fn write(&mut self, deed: Deed, tape: &mut Tape<'_>) {
        let energy = |deed: &Deed| self.job.things[&deed.item].kind == "energy";
        let alone = energy(&deed) || self.job.steps.last().is_none_or(|step| step.iter().any(energy));
        match self.job.steps.last_mut() {
            Some(step) if !alone && tape.once_in(4) => step.push(deed),
            _ => self.job.steps.push(vec![deed]),
        }
    }

    fn plan(&self, id: &str) -> &[Deed] {
        self.plans.get(id).map_or(&[], Vec::as_slice)
    }

    fn finished(&self, id: &str) -> bool {
        self.done[id] == self.plan(id).len()
    }

    /// How many deeds of a plan are done once the last of a verb is.
    fn after_last(&self, id: &str, verb: &str) -> usize {
        self.plan(id).iter().rposition(|deed| deed.verb == verb).map_or(0, |at| at + 1)
    }

    /// The next deed of a thing, where it may be done now.
    fn ready(&self, id: &str) -> Option<&Deed> {
        let deed = self.plan(id).get(self.done[id])?;
        let thing = &self.job.things[id];
        let open = self.job.hiding(id).all(|panel| self.done[&panel.id] == 1);
        let fits = match (thing.kind, deed.verb) {
            (_, "take-off") => {
                self.job.holding(id).all(|by| self.done[&by.id] >= self.after_last(&by.id, "remove"))
            }
            ("panel", _) => thing.hides.iter().all(|hidden| self.finished(hidden)),
            ("energy", "isolate") => thing.loses.iter().all(|setting| self.noted(setting)),
            ("energy", "restore") => self.electric_done(),
            ("setting", "re-teach") => self.losers(id).all(|energy| self.done[energy] > 0),
            (_, "refit" | "renew" | "fasten" | "tighten") => {
                thing.holds.as_ref().is_none_or(|panel| self.finished(panel))
            }
            _ => true,
        };
        let safe = !needs_off(thing, deed) || self.all_off();
        (open && fits && safe).then_some(deed)
    }

    /// Whether a setting is noted down as often as it is to be before it is lost.
    fn noted(&self, setting: &str) -> bool {
        let plan = self.plan(setting);
        let before = plan.iter().position(|deed| deed.verb == "re-teach").unwrap_or(plan.len());
        self.done[setting] >= before
    }

    /// The planned energies whose isolation loses a setting.
    fn losers<'a>(&'a self, setting: &'a str) -> impl Iterator<Item = &'a String> {
        let energies =
            self.job.things.values().filter(move |thing| thing.loses.iter().any(|id| id == setting));
        energies.map(|energy| &energy.id).filter(|id| !self.plan(id).is_empty())
    }

    fn electric_done(&self) -> bool {
        self.plans.iter().all(|(id, plan)| {
            let thing = &self.job.things[id];
            plan.iter().skip(self.done[id]).all(|deed| !needs_off(thing, deed))
        })
    }

    fn all_off(&self) -> bool {
        let energies = self.job.things.values().filter(|thing| thing.kind == "energy");
        let needed =
            energies.filter(|it| self.job.needs_off.as_ref().is_none_or(|named| named.contains(&it.id)));
        needed.map(|it| &it.id).all(|id| {
            let off = self.after_last(id, "prove-off");
            off > 0 && self.done[id] >= off
        })
    }
}
