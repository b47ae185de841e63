//! DOC-04: a draft is never released without its watermark.

use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::finding::{Code, Severity, Sink, Span};
use crate::model::Status;
use crate::parse::span;
use crate::phrase::phrase;

/// The rule DOC-04.
pub(super) struct Doc04;

static PAGE: Page = Page {
    code: Code("DOC-04"),
    severity: Severity::Error,
    rule: "a draft is never released without its watermark",
    why: "A draft on paper looks like any other sheet, and somebody works by it.",
    source: "ISO 9001:2015, 7.5.3, prevention of unintended use (from memory)",
    fails: "# dress/base.html\n<body>{% block main %}{% endblock main %}</body>",
    passes: "# dress/base.html\n<body class=\"watermark\" data-mark=\"{{ page.mark }}\">{% block main %}{% endblock main %}</body>",
};

/// The parts of the dress that mark a draft, with what does it in each.
const MARKING: &[(&str, &str)] = &[("base.html", "page.mark"), ("paper.css", "data-mark")];

impl Rule for Doc04 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        let parsed = reading.worked.parsed();
        let drafts = || reading.procedures.iter().filter(|read| read.procedure.status == Status::Draft);
        for read in drafts() {
            let procedure = read.procedure;
            let Some(release) = parsed.releases().get(&procedure.id) else { continue };
            let letter = &release.letter;
            if procedure.revision.as_ref().is_none_or(|revision| revision.letter != *letter) {
                continue;
            }
            let headline = phrase!(
                "`{procedure}` is a draft under the released letter {letter}",
                procedure = procedure.id,
                letter = letter
            );
            let place = procedure.keys.get("status").copied().unwrap_or(procedure.place);
            sink.push(
                read.at(PAGE.finding(headline), place, phrase!("a draft"), None)
                    .label(
                        span(release.place),
                        phrase!("letter {letter} was released without a mark", letter = letter),
                    )
                    .help(phrase!(
                        "give the draft a new letter: the released sheets of this one carry no mark"
                    )),
            );
        }
        let Some(draft) = drafts().next() else { return };
        for (file, text) in parsed.dress() {
            let Some((name, mark)) = MARKING.iter().find(|(name, _)| is_named(name, file)) else { continue };
            if text.text.contains(mark) || text.text.contains(&format!("builtin/{name}")) {
                continue;
            }
            let headline = phrase!("`dress/{file}` leaves out the mark of a draft", file = file);
            sink.push(
                PAGE.finding(headline)
                    .at(Span::whole(text.file), phrase!("`{mark}` stands nowhere in it", mark = mark))
                    .label(span(draft.procedure.place), phrase!("a draft"))
                    .help(phrase!("take `{mark}` over from the built-in `{name}`", mark = mark, name = name)),
            );
        }
    }
}

/// Whether a file of the dress takes the place of a built-in one: its folder does not matter.
fn is_named(name: &str, file: &str) -> bool {
    file.rsplit('/').next() == Some(name)
}
