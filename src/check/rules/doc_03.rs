//! DOC-03: every link, figure and id resolves; every figure has a text alternative and a mention.

use crate::check::reading::{Read, Reading};
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink, nearest, write};
use crate::model::{Figure, Form, Item, Message, Place, Procedure, Scheme, Store};
use crate::parse::span;
use crate::phrase::{Phrase, phrase};
use crate::work::{Scope, Worked};
use std::collections::BTreeSet;

/// The rule DOC-03.
pub(super) struct Doc03;

static PAGE: Page = Page {
    code: Code("DOC-03"),
    severity: Severity::Error,
    rule: "every link, figure and id resolves; every figure has a text alternative and a mention",
    why: "A link that leads nowhere sends a reader with dirty hands to look for it; a drawing without words is lost on paper and to a screen reader.",
    source: "common practice; WCAG 2.2, 1.1.1",
    fails: "Undo the screws as <step:no-such-step> says.",
    passes: "Undo the screws as <step:take-out-the-screws> says.",
};

impl Rule for Doc03 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        stores(reading.worked, sink);
        for vehicle in reading.worked.parsed().vehicles().values() {
            for item in vehicle.items.values() {
                let known = |id: &str| vehicle.items.contains_key(id);
                let near =
                    |id: &str| nearest(id, vehicle.items.keys().map(String::as_str)).map(str::to_owned);
                item_ids(reading.worked, item, &known, &near, None, sink);
            }
        }
        releases(reading.worked, sink);
        for read in &reading.procedures {
            front(reading.worked, read.procedure, sink);
            prose(reading.worked, read, sink);
            messages(reading.worked, read.procedure, sink);
            figures(reading.worked, read, sink);
        }
    }
}

/// What an id names.
#[derive(Clone, Copy)]
enum Thing {
    Item,
    Energy,
    Vehicle,
    Figure,
    Line(Store),
}

impl Thing {
    /// That it is not there.
    fn missing(self, id: &str) -> Phrase {
        let what = match self {
            Thing::Item => phrase!("item"),
            Thing::Energy => phrase!("energy"),
            Thing::Vehicle => return phrase!("there is no vehicle `{id}`", id = id),
            Thing::Figure => phrase!("figure"),
            Thing::Line(Store::Protection) => phrase!("piece of protection"),
            Thing::Line(store) => Phrase::bare(store.noun()),
        };
        phrase!("there is no {what} `{id}`", what = what, id = id)
    }

    /// Where it is declared.
    fn home(self, id: &str) -> Phrase {
        match self {
            Thing::Item | Thing::Energy => phrase!("declare it in the vehicle's file, or under `items`"),
            Thing::Vehicle => phrase!("add `vehicles/{id}.yaml`", id = id),
            Thing::Figure => phrase!("put the drawing or the photograph into figures/"),
            Thing::Line(store) => phrase!("add it to stores/{file}.yaml", file = store.file()),
        }
    }
}

fn missing(
    what: Thing,
    id: &str,
    place: Place,
    near: Option<&str>,
    procedure: Option<&str>,
    sink: &mut Sink,
) {
    let mut finding = PAGE
        .finding(what.missing(id))
        .at(span(place), phrase!("not declared"))
        .help(near.map_or_else(|| what.home(id), write));
    if let Some(procedure) = procedure {
        finding = finding.in_procedure(procedure);
    }
    sink.push(finding);
}

/// What was published and is no longer there: an old bookmark leads nowhere.
fn releases(worked: &Worked, sink: &mut Sink) {
    let procedures = worked.parsed().procedures();
    for (id, release) in worked.parsed().releases().iter().filter(|(id, _)| !procedures.contains_key(*id)) {
        let near = nearest(id, procedures.keys().map(String::as_str)).map_or_else(
            || {
                phrase!("keep it with `status: withdrawn`, so that old bookmarks are stopped, or take this line out")
            },
            write,
        );
        sink.push(
            PAGE.finding(phrase!("there is no procedure `{id}`, and it was released", id = id))
                .at(span(release.place), phrase!("not in the manual"))
                .help(near),
        );
    }
}

/// Ids by which lines of the stores name one another.
fn stores(worked: &Worked, sink: &mut Sink) {
    let stores = worked.parsed().stores();
    for store in Store::ALL {
        for line in stores.lines(store) {
            for key in store.keys() {
                let Form::References(schemes) = key.form else { continue };
                let Some(Figure::Texts(ids)) = line.figure(key.name) else { continue };
                let Some(other) = schemes.iter().find_map(|scheme| Store::of_word(scheme)) else { continue };
                for (id, place) in ids.iter().filter(|(id, _)| stores.get(other, id).is_none()) {
                    missing(Thing::Line(other), id, *place, nearest(id, stores.ids(other)), None, sink);
                }
            }
        }
    }
}

/// The table of the stores that an item's `of` names.
fn made_of(item: &Item) -> &'static [Store] {
    use crate::model::Kind;
    match item.kind() {
        Kind::Conductor => &[Store::Cables],
        Kind::Fastener | Kind::Clip | Kind::Tie | Kind::Grommet => &[Store::Fasteners, Store::Parts],
        _ => &[Store::Parts, Store::Fasteners, Store::Tools, Store::Consumables],
    }
}

