//! Which file of a manual is what, and which are not admitted at all.

use super::unseen;
use crate::finding::{Code, FileId, Finding, Severity, Sink, Span, nearest};
use crate::model::{Limits, Store};
use crate::picture;
use crate::source::{Content, Foreign, HARD_CAP, SourceFile};
use std::borrow::Cow;

/// What a file of a manual is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    Shop,
    Releases,
    Store(Store),
    Vehicle,
    Loom,
    Table,
    Figure,
    Procedure,
    Dress,
    Other,
}

/// What a file is, by where it stands and its ending.
pub(super) fn kind(path: &str) -> Kind {
    let ending = path.rsplit_once('.').map_or("", |(_, ending)| ending);
    let yaml = matches!(ending, "yaml" | "yml");
    match path.split_once('/') {
        None if path == "shop.yaml" => Kind::Shop,
        None if path == super::releases::FILE => Kind::Releases,
        Some(("stores", name)) if yaml => {
            let stem = name.rsplit_once('.').map_or(name, |(stem, _)| stem);
            Store::of_file(stem).map_or(Kind::Other, Kind::Store)
        }
        Some(("vehicles", _)) if yaml => Kind::Vehicle,
        Some(("vehicles", _)) if ending == "csv" => Kind::Loom,
        Some(("tables", _)) if yaml => Kind::Table,
        Some(("figures", _)) if picture::ENDINGS.contains(&ending.to_ascii_lowercase().as_str()) => {
            Kind::Figure
        }
        Some(("dress", _)) => Kind::Dress,
        _ if ending == "md" => Kind::Procedure,
        _ => Kind::Other,
    }
}

/// The text of a file that may be read; what may not is reported by name. A figure that is no text (a
/// photograph) is admitted with an empty one. Control characters are reported and read as spaces.
pub(super) fn admit<'a>(
    id: FileId,
    file: &'a SourceFile,
    kind: Kind,
    limits: &Limits,
    sink: &mut Sink,
) -> Option<Cow<'a, str>> {
    let at = Span::whole(id);
    if let Some(finding) = unreadable(file, kind) {
        let finding = match &file.content {
            Content::Foreign(Foreign { at, .. }) => {
                finding.at(Span::new(id, *at, *at), "the first letter that cannot be read")
            }
            _ => finding.at(at, "this file"),
        };
        sink.push(finding);
        return None;
    }
    if kind == Kind::Other {
        sink.push(stranger(file).at(at, "this file"));
        return None;
    }
    let limit = if kind == Kind::Figure { limits.figure } else { limits.file };
    let size = file.bytes().map_or(0, <[u8]>::len);
    if u64::try_from(size).unwrap_or(u64::MAX) > limit {
        let headline = format!("`{}` holds {} and the limit is {}", file.path, bytes(size), bytes(limit));
        sink.push(
            Finding::error(Code("SRC-02"), headline)
                .at(at, "this file")
                .help("split the file, or raise `limits` in shop.yaml"),
        );
        return None;
    }
    match (&file.content, kind) {
        (Content::Binary(_), Kind::Figure) => Some(Cow::Borrowed("")),
        (Content::Text(text), _) => {
            unseen::report(id, text, sink);
            let as_it_stands = matches!(kind, Kind::Figure | Kind::Dress);
            Some(if as_it_stands { Cow::Borrowed(text.as_str()) } else { controls(id, text, sink) })
        }
        _ => None,
    }
}

fn unreadable(file: &SourceFile, kind: Kind) -> Option<Finding> {
    let path = &file.path;
    let (code, headline, help) = match &file.content {
        Content::Text(_) => return None,
        Content::Binary(_) if matches!(kind, Kind::Figure | Kind::Dress | Kind::Other) => return None,
        Content::Binary(_) => {
            ("SRC-01", format!("`{path}` is not UTF-8 text"), Some("save it again as UTF-8"))
        }
        Content::Foreign(_) => (
            "SRC-01",
            format!("`{path}` is not UTF-8 text: it was saved in another encoding"),
            Some("save it again as UTF-8; in Windows editors it stands beside the file's name when saving"),
        ),
        Content::TooLarge(size) => {
            let headline =
                format!("`{path}` holds {} and no file above {} is read", bytes(*size), bytes(HARD_CAP));
            ("SRC-02", headline, Some("split the file"))
        }
        Content::Link(target) => (
            "SRC-09",
            format!("`{path}` is a symbolic link (to {})", target.display()),
            Some("put the file itself here: a manual holds everything that it needs"),
        ),
        Content::Special => ("SRC-09", format!("`{path}` is neither a file nor a folder"), None),
        Content::Unreadable(reason) => ("SRC-01", format!("`{path}` cannot be read: {reason}"), None),
    };
    Some(Finding::error(Code(code), headline).help_if(help.map(str::to_owned)))
}

