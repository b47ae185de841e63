//! The list of a site's files by their hashes, by which a site is known again; and a manual's fingerprint.

use sha2::{Digest, Sha256};
use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::path::Path;

/// The file that lists every other file of a site, in the form that `sha256sum -c` reads.
pub const MANIFEST: &str = "manifest-sha256.txt";

/// The manifest of a site's files by their hashes: hash, two spaces, path, sorted by path.
pub(super) fn manifest(hashes: &BTreeMap<String, String>) -> String {
    hashes.iter().map(|(path, hash)| format!("{hash}  {path}\n")).collect()
}

/// The hash of a file, as `sha256sum` prints it.
pub(super) fn hash(bytes: &[u8]) -> String {
    hex(&Sha256::digest(bytes))
}

/// Whether a folder is a site that this program made.
pub fn is_site(folder: &Path) -> bool {
    listed(folder).is_some()
}

/// The files that a site's manifest lists; none where the folder has no manifest of ours.
pub(super) fn listed(folder: &Path) -> Option<BTreeSet<String>> {
    let manifest = std::fs::read_to_string(folder.join(MANIFEST)).ok()?;
    let path = |line: &str| {
        let (hash, path) = line.split_once("  ")?;
        (hash.len() == 64 && hash.bytes().all(|byte| byte.is_ascii_hexdigit())).then(|| path.to_owned())
    };
    let listed: BTreeSet<String> = manifest.lines().map(path).collect::<Option<_>>()?;
    listed.contains("index.html").then_some(listed)
}

/// The fingerprint of a manual: the first ten hexadecimal digits of the hash over every source and theme file
/// (path, length, bytes, sorted by path) and this program's version. Line ends of texts never change it.
pub fn fingerprint<'a>(files: impl IntoIterator<Item = (&'a str, &'a [u8])>) -> String {
    let mut sorted: Vec<(&str, &[u8])> = files.into_iter().collect();
    sorted.sort_unstable();
    let mut hash = Sha256::new();
    for (path, bytes) in sorted {
        hash.update(path.as_bytes());
        hash.update([0]);
        let bytes = counted(bytes);
        hash.update(u64::try_from(bytes.len()).unwrap_or(u64::MAX).to_le_bytes());
        hash.update(&bytes);
    }
    hash.update(env!("CARGO_PKG_VERSION").as_bytes());
    hex(&hash.finalize()).chars().take(10).collect()
}

/// What counts of a file: of a text neither its line ends nor a byte order mark, which a system or an editor
/// changes and no writer.
fn counted(bytes: &[u8]) -> Cow<'_, [u8]> {
    match std::str::from_utf8(bytes) {
        Ok(text) if text.starts_with('\u{feff}') || text.contains("\r\n") => {
            Cow::Owned(text.trim_start_matches('\u{feff}').replace("\r\n", "\n").into_bytes())
        }
        _ => Cow::Borrowed(bytes),
    }
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn line_ends_never_change_a_fingerprint_and_words_do() {
        let of = |text: &str| fingerprint([("a.md", text.as_bytes())]);
        assert_eq!(of("a\nb\n"), of("a\r\nb\r\n"));
        assert_eq!(of("a\nb\n"), of("\u{feff}a\nb\n"));
        assert_ne!(of("a\nb\n"), of("a\nc\n"));
        assert_ne!(of("a\nb\n"), of("a\n\nb\n"));
        // A picture is bytes, whatever they look like.
        assert_ne!(fingerprint([("a.png", &b"\xff\r\n"[..])]), fingerprint([("a.png", &b"\xff\n"[..])]));
    }
}
