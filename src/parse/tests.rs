//! What the format declares of front matter, of a step's block and of a table is what is read.

use super::{front, step, tables};
use crate::finding::{FileId, Finding, Sink};
use crate::model::format::procedure::PROCEDURE;
use crate::model::format::step::STEP;
use crate::model::format::table::TABLE;
use crate::model::{Form, Key, Otherwise, Place, Prose, Step, Target, Turn};
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

fn procedure(other: &str, value: &str) -> String {
    format!("---\n{}---\n\n## Work\n\n### Look\n", written(PROCEDURE, other, value))
}

fn front_matter(other: &str, value: &str) -> Vec<Finding> {
    let mut sink = Sink::new();
    let text = procedure(other, value);
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
    assert_eq!(
        full.does.iter().map(|deed| &deed.on).collect::<Vec<_>>(),
        [&Target::Item("screws".to_owned())]
    );
    assert_eq!(full.needs_off.unwrap()[0].0, "supply");
    assert_eq!(full.figures[0].0, "a.svg");
    assert_eq!(full.carry_out.unwrap().procedure, "lining");
    for wrong in ["tools: [part:plug]", "does: [remove: part:plug]", "messages: [tool:driver]"] {
        let (_, found) = block(wrong);
        assert_eq!(found.len(), 1, "{wrong}: {found:?}");
        assert_eq!(found[0].code.0, "DOC-03", "{wrong}: {found:?}");
    }
}

#[test]
fn a_verb_takes_an_item_a_list_a_group_or_a_loom() {
    let (read, found) = block(
        "does: [cut: tail-feed, join: [tail-feed, 'item:plate-feed'], sleeve-on: loom:rear-door, \
         remove: '{side}-screws']\n",
    );
    assert_eq!(found, []);
    let item = |id: &str| Target::Item(id.to_owned());
    let on: Vec<Target> = read.does.into_iter().map(|deed| deed.on).collect();
    let loom = Target::Loom("rear-door".to_owned());
    assert_eq!(on, [item("tail-feed"), item("tail-feed"), item("plate-feed"), loom, item("{side}-screws")]);
    for wrong in ["does: [sleeve-on: 'loom:Rear Door']", "does: [sleeve-on: 'loom:']"] {
        let (read, found) = block(wrong);
        assert_eq!((read.does.len(), found.len()), (0, 1), "{wrong}: {found:?}");
    }
}

#[test]
fn a_branch_leads_to_a_step_or_ends_the_job() {
    let step = |id: &str| Turn::Step(id.to_owned());
    let (read, found) = block(
        "choose: [{when: A, then: step:renew}, {when: B, then: renew}, {when: C, then: stop}, \
         {when: D, then: 'step:stop'}]\nwithin: {time: 5 min, otherwise: stop}\n",
    );
    assert_eq!(found, []);
    let turns: Vec<Turn> = read.choose.into_iter().map(|choice| choice.then).collect();
    assert_eq!(turns, [step("renew"), step("renew"), Turn::Stop, step("stop")]);
    assert_eq!(read.within.unwrap().1, Some(Otherwise::Turn(Turn::Stop)));
    for (written, wanted) in [
        ("stop", Otherwise::Turn(Turn::Stop)),
        ("join-again", Otherwise::Turn(step("join-again"))),
        ("step:join-again", Otherwise::Turn(step("join-again"))),
        ("Ask the lead", Otherwise::Words("Ask the lead".to_owned())),
        ("Stop", Otherwise::Words("Stop".to_owned())),
    ] {
        let (read, found) =
            block(&format!("check: {{measure: Drop, accept: at most 50 mV, otherwise: '{written}'}}"));
        assert_eq!(found, [], "{written}");
        let Some(crate::model::Check::Measured { otherwise, .. }) = read.check else { panic!("{written}") };
        assert_eq!(otherwise.map(|(otherwise, _)| otherwise), Some(wanted), "{written}");
    }
    for wrong in ["Go on", "tool:driver", "step:a.b", "'step:Not An Id'"] {
        let (read, found) = block(&format!("choose: [{{when: A, then: {wrong}}}]"));
        assert_eq!((read.choose.len(), found.len()), (0, 1), "{wrong}: {found:?}");
    }
}

/// A control character costs what stands around it nothing, and is told with its place.
#[test]
fn a_control_character_is_told_and_what_stands_around_it_is_read() {
    let text = procedure("", "").replace("### Look\n", "### Look\u{7}here\n\nA\u{85}b\0\n");
    let shop = "id: shop\nname: A Shop\nlanguage: en\n".to_owned();
    let files = [("shop.yaml", shop), ("job.md", text.clone())];
    let held = files.map(|(path, text)| (path.to_owned(), crate::source::Content::Text(text)));
    let mut sink = Sink::new();
    let parsed = super::parse(&crate::source::Source::held(held), &mut sink);
    let told: Vec<usize> = sink
        .into_sorted()
        .iter()
        .filter(|found| found.code.0 == "SRC-01")
        .filter_map(|found| Some(found.span?.start))
        .collect();
    let places = ['\u{7}', '\u{85}', '\0'].map(|letter| text.find(letter).unwrap());
    assert_eq!(told, places);
    let steps: Vec<&str> =
        parsed.procedures().values().flat_map(|job| job.steps()).map(|step| step.heading.as_str()).collect();
    assert_eq!(steps, ["Look here"]);
}
