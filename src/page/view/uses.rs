//! Who uses what: the way back from every line of the stores, value, table and procedure to the steps.

use crate::model::{Amount, Check, Kind, Procedure, Reference, Scheme, Step, Store};
use crate::page::view::{UseGroup, Where};
use crate::page::{Manual, address};
use crate::parse::Seen;
use crate::work::{Resolved, Scope, Worked, WorkedValue};
use std::collections::{BTreeMap, BTreeSet};

/// Where something is used.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct At {
    /// The procedure.
    pub procedure: String,
    /// The step, its number and its id; none for what stands before the steps.
    pub step: Option<(u32, String)>,
}

impl At {
    /// A step of a procedure.
    pub fn step(procedure: &Procedure, step: &Step) -> At {
        At { procedure: procedure.id.clone(), step: Some((step.number, step.id.clone())) }
    }
}

/// Everything that is used, and where.
#[derive(Debug, Default)]
pub struct Uses {
    lines: BTreeMap<(Store, String), BTreeSet<At>>,
    values: BTreeMap<(String, String), BTreeSet<At>>,
    tables: BTreeMap<String, BTreeSet<At>>,
    runs: BTreeMap<String, BTreeSet<At>>,
    charts: BTreeMap<(Store, String), BTreeSet<String>>,
    items: BTreeMap<String, BTreeSet<At>>,
}

impl Uses {
    /// Gathers all uses of a manual.
    pub fn gather(worked: &Worked) -> Uses {
        let mut uses = Uses::default();
        for procedure in worked.parsed().procedures().values() {
            let at = At { procedure: procedure.id.clone(), step: None };
            Gatherer { worked, procedure, at, uses: &mut uses }.before_the_steps();
            for step in procedure.steps() {
                let at = At::step(procedure, step);
                Gatherer { worked, procedure, at, uses: &mut uses }.step(step);
            }
        }
        for (id, table) in worked.tables() {
            for row in &table.rows {
                for store in [Store::Cables, Store::Sleeves, Store::Fasteners, Store::Tools] {
                    if row.at.is_none() && worked.parsed().stores().get(store, &row.id).is_some() {
                        uses.charts.entry((store, row.id.clone())).or_default().insert(id.clone());
                    }
                }
                for reference in row.values.iter().flat_map(WorkedValue::references) {
                    if let Some(store) = reference.scheme.store() {
                        uses.charts.entry((store, reference.id.clone())).or_default().insert(id.clone());
                    }
                }
            }
        }
        uses
    }

    /// The steps that use a line of the stores.
    pub fn line(&self, store: Store, id: &str) -> Option<&BTreeSet<At>> {
        self.lines.get(&(store, id.to_owned()))
    }

    /// The tables that a line of the stores goes into.
    pub fn charts(&self, store: Store, id: &str) -> impl Iterator<Item = &str> {
        self.charts.get(&(store, id.to_owned())).into_iter().flatten().map(String::as_str)
    }

    /// The steps that use a value.
    pub fn value(&self, owner: &str, id: &str) -> Option<&BTreeSet<At>> {
        self.values.get(&(owner.to_owned(), id.to_owned()))
    }

    /// The steps that use a table.
    pub fn table(&self, id: &str) -> Option<&BTreeSet<At>> {
        self.tables.get(id)
    }

    /// The steps that carry out a procedure.
    pub fn runs_of(&self, id: &str) -> Option<&BTreeSet<At>> {
        self.runs.get(id)
    }

    /// The steps that move an item.
    pub fn item(&self, id: &str) -> Option<&BTreeSet<At>> {
        self.items.get(id)
    }
}

/// Places as links, one after another; what stands before the steps is called after its procedure.
pub fn links(manual: &Manual<'_>, here: &str, uses: Option<&BTreeSet<At>>) -> Vec<Where> {
    let link = |At { procedure, step }: &At| {
        let known = manual.procedure(procedure);
        let (to, number, text) = match step {
            Some((number, id)) => {
                let heading = known.and_then(|known| known.step(id)).map(|step| &step.heading);
                (address::step(procedure, id), number.to_string(), heading)
            }
            None => (address::procedure(procedure), String::new(), known.map(|known| &known.title)),
        };
        Where { href: address::link(here, &to), number, text: text.cloned().unwrap_or_default(), note: None }
    };
    uses.into_iter().flatten().map(link).collect()
}

/// Steps grouped by their procedures; what stands before the steps is named by the procedure itself.
pub fn groups(manual: &Manual<'_>, here: &str, uses: Option<&BTreeSet<At>>) -> Vec<UseGroup> {
    let mut groups: Vec<(String, BTreeSet<At>)> = Vec::new();
    for at in uses.into_iter().flatten() {
        match groups.last_mut() {
            Some((procedure, steps)) if *procedure == at.procedure => {
                steps.insert(at.clone());
            }
            _ => groups.push((at.procedure.clone(), BTreeSet::from([at.clone()]))),
        }
    }
    let group = |(procedure, mut steps): (String, BTreeSet<At>)| {
        steps.retain(|at| at.step.is_some());
        UseGroup {
            href: address::link(here, &address::procedure(&procedure)),
            text: manual.procedure(&procedure).map(|known| known.title.clone()).unwrap_or_default(),
            steps: links(manual, here, Some(&steps)),
        }
    };
    groups.into_iter().map(group).collect()
}

