//! The kit: what to lay out before starting, gathered from steps, their hazards' protection, the ledger and
//! the values, over every procedure that is carried out. It is never written, so it cannot disagree.

use super::{Resolved, Scope, Worked, WorkedProcedure, cuts};
use crate::model::{Amount, Line, Message, Step, Store, Use, Verb};
use crate::quantity::{Quantity, unit};
use crate::workings::Value;
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet};

/// What to lay out.
#[derive(Clone, Debug, Default)]
pub struct Kit {
    /// Its lines, by table and id.
    pub lines: Vec<KitLine>,
}

/// One line of the kit.
#[derive(Clone, Debug)]
pub struct KitLine {
    /// The table of the stores.
    pub store: Store,
    /// The line's id.
    pub id: String,
    /// How much of it, where that is known: one sum for each dimension.
    pub quantities: Vec<Quantity>,
    /// Sleeves of a range: size, cut length in mm, how many.
    pub cuts: Vec<(String, f64, u32)>,
    /// From which stock lengths they are cut: size, and the value that says so with its owner.
    pub cutting: Vec<(String, String, String)>,
    /// The steps that need it, by procedure and step; empty where no step names it.
    pub steps: BTreeSet<(String, String)>,
}

impl Kit {
    /// The lines of a table.
    pub fn of(&self, store: Store) -> impl Iterator<Item = &KitLine> {
        self.lines.iter().filter(move |line| line.store == store)
    }
}

/// Gathers the kit of every procedure.
pub(super) fn gather(worked: &mut Worked) {
    let kits: Vec<(String, Kit)> = worked
        .procedures
        .par_iter()
        .map(|(id, procedure)| {
            let mut gatherer = Gatherer { manual: worked, lines: BTreeMap::new() };
            gatherer.procedure(id, procedure);
            (id.clone(), gatherer.finish())
        })
        .collect();
    for (id, kit) in kits {
        if let Some(procedure) = worked.procedures.get_mut(&id) {
            procedure.kit = kit;
        }
    }
}

struct Gatherer<'a> {
    manual: &'a Worked,
    lines: BTreeMap<(Store, String), KitLine>,
}

