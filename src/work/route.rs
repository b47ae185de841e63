//! The route of a procedure: its steps, and those of every procedure and stage that it carries out, in the
//! order of work.

use super::items::Items;
use super::target;
use crate::finding::{Code, Finding, Sink, nearest};
use crate::ledger::{Entry, Onward, Stop};
use crate::model::{Act, CarryOut, Check, Given, Item, Otherwise, Place, Procedure, Step, Turn};
use crate::parse::{Parsed, span};
use std::collections::BTreeMap;

/// Longest route: procedures that run one another twice each would otherwise grow without end.
pub(super) const MOST_LEGS: usize = 20_000;

/// Most procedures that are carried out inside one another; real work nests some four deep.
const DEEPEST: usize = 32;

/// A procedure's steps in the order of work.
#[derive(Debug, Default)]
pub struct Route {
    /// The steps.
    pub legs: Vec<Leg>,
    /// The leg of each of the procedure's own steps, by the step's id.
    own: BTreeMap<String, usize>,
    /// Whether a procedure or a stage that it carries out is not there, or what a step of it does could not be
    /// read: what the ledger then finds would only repeat that.
    pub broken: bool,
    /// Whether anything of it could not be read, what the ledger replays or not.
    pub gaps: bool,
}

/// One step of a route.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Leg {
    /// The procedure whose step it is.
    pub procedure: String,
    /// Its stage.
    pub stage: String,
    /// Its id.
    pub step: String,
    /// The step of the procedure that the route belongs to, at which this stands.
    pub top: String,
    /// How many procedures deep it is carried out; 0 for the procedure's own steps.
    pub depth: usize,
    /// What the ledger replays of it.
    pub stop: Stop,
}

impl Route {
    /// What the ledger replays.
    pub fn stops(&self) -> Vec<Stop> {
        self.legs.iter().map(|leg| leg.stop.clone()).collect()
    }

    /// What a step of the procedure itself does, item by item.
    pub fn acts(&self, step: &str) -> &[Act] {
        let leg = self.own.get(step).and_then(|at| self.legs.get(*at));
        leg.map(|leg| leg.stop.acts.as_slice()).unwrap_or_default()
    }

    /// The legs that stand at a step of the procedure itself: the step, and what it carries out.
    pub fn at<'a>(&'a self, step: &'a str) -> impl Iterator<Item = (usize, &'a Leg)> {
        self.legs.iter().enumerate().filter(move |(_, leg)| leg.top == step)
    }
}

/// Lays out a procedure's route. Cycles, unknown procedures and stages are reported for the procedure in
/// which the step stands, once.
pub(super) fn lay(
    parsed: &Parsed,
    merged: &BTreeMap<String, Items>,
    procedure: &Procedure,
    given: &Given,
    sink: &mut Sink,
) -> Route {
    let mut layer = Layer { parsed, merged, route: Route::default(), chain: Vec::new(), full: false, sink };
    layer.run(procedure, None, given, None, 0, None);
    layer.route
}

struct Layer<'a> {
    parsed: &'a Parsed,
    /// The items that each procedure may speak of.
    merged: &'a BTreeMap<String, Items>,
    route: Route,
    /// The procedures (and stages) that are being carried out, from the outermost in.
    chain: Vec<(String, Option<String>)>,
    full: bool,
    sink: &'a mut Sink,
}

