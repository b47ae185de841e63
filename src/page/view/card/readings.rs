//! What is set large: counts and torques of what is driven, and the values that the text names.

use crate::ledger::Moved;
use crate::model::{Check, Item, State, Store};
use crate::page::address;
use crate::page::view::Reading;
use crate::page::view::card::Builder;
use crate::page::view::figures::references;
use crate::page::view::shown::{self, Shown};
use crate::work::{Resolved, Scope, WorkedValue};

impl Builder<'_> {
    /// Counts and torques of what is driven, then the values that the text names.
    pub(super) fn readings(&self) -> Vec<Reading> {
        let mut readings = Vec::new();
        for moved in self.own_moves() {
            let Some(item) = self.worked.items.get(&moved.item).filter(|item| item.kind().is_fastening())
            else {
                continue;
            };
            readings.push(self.count(item, moved));
            if moved.to == State::Tight
                && let Some(torque) = shown::torque(self.manual, item)
            {
                let how = Some(self.link(&format!("{}#{}", address::TORQUE, item.id)));
                readings.push(Reading { how, ..torque });
            }
        }
        for reference in references(&[&self.step.title, &self.step.prose]) {
            let scope = Scope::Procedure(&self.procedure.id);
            let Ok(Resolved::Value(owner, value, name, shown)) =
                self.manual.worked.resolve(scope, &reference)
            else {
                continue;
            };
            let (rounding, _) = shown::output(&value.working, name);
            let reading = Reading {
                how: Some(self.link(&address::value(owner, &value.id))),
                ..Shown::value(self.manual, shown, rounding).reading(self.value_label(owner, value, name))
            };
            if !readings
                .iter()
                .any(|known: &Reading| known.how == reading.how && known.label == reading.label)
            {
                readings.push(reading);
            }
        }
        readings
    }

    pub(super) fn count(&self, item: &Item, moved: &Moved) -> Reading {
        let line = item.of().and_then(|of| self.manual.worked.parsed().stores().get(Store::Fasteners, of));
        let drive = line.and_then(|line| line.text("drive"));
        let made = line.map(|line| line.name.clone());
        let note: Vec<String> =
            made.into_iter().chain(drive.map(|drive| shown::word(self.manual, drive))).collect();
        Reading {
            label: item.name.clone(),
            number: format!("×\u{2009}{}", moved.count),
            note: (!note.is_empty()).then(|| note.join(", ")),
            ..Reading::default()
        }
    }

    /// What a value is called on a card: its conductor's name or its own, and which output.
    pub(super) fn value_label(&self, owner: &str, value: &WorkedValue, output: &str) -> String {
        let items = self.manual.worked.procedures().get(owner).map(|known| &known.items);
        let (name, rest) = match &value.part {
            Some(part) => {
                let item = part.conductor().and_then(|conductor| items?.get(conductor));
                let (first, rest) = part.halves();
                (item.map_or_else(|| first.replace('-', " "), |item| item.name.clone()), rest)
            }
            None => (value.id.replace('-', " "), ""),
        };
        let rest = if rest.is_empty() || rest == output {
            String::new()
        } else {
            format!(", {}", shown::role(self.manual, rest))
        };
        if name == output.replace('-', " ") {
            return name;
        }
        format!("{name}{rest}: {}", shown::output_name(self.manual, &value.working, output))
    }

    /// How many fastenings the step moves, where it counts them.
    pub(super) fn counted(&self) -> Option<u32> {
        if !matches!(self.step.check, Some(Check::Counted(_))) {
            return None;
        }
        let counts = self.own_moves().filter(|moved| {
            self.worked.items.get(&moved.item).is_some_and(|item| item.kind().is_fastening())
        });
        Some(counts.map(|moved| moved.count).sum())
    }
}