/// What to say of a file that the format does not know.
fn stranger(file: &SourceFile) -> Finding {
    let path = &file.path;
    let (folder, name) = path.rsplit_once('/').unwrap_or(("", path));
    let (stem, ending) = name.rsplit_once('.').unwrap_or((name, ""));
    if let Some(how) = picture::conversion(name).filter(|_| path.starts_with("figures/")) {
        let headline = format!("no browser draws `{path}` everywhere");
        return Finding::error(picture::UNDRAWABLE, headline).help(how);
    }
    if picture::ENDINGS.contains(&ending.to_ascii_lowercase().as_str()) {
        return Finding::error(
            Code("SRC-09"),
            format!("the figure `{path}` does not stand under `figures/`"),
        )
        .help(format!("move it to `figures/{}`", name.to_ascii_lowercase()));
    }
    if folder == "stores" && matches!(ending, "yaml" | "yml") {
        let near = nearest(stem, Store::ALL.into_iter().map(Store::file));
        return Finding::error(Code("SRC-06"), format!("the stores have no table `{stem}`"))
            .help_if(near.map(|near| format!("name it `stores/{near}.yaml`")));
    }
    Finding::new(
        Code("SRC-09"),
        Severity::Advice,
        format!("`{path}` is no part of the manual and is not used"),
    )
}

/// Reports control characters, which some editors leave unseen, and reads each as spaces of its size, so that what
/// stands around it is read and every place stays.
fn controls<'a>(id: FileId, text: &'a str, sink: &mut Sink) -> Cow<'a, str> {
    let is_bad = |letter: char| letter.is_control() && !matches!(letter, '\n' | '\r' | '\t');
    if !text.contains(is_bad) {
        return Cow::Borrowed(text);
    }
    let bad = text.char_indices().filter(|(_, letter)| is_bad(*letter));
    for (at, character) in bad.take(unseen::MOST_MARKS) {
        let headline = format!("the unseen character U+{:04X} stands in the text", u32::from(character));
        sink.push(
            Finding::error(Code("SRC-01"), headline)
                .at(Span::new(id, at, at + character.len_utf8()), "here")
                .help("delete it"),
        );
    }
    let mut plain = String::with_capacity(text.len());
    for letter in text.chars() {
        match is_bad(letter) {
            true => plain.extend(std::iter::repeat_n(' ', letter.len_utf8())),
            false => plain.push(letter),
        }
    }
    Cow::Owned(plain)
}

/// Reports more procedures than the shop allows.
pub(super) fn count_procedures(number: usize, limits: &Limits, sink: &mut Sink) {
    if u64::try_from(number).unwrap_or(u64::MAX) > limits.procedures {
        let headline = format!("the manual has {number} procedures and the limit is {}", limits.procedures);
        sink.push(Finding::error(Code("SRC-02"), headline).help("raise `limits.procedures` in shop.yaml"));
    }
}

/// A size for people, with one decimal from a kilobyte up.
fn bytes(size: impl TryInto<u64>) -> String {
    let size = size.try_into().unwrap_or(u64::MAX);
    let (tenths, unit) = match size {
        0..1024 => return format!("{size} bytes"),
        1024..1_048_576 => (size.saturating_mul(10) / 1024, "kB"),
        _ => (size.saturating_mul(10) / 1_048_576, "MB"),
    };
    format!("{}.{} {unit}", tenths / 10, tenths % 10)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_what_its_place_says() {
        assert_eq!(kind("shop.yaml"), Kind::Shop);
        assert_eq!(kind("stores/tools.yaml"), Kind::Store(Store::Tools));
        assert_eq!(kind("stores/tolls.yaml"), Kind::Other);
        assert_eq!(kind("rear-doors/door-loom.md"), Kind::Procedure);
        assert_eq!(kind("figures/a.svg"), Kind::Figure);
        assert_eq!(kind("rear-doors/a.svg"), Kind::Other);
    }

    #[test]
    fn sizes_tell_a_file_from_its_limit() {
        assert_eq!(bytes(1023_u64), "1023 bytes");
        assert_eq!(bytes(3_000_000_u64), "2.8 MB");
        assert_eq!(bytes(2_097_152_u64), "2.0 MB");
    }

    #[test]
    fn marks_that_turn_a_text_are_refused_and_those_without_width_warn() {
        for (text, errors, warnings) in [
            ("Tighten to 21 turns", 0, 0),
            ("Tighten to \u{202e}21\u{202c} turns", 2, 0),
            ("a\u{200b}b", 0, 1),
            ("\u{feff}at the beginning", 0, 0),
            ("in the \u{feff}middle", 0, 1),
            ("an en dash \u{2013} and “quotes”", 0, 0),
        ] {
            let mut sink = Sink::new();
            unseen::report(FileId(0), text, &mut sink);
            let found = sink.into_sorted();
            let refused = found.iter().filter(|finding| finding.severity == Severity::Error).count();
            assert_eq!((refused, found.len() - refused), (errors, warnings), "{text:?}");
        }
        let mut sink = Sink::new();
        unseen::report(FileId(0), &"\u{200b}".repeat(unseen::MOST_MARKS + 2), &mut sink);
        assert_eq!(sink.into_sorted().len(), unseen::MOST_MARKS);
    }
}
