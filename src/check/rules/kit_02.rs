//! KIT-02: consumables add up over steps, joints and workings.

use crate::check::reading::Read;
use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink, write};
use crate::model::{Amount, Reference, Scheme, Step, Store, Use, Written};
use crate::parse::span;
use crate::phrase::phrase;
use crate::quantity::unit;
use crate::work::Scope;
use std::collections::BTreeSet;

/// The rule KIT-02.
pub(super) struct Kit02;

static PAGE: Page = Page {
    code: Code("KIT-02"),
    severity: Severity::Warning,
    rule: "consumables add up over steps, joints and workings",
    why: "What is not counted is not laid out, and a tape that ends in the middle of a wrap is a walk to the stores with open wires.",
    source: "common practice",
    fails: "consumables: [solder-sac]",
    passes: "consumables: [{of: solder-sac, quantity: 0.3 m}]",
};

impl Rule for Kit02 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn of_the_kit(&self) -> bool {
        true
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        for read in &reading.procedures {
            let mut used: BTreeSet<String> = BTreeSet::new();
            for step in read.procedure.steps() {
                for one in &step.consumables {
                    counted(reading, read, step, one, sink);
                }
                for one in step.consumables.iter().chain(&step.parts) {
                    if let Some((Amount::Value(reference), _)) = &one.quantity {
                        used.insert(id_of(reference));
                    }
                }
            }
            wraps(read, used, sink);
        }
    }
}

/// A consumable states how much, in what its stores line counts.
fn counted(reading: &Reading<'_>, read: &Read<'_>, step: &Step, one: &Use, sink: &mut Sink) {
    let Some(line) = reading.worked.parsed().stores().get(Store::Consumables, &one.id) else { return };
    let Some((run, place)) = &one.quantity else {
        let unit = line.text("unit").unwrap_or("pieces");
        let headline = phrase!("`{one}` is used without a quantity", one = one.id);
        let finding = read.at(PAGE.finding(headline), one.place, phrase!("how much?"), Some(step));
        sink.push(finding.help(write(&format!("{{of: {}, quantity: … {unit}}}", one.id))));
        return;
    };
    let wanted = line.text("unit").and_then(unit);
    let amount = reading.worked.amount(Scope::Procedure(&read.procedure.id), run);
    if let (Some(wanted), Some(amount)) = (wanted, amount)
        && amount.in_unit(wanted).is_err()
    {
        let headline = phrase!(
            "`{one}` is counted in {wanted} and {amount} is used",
            one = one.id,
            wanted = wanted.symbol,
            amount = amount
        );
        let finding = read.at(PAGE.finding(headline), *place, phrase!("does not add up"), Some(step));
        sink.push(
            finding
                .label(span(line.place), phrase!("its stores line"))
                .help(phrase!("write it in {wanted}", wanted = wanted.symbol)),
        );
    }
}

/// Every wrap that is worked is used: by a step, or in a total that a step uses.
fn wraps(read: &Read<'_>, mut used: BTreeSet<String>, sink: &mut Sink) {
    let values = &read.procedure.values;
    let mut open: Vec<String> = used.iter().cloned().collect();
    while let Some(id) = open.pop() {
        for input in values.iter().filter(|value| value.id == id).flat_map(|value| &value.inputs) {
            for inner in references(&input.written) {
                if used.insert(inner.clone()) {
                    open.push(inner);
                }
            }
        }
    }
    for value in values.iter().filter(|value| value.working.0 == "wrap" && !used.contains(&value.id)) {
        let headline = phrase!("the tape of `{value}` is worked out and no step uses it", value = value.id);
        let finding = read.at(PAGE.finding(headline), value.place, phrase!("not counted"), None);
        sink.push(finding.help(write(&format!("consumables: [{{of: …, quantity: value:{}}}]", value.id))));
    }
}

fn id_of(reference: &Reference) -> String {
    match &reference.inner {
        Some(inner) => format!("{}/{inner}", reference.id),
        None => reference.id.clone(),
    }
}

fn references(written: &Written) -> Vec<String> {
    match written {
        Written::Reference(reference) if reference.scheme == Scheme::Value => vec![id_of(reference)],
        Written::List(all) => all.iter().flat_map(|(one, _)| references(one)).collect(),
        _ => Vec::new(),
    }
}
