//! `reckon`: one computation, from the command line.

use super::terminal::Terminal;
use super::{Exit, manual};
use crate::finding::nearest;
use crate::model::{Reference, Stores};
use crate::phrase::Phrase;
use crate::quantity::print::Rounding;
use crate::work::{Work, offer_reference, offer_text, stock};
use crate::workings::{self, Declaration, Given, Kind, Offered, Outcome, Refusal, Value, Working};
use clap::Args;
use serde_json::{Map, Value as Json, json};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::PathBuf;

/// The arguments of `reckon`.
#[derive(Debug, Args)]
#[command(after_help = "Examples:
  benchleaf reckon --list                          every working
  benchleaf reckon --list wire                     one of them
  benchleaf reckon bundle diameters=2mm,2mm,2mm
  benchleaf reckon bundle diameters=cable:loom-075.outside,3mm --shop procedures --json")]
pub(super) struct Reckon {
    /// The working's name.
    #[arg(required_unless_present = "list")]
    working: Option<String>,
    /// Its inputs, as name=value; lists with commas.
    #[arg(value_name = "KEY=VALUE")]
    inputs: Vec<String>,
    /// Print one JSON object.
    #[arg(long)]
    json: bool,
    /// List every working, or the one that is named, with its inputs, allowed words, outputs, units and sources.
    #[arg(long)]
    list: bool,
    /// Look references up in the stores of this manual.
    #[arg(long, value_name = "DIR")]
    shop: Option<PathBuf>,
}

impl Reckon {
    pub(super) fn run(&self, terminal: &Terminal) -> Exit {
        let named = self.working.as_deref().map(named).transpose();
        let listed = match named {
            Err(why) => return terminal.fail(Exit::Usage, &why),
            Ok(Some(working)) if !self.list => return self.one(working, terminal),
            Ok(Some(working)) => vec![working.declaration()],
            Ok(None) => sorted(),
        };
        if self.list && !self.inputs.is_empty() {
            return terminal.fail(Exit::Usage, "--list goes without inputs");
        }
        if self.json {
            return terminal.data(&(list_json(&listed).to_string() + "\n"));
        }
        terminal.result(&list_text(&listed))
    }

    fn one(&self, working: &'static dyn Working, terminal: &Terminal) -> Exit {
        let stores = match self.stores(terminal) {
            Ok(stores) => stores,
            Err(exit) => return exit,
        };
        let declaration = working.declaration();
        let offered = match self.offered(declaration, &stores) {
            Ok(offered) => offered,
            Err((exit, why)) => return terminal.fail(exit, &why),
        };
        match Work::of(working, &offered, &stock(&stores)) {
            Ok(Work { given, outcome }) if self.json => {
                terminal.data(&(answer_json(declaration, &given, &outcome).to_string() + "\n"))
            }
            Ok(Work { given, outcome }) => terminal.result(&answer_text(declaration, &given, &outcome)),
            Err(refusals) => {
                for refusal in &refusals {
                    terminal.fail(Exit::Faults, &self.said(declaration, refusal));
                }
                Exit::Faults
            }
        }
    }

    fn stores(&self, terminal: &Terminal) -> Result<Stores, Exit> {
        let Some(folder) = &self.shop else { return Ok(Stores::default()) };
        let run = manual::read(Some(folder), terminal)?;
        let (parsed, findings) = run.parse();
        // Faults of the stores would put wrong figures in; those of procedures have no say here.
        let faults: Vec<_> = findings
            .into_iter()
            .filter(|finding| {
                let file = finding.span.and_then(|span| run.source().file(span.file));
                file.is_none_or(|file| file.path.starts_with("stores/") || file.path == "shop.yaml")
            })
            .collect();
        if faults.is_empty() {
            return Ok(parsed.stores().clone());
        }
        terminal.findings(&faults, run.source());
        Err(Exit::Faults)
    }

    /// A refusal in words. Where its input was written with a decimal comma, that is what to mend.
    fn said(&self, declaration: &Declaration, refusal: &Refusal) -> String {
        let written =
            self.inputs.iter().filter_map(|input| input.split_once('=')).find_map(|(name, text)| {
                let meant = refusal.input.as_deref().is_none_or(|input| input == name.trim());
                // An input that there is not is no matter of how its figure is written.
                let known = declaration.open || declaration.input(name.trim()).is_some();
                decimal_comma(text.trim()).filter(|_| meant && known)
            });
        match written {
            Some(written) => {
                let message = said(&Refusal { help: None, ..refusal.clone() });
                format!("{message}\n  help: a comma separates the items of a list; write `{written}`")
            }
            None => said(refusal),
        }
    }

