//! `releases.yaml`, beside `shop.yaml`: what was published last of each procedure.

use super::fields::{self, FORM, Fields, place};
use super::yaml::{self, Kind, Node};
use crate::finding::{FileId, Finding, Sink, Span};
use crate::model::{Procedure, RELEASE, Release};
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
            let now = procedures.get(&key.text).and_then(|procedure| hash_of(source, procedure, &hash));
            releases.insert(key.text.clone(), Release { letter, hash, now, place: place(key.span) });
        }
    }
    releases
}

/// `{letter: B, hash: …}`.
fn line(id: &str, node: &Node, sink: &mut Sink) -> Option<(String, String)> {
    let mut fields = Fields::declared(node, format!("the release of `{id}`"), RELEASE, sink)?;
    let letter = fields.said("letter", sink);
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

/// The hash of a procedure's file, as `sha256sum` prints it. Line ends never change it: where the file with its
/// lines ended in the other way has the hash that was recorded, nothing was written anew.
fn hash_of(source: &Source, procedure: &Procedure, recorded: &str) -> Option<String> {
    let Span { file, .. } = super::span(procedure.place);
    Some(standing(source.file(file)?.text()?, recorded))
}

/// The hash that a text stands under: the recorded one where only its line ends are others.
fn standing(text: &str, recorded: &str) -> String {
    let plain = text.trim_start_matches('\u{feff}').replace("\r\n", "\n");
    let ended = plain.replace('\n', "\r\n");
    let hashes = [text, &plain, &ended].map(|text| digest(text.as_bytes()));
    let [now, plain, ended] = hashes;
    [plain, ended].into_iter().find(|hash| hash == recorded).unwrap_or(now)
}

/// SHA-256 in lower-case hex digits.
fn digest(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn line_ends_alone_never_change_what_was_released() {
        let (plain, windows) = ("a\nb\n", "a\r\nb\r\n");
        for recorded in [plain, windows].map(|text| digest(text.as_bytes())) {
            for now in [plain, windows, "\u{feff}a\r\nb\r\n"] {
                assert_eq!(standing(now, &recorded), recorded, "{now:?}");
            }
            for now in ["a\nc\n", "a\nb", "a\n\nb\n", "a \nb\n"] {
                assert_ne!(standing(now, &recorded), recorded, "{now:?}");
            }
        }
    }

    // SHA-256 of `abc`: FIPS 180-4, worked example.
    #[test]
    fn a_hash_is_what_sha256sum_prints() {
        let known = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(standing("abc", ""), known);
    }
}
