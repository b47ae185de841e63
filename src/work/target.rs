//! What the verbs of steps come down to: single items, from groups and from looms of the vehicle.

use super::items::Items;
use crate::finding::{Code, Finding, Sink, nearest};
use crate::model::{Act, Deed, Fate, Given, Procedure, Target};
use crate::parse::{Parsed, span};

/// What a deed comes down to.
pub(super) fn acts(
    parsed: &Parsed,
    procedure: &Procedure,
    items: Option<&Items>,
    deed: &Deed,
    given: &Given,
    sink: &mut Sink,
) -> Vec<Act> {
    let act =
        |item: &str| Act { verb: deed.verb, item: item.to_owned(), count: deed.count, place: deed.place };
    let all: Vec<Act> = match &deed.on {
        Target::Item(text) => {
            let id = settled(text, given);
            match procedure.groups.get(&id) {
                None => return vec![act(&id)],
                Some(group) => {
                    // A member that is not there was reported where the group is declared.
                    let known = |id: &&String| items.is_some_and(|items| items.contains_key(*id));
                    group.items.iter().map(|(id, _)| id).filter(known).map(|id| act(id)).collect()
                }
            }
        }
        Target::Loom(loom) => match members(parsed, procedure, loom) {
            None => {
                sink.push(unknown(parsed, procedure, deed, loom));
                return Vec::new();
            }
            Some(members) => {
                let takes = |id: &&String| takes(parsed, procedure, items, loom, id, deed);
                let taken: Vec<Act> = members.iter().filter(takes).map(|id| act(id)).collect();
                if taken.is_empty() {
                    sink.push(idle(deed, loom));
                    return taken;
                }
                taken
            }
        },
    };
    if deed.count.is_some() {
        let finding = Finding::error(Code("LED-10"), "a count is of one item, and this names several");
        let finding = finding.at(span(deed.place), "counted here");
        sink.push(finding.help("name each item with its count, or leave the count out"));
    }
    all
}

/// A text with the caller's words for its parameters.
fn settled(text: &str, given: &Given) -> String {
    let fill = |text: String, (name, word): (&String, &String)| text.replace(&format!("{{{name}}}"), word);
    given.iter().fold(text.to_owned(), fill)
}

/// The conductors of a loom of the procedure's vehicles.
fn members<'a>(parsed: &'a Parsed, procedure: &Procedure, loom: &str) -> Option<&'a [String]> {
    let mut vehicles = procedure.applies_to.iter().filter_map(|one| parsed.vehicles().get(&one.vehicle));
    vehicles.find_map(|vehicle| vehicle.looms.get(loom)).map(Vec::as_slice)
}

/// Whether a procedure declares a conductor of a loom, and a verb is part of what it does with it.
fn takes(
    parsed: &Parsed,
    procedure: &Procedure,
    items: Option<&Items>,
    loom: &str,
    id: &str,
    deed: &Deed,
) -> bool {
    let from = procedure.loom.as_ref().filter(|from| from.loom == loom);
    let chosen =
        from.is_some_and(|from| from.which.is_empty() || from.which.iter().any(|(known, _)| known == id));
    let declared = chosen || procedure.items.contains_key(id);
    let item = items.and_then(|items| items.get(id)).filter(|_| declared);
    item.is_some_and(|item| item.life().takes(deed.verb, Fate::of(item, parsed.stores())))
}

fn unknown(parsed: &Parsed, procedure: &Procedure, deed: &Deed, loom: &str) -> Finding {
    let vehicles = procedure.applies_to.iter().filter_map(|one| parsed.vehicles().get(&one.vehicle));
    let near = nearest(loom, vehicles.flat_map(|vehicle| vehicle.looms.keys()).map(String::as_str));
    Finding::error(Code("DOC-03"), format!("no vehicle of `{}` has a loom `{loom}`", procedure.id))
        .at(span(deed.place), "named here")
        .help_if(near.map(|near| format!("write `loom:{near}`")))
}

fn idle(deed: &Deed, loom: &str) -> Finding {
    let verb = deed.verb.word();
    Finding::error(Code("LED-10"), format!("nothing of the loom `{loom}` is there to {verb}"))
        .at(span(deed.place), "moves nothing")
        .help("declare its conductors under `items`, each with the `action` that this verb is part of")
}
