//! `releases.yaml`, beside `shop.yaml`: what was published last of each procedure.

use super::fields::{self, FORM, Fields, place};
use super::yaml::{self, Kind, Node};
use crate::finding::{FileId, Finding, Sink, Span};
use crate::model::{Procedure, Release};
use crate::source::Source;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;

/// Its name.
pub(super) const FILE: &str = "releases.yaml";

/// Reads the record, and sets beside each hash that of the file as it stands now.
pub(super) fn read(
    source: &Source,
    procedures: &BTreeMap<String, Procedure>,
    file: FileId,
    text: &str,
    sink: &mut Sink,
) -> BTreeMap<String, Release> {
    let node = match yaml::read(file, text, 0, text.len()) {
        Ok(node) => node,
        Err(finding) => {
            sink.push(*finding);
            return BTreeMap::new();
        }
    };
    let entries = match &node.kind {
        Kind::Map(entries) => entries.as_slice(),
        Kind::Null => &[],
        _ => {
            let headline =
                format!("{FILE} maps procedures to what was published, and this is {}", node.noun());
            sink.push(Finding::error(FORM, headline).at(node.span, "ids of procedures are wanted here"));
            return BTreeMap::new();
        }
    };
    let mut releases = BTreeMap::new();
    for (key, node) in entries {
        if let Some((letter, hash)) = line(&key.text, node, sink) {
            let now = procedures.get(&key.text).and_then(|procedure| hash_of(source, procedure));
            releases.insert(key.text.clone(), Release { letter, hash, now, place: place(key.span) });
        }
    }
    releases
}

/// `{letter: B, hash: …}`.
fn line(id: &str, node: &Node, sink: &mut Sink) -> Option<(String, String)> {
    let mut fields = Fields::of(node, format!("the release of `{id}`"), sink)?;
    let letter = fields.must_text("letter", sink);
    let hash = fields.must("hash", sink).and_then(|node| hash(node, sink));
    fields.finish(sink);
    Some((letter?.0, hash?))
}

fn hash(node: &Node, sink: &mut Sink) -> Option<String> {
    let text = fields::scalar(node, sink)?;
    let is_hex = |digit: char| digit.is_ascii_digit() || ('a'..='f').contains(&digit);
    if text.len() == 64 && text.chars().all(is_hex) {
        return Some(text.to_owned());
    }
    sink.push(
        Finding::error(FORM, format!("`{}` is not a SHA-256", fields::shorten(text)))
            .at(node.span, "64 hex digits in lower case are wanted here")
            .help("take what `sha256sum` prints of the procedure's file"),
    );
    None
}

/// The hash of a procedure's file, byte for byte, so that `sha256sum` prints the same.
fn hash_of(source: &Source, procedure: &Procedure) -> Option<String> {
    let Span { file, .. } = super::span(procedure.place);
    let digest = Sha256::digest(source.file(file)?.bytes()?);
    Some(digest.iter().map(|byte| format!("{byte:02x}")).collect())
}