impl Gatherer<'_> {
    fn procedure(&mut self, id: &str, worked: &WorkedProcedure) {
        let mut owners = BTreeSet::from([id.to_owned()]);
        for leg in &worked.route.legs {
            owners.insert(leg.procedure.clone());
            let step =
                self.manual.parsed.procedures().get(&leg.procedure).and_then(|known| known.step(&leg.step));
            if let Some(step) = step {
                self.step(&leg.procedure, step);
            }
        }
        for owner in owners {
            let Some(procedure) = self.manual.parsed.procedures().get(&owner) else { continue };
            for used in &procedure.kit_extra {
                self.used(&owner, None, used);
            }
            if let Some(worked) = self.manual.procedures.get(&owner) {
                self.sleeves(&owner, worked);
            }
        }
        self.renewed(worked);
    }

    fn step(&mut self, procedure: &str, step: &Step) {
        for used in step.tools.iter().chain(&step.protection).chain(&step.consumables).chain(&step.parts) {
            self.used(procedure, Some(&step.id), used);
            // What a tool or consumable can do to people brings what protects them.
            if let Some(line) = self.manual.parsed.stores().get(used.store, &used.id) {
                let hazards: Vec<String> = line.texts("hazards").map(str::to_owned).collect();
                hazards.iter().for_each(|hazard| self.hazard(procedure, &step.id, hazard));
            }
        }
        for message in &step.messages {
            if let Message::Hazard(hazard, _) = message {
                self.hazard(procedure, &step.id, hazard);
            }
        }
    }

    fn hazard(&mut self, procedure: &str, step: &str, hazard: &str) {
        let Some(line) = self.manual.parsed.stores().get(Store::Hazards, hazard) else { return };
        let protection: Vec<String> = line.texts("protection").map(str::to_owned).collect();
        for id in protection {
            self.line(Store::Protection, &id).steps.insert((procedure.to_owned(), step.to_owned()));
        }
    }

    fn used(&mut self, procedure: &str, step: Option<&str>, used: &Use) {
        let amount = |run: &Amount| self.manual.amount(Scope::Procedure(procedure), run);
        let quantity = used.quantity.as_ref().and_then(|(run, _)| amount(run));
        // A part without a quantity is one part.
        let quantity = quantity.or_else(|| (used.store == Store::Parts).then(|| pieces(1))?);
        let line = self.line(used.store, &used.id);
        if let Some(step) = step {
            line.steps.insert((procedure.to_owned(), step.to_owned()));
        }
        if let Some(quantity) = quantity {
            add(&mut line.quantities, &quantity);
        }
    }

    /// Every sleeve that the joints of a procedure take, and from what it is cut.
    fn sleeves(&mut self, owner: &str, worked: &WorkedProcedure) {
        let pieces = cuts::pieces(worked);
        for piece in &pieces {
            let line = self.line(Store::Sleeves, &piece.range);
            let same = |(size, length, _): &&mut (String, f64, u32)| {
                *size == piece.size && (*length - piece.length).abs() < 1e-9
            };
            match line.cuts.iter_mut().find(same) {
                Some((.., count)) => *count += 1,
                None => line.cuts.push((piece.size.clone(), piece.length, 1)),
            }
            let cutting = (piece.size.clone(), owner.to_owned(), cuts::part(piece, &pieces).to_string());
            if worked.value(&cutting.2).is_some() && !line.cutting.contains(&cutting) {
                line.cutting.push(cutting);
            }
        }
    }

    /// Single-use fasteners that the ledger renews.
    fn renewed(&mut self, worked: &WorkedProcedure) {
        for moved in &worked.replay.moves {
            let Some(item) = worked.items.get(&moved.item).filter(|item| item.kind().is_fastening()) else {
                continue;
            };
            if moved.verb != Some(Verb::Renew) {
                continue;
            }
            let (Some(of), Some(leg)) = (&item.of(), worked.route.legs.get(moved.leg)) else { continue };
            let at = (leg.procedure.clone(), leg.step.clone());
            let line = self.line(Store::Fasteners, of);
            line.steps.insert(at);
            if let Some(quantity) = pieces(moved.count) {
                add(&mut line.quantities, &quantity);
            }
        }
    }

    fn line(&mut self, store: Store, id: &str) -> &mut KitLine {
        self.lines.entry((store, id.to_owned())).or_insert_with(|| KitLine {
            store,
            id: id.to_owned(),
            quantities: Vec::new(),
            cuts: Vec::new(),
            cutting: Vec::new(),
            steps: BTreeSet::new(),
        })
    }

    fn finish(self) -> Kit {
        let mut lines: Vec<KitLine> = self.lines.into_values().collect();
        for line in &mut lines {
            line.cuts.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
        }
        Kit { lines }
    }
}

fn pieces(count: u32) -> Option<Quantity> {
    Some(Quantity::new(f64::from(count), unit("pieces")?))
}

/// Adds a quantity to the sum of its dimension, in the unit that stood there first.
fn add(sums: &mut Vec<Quantity>, quantity: &Quantity) {
    for sum in sums.iter_mut() {
        if let Ok(more) = quantity.in_unit(sum.unit) {
            *sum = Quantity::new(sum.value + more, sum.unit);
            return;
        }
    }
    sums.push(quantity.clone());
}

impl super::Worked {
    /// The hazards that a step meets: those written, then those that its tools, consumables and parts bring.
    pub fn hazards_of<'a>(&'a self, step: &'a Step) -> Vec<&'a Line> {
        let stores = self.parsed.stores();
        let written = step.messages.iter().filter_map(|message| match message {
            Message::Hazard(id, _) => Some(id.as_str()),
            Message::Full { .. } => None,
        });
        let uses = step.tools.iter().chain(&step.consumables).chain(&step.parts);
        let brought =
            uses.filter_map(|used| stores.get(used.store, &used.id)).flat_map(|line| line.texts("hazards"));
        let mut ids: Vec<&str> = Vec::new();
        for id in written.chain(brought) {
            if !ids.contains(&id) {
                ids.push(id);
            }
        }
        ids.into_iter().filter_map(|id| stores.get(Store::Hazards, id)).collect()
    }

    /// A quantity as used in a step: the figure, or what its value gives.
    pub fn amount(&self, scope: Scope<'_>, run: &Amount) -> Option<Quantity> {
        match run {
            Amount::Quantity(quantity) => Some(quantity.clone()),
            Amount::Value(reference) => match self.resolve(scope, reference) {
                Ok(
                    Resolved::Value(.., Value::Number { value, unit })
                    | Resolved::Cell(.., Ok(Value::Number { value, unit })),
                ) => Some(Quantity::new(*value, unit)),
                _ => None,
            },
        }
    }
}
