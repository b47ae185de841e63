//! SAF-11: protection that a message names is in the kit.

use crate::check::passage::{Passage, Role};
use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::words::{Phrases, Words};
use crate::finding::{Code, Severity, Sink};
use crate::model::{Figure, Line, Message, Place, Store};
use crate::parse::span;
use crate::phrase::phrase;

/// The rule SAF-11.
pub(super) struct Saf11;

static PAGE: Page = Page {
    code: Code("SAF-11"),
    severity: Severity::Error,
    rule: "protection that a message names is in the kit",
    why: "The kit takes its gloves from the `protection` of each hazard. What a message names and its hazard does not list is not laid out.",
    source: "common practice",
    fails: "disinfectant: {…, avoid: Wear gloves and eye protection, protection: [gloves]}",
    passes: "disinfectant: {…, avoid: Wear gloves and eye protection, protection: [gloves, eye]}",
};

impl Rule for Saf11 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn of_the_stores(&self) -> bool {
        true
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        let stores = reading.worked.parsed().stores();
        let known: Vec<Worn> = stores.lines(Store::Protection).map(Worn::of).collect();
        for line in stores.lines(Store::Hazards) {
            let Some((Figure::Text(avoid), _, place)) = line.figures.get("avoid") else { continue };
            let listed: Vec<&str> = line.texts("protection").collect();
            let passage = Passage::line(reading.words, Role::Front, None, avoid, *place);
            for (id, named, at) in lacking(reading.words, &passage, &known, &listed) {
                let finding = PAGE.finding(phrase!(
                    "the hazard `{line}` has people wear {named} and lists none",
                    line = line.id,
                    named = named
                ));
                sink.push(
                    finding
                        .at(span(at), phrase!("named here"))
                        .help(phrase!("add `{id}` to its `protection`", id = id)),
                );
            }
        }
        for read in &reading.procedures {
            let whole = |message: &Message| matches!(message, Message::Full { .. });
            for step in read.procedure.steps().filter(|step| step.messages.iter().any(whole)) {
                let hazards = reading.worked.hazards_of(step);
                let brought = hazards.iter().flat_map(|line| line.texts("protection"));
                let listed: Vec<&str> =
                    step.protection.iter().map(|used| used.id.as_str()).chain(brought).collect();
                for message in &step.messages {
                    let Message::Full { avoid, place, .. } = message else { continue };
                    let passage = Passage::line(reading.words, Role::Front, None, avoid, *place);
                    for (id, named, _) in lacking(reading.words, &passage, &known, &listed) {
                        let finding = PAGE.finding(phrase!(
                            "this message has people wear {named}, which is not in the kit",
                            named = named
                        ));
                        let finding = read.at(finding, *place, phrase!("named here"), Some(step));
                        sink.push(finding.help(phrase!("add `protection: [{id}]` to the step", id = id)));
                    }
                }
            }
        }
    }
}

/// A line of protection, and the words by which a message names it.
struct Worn<'s> {
    id: &'s str,
    name: String,
    names: Phrases,
}

impl<'s> Worn<'s> {
    fn of(line: &'s Line) -> Worn<'s> {
        let name = line.name.to_lowercase();
        let id = line.id.replace('-', " ");
        let last = name.split_whitespace().next_back().unwrap_or_default().to_owned();
        // The last word alone serves where it is not the word for protection itself.
        let all: Vec<&str> = match last.as_str() {
            "protection" | "equipment" | "schutz" | "bescherming" | "protección" => vec![&name],
            _ => vec![&name, &id, &last],
        };
        Worn { id: &line.id, names: Phrases::of(all), name }
    }
}

/// What a message has people wear and no list holds: the id, the words, where they stand.
fn lacking<'k>(
    words: &Words,
    passage: &Passage<'_>,
    known: &'k [Worn<'k>],
    listed: &[&str],
) -> Vec<(&'k str, String, Place)> {
    let mut found: Vec<(&str, String, Place)> = Vec::new();
    for sentence in &passage.sentences {
        let lowers = passage.lowers(sentence);
        if words.wear.find(&lowers).is_empty() {
            continue;
        }
        for worn in known {
            for (at, length) in worn.names.find(&lowers) {
                let all = passage.of_sentence(sentence);
                let (Some(first), Some(last)) = (all.get(at), all.get(at + length - 1)) else { continue };
                let named = passage.quote(first, last).to_lowercase();
                // Any listed line of that name will do: gloves are gloves.
                let held =
                    known.iter().any(|other| listed.contains(&other.id) && other.name.contains(&named));
                let place = passage.place(first, last);
                if !held && !listed.contains(&worn.id) && !found.iter().any(|(.., known)| *known == place) {
                    found.push((worn.id, named, place));
                }
            }
        }
    }
    found
}