    fn offered(
        &self,
        declaration: &'static Declaration,
        stores: &Stores,
    ) -> Result<BTreeMap<String, Offered>, (Exit, String)> {
        let mut offered = BTreeMap::new();
        for input in &self.inputs {
            let Some((name, text)) = input.split_once('=') else {
                return Err((Exit::Usage, format!("`{input}` is no input: write it as name=value")));
            };
            let (name, text) = (name.trim(), text.trim());
            if offered.contains_key(name) {
                return Err((Exit::Usage, format!("`{name}` is given twice")));
            }
            let offer = offer(declaration, stores, name, text)
                .map_err(|refusal| (Exit::Faults, self.said(declaration, &refusal)))?;
            offered.insert(name.to_owned(), offer);
        }
        Ok(offered)
    }
}

/// What a text of the command line offers: references are looked up, each item of a list on its own.
fn offer(
    declaration: &'static Declaration,
    stores: &Stores,
    name: &str,
    text: &str,
) -> Result<Offered, Refusal> {
    if !text.split(',').any(|item| Reference::looks_like(item.trim())) {
        return offer_text(stores, declaration, name, text);
    }
    let one = |item: &str| {
        let item = item.trim();
        if !Reference::looks_like(item) {
            return offer_text(stores, declaration, name, item);
        }
        let reference = Reference::parse(item).map_err(|error| Refusal::input(name, error.message()))?;
        offer_reference(stores, &reference)
            .map_err(|refusal| Refusal { input: Some(name.to_owned()), ..refusal })
    };
    let mut offers: Vec<Offered> = text.split(',').map(one).collect::<Result<_, _>>()?;
    match (offers.len(), offers.pop()) {
        (1, Some(only)) => Ok(only),
        (_, last) => {
            offers.extend(last);
            Ok(Offered::List(offers))
        }
    }
}

/// The working of a name, or what was probably meant.
fn named(name: &str) -> Result<&'static dyn Working, String> {
    workings::find(name).ok_or_else(|| {
        let names = workings::register().iter().map(|working| working.declaration().name);
        let help = nearest(name, names).map_or_else(
            || "`benchleaf reckon --list` shows them".to_owned(),
            |near| format!("write `{near}`"),
        );
        format!("there is no working `{name}`\n  help: {help}")
    })
}

/// Every declaration by name.
fn sorted() -> Vec<&'static Declaration> {
    let mut all: Vec<_> = workings::register().iter().map(|working| working.declaration()).collect();
    all.sort_by_key(|declaration| declaration.name);
    all
}

/// What to write where a comma divides each number from its fraction: `4.6mm` for `4,6mm`, `1.5mm,2.5mm` for
/// `1,5mm,2,5mm`.
fn decimal_comma(text: &str) -> Option<String> {
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    let parts: Vec<&str> = text.split(',').map(str::trim).collect();
    let numbers = parts.chunks(2).map(|pair| {
        let [whole, fraction] = pair else { return None };
        let ends = fraction.find(|c: char| !c.is_ascii_digit()).unwrap_or(fraction.len());
        let figures = fraction.get(..ends).unwrap_or_default();
        let is_one = digits(whole.trim_start_matches(['-', '+'])) && digits(figures);
        is_one.then(|| format!("{whole}.{fraction}"))
    });
    Some(numbers.collect::<Option<Vec<_>>>()?.join(","))
}

fn said(refusal: &Refusal) -> String {
    let named = |input: &&String| !refusal.message.to_string().contains(&format!("`{input}`"));
    let input = refusal.input.as_ref().filter(named).map_or_else(String::new, |input| format!("`{input}`: "));
    let help = refusal.help.as_ref().map_or_else(String::new, |help| format!("\n  help: {help}"));
    format!("{input}{}{help}", refusal.message)
}

/// A value as the contract of `--json` wants it.
fn value_json(value: &Value) -> Json {
    match value {
        Value::Number { value, unit } => json!({"value": value, "unit": unit.symbol}),
        Value::Text(text) => json!({"value": text}),
        Value::Words(words) => json!({"value": words.to_string()}),
        Value::Unlimited => json!({"value": "unlimited"}),
        Value::List(all) => Json::Array(all.iter().map(value_json).collect()),
        Value::Positions(circles) => Json::Array(
            circles.iter().map(|circle| json!({"x": circle.x, "y": circle.y, "d": circle.d})).collect(),
        ),
    }
}

