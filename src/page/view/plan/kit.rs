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
        let line = self.manual.worked.parsed().stores().get(kit.store, &kit.id);
        let text = line.map_or_else(|| kit.id.clone(), |line| line.name.clone());
        let href = address::line(kit.store, &kit.id).map(|to| address::link(self.here, &to));
        let keys = ["drive", "range", "size", "number", "pack"];
        let mut notes = line.map(|line| shown::sizes(self.manual, line, &keys)).unwrap_or_default();
        if let Some(price) = line.and_then(|line| line.number("price")) {
            notes.push(format!(
                "{}\u{a0}{}",
                shown::tidy(price),
                self.manual.worked.parsed().shop().currency
            ));
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
            how: None,
        };
        if kit.cuts.is_empty() { vec![whole] } else { self.sleeves(kit, &text, href.as_ref()) }
    }

    /// One line for each size of a range: its pieces, and from how many lengths of the stores they are cut.
    fn sleeves(&self, kit: &crate::work::KitLine, range: &str, href: Option<&String>) -> Vec<KitLine> {
        let mut sizes: Vec<&str> = kit.cuts.iter().map(|(size, ..)| size.as_str()).collect();
        sizes.dedup();
        let line = |size: &str| {
            let pieces = kit.cuts.iter().filter(|(known, ..)| known == size);
            let pieces = pieces.map(|(_, length, count)| {
                format!("{count} × {}\u{a0}mm", number(*length, Rounding::LengthUp))
            });
            let cutting = kit.cutting.iter().filter(|(known, ..)| known == size);
            let lengths: Vec<String> =
                cutting.clone().filter_map(|(_, owner, value)| self.lengths(owner, value)).collect();
            let how = cutting.clone().next().map(|(_, owner, value)| address::value(owner, value));
            KitLine {
                key: format!("{}-{}-{size}", kit.store.file(), kit.id),
                href: href.cloned(),
                text: format!("{range}, {size}"),
                quantity: Some(pieces.collect::<Vec<_>>().join(" + ")),
                note: (!lengths.is_empty()).then(|| lengths.join("; ")),
                how: how.map(|to| address::link(self.here, &to)).filter(|_| !lengths.is_empty()),
            }
        };
        sizes.into_iter().map(line).collect()
    }

    /// `1 length of 1.2 m`: what a cutting value takes from the stores.
    fn lengths(&self, owner: &str, value: &str) -> Option<String> {
        let value = self.manual.worked.procedures().get(owner)?.value(value)?;
        let work = value.result.as_ref().ok()?;
        let needed = work.outcome.number("lengths-needed")?;
        let stock = work.given.measure("stock")?.value;
        let stock = format!("{}\u{a0}mm", number(stock, Rounding::Exact));
        // A count of lengths is a small whole number.
        let needed = needed.round() as u64;
        Some(self.manual.theme.say_count("kit_lengths", needed).replace("{what}", &stock))
    }
}
