//! What stands before the action: hazards, and what to take to it and wear.

use crate::model::{Store, Use};
use crate::page::address;
use crate::page::view::Panel;
use crate::page::view::card::{Builder, Need, full, hazard_panel};
use crate::page::view::shown::{self, Shown};
use crate::work::Scope;
use std::collections::BTreeSet;

impl Builder<'_> {
    /// Messages written at the step, then those that its tools, consumables and parts bring; those of the
    /// steps that it carries out too, since their action happens here.
    pub(super) fn panels(&self) -> Vec<Panel> {
        let mut panels: BTreeSet<Panel> = BTreeSet::new();
        for step in self.steps() {
            panels.extend(step.messages.iter().filter_map(|message| full(self.manual, message)));
            for hazard in self.manual.worked.hazards_of(step) {
                let href = address::line(Store::Hazards, &hazard.id).map(|to| self.link(&to));
                panels.insert(Panel { href, ..hazard_panel(self.manual, hazard) });
            }
        }
        panels.into_iter().collect()
    }

    pub(super) fn needs(&self) -> Vec<Need> {
        let mut needs: Vec<Need> = Vec::new();
        let mut keep = |need: Need| {
            if !needs.iter().any(|known| known.text == need.text && known.quantity == need.quantity) {
                needs.push(need);
            }
        };
        for step in self.steps() {
            for used in step.tools.iter().chain(&step.parts).chain(&step.consumables) {
                keep(self.need(used));
            }
        }
        for step in self.steps() {
            let worn = step.protection.iter().map(|used| used.id.as_str());
            let hazards = self.manual.worked.hazards_of(step);
            let brought = hazards.iter().flat_map(|hazard| hazard.texts("protection"));
            for id in worn.chain(brought) {
                let line = self.manual.worked.parsed().stores().get(Store::Protection, id);
                keep(Need {
                    href: address::line(Store::Protection, id).map(|to| self.link(&to)),
                    text: line.map_or_else(|| id.to_owned(), |line| line.name.clone()),
                    size: None,
                    quantity: None,
                    wear: true,
                });
            }
        }
        needs
    }

    pub(super) fn need(&self, used: &Use) -> Need {
        let line = self.manual.worked.parsed().stores().get(used.store, &used.id);
        let amount = used
            .quantity
            .as_ref()
            .and_then(|(run, _)| self.manual.worked.amount(Scope::Procedure(&self.procedure.id), run));
        let keys = ["drive", "size", "range", "number"];
        let size = line.map(|line| shown::sizes(self.manual, line, &keys)).unwrap_or_default();
        Need {
            href: address::line(used.store, &used.id).map(|to| self.link(&to)),
            text: line.map_or_else(|| used.id.clone(), |line| line.name.clone()),
            size: size.into_iter().next(),
            quantity: amount.map(|quantity| {
                let mut shown = Shown::quantity(self.manual, &quantity);
                if quantity.written.is_empty() {
                    shown.number = shown::up(quantity.value);
                }
                shown.text()
            }),
            wear: false,
        }
    }

    pub(super) fn needs_off(&self) -> Option<String> {
        let named = self.step.needs_off.as_ref().filter(|named| !named.is_empty())?;
        let names = named
            .iter()
            .map(|(id, _)| self.worked.items.get(id).map_or_else(|| id.clone(), |item| item.name.clone()));
        Some(names.collect::<Vec<_>>().join(", "))
    }
}
