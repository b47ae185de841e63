//! What the format declares of front matter, of a step's block and of a table is what is read.

use super::{front, step, tables};
use crate::finding::{FileId, Finding, Sink};
use crate::model::format::procedure::PROCEDURE;
use crate::model::format::step::STEP;
use crate::model::format::table::TABLE;
use crate::model::{Form, Key, Place, Prose, Step};
use crate::quantity::Bound;
use std::fmt::Write as _;

/// Keys with their examples, one of them written otherwise, or left out where that is empty.
fn written(keys: &[Key], other: &str, value: &str) -> String {
    let mut text = String::new();
    for key in keys {
        let value = if key.name == other { value } else { key.example };
        if !value.is_empty() {
            let _ = writeln!(text, "{}: {value}", key.name);
        }
    }
    text
}

fn block(text: &str) -> (Step, Vec<Finding>) {
    let nothing = Prose { text: String::new(), place: Place::default() };
    let mut read = step::bare("a".into(), 1, nothing, "A".into(), Place::default());
    let mut sink = Sink::new();
    step::fill(&mut read, FileId(0), text, &(0..text.len()), &mut sink);
    (read, sink.into_sorted())
}

fn front_matter(other: &str, value: &str) -> Vec<Finding> {
    let mut sink = Sink::new();
    let text = format!("---\n{}---\n\n## Work\n\n### Look\n", written(PROCEDURE, other, value));
    front::read(FileId(0), &text, &mut sink);
    sink.into_sorted()
}

fn table(other: &str, value: &str) -> Vec<Finding> {
    let mut sink = Sink::new();
    tables::read(FileId(0), &written(TABLE, other, value), &mut sink);
    sink.into_sorted()
}

#[test]
fn the_example_of_every_key_is_read() {
    assert_eq!(block(&written(STEP, "", "")).1, []);
    assert_eq!(front_matter("", ""), []);
    assert_eq!(table("", ""), []);
}

#[test]
fn keys_that_are_required_are_missed_and_no_other() {
    type Read = fn(&str, &str) -> Vec<Finding>;
    let step: Read = |other, value| block(&written(STEP, other, value)).1;
    for (keys, read) in [(PROCEDURE, front_matter as Read), (TABLE, table as Read), (STEP, step)] {
        for key in keys {
            let found = read(key.name, "");
            assert_eq!(found.len(), usize::from(key.required), "`{}`: {found:?}", key.name);
            assert!(found.iter().all(|found| found.headline.contains(key.name)), "{found:?}");
        }
    }
}

#[test]
fn minutes_and_people_have_a_least_and_a_greatest() {
    for key in STEP {
        let (bound, step) = match key.form {
            Form::Number(bound) => (bound, 0.5),
            Form::Count(greatest) => (Bound::from(1.0, f64::from(greatest)), 1.0),
            _ => continue,
        };
        for value in [bound.least - step, bound.least, bound.greatest, bound.greatest + step] {
            let (_, found) = block(&format!("{}: {value}\n", key.name));
            assert_eq!(found.is_empty(), bound.holds(value), "{}: {value}: {found:?}", key.name);
        }
    }
}

#[test]
fn a_full_reference_in_a_step_is_the_bare_id() {
    let (full, found) = block(
        "does: [remove: item:screws]\ntools: [tool:driver]\nprotection: [protection:eye]\nparts: [part:plug]\n\
         consumables: [{of: consumable:tape}]\nneeds-off: [item:supply]\nmessages: [hazard:hot-air]\n\
         figures: [figure:a.svg]\ncarry-out: procedure:lining/strip\n",
    );
    assert_eq!(found, []);
    let uses = full.tools.iter().chain(&full.protection).chain(&full.parts).chain(&full.consumables);
    assert_eq!(uses.map(|used| used.id.as_str()).collect::<Vec<_>>(), ["driver", "eye", "plug", "tape"]);
    assert_eq!(full.does.iter().map(|act| act.item.as_str()).collect::<Vec<_>>(), ["screws"]);
    assert_eq!(full.needs_off.unwrap()[0].0, "supply");
    assert_eq!(full.figures[0].0, "a.svg");
    assert_eq!(full.carry_out.unwrap().procedure, "lining");
    for wrong in ["tools: [part:plug]", "does: [remove: part:plug]", "messages: [tool:driver]"] {
        let (_, found) = block(wrong);
        assert_eq!(found.len(), 1, "{wrong}: {found:?}");
        assert_eq!(found[0].code.0, "DOC-03", "{wrong}: {found:?}");
    }
}