fn item_ids(
    worked: &Worked,
    item: &Item,
    known: &dyn Fn(&str) -> bool,
    near: &dyn Fn(&str) -> Option<String>,
    procedure: Option<&str>,
    sink: &mut Sink,
) {
    let at = |key: &str| item.said.get(key).copied().unwrap_or(item.place);
    let stores = worked.parsed().stores();
    if let Some(of) = item.of()
        && made_of(item).iter().all(|store| stores.get(*store, of).is_none())
    {
        let ids = made_of(item).iter().flat_map(|store| stores.ids(*store));
        if let Some(store) = made_of(item).first() {
            missing(Thing::Line(*store), of, at("of"), nearest(of, ids), procedure, sink);
        }
    }
    let holds = item.holds().into_iter().map(|id| ("holds", id));
    let hides = item.hides().iter().map(|id| ("hides", id.as_str()));
    let loses = item.loses().iter().map(|id| ("loses", id.as_str()));
    for (key, id) in holds.chain(hides).chain(loses).filter(|(_, id)| !known(id)) {
        missing(Thing::Item, id, at(key), near(id).as_deref(), procedure, sink);
    }
    let Some(conductor) = item.conductor() else { return };
    for (id, place) in conductor.services.iter().filter(|(id, _)| stores.get(Store::Services, id).is_none()) {
        missing(
            Thing::Line(Store::Services),
            id,
            *place,
            nearest(id, stores.ids(Store::Services)),
            procedure,
            sink,
        );
    }
    ranges(worked, &conductor.join.from, procedure, sink);
}

fn ranges(worked: &Worked, from: &[(String, Place)], procedure: Option<&str>, sink: &mut Sink) {
    let stores = worked.parsed().stores();
    for (id, place) in from.iter().filter(|(id, _)| stores.get(Store::Sleeves, id).is_none()) {
        missing(
            Thing::Line(Store::Sleeves),
            id,
            *place,
            nearest(id, stores.ids(Store::Sleeves)),
            procedure,
            sink,
        );
    }
}

fn front(worked: &Worked, procedure: &Procedure, sink: &mut Sink) {
    let id = Some(procedure.id.as_str());
    let vehicles = worked.parsed().vehicles();
    for applies in procedure.applies_to.iter().filter(|applies| !vehicles.contains_key(&applies.vehicle)) {
        let near = nearest(&applies.vehicle, vehicles.keys().map(String::as_str));
        missing(Thing::Vehicle, &applies.vehicle, applies.place, near, id, sink);
    }
    let Some(known) = worked.procedures().get(&procedure.id) else { return };
    let near = |id: &str| nearest(id, known.items.keys().map(String::as_str)).map(str::to_owned);
    for item in procedure.items.values() {
        item_ids(worked, item, &|id| known.items.contains_key(id), &near, id, sink);
    }
    ranges(worked, &procedure.join_as.from, id, sink);
    for (item, (_, place)) in procedure.leaves.iter().chain(&procedure.expects) {
        if !known.items.contains_key(item) {
            missing(Thing::Item, item, *place, near(item).as_deref(), id, sink);
        }
    }
    for (step, ids) in procedure.steps().filter_map(|step| Some((step, step.needs_off.as_ref()?))) {
        for (item, place) in ids.iter().filter(|(item, _)| !known.items.contains_key(item)) {
            let mut finding = Sink::new();
            missing(Thing::Energy, item, *place, near(item).as_deref(), id, &mut finding);
            finding.into_sorted().into_iter().for_each(|found| sink.push(found.in_step(&step.id)));
        }
    }
}

fn prose(worked: &Worked, read: &Read<'_>, sink: &mut Sink) {
    let scope = Scope::Procedure(&read.procedure.id);
    for passage in &read.passages {
        for seen in &passage.seen {
            if let Err(lost) = worked.resolve(scope, &seen.reference) {
                let finding = PAGE.finding(lost.message).help_if(lost.help);
                sink.push(read.at(finding, seen.place, phrase!("leads nowhere"), passage.step));
            }
        }
    }
}

fn messages(worked: &Worked, procedure: &Procedure, sink: &mut Sink) {
    let stores = worked.parsed().stores();
    for step in procedure.steps() {
        for message in &step.messages {
            if let Message::Hazard(id, place) = message
                && stores.get(Store::Hazards, id).is_none()
            {
                let near = nearest(id, stores.ids(Store::Hazards));
                missing(Thing::Line(Store::Hazards), id, *place, near, Some(&procedure.id), sink);
            }
        }
    }
}

/// Figures of steps: there, with words for what they show, and mentioned.
fn figures(worked: &Worked, read: &Read<'_>, sink: &mut Sink) {
    let (known, procedure) = (worked.parsed().figures(), read.procedure);
    let mentioned: BTreeSet<&String> = read
        .passages
        .iter()
        .flat_map(|passage| &passage.seen)
        .filter(|seen| seen.reference.scheme == Scheme::Figure)
        .map(|seen| &seen.reference.id)
        .collect();
    for step in procedure.steps() {
        for (name, alternative, place) in &step.figures {
            let finding = match known.get(name) {
                None => {
                    let near = nearest(name, known.keys().map(String::as_str));
                    missing(Thing::Figure, name, *place, near, Some(&procedure.id), sink);
                    continue;
                }
                Some(figure) if figure.sound && alternative.is_none() && figure.title.is_none() => PAGE
                    .finding(phrase!("the figure `{name}` has no words for what it shows", name = name))
                    .help(phrase!(
                        "write `{line}`, or give the SVG a title",
                        line = format!("{{figure: {name}, alt: …}}")
                    )),
                Some(_) if !mentioned.contains(name) => PAGE
                    .finding(phrase!("the figure `{name}` is not mentioned", name = name))
                    .help(phrase!("write `<figure:{name}>` in the text that it belongs to", name = name)),
                Some(_) => continue,
            };
            sink.push(
                finding
                    .at(span(*place), phrase!("this figure"))
                    .in_procedure(&procedure.id)
                    .in_step(&step.id),
            );
        }
    }
}
