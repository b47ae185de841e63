//! One worked value in full: what it is for, its answer, its formula, its inputs and where each came from.

use crate::model::{Reference, Store};
use crate::page::markup::{Element, Markup};
use crate::page::view::prose::Writer;
use crate::page::view::shown::{self, Shown};
use crate::page::view::{Cell, Drawing, Reading, Sheet, Where, figures, uses};
use crate::page::{Manual, address};
use crate::phrase::Phrase;
use crate::quantity::print::{Rounding, number};
use crate::work::{Origin, Resolved, Scope, WorkedValue};
use crate::workings::{Declaration, Outcome, Value, find};
use serde::Serialize;

/// Most characters of a text that is set as large as a figure.
const LONGEST_WORD: usize = 40;

/// A worked value.
#[derive(Debug, Serialize)]
pub struct Working {
    /// Its anchor.
    pub id: String,
    title: String,
    name: String,
    purpose: String,
    maker_first: bool,
    refusals: Vec<String>,
    outputs: Vec<Reading>,
    steps_using: Vec<Where>,
    drawing: Option<Drawing>,
    formulas: Vec<Formula>,
    inputs: Option<Sheet>,
    walk: Vec<String>,
    rounded: Vec<String>,
    worst_case: bool,
    cautions: Vec<String>,
    limits: Vec<String>,
    sources: Vec<String>,
}

#[derive(Debug, Serialize)]
struct Formula {
    text: String,
    mathml: String,
}

/// Where a value stands: the page, its owner (empty for a table's row), its anchor.
#[derive(Clone, Copy, Debug)]
pub struct Site<'a> {
    /// The page.
    pub here: &'a str,
    /// The procedure.
    pub owner: &'a str,
    /// The anchor.
    pub anchor: &'a str,
}

/// The view of a value.
pub fn working(manual: &Manual<'_>, site: Site<'_>, value: &WorkedValue) -> Option<Working> {
    let declaration = find(&value.working)?.declaration();
    let outcome = value.result.as_ref().ok().map(|work| &work.outcome);
    let refusals = value.result.as_ref().err().into_iter().flatten().map(|refusal| match &refusal.help {
        Some(help) => format!("{}; {}.", sentence(manual, &refusal.message), sentence(manual, help)),
        None => format!("{}.", sentence(manual, &refusal.message)),
    });
    // Where each circle lies is a matter for the drawing.
    let answers = outcome.into_iter().flat_map(|outcome| &outcome.outputs);
    let answers = answers.filter(|(_, output)| !matches!(output, Value::Positions(_)));
    let outputs = answers.map(|(name, output)| {
        let (rounding, meaning) = shown::output(&value.working, name);
        let label = if meaning.is_empty() { (*name).to_owned() } else { manual.theme.sentence(meaning) };
        match output {
            // A sentence is read, not set large as a figure is.
            Value::Text(verdict) if *name == "verdict" => {
                let number = manual.theme.known(&format!("verdict_{verdict}"));
                Reading { label, number: number.unwrap_or_else(|| verdict.clone()), ..Reading::default() }
            }
            Value::Words(words) => {
                let words = manual.theme.tell(words);
                match words.chars().count() > LONGEST_WORD {
                    true => Reading { label, note: Some(words), ..Reading::default() },
                    false => Reading { label, number: words, ..Reading::default() },
                }
            }
            _ => Shown::value(manual, output, rounding).reading(label),
        }
    });
    let declared = declaration.sources.iter().map(|source| manual.theme.sentence(source));
    let more = outcome.map(|outcome| told(manual, &outcome.sources)).unwrap_or_default();
    Some(Working {
        id: site.anchor.to_owned(),
        title: title(manual, site.owner, value, declaration),
        name: format!("{} · {}", value.id, declaration.name),
        purpose: manual.theme.sentence(declaration.purpose),
        maker_first: declaration.maker_first,
        refusals: refusals.collect(),
        outputs: outputs.collect(),
        steps_using: uses::links(manual, site.here, manual.uses.value(site.owner, &value.id)),
        drawing: figures::draw(manual, site.owner, value, &format!("drawing--{}", site.anchor)),
        formulas: declaration
            .formulas
            .iter()
            .map(|formula| Formula {
                text: manual.theme.sentence(formula.text),
                mathml: formula.mathml.to_owned(),
            })
            .collect(),
        inputs: inputs(manual, site, value, declaration),
        walk: outcome.map(|outcome| told(manual, &outcome.steps)).unwrap_or_default(),
        rounded: outcome.into_iter().flat_map(|outcome| rounded(manual, &value.working, outcome)).collect(),
        worst_case: outcome.is_some_and(|outcome| outcome.worst_case),
        cautions: outcome.map(|outcome| told(manual, &outcome.cautions)).unwrap_or_default(),
        limits: declaration.limits.iter().map(|limit| manual.theme.sentence(limit)).collect(),
        sources: declared.chain(more).collect(),
    })
}

/// Phrases in the language of the pages.
fn told(manual: &Manual<'_>, phrases: &[Phrase]) -> Vec<String> {
    phrases.iter().map(|phrase| manual.theme.tell(phrase)).collect()
}

