//! A step card: hazards, tools and sizes, counts and torques, text, figures, check; all that the step needs.

mod conductors;
mod needs;
mod readings;
mod ways;

use crate::ledger::Moved;
use crate::model::{Item, Kind, Message, Procedure, State, Step, Verb};
use crate::page::markup::Markup;
use crate::page::view::figures::Figures;
use crate::page::view::prose::Writer;
use crate::page::view::shown::{self, Shown};
use crate::page::view::{Drawing, Panel, Reading, Sheet};
use crate::page::{Manual, address};
use crate::work::{Leg, WorkedProcedure};
use serde::Serialize;
use std::collections::BTreeSet;
use ways::{Checked, Choice, Halt};

/// A step.
#[derive(Debug, Serialize)]
pub struct Card {
    /// Its id.
    pub id: String,
    /// Its number.
    pub number: u32,
    /// Its title in plain words.
    pub heading: String,
    title: Markup,
    /// What can hurt, gravest first.
    pub panels: Vec<Panel>,
    needs: Vec<Need>,
    needs_off: Option<String>,
    readings: Vec<Reading>,
    table: Option<Sheet>,
    behind: Vec<Behind>,
    moves: Vec<Move>,
    prose: Markup,
    carry: Option<Carry>,
    figures: Vec<Drawing>,
    wait: Option<Timed>,
    within: Option<Timed>,
    check: Option<Checked>,
    choices: Vec<Choice>,
    halt: Option<Halt>,
    records: Vec<Record>,
    waivers: Vec<Waived>,
    minutes: Option<String>,
    people: Option<u32>,
    safety: bool,
    count: Option<u32>,
}

/// A tool, protection, consumable or part.
#[derive(Debug, PartialEq, Serialize)]
struct Need {
    href: Option<String>,
    text: String,
    size: Option<String>,
    quantity: Option<String>,
    wear: bool,
}

/// What a step does to an item: a sentence with a link in it.
#[derive(Debug, Serialize)]
struct Move {
    before: String,
    after: String,
    href: Option<String>,
    text: String,
    count: Option<u32>,
    to: Option<String>,
}

/// A procedure that is carried out here.
#[derive(Debug, Serialize)]
struct Carry {
    href: String,
    text: String,
    note: Option<String>,
    legs: Vec<Part>,
}

/// One step of it.
#[derive(Debug, Serialize)]
struct Part {
    id: String,
    href: String,
    text: String,
    moves: Vec<Move>,
    halt: Option<Halt>,
}

/// What must be done behind a panel before it goes back.
#[derive(Debug, Serialize)]
struct Behind {
    text: String,
    href: Option<String>,
    number: u32,
}

#[derive(Debug, Serialize)]
struct Timed {
    text: String,
    note: Option<Markup>,
}

#[derive(Debug, Serialize)]
struct Record {
    text: String,
    unit: Option<String>,
}

#[derive(Debug, Serialize)]
struct Waived {
    rule: String,
    reason: String,
    by: String,
}

struct Builder<'a> {
    manual: &'a Manual<'a>,
    here: &'a str,
    procedure: &'a Procedure,
    worked: &'a WorkedProcedure,
    step: &'a Step,
    /// The step's own leg first, then those that it carries out.
    legs: Vec<(usize, &'a Leg)>,
}