fn answer_json(declaration: &Declaration, given: &Given, outcome: &Outcome) -> Json {
    let inputs: Map<String, Json> =
        given.iter().map(|(name, settled)| (name.to_owned(), value_json(&settled.value()))).collect();
    let outputs: Map<String, Json> =
        outcome.outputs.iter().map(|(name, value)| ((*name).to_owned(), value_json(value))).collect();
    let more = outcome.sources.iter().map(ToString::to_string);
    let sources: Vec<String> = declaration.sources.iter().map(ToString::to_string).chain(more).collect();
    json!({
        "working": declaration.name,
        "inputs": inputs,
        "outputs": outputs,
        "steps": told(&outcome.steps),
        "sources": sources,
        "cautions": told(&outcome.cautions),
    })
}

fn answer_text(declaration: &Declaration, given: &Given, outcome: &Outcome) -> String {
    let mut text = format!("{}\n\n", declaration.title);
    let width = outcome.outputs.iter().map(|(name, _)| name.len()).max().unwrap_or(0);
    for (name, value) in &outcome.outputs {
        let rounding = declaration.output(name).map_or(Rounding::Figures, |output| output.rounding);
        let _ = writeln!(text, "  {name:width$}  {}", value.shown(rounding));
    }
    let mut part = |title: &str, lines: Vec<String>| {
        if !lines.is_empty() {
            let _ = write!(text, "\n{title}\n");
            lines.iter().for_each(|line| {
                let _ = writeln!(text, "  {line}");
            });
        }
    };
    let inputs = given.iter().map(|(name, settled)| format!("{name} = {}", settled.shown()));
    part("from", inputs.collect());
    part("formula", declaration.formulas.iter().map(|formula| formula.text.to_owned()).collect());
    part("steps", told(&outcome.steps));
    let mut cautions = told(&outcome.cautions);
    if declaration.maker_first {
        cautions.push("The vehicle maker's figure, local codes and licensed practice come first.".to_owned());
    }
    part("caution", cautions);
    let sources = declaration.sources.iter().map(ToString::to_string);
    part("source", sources.chain(told(&outcome.sources)).collect());
    text
}

/// Phrases in the language of the command line.
fn told(phrases: &[Phrase]) -> Vec<String> {
    phrases.iter().map(ToString::to_string).collect()
}

fn list_text(declarations: &[&Declaration]) -> String {
    let mut text = String::new();
    for declaration in declarations {
        let _ = writeln!(text, "{}: {}", declaration.name, declaration.purpose);
        for input in declaration.inputs {
            let unit = if input.unit.is_empty() || input.unit == "1" {
                String::new()
            } else {
                format!(" ({})", input.unit)
            };
            let default = match (input.required, input.default.or(input.derived)) {
                (true, _) => String::new(),
                (false, Some(default)) => format!(" [{default}]"),
                (false, None) => " [may be left out]".to_owned(),
            };
            let _ = writeln!(text, "    {}{unit}: {}{default}", input.name, input.meaning);
            if let Kind::Choice(words) = input.kind {
                let _ = writeln!(text, "        one of: {}", words.join(", "));
            }
        }
        for output in declaration.outputs {
            let unit = if output.unit.is_empty() || output.unit == "1" {
                String::new()
            } else {
                format!(" ({})", output.unit)
            };
            let _ = writeln!(text, "  → {}{unit}: {}", output.name, output.meaning);
        }
        for source in declaration.sources {
            let _ = writeln!(text, "  source: {source}");
        }
        text.push('\n');
    }
    text
}

fn list_json(declarations: &[&Declaration]) -> Json {
    let input = |input: &workings::Input| {
        let words = match input.kind {
            Kind::Choice(words) => Some(words),
            _ => None,
        };
        json!({
            "name": input.name,
            "unit": input.unit,
            "meaning": input.meaning,
            "default": input.default.or(input.derived),
            "required": input.required,
            "least": input.bound.least,
            "greatest": input.bound.greatest,
            "words": words,
        })
    };
    let output = |output: &workings::Output| json!({"name": output.name, "unit": output.unit, "meaning": output.meaning});
    let rows = declarations.iter().map(|declaration| {
        json!({
            "working": declaration.name,
            "title": declaration.title,
            "purpose": declaration.purpose,
            "inputs": declaration.inputs.iter().map(input).collect::<Vec<_>>(),
            "outputs": declaration.outputs.iter().map(output).collect::<Vec<_>>(),
            "formulas": declaration.formulas.iter().map(|formula| formula.text).collect::<Vec<_>>(),
            "limits": declaration.limits,
            "sources": declaration.sources,
        })
    });
    Json::Array(rows.collect())
}
