//! Markup that is safe to print as it is. There is no way to it but through elements whose names are written
//! in this program and through text that is escaped, so that nothing a writer types can become markup.

use serde::Serialize;
use std::fmt::{self, Display};
use tera::escape_html;

/// A stretch of HTML: whole elements and escaped text.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(transparent)]
pub struct Markup(String);

/// An element by its name, with its attributes.
#[derive(Clone, Debug)]
pub struct Element {
    name: &'static str,
    opening: String,
}

impl Markup {
    /// Plain words.
    pub fn text(words: &str) -> Markup {
        Markup(escape(words))
    }

    /// What the Markdown of a writer becomes. The caller has turned raw HTML among the events into text.
    pub(in crate::page) fn markdown<'p>(events: impl Iterator<Item = pulldown_cmark::Event<'p>>) -> Markup {
        let mut html = String::new();
        pulldown_cmark::html::push_html(&mut html, events);
        Markup(html)
    }

    /// Stretches one after another, with something between them.
    pub fn joined(parts: impl IntoIterator<Item = Markup>, between: &Markup) -> Markup {
        let parts: Vec<String> = parts.into_iter().map(|part| part.0).collect();
        Markup(parts.join(&between.0))
    }

    /// This and then that.
    #[must_use]
    pub fn then(mut self, next: &Markup) -> Markup {
        self.0.push_str(&next.0);
        self
    }

    /// The inside of a single paragraph; anything else stays as it is.
    #[must_use]
    pub fn without_paragraph(self) -> Markup {
        let whole = self.0.trim();
        match whole.strip_prefix("<p>").and_then(|rest| rest.strip_suffix("</p>")) {
            Some(inner) if !inner.contains("<p>") => Markup(inner.to_owned()),
            _ => Markup(whole.to_owned()),
        }
    }

    /// Whether there is nothing.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The characters as they stand in a page.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl Display for Markup {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.0)
    }
}

impl Element {
    /// An element without attributes.
    pub fn new(name: &'static str) -> Element {
        Element { name, opening: format!("<{name}") }
    }

    /// A link.
    pub fn link(href: &str) -> Element {
        Element::new("a").with("href", href)
    }

    /// A span of a class.
    pub fn span(class: &str) -> Element {
        Element::new("span").with("class", class)
    }

    /// With a further attribute; its value is escaped.
    #[must_use]
    pub fn with(mut self, attribute: &'static str, value: &str) -> Element {
        self.opening.push_str(&format!(" {attribute}=\"{}\"", escape(value)));
        self
    }

    /// The element around something.
    pub fn around(&self, inside: &Markup) -> Markup {
        Markup(format!("{}>{inside}</{}>", self.opening, self.name))
    }

    /// The element around plain words.
    pub fn around_text(&self, words: &str) -> Markup {
        self.around(&Markup::text(words))
    }

    /// An element that holds nothing, such as an image or a line break.
    pub fn alone(&self) -> Markup {
        Markup(format!("{}>", self.opening))
    }

    /// Its first tag, where the end comes with a later event of Markdown.
    pub(in crate::page) fn open(&self) -> Markup {
        self.alone()
    }

    /// Its last tag.
    pub(in crate::page) fn close(&self) -> Markup {
        Markup(format!("</{}>", self.name))
    }
}

/// Text made safe for element content and double-quoted attributes.
fn escape(text: &str) -> String {
    let mut out = Vec::with_capacity(text.len());
    // Writing into memory does not fail.
    let _ = escape_html(text, &mut out);
    String::from_utf8(out).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_writer_types_stays_text_in_content_and_in_attributes() {
        let typed = "12\" <b onload='x'> & more";
        let made = Element::link(typed).with("title", typed).around_text(typed);
        let safe = made.as_str().replace("&quot;", "").replace("&#39;", "").replace("&#x27;", "");
        assert_eq!(safe.matches('"').count(), 4, "the quotes of two attributes: {made}");
        assert_eq!(safe.matches('<').count(), 2, "{made}");
        assert!(!safe.contains('\''), "{made}");
    }

    #[test]
    fn one_paragraph_gives_up_its_tags_and_two_keep_theirs() {
        let one = Element::new("p").around_text("a");
        assert_eq!(one.clone().without_paragraph().as_str(), "a");
        let two = Markup::joined([one.clone(), one], &Markup::text(" & "));
        assert_eq!(two.without_paragraph().as_str(), "<p>a</p> &amp; <p>a</p>");
    }
}
