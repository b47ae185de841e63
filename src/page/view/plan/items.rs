//! What the work disturbs: conductors, and everything else.

use crate::model::{Kind, Store};
use crate::page::address;
use crate::page::markup::{Element, Markup};
use crate::page::view::plan::{Builder, torque_cell};
use crate::page::view::{Cell, Sheet, shown};
use std::collections::BTreeSet;

impl Builder<'_> {
    /// Conductors that the work disturbs, the colour as written and in words.
    pub(super) fn conductors(&self) -> Option<Sheet> {
        let say = |key: &str| self.manual.theme.say(key);
        let heads =
            ["col_wire", "col_colour", "col_carries", "col_kind", "conductor_end", "col_join", "col_steps"];
        let mut sheet = Sheet::new(say("conductors_title"), heads.map(|key| (say(key), false)).to_vec());
        for item in self.worked.touched(Kind::Conductor) {
            let cable = item.of().and_then(|of| self.manual.worked.parsed().stores().get(Store::Cables, of));
            let kind = cable.map_or_else(Cell::default, |line| {
                let href = address::line(Store::Cables, &line.id).map(|to| address::link(self.here, &to));
                Cell { href, ..Cell::text(line.name.clone()) }
            });
            let joint = self.worked.schedule.of(&item.id);
            let join = joint.map_or_else(Cell::default, |joint| {
                let to = format!("{}#{}", address::join_schedule(&self.procedure.id), item.id);
                let word = self.manual.theme.say(&format!("action_{}", joint.action.word()));
                Cell::link(address::link(self.here, &to), word)
            });
            let ends = item.conductor().map(|own| &own.ends).into_iter().flatten();
            let ends: Vec<&str> = ends.flatten().map(String::as_str).collect();
            sheet.push(
                Some(format!("item--{}", item.id)),
                vec![
                    Cell::text(item.id.clone()),
                    Cell::text(item.colour().map(|c| shown::colour(self.manual, c)).unwrap_or_default()),
                    Cell::text(item.carries().to_owned()),
                    kind,
                    Cell::text(ends.join(" – ")),
                    join,
                    self.steps_of(&item.id),
                ],
            );
        }
        (!sheet.rows.is_empty()).then(|| sheet.without_empty_columns())
    }

    /// Everything else that the work disturbs.
    pub(super) fn items(&self) -> Option<Sheet> {
        let say = |key: &str| self.manual.theme.say(key);
        let heads = [
            ("col_item", false),
            ("col_count", true),
            ("col_kind", false),
            ("col_torque", true),
            ("col_steps", false),
        ];
        let mut sheet =
            Sheet::new(say("items_title"), heads.map(|(key, figures)| (say(key), figures)).to_vec());
        for kind in Kind::ALL.into_iter().filter(|kind| *kind != Kind::Conductor) {
            for item in self.worked.touched(kind) {
                let of =
                    item.of().and_then(|of| self.manual.worked.parsed().stores().get(Store::Fasteners, of));
                let word = say(&format!("kind_{}", kind.noun()));
                let made = of.map_or_else(
                    || Cell::text(word.clone()),
                    |line| {
                        let href =
                            address::line(line.store, &line.id).map(|to| address::link(self.here, &to));
                        Cell { href, ..Cell::text(line.name.clone()) }
                    },
                );
                let torque = shown::torque(self.manual, item).filter(|_| kind.is_fastening());
                let torque = torque.map_or_else(Cell::default, |reading| {
                    let how = format!("{}#{}", address::TORQUE, item.id);
                    torque_cell(self.manual, reading, address::link(self.here, &how))
                });
                let count = if kind.is_fastening() { item.count().to_string() } else { String::new() };
                sheet.push(
                    Some(format!("item--{}", item.id)),
                    vec![
                        Cell::text(item.name.clone()),
                        Cell::text(count),
                        made,
                        torque,
                        self.steps_of(&item.id),
                    ],
                );
            }
        }
        (!sheet.rows.is_empty()).then(|| sheet.without_empty_columns())
    }

    /// The steps of this procedure, in its own numbers, that move an item, those that it carries out too.
    pub(super) fn steps_of(&self, item: &str) -> Cell {
        let moved = self.worked.replay.moves.iter().filter(|moved| moved.item == item);
        let tops: BTreeSet<u32> = moved
            .filter_map(|moved| self.procedure.step(&self.worked.route.legs.get(moved.leg)?.top))
            .map(|step| step.number)
            .collect();
        let links = self
            .procedure
            .steps()
            .filter(|step| tops.contains(&step.number))
            .map(|step| Element::link(&format!("#{}", step.id)).around_text(&step.number.to_string()));
        let links = Markup::joined(links, &Markup::text(", "));
        Cell { html: (!links.is_empty()).then_some(links), ..Cell::default() }
    }
}
