//! The events of Markdown on their way to markup: references resolved, listings coloured, ids prefixed, raw
//! HTML and inline styles left out.

use crate::model::{Prose, Reference};
use crate::page::address;
use crate::page::markup::{Element, Markup};
use crate::page::view::prose::{Writer, listing};
use crate::parse::read_prose;
use pulldown_cmark::{Alignment, CodeBlockKind, CowStr, Event, LinkType, Tag, TagEnd};
use std::collections::BTreeMap;

/// A piece of prose that is being turned.
pub(super) struct Conversion<'w, 'p> {
    writer: &'w Writer<'w>,
    out: Vec<Event<'p>>,
    open: Open,
    /// Whether each link that is open has a tag to close.
    links: Vec<bool>,
    /// The names of the footnotes, with their numbers in the order of their marks.
    notes: BTreeMap<String, usize>,
    /// Whether a comment is open; one in a block of its own goes over several events.
    commented: bool,
}

/// What takes in the events that follow until it ends.
enum Open {
    Nothing,
    /// An autolinked reference: what it stands for is printed already.
    Reference,
    /// A listing: its language and text.
    Listing(String, String),
    /// An image: its target, its alternative in plain words, and how many images stand open inside it.
    Image(String, String, usize),
}

impl<'p> Conversion<'_, 'p> {
    /// A piece of prose as markup.
    pub(super) fn of(writer: &Writer<'_>, prose: &'p Prose) -> Markup {
        let mut turned = Conversion {
            writer,
            out: Vec::new(),
            open: Open::Nothing,
            links: Vec::new(),
            notes: BTreeMap::new(),
            commented: false,
        };
        for (event, _) in read_prose(prose) {
            turned.take(event);
        }
        Markup::markdown(turned.out.into_iter())
    }

    fn take(&mut self, event: Event<'p>) {
        match &mut self.open {
            Open::Nothing => self.place(event),
            Open::Reference => {
                if matches!(event, Event::End(TagEnd::Link)) {
                    self.open = Open::Nothing;
                }
            }
            Open::Listing(language, text) => match event {
                Event::Text(piece) => text.push_str(&piece),
                Event::End(TagEnd::CodeBlock) => {
                    let listing = listing::coloured(language, text);
                    self.open = Open::Nothing;
                    self.push(listing);
                }
                _ => {}
            },
            Open::Image(..) => self.image(event),
        }
    }

    fn push(&mut self, markup: Markup) {
        self.out.push(Event::InlineHtml(CowStr::from(markup.to_string())));
    }

    /// An event that nothing else takes in.
    fn place(&mut self, event: Event<'p>) {
        match event {
            Event::Html(text) | Event::InlineHtml(text) => self.raw(&text),
            Event::Start(Tag::CodeBlock(kind)) => {
                let language = match kind {
                    CodeBlockKind::Fenced(words) => words.split(' ').next().unwrap_or_default().to_owned(),
                    CodeBlockKind::Indented => String::new(),
                };
                self.open = Open::Listing(language, String::new());
            }
            Event::Start(Tag::Image { dest_url, .. }) => {
                self.open = Open::Image(dest_url.to_string(), String::new(), 0);
            }
            Event::Start(Tag::Link { link_type, dest_url, .. }) => self.link(link_type, &dest_url),
            Event::End(TagEnd::Link) => {
                if self.links.pop().unwrap_or(false) {
                    self.push(Element::new("a").close());
                }
            }
            Event::Start(Tag::Heading { level, id, .. }) => {
                let id = id.map(|id| CowStr::from(self.id(&id)));
                let heading = Tag::Heading { level, id, classes: Vec::new(), attrs: Vec::new() };
                self.out.push(Event::Start(heading));
            }
            // An alignment would become an inline style, which the pages' policy refuses.
            Event::Start(Tag::Table(columns)) => {
                self.out.push(Event::Start(Tag::Table(vec![Alignment::None; columns.len()])));
            }
            Event::FootnoteReference(name) => self.footnote_mark(&name),
            Event::Start(Tag::FootnoteDefinition(name)) => self.footnote(&name),
            Event::End(TagEnd::FootnoteDefinition) => self.push(Element::new("div").close()),
            Event::TaskListMarker(_) => {
                let marker = Element::span("box").around(&Markup::default());
                self.push(marker.then(&Markup::text(" ")));
            }
            other => self.out.push(other),
        }
    }

    /// Raw HTML: comments are notes among writers and left out, anything else stands as the text that it is.
    fn raw(&mut self, text: &str) {
        let mut rest = text;
        while !rest.is_empty() {
            let edge = if self.commented { "-->" } else { "<!--" };
            let (part, after) = rest.split_once(edge).unwrap_or((rest, ""));
            if !self.commented && !part.trim().is_empty() {
                self.out.push(Event::Text(CowStr::from(part.to_owned())));
            }
            if part.len() == rest.len() {
                return;
            }
            self.commented = !self.commented;
            rest = after;
        }
    }

    /// An event inside an image: its words become the alternative, which can hold no markup.
    fn image(&mut self, event: Event<'p>) {
        let Open::Image(target, words, depth) = &mut self.open else { return };
        match event {
            Event::Start(Tag::Image { .. }) => *depth += 1,
            Event::End(TagEnd::Image) if *depth > 0 => *depth -= 1,
            Event::End(TagEnd::Image) => {
                let name = target.strip_prefix("figure:").unwrap_or_default();
                let src = address::link(self.writer.here, &address::figure(name));
                let image = Element::new("img").with("loading", "lazy").with("src", &src).with("alt", words);
                self.open = Open::Nothing;
                self.push(image.alone());
            }
            Event::Text(text) => match Reference::looks_like(&text).then(|| Reference::parse(&text)) {
                Some(Ok(reference)) => words.push_str(&self.writer.said(&reference).plain()),
                _ => words.push_str(&text),
            },
            Event::Code(text) => words.push_str(&text),
            Event::SoftBreak | Event::HardBreak => words.push(' '),
            _ => {}
        }
    }

    fn link(&mut self, kind: LinkType, target: &str) {
        if kind == LinkType::Autolink
            && Reference::looks_like(target)
            && let Ok(reference) = Reference::parse(target)
        {
            self.open = Open::Reference;
            let printed = self.writer.reference(&reference);
            return self.push(printed);
        }
        let href = self.href(kind, target);
        self.links.push(href.is_some());
        if let Some(href) = href {
            self.push(Element::link(&href).open());
        }
    }

    /// Where a link leads; nothing for what inspection refuses, whose words then stand alone.
    fn href(&self, kind: LinkType, target: &str) -> Option<String> {
        if kind == LinkType::Email {
            return Some(format!("mailto:{target}"));
        }
        if Reference::looks_like(target) {
            let address = self.writer.address(&Reference::parse(target).ok()?)?;
            return Some(address::link(self.writer.here, &address));
        }
        match target.split_once(':').map(|(scheme, _)| scheme) {
            Some("https" | "http" | "mailto" | "tel") => Some(target.to_owned()),
            _ => target.strip_prefix('#').map(|name| format!("#{}", self.id(name))),
        }
    }

    /// The number of a footnote, and whether it was met before.
    fn numbered(&mut self, name: &str) -> (String, bool) {
        let known = self.notes.get(name).copied();
        let number = known.unwrap_or(self.notes.len() + 1);
        if known.is_none() {
            self.notes.insert(name.to_owned(), number);
        }
        (number.to_string(), known.is_some())
    }

    fn footnote_mark(&mut self, name: &str) {
        let ((number, met), id) = (self.numbered(name), self.id(name));
        // A second mark of the same note has no anchor of its own.
        let anchor = Element::new("a");
        let anchor = if met { anchor } else { anchor.with("id", &format!("{id}--from")) };
        let link = anchor.with("href", &format!("#{id}")).around_text(&number);
        self.push(Element::new("sup").around(&link));
    }

    /// The beginning of a footnote's text.
    fn footnote(&mut self, name: &str) {
        let ((number, _), id) = (self.numbered(name), self.id(name));
        let back = Element::link(&format!("#{id}--from")).around_text(&number);
        let note = Element::new("div").with("class", "footnote").with("id", &id);
        self.push(note.open().then(&back).then(&Markup::text(" ")));
    }

    fn id(&self, name: &str) -> String {
        let prefix = self.writer.prefix;
        format!("{}--{}", if prefix.is_empty() { "at" } else { prefix }, crate::model::slug(name))
    }
}
