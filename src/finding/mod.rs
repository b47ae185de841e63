//! Findings: what is wrong with a manual, as data; and how it is said to people and to programs.
//!
//! A finding never prints itself. Whoever finds a fault drops it into a [`Sink`] and goes on, so that one
//! run reports everything; [`text`], [`json`] and [`sarif`] render what was collected.

pub mod json;
mod near;
mod place;
pub mod sarif;
pub mod text;
pub mod unseen;
mod words;

pub use near::{nearest, or_list, shorten, write};
pub use place::{FileId, LineColumn, Span, line_column};
pub use words::Words;

use crate::phrase::Language;

/// The stable name of a rule, such as `LED-01`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Code(pub &'static str);

impl std::fmt::Display for Code {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.pad(self.0)
    }
}

/// How much a finding weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Blocks binding and release.
    Error,
    /// Must be mended or waived before a release.
    Warning,
    /// Advises only.
    Advice,
}

impl Severity {
    /// The word used in every output format.
    pub fn word(self) -> &'static str {
        match self {
            Severity::Error => "error",
            Severity::Warning => "warning",
            Severity::Advice => "advice",
        }
    }
}

/// A second place that belongs to a finding: "removed here", "never refitted".
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    /// The place.
    pub span: Span,
    /// What is to be seen there.
    pub text: Words,
}

/// One fault, with the place where it stands and how to mend it.
#[derive(Clone, Debug, PartialEq)]
pub struct Finding {
    /// The rule that was broken.
    pub code: Code,
    /// How much it weighs.
    pub severity: Severity,
    /// One sentence that stands alone.
    pub headline: Words,
    /// A line that says more, before the excerpt: an item's strip.
    pub detail: Option<Words>,
    /// Where it stands; `None` only for what has no file, such as a missing folder.
    pub span: Option<Span>,
    /// What is to be seen at `span`.
    pub note: Words,
    /// Further places, in the order in which a reader follows them.
    pub labels: Vec<Label>,
    /// What to write instead.
    pub help: Option<Words>,
    /// The procedure that it belongs to.
    pub procedure: Option<String>,
    /// The step that it belongs to.
    pub step: Option<String>,
}

impl Finding {
    /// Whether it blocks binding.
    pub fn is_error(&self) -> bool {
        self.severity == Severity::Error
    }

    /// A finding of any severity, as yet without a place.
    pub fn new(code: Code, severity: Severity, headline: impl Into<Words>) -> Finding {
        Finding {
            code,
            severity,
            headline: headline.into(),
            detail: None,
            span: None,
            note: Words::default(),
            labels: Vec::new(),
            help: None,
            procedure: None,
            step: None,
        }
    }

    /// A finding that blocks binding.
    pub fn error(code: Code, headline: impl Into<Words>) -> Finding {
        Finding::new(code, Severity::Error, headline)
    }

    /// Adds a line that says more.
    pub fn detail(mut self, detail: impl Into<Words>) -> Finding {
        self.detail = Some(detail.into());
        self
    }

    /// The headline with what says more, in one line.
    pub fn message(&self) -> String {
        let detail = self.detail.as_ref().map_or_else(String::new, |detail| format!(" ({detail})"));
        format!("{}{detail}", self.headline)
    }

    /// Sets the place and what is to be seen there.
    pub fn at(mut self, span: Span, note: impl Into<Words>) -> Finding {
        self.span = Some(span);
        self.note = note.into();
        self
    }

    /// Adds a further place.
    pub fn label(mut self, span: Span, text: impl Into<Words>) -> Finding {
        self.labels.push(Label { span, text: text.into() });
        self
    }

    /// Says what to write instead.
    pub fn help(mut self, help: impl Into<Words>) -> Finding {
        self.help = Some(help.into());
        self
    }

    /// Says what to write instead, where that is known.
    pub fn help_if(mut self, help: Option<impl Into<Words>>) -> Finding {
        self.help = help.map(Into::into).or(self.help);
        self
    }

    /// Says it in a language, as far as it is told in phrases.
    pub fn tell(&mut self, language: &dyn Language) {
        let labels = self.labels.iter_mut().map(|label| &mut label.text);
        let more = self.detail.iter_mut().chain(&mut self.help).chain(labels);
        [&mut self.headline, &mut self.note].into_iter().chain(more).for_each(|words| words.tell(language));
    }

    /// Names the procedure that it belongs to.
    pub fn in_procedure(mut self, id: impl Into<String>) -> Finding {
        self.procedure = Some(id.into());
        self
    }

    /// Names the step that it belongs to.
    pub fn in_step(mut self, id: impl Into<String>) -> Finding {
        self.step = Some(id.into());
        self
    }
}

/// Where findings are collected.
#[derive(Debug, Default)]
pub struct Sink {
    findings: Vec<Finding>,
}

impl Sink {
    /// An empty sink.
    pub fn new() -> Sink {
        Sink::default()
    }

    /// Keeps a finding.
    pub fn push(&mut self, finding: Finding) {
        self.findings.push(finding);
    }

    /// Takes over everything that another sink holds.
    pub fn take(&mut self, other: Sink) {
        self.findings.extend(other.findings);
    }

    /// Whether any finding blocks binding.
    pub fn has_errors(&self) -> bool {
        self.findings.iter().any(|finding| finding.is_error())
    }

    /// Keeps only the findings that pass.
    pub fn retain(&mut self, passes: impl Fn(&Finding) -> bool) {
        self.findings.retain(|finding| passes(finding));
    }

    /// How many findings block binding.
    pub fn errors(&self) -> usize {
        self.findings.iter().filter(|finding| finding.severity == Severity::Error).count()
    }

    /// Whether a finding of some code was kept.
    pub fn has_any(&self, codes: &[&str]) -> bool {
        self.findings.iter().any(|finding| codes.contains(&finding.code.0))
    }

    /// All findings, each once: errors before warnings before advice; among them what could not be read before
    /// what was read and is wrong, since the one may be the cause of the other; then by file and place.
    pub fn into_sorted(self) -> Vec<Finding> {
        let mut findings = self.findings;
        findings.sort_by(|a, b| {
            let key = |f: &Finding| {
                let read = !f.code.0.starts_with("SRC-");
                (f.severity, read, f.span.map(|s| (s.file, s.start)), f.code)
            };
            key(a).cmp(&key(b)).then_with(|| a.headline.cmp(&b.headline))
        });
        findings.dedup();
        findings
    }
}

/// What a renderer needs to know of the files that findings point into.
pub trait Excerpts {
    /// The path as the user would type it.
    fn path(&self, file: FileId) -> &str;
    /// The text, empty where the file is not text.
    fn text(&self, file: FileId) -> &str;
}