/// The card of a step.
pub fn card(
    manual: &Manual<'_>,
    here: &str,
    procedure: &Procedure,
    worked: &WorkedProcedure,
    step: &Step,
    figures: &Figures,
) -> Card {
    let legs = worked.route.at(&step.id).collect();
    let builder = Builder { manual, here, procedure, worked, step, legs };
    let writer = Writer { manual, procedure: &procedure.id, here, prefix: &step.id, figures: Some(figures) };
    let table = conductors::table(&builder);
    let moves = builder.own_moves().filter(|moved| table.is_none() || !builder.is_conductor(moved));
    let moves = moves.map(|moved| builder.moved(moved)).collect();
    Card {
        id: step.id.clone(),
        number: step.number,
        heading: step.heading.clone(),
        title: writer.line(&step.title),
        panels: builder.panels(),
        needs: builder.needs(),
        needs_off: builder.needs_off(),
        readings: builder.readings(),
        table,
        behind: builder.behind(),
        moves,
        prose: writer.blocks(&step.prose),
        carry: builder.carry(),
        figures: figures.of(manual, here, &step.id),
        wait: step.wait.as_ref().map(|(time, source, _)| Timed {
            text: Shown::quantity(manual, time).text(),
            note: source.as_deref().map(|source| Markup::text(&builder.source(source))),
        }),
        within: step.within.as_ref().map(|(time, otherwise, _)| Timed {
            text: Shown::quantity(manual, time).text(),
            note: otherwise.as_ref().map(|words| {
                let otherwise = Markup::text(&format!("{} ", manual.theme.say("otherwise")));
                otherwise.then(&ways::otherwise(&writer, words)).then(&Markup::text("."))
            }),
        }),
        check: builder.check(&writer),
        choices: builder.choices(),
        halt: builder.legs.first().filter(|(_, leg)| leg.depth == 0).and_then(|(at, _)| builder.halt(*at)),
        records: step
            .record
            .iter()
            .map(|record| Record { text: record.ask.clone(), unit: record.unit.clone() })
            .collect(),
        waivers: step
            .waivers
            .iter()
            .map(|waiver| Waived {
                rule: waiver.rule.clone(),
                reason: waiver.reason.trim_end_matches('.').to_owned(),
                by: waiver.by.clone(),
            })
            .collect(),
        minutes: builder.minutes(),
        people: step.people.filter(|people| *people > 1),
        safety: builder
            .own_moves()
            .any(|moved| worked.items.get(&moved.item).is_some_and(|item| item.safety)),
        count: builder.counted(),
    }
}

impl<'a> Builder<'a> {
    fn say(&self, key: &str) -> String {
        self.manual.theme.say(key)
    }

    fn link(&self, to: &str) -> String {
        address::link(self.here, to)
    }

    fn source(&self, source: &str) -> String {
        let key = if shown::is_unverified(source) { "unverified" } else { "source_is" };
        self.manual.theme.say_what(key, source)
    }

    /// The moves of the step itself.
    fn own_moves(&self) -> impl Iterator<Item = &'a Moved> + use<'a> {
        let own = self.legs.first().filter(|(_, leg)| leg.depth == 0).map(|(at, _)| *at);
        self.worked.replay.moves.iter().filter(move |moved| Some(moved.leg) == own)
    }

    fn is_conductor(&self, moved: &Moved) -> bool {
        self.worked.items.get(&moved.item).is_some_and(|item| item.kind() == Kind::Conductor)
    }

    fn moved(&self, moved: &Moved) -> Move {
        let item = self.worked.items.get(&moved.item);
        let sentence = match moved.verb {
            Some(verb) => verb_sentence(self.manual, verb),
            None => self.say("verb_lose"),
        };
        let (before, after) = sentence.split_once("{what}").unwrap_or((&sentence, ""));
        // What begins the sentence keeps its capital, and in German every noun does.
        let small = !before.is_empty() && self.manual.worked.parsed().shop().language != "de";
        let name = |item: &Item| if small { item.in_sentence() } else { item.name.clone() };
        Move {
            before: before.to_owned(),
            after: after.to_owned(),
            href: Some(self.link(&address::item(&self.procedure.id, &moved.item))),
            text: item.map_or_else(|| moved.item.clone(), name),
            count: (moved.count > 1).then_some(moved.count),
            to: item.map(|item| state_word(self.manual, item.kind(), moved.to)),
        }
    }

