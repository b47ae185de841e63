//! The kit to lay out before starting.

use crate::model::Store;
use crate::page::address;
use crate::page::view::plan::{Builder, KitGroup, KitLine, rounded_up};
use crate::page::view::shown;
use crate::quantity::print::{Rounding, number};

impl Builder<'_> {
    pub(super) fn kit(&self) -> Vec<KitGroup> {
        const GROUPS: [(Store, &str, bool); 7] = [
            (Store::Tools, "kit_tools", true),
            (Store::Protection, "kit_protection", true),
            (Store::Consumables, "kit_consumables", false),
            (Store::Sleeves, "kit_sleeves", false),
            (Store::Fasteners, "kit_fasteners", false),
            (Store::Cables, "kit_cables", false),
            (Store::Parts, "kit_parts", false),
        ];
        let groups = GROUPS.into_iter().map(|(store, key, returns)| KitGroup {
            title: self.manual.theme.say(key),
            returns,
            lines: self.worked.kit.of(store).flat_map(|line| self.kit_lines(line)).collect(),
        });
        // That no tool, consumable or part is needed is said; of the rest, nothing is nothing.
        let said = |title: &str| {
            ["kit_tools", "kit_consumables", "kit_parts"]
                .iter()
                .any(|key| title == self.manual.theme.say(key))
        };
        groups.filter(|group| !group.lines.is_empty() || said(&group.title)).collect()
    }

    pub(super) fn kit_lines(&self, kit: &crate::work::KitLine) -> Vec<KitLine> {
        let line = self.manual.worked.parsed.stores.get(kit.store, &kit.id);
        let text = line.map_or_else(|| kit.id.clone(), |line| line.name.clone());
        let href = address::line(kit.store, &kit.id).map(|to| address::link(self.here, &to));
        let keys = ["drive", "range", "size", "number", "pack"];
        let mut notes = line.map(|line| shown::sizes(self.manual, line, &keys)).unwrap_or_default();
        if let Some(price) = line.and_then(|line| line.number("price")) {
            notes.push(format!("{}\u{a0}{}", shown::tidy(price), self.manual.worked.parsed.shop.currency));
        }
        let note = (!notes.is_empty()).then(|| notes.join(", "));
        let quantities: Vec<String> =
            kit.quantities.iter().map(|quantity| rounded_up(self.manual, quantity)).collect();
        let whole = KitLine {
            key: format!("{}-{}", kit.store.file(), kit.id),
            href: href.clone(),
            text: text.clone(),
            quantity: (!quantities.is_empty()).then(|| quantities.join(" + ")),
            note,
        };
        let cuts = kit.cuts.iter().map(|(size, length, count)| KitLine {
            key: format!("{}-{}-{size}-{length:.0}", kit.store.file(), kit.id),
            href: href.clone(),
            text: format!("{text}, {size}"),
            quantity: Some(format!("{count} × {}\u{a0}mm", number(*length, Rounding::LengthUp))),
            note: None,
        });
        if kit.cuts.is_empty() { vec![whole] } else { cuts.collect() }
    }
}