/// A phrase without the full stop that may end it.
fn sentence(manual: &Manual<'_>, phrase: &Phrase) -> String {
    manual.theme.tell(phrase).trim_end_matches('.').to_owned()
}

/// Each figure that was rounded for people: as it came out, as it is shown, and which way it went.
fn rounded(manual: &Manual<'_>, working: &str, outcome: &Outcome) -> Vec<String> {
    let line = |(name, output): &(&'static str, Value)| {
        let (rounding, _) = shown::output(working, name);
        let Value::Number { value, .. } = output else { return None };
        // Ten digits are more than any figure of the stores has, and leave out the dust of the last places.
        let exact = shown::plainly(output);
        let told = output.shown(rounding);
        let key = match rounding {
            Rounding::LengthUp => "rounded_up",
            Rounding::LengthDown => "rounded_down",
            _ => "rounded_near",
        };
        let far = (value - number(*value, rounding).parse::<f64>().ok()?).abs() > 1e-6;
        let name = shown::output_name(manual, working, name);
        far.then(|| format!("{name}: {exact} → {told}, {}", manual.theme.say(key)))
    };
    outcome.outputs.iter().filter_map(line).collect()
}

/// `Tail lamp feed: sleeve`, or the value's own id and what its working is.
pub fn title(manual: &Manual<'_>, owner: &str, value: &WorkedValue, declaration: &Declaration) -> String {
    let items = manual.worked.procedures().get(owner).map(|procedure| &procedure.items);
    let part = value.part.as_ref();
    match part.and_then(|part| Some((items?.get(part.conductor()?)?, part.role()?))) {
        Some((item, role)) => format!("{}: {}", item.name, shown::role(manual, role.word())),
        // What the program worked by itself has no name of its author's.
        None if part.is_some() => manual.theme.sentence(declaration.title),
        None => format!("{}: {}", value.id.replace('-', " "), manual.theme.sentence(declaration.title)),
    }
}

fn inputs(
    manual: &Manual<'_>,
    site: Site<'_>,
    value: &WorkedValue,
    declaration: &Declaration,
) -> Option<Sheet> {
    let say = |key: &str| manual.theme.say(key);
    let heads = [("col_input", false), ("col_value", true), ("col_comes_from", false)];
    let mut sheet = Sheet::new(say("inputs_title"), heads.map(|(key, figures)| (say(key), figures)).to_vec());
    let row = |name: &str, shown: String| {
        let meaning = declaration.input(name).map_or("", |input| input.meaning);
        let label = match meaning {
            "" => name.to_owned(),
            meaning => format!("{name}, {}", manual.theme.sentence(meaning)),
        };
        let from = match value.origin(name) {
            Some(origin) => Cell { html: Some(origin_html(manual, site, origin)), ..Cell::default() },
            None => Cell::text(say("origin_default")),
        };
        vec![Cell::text(label), Cell::text(shown), from]
    };
    match &value.result {
        Ok(work) => {
            for (name, settled) in work.given.iter() {
                let told = match settled.is_tolerant() {
                    true => settled.shown(),
                    false => shown::exactly(manual, &settled.value()),
                };
                sheet.push(None, row(name, told));
            }
        }
        Err(_) => {
            for (name, _) in &value.origins {
                sheet.push(None, row(name, String::new()));
            }
        }
    }
    (!sheet.rows.is_empty()).then(|| sheet.without_empty_columns())
}

/// Where an input came from, as markup.
fn origin_html(manual: &Manual<'_>, site: Site<'_>, origin: &Origin) -> Markup {
    match origin {
        Origin::Written(_) => Markup::text(&manual.theme.say("origin_written")),
        Origin::Reference(reference) => reference_html(manual, site, reference),
        Origin::List(all) => {
            let mut parts: Vec<Markup> = Vec::new();
            for part in all.iter().map(|origin| origin_html(manual, site, origin)) {
                if !parts.contains(&part) {
                    parts.push(part);
                }
            }
            Markup::joined(parts, &Markup::text(", "))
        }
    }
}

fn reference_html(manual: &Manual<'_>, site: Site<'_>, reference: &Reference) -> Markup {
    let writer = Writer { manual, procedure: site.owner, here: site.here, prefix: "", figures: None };
    let words = Markup::text(&reference.to_string());
    let linked = match writer.address(reference) {
        Some(to) => Element::link(&address::link(site.here, &to)).around(&words),
        None => words,
    };
    let scope = if site.owner.is_empty() { Scope::Manual } else { Scope::Procedure(site.owner) };
    match manual.worked.resolve(scope, reference) {
        Ok(Resolved::Line(line, field)) if line.store != Store::Hazards => {
            let source = field.as_deref().map_or(line.source.as_deref(), |field| line.source_of(field));
            linked.then(&source_html(manual, source))
        }
        _ => linked,
    }
}

/// A source as markup; what nobody published says so.
fn source_html(manual: &Manual<'_>, source: Option<&str>) -> Markup {
    let (class, words) = match source {
        Some(source) if shown::is_unverified(source) => {
            ("unverified", manual.theme.say_what("unverified", source))
        }
        Some(source) => ("small soft", source.to_owned()),
        None => return Markup::default(),
    };
    Markup::text(" ").then(&Element::span(class).around_text(&words))
}