    /// The steps of the legs: its own, then those carried out.
    fn steps(&self) -> impl Iterator<Item = &'a Step> {
        self.legs.iter().filter_map(|(_, leg)| {
            self.manual.worked.parsed().procedures().get(&leg.procedure)?.step(&leg.step)
        })
    }

    /// Before a panel goes back: everything behind it that the work has moved, and how it must stand.
    fn behind(&self) -> Vec<Behind> {
        let mut behind = Vec::new();
        for moved in self.own_moves() {
            let panel = self.worked.items.get(&moved.item).filter(|item| item.kind() == Kind::Panel);
            let closes = matches!(moved.verb, Some(Verb::PutBack | Verb::Renew));
            for hidden in panel.filter(|_| closes).iter().flat_map(|panel| panel.hides()) {
                let mut before = self
                    .worked
                    .replay
                    .moves
                    .iter()
                    .filter(|last| last.leg < moved.leg && last.item == *hidden);
                let (Some(last), Some(item)) = (before.next_back(), self.worked.items.get(hidden)) else {
                    continue;
                };
                let top = self.worked.route.legs.get(last.leg).and_then(|leg| self.procedure.step(&leg.top));
                behind.push(Behind {
                    text: format!("{}: {}", item.label(), state_word(self.manual, item.kind(), last.to)),
                    href: top.map(|step| self.link(&address::step(&self.procedure.id, &step.id))),
                    number: top.map_or(0, |step| step.number),
                });
            }
        }
        behind
    }

    fn carry(&self) -> Option<Carry> {
        let carry = self.step.carry_out.as_ref()?;
        let run = self.manual.procedure(&carry.procedure)?;
        let stage = carry.stage.as_deref().and_then(|id| run.stage(id));
        let to =
            stage.map_or_else(|| address::procedure(&run.id), |stage| address::stage(&run.id, &stage.id));
        let given = carry.given.iter().map(|(name, word)| format!("{name}: {word}"));
        let note: Vec<String> = stage.map(|stage| stage.title.clone()).into_iter().chain(given).collect();
        let parts = parts(&self.step.id, &self.legs);
        let legs = parts.into_iter().filter_map(|(id, at, leg)| {
            let step = self.manual.procedure(&leg.procedure)?.step(&leg.step)?;
            Some(Part {
                id,
                href: self.link(&address::step(&leg.procedure, &leg.step)),
                text: step.heading.clone(),
                moves: self.worked.replay.on_leg(at).map(|moved| self.moved(moved)).collect(),
                halt: self.halt(at),
            })
        });
        Some(Carry {
            href: self.link(&to),
            text: run.title.clone(),
            note: (!note.is_empty()).then(|| note.join(", ")),
            legs: legs.collect(),
        })
    }

    fn minutes(&self) -> Option<String> {
        let sum: f64 = self.steps().filter_map(|step| step.minutes).sum();
        (sum > 0.0).then(|| shown::tidy(sum))
    }
}

/// The legs that a step carries out, each with an id of its own on the page.
pub fn parts<'a>(top: &str, legs: &[(usize, &'a Leg)]) -> Vec<(String, usize, &'a Leg)> {
    let mut taken: BTreeSet<String> = BTreeSet::new();
    let carried = legs.iter().filter(|(_, leg)| leg.depth > 0);
    let named = carried.map(|(at, leg)| {
        let plain = format!("{top}--{}--{}", leg.procedure, leg.step);
        let mut id = plain.clone();
        let mut again = 2;
        while !taken.insert(id.clone()) {
            id = format!("{plain}--{again}");
            again += 1;
        }
        (id, *at, *leg)
    });
    named.collect()
}

/// What a verb asks for, as a sentence in the language of the pages with `{what}` for the item.
pub fn verb_sentence(manual: &Manual<'_>, verb: Verb) -> String {
    manual.theme.say(&format!("verb_{}", verb.word().replace('-', "_")))
}

/// The word of a state, of this kind's own where it has one.
pub fn state_word(manual: &Manual<'_>, kind: Kind, state: State) -> String {
    let word = state.word().replace('-', "_");
    let own = manual.theme.known(&format!("state_{word}_{}", kind.noun()));
    own.unwrap_or_else(|| manual.theme.say(&format!("state_{word}")))
}

/// How grave a signal word is: 0 is danger.
fn rank(word: &str) -> u8 {
    match word {
        "danger" => 0,
        "warning" => 1,
        "caution" => 2,
        _ => 3,
    }
}

/// The panel of a hazard of the stores, as yet without a link.
pub fn hazard_panel(manual: &Manual<'_>, line: &crate::model::Line) -> Panel {
    let text = |key: &str| line.text(key).unwrap_or_default().trim_end_matches('.').to_owned();
    let word = text("word");
    Panel {
        rank: rank(&word),
        signal: manual.theme.say(&format!("signal_{word}")),
        word,
        hazard: text("hazard"),
        consequence: text("consequence"),
        avoid: text("avoid"),
        sign: line.text("sign").map(str::to_owned),
        href: None,
    }
}

/// The panel of a message that is written in full.
pub fn full(manual: &Manual<'_>, message: &Message) -> Option<Panel> {
    let Message::Full { word, hazard, consequence, avoid, .. } = message else { return None };
    let text = |text: &str| text.trim_end_matches('.').to_owned();
    Some(Panel {
        rank: rank(word),
        word: word.clone(),
        signal: manual.theme.say(&format!("signal_{word}")),
        hazard: text(hazard),
        consequence: text(consequence),
        avoid: text(avoid),
        sign: None,
        href: None,
    })
}
