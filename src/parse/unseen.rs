//! Marks that nobody sees, in every text that a manual holds.

use crate::finding::{Code, FileId, Finding, Severity, Sink, Span, unseen};

/// Characters that nobody sees.
const UNSEEN: Code = Code("SRC-16");
/// Most of them that are reported in one file.
pub(super) const MOST_MARKS: usize = 20;

/// Refuses marks that turn the direction of a text, and warns of those without width. A byte order mark at the
/// very beginning is no such mark.
pub(super) fn report(id: FileId, text: &str, sink: &mut Sink) {
    // Most text is plain: these all begin with the bytes D8, E2 or EF.
    if !text.bytes().any(|byte| matches!(byte, 0xD8 | 0xE2 | 0xEF)) {
        return;
    }
    let marks =
        text.char_indices().filter(|(at, c)| unseen::turns(*c) || (*at > 0 && unseen::has_no_width(*c)));
    for (at, character) in marks.take(MOST_MARKS) {
        let span = Span::new(id, at, at + character.len_utf8());
        let number = format!("U+{:04X}", u32::from(character));
        sink.push(if unseen::turns(character) {
            Finding::error(
                UNSEEN,
                format!("{number} turns the direction of this text: it is read otherwise than stored"),
            )
            .at(span, "here")
            .help("delete it, and look at the figures around it")
        } else {
            Finding::new(UNSEEN, Severity::Warning, format!("{number} stands in this text and takes no room"))
                .at(span, "here")
                .help("delete it: a search and an id do not pass over it")
        });
    }
}

/// A mark that turns the direction of a text and is written as an escape.
pub(super) fn turns_by_escape(span: Span) -> Finding {
    Finding::error(UNSEEN, "an escape in this text turns its direction: it is read otherwise than stored")
        .at(span, "here")
        .help("delete the escape, and look at the figures around it")
}