impl Layer<'_> {
    fn run(
        &mut self,
        procedure: &Procedure,
        stage: Option<&str>,
        given: &Given,
        top: Option<&str>,
        depth: usize,
        entry: Option<Entry>,
    ) {
        self.chain.push((procedure.id.clone(), stage.map(str::to_owned)));
        // What a step that could not be read does is not known: the replay would only tell of the gap.
        self.route.broken |= procedure.unread.breaks();
        self.route.gaps |= procedure.unread.any();
        let first = self.route.legs.len();
        let mut entry = entry;
        let mut owned: Vec<(usize, &Step)> = Vec::new();
        for stage in procedure.stages.iter().filter(|known| stage.is_none_or(|id| id == known.id)) {
            for step in &stage.steps {
                if self.route.legs.len() >= MOST_LEGS {
                    self.overflow(step.place);
                    break;
                }
                owned.push((self.route.legs.len(), step));
                let top = top.unwrap_or(&step.id);
                let acts = self.acts(procedure, step, given, depth);
                if depth == 0 {
                    self.route.own.insert(step.id.clone(), self.route.legs.len());
                }
                self.route.legs.push(Leg {
                    procedure: procedure.id.clone(),
                    stage: stage.id.clone(),
                    step: step.id.clone(),
                    top: top.to_owned(),
                    depth,
                    stop: Stop {
                        step: step.id.clone(),
                        acts,
                        needs_off: step
                            .needs_off
                            .as_ref()
                            .map(|ids| ids.iter().map(|(id, _)| id.clone()).collect()),
                        enters: entry.take(),
                        next: Vec::new(),
                        place: step.place,
                    },
                });
                if let Some(carry) = &step.carry_out {
                    self.carry(carry, top, depth);
                }
            }
        }
        self.join_choices(first, &owned);
        self.chain.pop();
    }

    /// What a step does, item by item.
    fn acts(&mut self, procedure: &Procedure, step: &Step, given: &Given, depth: usize) -> Vec<Act> {
        let mut found = Sink::new();
        let items = self.merged.get(&procedure.id);
        let one = |deed| target::acts(self.parsed, procedure, items, deed, given, &mut found);
        let acts = step.does.iter().flat_map(one).collect();
        // What is wrong with a step is reported where that step is its procedure's own.
        if depth == 0 {
            found.into_sorted().into_iter().for_each(|finding| self.sink.push(finding.in_step(&step.id)));
        }
        acts
    }

    fn overflow(&mut self, place: Place) {
        if !self.full {
            self.full = true;
            let headline = format!("this route has more than {MOST_LEGS} steps");
            self.sink
                .push(Finding::error(Code("LED-10"), headline).at(span(place), "the limit is passed here"));
        }
    }

    /// Carries out a procedure or a stage in place.
    fn carry(&mut self, carry: &CarryOut, top: &str, depth: usize) {
        // What is wrong with a step that carries out is reported where that step is its procedure's own.
        let report = depth == 0;
        let Some(procedure) = self.parsed.procedures().get(&carry.procedure) else {
            self.route.broken = true;
            if report && !self.parsed.lost().procedures.contains(&carry.procedure) {
                let near = nearest(&carry.procedure, self.parsed.procedures().keys().map(String::as_str));
                self.sink.push(
                    Finding::error(Code("DOC-03"), format!("there is no procedure `{}`", carry.procedure))
                        .at(span(carry.place), "carried out here")
                        .help_if(near.map(|near| format!("write `{near}`"))),
                );
            }
            return;
        };
        if let Some(stage) = &carry.stage
            && procedure.stage(stage).is_none()
        {
            self.route.broken = true;
            if report {
                let near = nearest(stage, procedure.stages.iter().map(|stage| stage.id.as_str()));
                self.sink.push(
                    Finding::error(Code("DOC-03"), format!("`{}` has no stage `{stage}`", procedure.id))
                        .at(span(carry.place), "carried out here")
                        .help_if(near.map(|near| format!("write `{}/{near}`", procedure.id))),
                );
            }
            return;
        }
        let same = |known: &(String, Option<String>)| {
            known.0 == carry.procedure
                && (known.1.is_none() || carry.stage.is_none() || known.1 == carry.stage)
        };
        if let Some(at) = self.chain.iter().position(same) {
            self.cycle(carry, at);
            return;
        }
        if depth >= DEEPEST {
            self.too_deep(carry.place);
            return;
        }
        if report {
            self.check_given(procedure, carry);
        }
        let expects = procedure.expects.iter().map(|(id, (state, _))| (id.clone(), *state)).collect();
        let entry = Entry { procedure: procedure.id.clone(), expects, place: carry.place };
        // A stage on its own begins in the middle: what its procedure expects at its start says nothing.
        let entry = carry.stage.is_none().then_some(entry);
        self.run(procedure, carry.stage.as_deref(), &carry.given, Some(top), depth + 1, entry);
    }

    /// Reports a chain that is too long, once for each route.
    fn too_deep(&mut self, place: Place) {
        self.route.broken = true;
        if !self.full {
            self.full = true;
            let headline = format!("procedures carry one another out more than {DEEPEST} deep");
            self.sink.push(
                Finding::error(Code("LED-10"), headline)
                    .at(span(place), "the limit is passed here")
                    .help("let one procedure carry out the others one after another"),
            );
        }
    }

    fn cycle(&mut self, carry: &CarryOut, at: usize) {
        self.route.broken = true;
        let name = |(id, stage): &(String, Option<String>)| {
            stage.as_ref().map_or_else(|| id.clone(), |stage| format!("{id}/{stage}"))
        };
        let mut ring: Vec<String> = self.chain.iter().skip(at).map(name).collect();
        ring.push(name(&(carry.procedure.clone(), carry.stage.clone())));
        self.sink.push(
            Finding::error(
                Code("LED-10"),
                format!("procedures carry one another out in a circle: {}", ring.join(" → ")),
            )
            .at(span(carry.place), "the circle closes here")
            .help("take one of these steps out"),
        );
    }

    fn check_given(&mut self, procedure: &Procedure, carry: &CarryOut) {
        for (name, words) in &procedure.parameters {
            let finding = match carry.given.get(name) {
                Some(word) if words.contains(word) => continue,
                Some(word) => {
                    let near = nearest(word, words.iter().map(String::as_str));
                    Finding::error(
                        Code("LED-10"),
                        format!("`{}` does not know `{name}: {word}`", procedure.id),
                    )
                    .help(near.map_or_else(
                        || format!("it knows {}", crate::finding::or_list(words.iter().map(String::as_str))),
                        |near| format!("write `{name}: {near}`"),
                    ))
                }
                None => {
                    Finding::error(Code("LED-10"), format!("`{}` needs its `{name}`", procedure.id)).help(
                        format!("write `{{of: {}, given: {{{name}: {}}}}}`", procedure.id, words.join(" | ")),
                    )
                }
            };
            self.sink.push(finding.at(span(carry.place), "carried out here"));
        }
    }

    /// Where a step has ways to go on, its last leg leads to each of them.
    fn join_choices(&mut self, first: usize, owned: &[(usize, &Step)]) {
        let end = self.route.legs.len();
        for (index, (leg, step)) in owned.iter().enumerate() {
            let after = owned.get(index + 1).map_or(end, |(leg, _)| *leg);
            // A branch to the same or an earlier step is rework, which the replay does not follow.
            let onward = |turn: &Turn| match turn {
                Turn::Stop => Some(Onward::Stop),
                Turn::Step(id) => {
                    let target = owned.iter().find(|(at, step)| step.id == *id && *at > *leg);
                    target.map(|(at, _)| Onward::Leg(*at))
                }
            };
            let mut next: Vec<Onward> =
                step.choose.iter().filter_map(|choice| onward(&choice.then)).collect();
            let leads_on = next.iter().any(|to| *to != Onward::Stop);
            if !step.choose.is_empty() && (next.len() < 2 || !leads_on) {
                next.push(Onward::Leg(after));
            }
            let check = match &step.check {
                Some(Check::Measured { otherwise: Some((otherwise, _)), .. }) => Some(otherwise),
                _ => None,
            };
            let late = step.within.as_ref().and_then(|(_, otherwise, _)| otherwise.as_ref());
            let branches = check.into_iter().chain(late).filter_map(Otherwise::turn).filter_map(onward);
            let branches: Vec<Onward> = branches.collect();
            if !branches.is_empty() {
                next.extend(branches);
                next.push(Onward::Leg(after));
            }
            // A step that carries out leads on from the last leg of what it carries out, which may end the job.
            let last = after.saturating_sub(1).max(*leg).max(first);
            let Some(leg) = self.route.legs.get_mut(last) else { continue };
            if leg.stop.next.contains(&Onward::Stop) {
                next.push(Onward::Stop);
                next.push(Onward::Leg(after));
            }
            next.sort_unstable();
            next.dedup();
            if next != [Onward::Leg(last + 1)] {
                leg.stop.next = next;
            }
        }
    }
}

impl Route {
    /// Reports items that nobody declares, and puts the item that was probably meant in their place, so that a
    /// slip of the pen is one finding and not one for everything that builds on it.
    pub(super) fn mend(&mut self, items: &BTreeMap<String, Item>, sink: &mut Sink) {
        for leg in &mut self.legs {
            for act in leg.stop.acts.iter_mut().filter(|act| !items.contains_key(&act.item)) {
                let Some(near) = nearest(&act.item, items.keys().map(String::as_str)) else { continue };
                if leg.depth == 0 {
                    sink.push(
                        Finding::error(Code("DOC-03"), format!("there is no item `{}`", act.item))
                            .at(span(act.place), "declared neither by a vehicle nor by the procedure")
                            .help(format!("write `{near}`"))
                            .in_step(&leg.step),
                    );
                }
                act.item = near.to_owned();
            }
        }
    }
}