struct Gatherer<'a> {
    worked: &'a Worked,
    procedure: &'a Procedure,
    at: At,
    uses: &'a mut Uses,
}

impl Gatherer<'_> {
    /// What a procedure says before its steps and before those of each stage, and the kit that no step names.
    fn before_the_steps(&mut self) {
        let procedure = self.procedure;
        for prose in
            std::iter::once(&procedure.intro).chain(procedure.stages.iter().map(|stage| &stage.prose))
        {
            for seen in Seen::all(prose) {
                self.reference(&seen.reference);
            }
        }
        for used in &procedure.kit_extra {
            self.line(used.store, &used.id);
        }
    }

    fn step(&mut self, step: &Step) {
        for used in step.tools.iter().chain(&step.protection).chain(&step.consumables).chain(&step.parts) {
            self.line(used.store, &used.id);
            if let Some((Amount::Value(reference), _)) = &used.quantity {
                self.reference(reference);
            }
        }
        for hazard in self.worked.hazards_of(step) {
            self.line(Store::Hazards, &hazard.id);
            for protection in hazard.texts("protection") {
                self.line(Store::Protection, protection);
            }
        }
        if let Some(Check::Measured { accept, .. }) = &step.check {
            for limit in accept.limits() {
                if let Amount::Value(reference) = limit {
                    self.reference(reference);
                }
            }
        }
        if let Some(carry) = &step.carry_out {
            self.uses.runs.entry(carry.procedure.clone()).or_default().insert(self.at.clone());
        }
        let own = self.worked.procedures().get(&self.procedure.id);
        for act in own.map(|own| own.route.acts(&step.id)).unwrap_or_default() {
            self.item(&act.item);
        }
        for seen in Seen::all(&step.title).into_iter().chain(Seen::all(&step.prose)) {
            self.reference(&seen.reference);
        }
    }

    fn line(&mut self, store: Store, id: &str) {
        self.uses.lines.entry((store, id.to_owned())).or_default().insert(self.at.clone());
    }

    /// An item brings what it is made of, and a conductor the values of its joint.
    fn item(&mut self, id: &str) {
        self.uses.items.entry(id.to_owned()).or_default().insert(self.at.clone());
        let Some(own) = self.worked.procedures().get(&self.procedure.id) else { return };
        let Some(item) = own.items.get(id) else { return };
        let store = match item.kind() {
            Kind::Conductor => Store::Cables,
            Kind::Connector => Store::Parts,
            _ => Store::Fasteners,
        };
        if let Some(of) = &item.of() {
            self.line(store, of);
        }
        for joint in own.schedule.joints.iter().filter(|joint| joint.conductor == id) {
            for value in joint.roles.iter().filter_map(|role| own.part(id, *role)) {
                self.value(&self.procedure.id, value);
            }
        }
    }

    fn reference(&mut self, reference: &Reference) {
        match self.worked.resolve(Scope::Procedure(&self.procedure.id), reference) {
            Ok(Resolved::Value(owner, value, ..) | Resolved::Refused(owner, value, _)) => {
                self.value(owner, value);
            }
            Ok(Resolved::Table(table)) => self.table(&table.id),
            Ok(Resolved::Cell(table, ..)) => self.table(table),
            Ok(Resolved::Line(line, _)) => self.line(line.store, &line.id),
            _ => {}
        }
    }

    fn table(&mut self, id: &str) {
        self.uses.tables.entry(id.to_owned()).or_default().insert(self.at.clone());
    }

    /// A value brings all that it was worked from.
    fn value(&mut self, owner: &str, value: &WorkedValue) {
        let key = (owner.to_owned(), value.id.clone());
        if !self.uses.values.entry(key).or_default().insert(self.at.clone()) {
            return;
        }
        if let Ok(work) = &value.result {
            let chosen =
                work.outcome.get("sleeve").map(|size| size.shown(crate::quantity::print::Rounding::Exact));
            let ranges =
                work.given.sleeves("from").iter().filter(|sleeve| Some(&sleeve.id) == chosen.as_ref());
            for range in ranges.map(|sleeve| sleeve.range.clone()).collect::<BTreeSet<_>>() {
                self.line(Store::Sleeves, &range);
            }
        }
        for reference in value.references() {
            let here = Scope::Procedure(owner);
            match self.worked.resolve(here, reference) {
                Ok(Resolved::Value(owner, inner, ..)) => self.value(owner, inner),
                Ok(Resolved::Cell(table, ..)) => self.table(table),
                Ok(Resolved::Line(line, _)) if reference.scheme != Scheme::Line(Store::Sleeves) => {
                    self.line(line.store, &line.id);
                }
                _ => {}
            }
        }
    }
}
