//! References: `scheme:id/inner.field`, one grammar in YAML and prose.

use crate::model::id::{is_file_name, is_id};
use crate::model::store::Store;
use crate::phrase::{Phrase, phrase};
use crate::quantity::Quantity;

/// What a reference points at.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[allow(missing_docs, reason = "each is the word it stands for")]
pub enum Scheme {
    Value,
    Table,
    /// A line of the stores.
    Line(Store),
    Vehicle,
    Item,
    Procedure,
    Step,
    Figure,
    Row,
}

/// Every scheme with its word, besides those of the stores; `row:` serves inside tables only.
const WORDS: [(&str, Scheme); 8] = [
    ("value", Scheme::Value),
    ("table", Scheme::Table),
    ("vehicle", Scheme::Vehicle),
    ("item", Scheme::Item),
    ("procedure", Scheme::Procedure),
    ("step", Scheme::Step),
    ("figure", Scheme::Figure),
    ("row", Scheme::Row),
];

impl Scheme {
    /// The scheme of a word.
    pub fn of(word: &str) -> Option<Scheme> {
        let own = WORDS.iter().find(|(known, _)| *known == word).map(|(_, scheme)| *scheme);
        own.or_else(|| Store::of_word(word).map(Scheme::Line))
    }

    /// The word of a scheme.
    pub fn word(self) -> &'static str {
        match self {
            Scheme::Line(store) => store.declaration().scheme.unwrap_or_default(),
            _ => WORDS.iter().find(|(_, scheme)| *scheme == self).map_or("", |(word, _)| word),
        }
    }

    /// All words, for messages.
    pub fn words() -> impl Iterator<Item = &'static str> {
        let stores = Store::ALL.iter().filter_map(|store| store.declaration().scheme);
        WORDS.iter().map(|(word, _)| *word).chain(stores)
    }

    /// The kind of store whose lines it points at.
    pub fn store(self) -> Option<Store> {
        match self {
            Scheme::Line(store) => Some(store),
            _ => None,
        }
    }
}

/// A reference, read but not yet looked up.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Reference {
    /// What kind of thing.
    pub scheme: Scheme,
    /// Which one; for a figure its file name.
    pub id: String,
    /// What stands inside it: a stage, a row, a conductor's own value.
    pub inner: Option<String>,
    /// Which field of it.
    pub field: Option<String>,
}

/// A quantity as used: a figure, or the computed value that gives it.
#[derive(Clone, Debug, PartialEq)]
pub enum Amount {
    /// A figure.
    Quantity(Quantity),
    /// A reference to a computed value, not yet looked up.
    Value(Reference),
}

/// Why a text is no reference.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ReferenceError {
    /// It does not begin with a known word and a colon.
    Scheme(String),
    /// One of its parts is no id.
    Part(String),
}

impl ReferenceError {
    /// What is wrong, in a sentence without its full stop.
    pub fn message(&self) -> Phrase {
        match self {
            ReferenceError::Scheme(text) => phrase!(
                "`{text}` does not begin with a word that Benchleaf knows, such as `value:` or `tool:`",
                text = text
            ),
            ReferenceError::Part(text) => phrase!(
                "`{text}` is not an id: ids are lower-case letters, digits and single hyphens, at most 40 characters",
                text = text
            ),
        }
    }
}

impl std::fmt::Display for ReferenceError {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.message().fmt(out)
    }
}

impl std::error::Error for ReferenceError {}

impl Reference {
    /// Whether a text begins as a reference does, rightly written or not.
    pub fn looks_like(text: &str) -> bool {
        text.split_once(':').is_some_and(|(word, _)| Scheme::of(word).is_some())
    }

    /// Reads `scheme:id/inner.field`.
    ///
    /// # Errors
    /// When the scheme is unknown or a part is not an id.
    pub fn parse(text: &str) -> Result<Reference, ReferenceError> {
        let unknown = || ReferenceError::Scheme(text.to_owned());
        let (word, rest) = text.split_once(':').ok_or_else(unknown)?;
        let scheme = Scheme::of(word).ok_or_else(unknown)?;
        if scheme == Scheme::Figure {
            return Reference::figure(rest);
        }
        Reference::within(scheme, rest)
    }

    /// Reads `id/inner.field`, where the place it stands in says what kind of thing is meant.
    ///
    /// # Errors
    /// When a part is not an id.
    pub fn within(scheme: Scheme, rest: &str) -> Result<Reference, ReferenceError> {
        let (path, field) = match rest.split_once('.') {
            Some((path, field)) => (path, Some(part(field)?)),
            None => (rest, None),
        };
        let (id, inner) = match path.split_once('/') {
            Some((id, inner)) => (part(id)?, Some(part(inner)?)),
            None => (part(path)?, None),
        };
        Ok(Reference { scheme, id, inner, field })
    }

    fn figure(name: &str) -> Result<Reference, ReferenceError> {
        if name.split('/').all(is_file_name) {
            return Ok(Reference { scheme: Scheme::Figure, id: name.to_owned(), inner: None, field: None });
        }
        Err(ReferenceError::Part(name.to_owned()))
    }
}

impl std::fmt::Display for Reference {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(formatter, "{}:{}", self.scheme.word(), self.id)?;
        if let Some(inner) = &self.inner {
            write!(formatter, "/{inner}")?;
        }
        match &self.field {
            Some(field) => write!(formatter, ".{field}"),
            None => Ok(()),
        }
    }
}

fn part(text: &str) -> Result<String, ReferenceError> {
    if is_id(text) { Ok(text.to_owned()) } else { Err(ReferenceError::Part(text.to_owned())) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reference_goes_inside_and_to_a_field() {
        let read = Reference::parse("value:door-loom/tail-sleeve.cut-length");
        let wanted = Reference {
            scheme: Scheme::Value,
            id: "door-loom".into(),
            inner: Some("tail-sleeve".into()),
            field: Some("cut-length".into()),
        };
        assert_eq!(read.as_ref(), Ok(&wanted));
        assert_eq!(wanted.to_string(), "value:door-loom/tail-sleeve.cut-length");
    }

    #[test]
    fn what_only_looks_like_one_is_refused() {
        assert!(Reference::looks_like("value:Tail Sleeve"));
        assert_eq!(Reference::parse("value:Tail Sleeve"), Err(ReferenceError::Part("Tail Sleeve".into())));
        assert!(!Reference::looks_like("https://example.org"));
    }

    #[test]
    fn a_figure_keeps_its_file_name() {
        assert_eq!(Reference::parse("figure:pillar-zone.svg").map(|r| r.id), Ok("pillar-zone.svg".into()));
        assert!(Reference::parse("figure:../x.svg").is_err());
    }
}
