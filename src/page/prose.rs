//! Markdown of a procedure as HTML: references become links with what they stand for, raw HTML stays text,
//! ids carry a prefix, nothing has an inline style.

mod listing;

use crate::model::{Item, Line, Prose, Reference, Scheme, Store};
use crate::page::view::figures::Figures;
use crate::page::view::shown::{self, Shown};
use crate::page::{Manual, address};
use crate::parse::read_prose;
use crate::work::{Resolved, Scope};
use pulldown_cmark::{Alignment, CodeBlockKind, CowStr, Event, LinkType, Tag, TagEnd};
use tera::escape_html;

/// Where prose stands, and so what its references mean and how its links run.
#[derive(Clone, Copy, Debug)]
pub struct Writer<'a> {
    /// The manual.
    pub manual: &'a Manual<'a>,
    /// The procedure whose prose it is.
    pub procedure: &'a str,
    /// The page that it is written into.
    pub here: &'a str,
    /// What ids begin with: the step's id, or nothing.
    pub prefix: &'a str,
    /// The numbers of the page's figures.
    pub figures: Option<&'a Figures>,
}

impl Writer<'_> {
    /// Prose as blocks.
    pub fn blocks(&self, prose: &Prose) -> String {
        if prose.text.is_empty() {
            return String::new();
        }
        let mut html = String::with_capacity(prose.text.len() * 2);
        pulldown_cmark::html::push_html(&mut html, self.events(prose).into_iter());
        html
    }

    /// One line of prose without its paragraph.
    pub fn line(&self, prose: &Prose) -> String {
        let html = self.blocks(prose);
        let inner = html.trim();
        let inner = inner.strip_prefix("<p>").unwrap_or(inner);
        inner.strip_suffix("</p>").unwrap_or(inner).to_owned()
    }

    /// A text that may be a reference as a whole: `step:cut-wires`; else plain words.
    pub fn words(&self, text: &str) -> String {
        match Reference::looks_like(text).then(|| Reference::parse(text)) {
            Some(Ok(reference)) => self.reference(&reference),
            _ => escape(text.trim_end_matches('.')),
        }
    }

    fn events<'p>(&self, prose: &'p Prose) -> Vec<Event<'p>> {
        let mut out: Vec<Event<'p>> = Vec::new();
        // Inside an autolinked reference or a listing the reader's own text is replaced.
        let mut silent = false;
        let mut listing: Option<(String, String)> = None;
        let mut closes: Vec<&'static str> = Vec::new();
        let mut notes: Vec<String> = Vec::new();
        for (event, _) in read_prose(prose) {
            match event {
                Event::Start(Tag::CodeBlock(kind)) => {
                    let language = match kind {
                        CodeBlockKind::Fenced(words) => {
                            words.split(' ').next().unwrap_or_default().to_owned()
                        }
                        CodeBlockKind::Indented => String::new(),
                    };
                    listing = Some((language, String::new()));
                }
                Event::End(TagEnd::CodeBlock) => {
                    if let Some((language, text)) = listing.take() {
                        out.push(html(listing::coloured(&language, &text)));
                    }
                }
                Event::Text(text) if listing.is_some() => {
                    if let Some((_, listed)) = &mut listing {
                        listed.push_str(&text);
                    }
                }
                Event::Start(Tag::Link { link_type, dest_url, .. }) => {
                    let (open, close, hides) = self.open_link(link_type, &dest_url);
                    out.push(html(open));
                    closes.push(close);
                    silent = hides;
                }
                Event::End(TagEnd::Link) => {
                    silent = false;
                    out.push(html(closes.pop().unwrap_or_default().to_owned()));
                }
                _ if silent => {}
                Event::FootnoteReference(name) => out.push(self.footnote(&name, &mut notes, true)),
                Event::Start(Tag::FootnoteDefinition(name)) => {
                    out.push(self.footnote(&name, &mut notes, false));
                }
                other => out.push(self.plain(other)),
            }
        }
        out
    }

    /// Everything but links and listings.
    fn plain<'p>(&self, event: Event<'p>) -> Event<'p> {
        match event {
            Event::Html(text) | Event::InlineHtml(text) => Event::Text(text),
            Event::Start(Tag::Heading { level, id, .. }) => {
                let id = id.map(|id| CowStr::from(self.id(&id)));
                Event::Start(Tag::Heading { level, id, classes: Vec::new(), attrs: Vec::new() })
            }
            // An alignment would become an inline style, which the pages' policy refuses.
            Event::Start(Tag::Table(columns)) => {
                Event::Start(Tag::Table(vec![Alignment::None; columns.len()]))
            }
            Event::Start(Tag::Image { dest_url, .. }) => self.image(&dest_url),
            Event::End(TagEnd::Image) => html("\">".to_owned()),
            Event::End(TagEnd::FootnoteDefinition) => html("</div>\n".to_owned()),
            Event::TaskListMarker(_) => html("<span class=\"box\"></span> ".to_owned()),
            other => other,
        }
    }

    /// The mark of a footnote, or the beginning of its text; both carry its number.
    fn footnote(&self, name: &str, notes: &mut Vec<String>, is_mark: bool) -> Event<'static> {
        let known = notes.iter().position(|note| note == name);
        let number = known.unwrap_or(notes.len()) + 1;
        if known.is_none() {
            notes.push(name.to_owned());
        }
        let id = self.id(name);
        if is_mark {
            // A second mark of the same note has no anchor of its own.
            let anchor = if known.is_none() { format!(" id=\"{id}--from\"") } else { String::new() };
            return html(format!("<sup><a{anchor} href=\"#{id}\">{number}</a></sup>"));
        }
        html(format!("<div class=\"footnote\" id=\"{id}\"><a href=\"#{id}--from\">{number}</a> "))
    }

    fn id(&self, name: &str) -> String {
        format!("{}--{}", if self.prefix.is_empty() { "at" } else { self.prefix }, crate::model::slug(name))
    }

    /// The tag that opens a link, the one that closes it, and whether its own text is replaced.
    fn open_link(&self, kind: LinkType, target: &str) -> (String, &'static str, bool) {
        let anchor = |href: &str| (format!("<a href=\"{}\">", escape(href)), "</a>", false);
        if kind == LinkType::Email {
            return anchor(&format!("mailto:{target}"));
        }
        if Reference::looks_like(target) {
            let Ok(reference) = Reference::parse(target) else { return (String::new(), "", false) };
            if kind == LinkType::Autolink {
                return (self.reference(&reference), "", true);
            }
            return match self.address(&reference) {
                Some(address) => anchor(&address::link(self.here, &address)),
                None => (String::new(), "", false),
            };
        }
        match target.split_once(':').map(|(scheme, _)| scheme) {
            Some("https" | "http" | "mailto" | "tel") => anchor(target),
            _ => match target.strip_prefix('#') {
                Some(name) => anchor(&format!("#{}", self.id(name))),
                None => (String::new(), "", false),
            },
        }
    }

    fn image<'p>(&self, target: &str) -> Event<'p> {
        let name = target.strip_prefix("figure:").unwrap_or_default();
        let src = address::link(self.here, &address::figure(name));
        // The alternative follows as text, and the end of the image closes the attribute.
        html(format!("<img loading=\"lazy\" src=\"{}\" alt=\"", escape(&src)))
    }

    /// A reference as it prints in prose.
    pub fn reference(&self, reference: &Reference) -> String {
        let text = self.text(reference);
        match self.address(reference) {
            Some(address) => {
                format!("<a href=\"{}\">{text}</a>", escape(&address::link(self.here, &address)))
            }
            None => text,
        }
    }

    fn resolve(&self, reference: &Reference) -> Option<Resolved<'_>> {
        let scope = if self.procedure.is_empty() { Scope::Manual } else { Scope::Procedure(self.procedure) };
        self.manual.worked.resolve(scope, reference).ok()
    }

    /// What a reference prints.
    fn text(&self, reference: &Reference) -> String {
        let theme = self.manual.theme;
        let Some(resolved) = self.resolve(reference) else { return escape(&reference.to_string()) };
        match resolved {
            Resolved::Value(_, value, output, shown) => {
                let (rounding, _) = shown::output(&value.working, output);
                set(&Shown::value(self.manual, shown, rounding))
            }
            Resolved::Refused(_, _, reason) => format!("<span class=\"gap\">{}</span>", escape(&reason)),
            Resolved::Table(table) => escape(&table.title),
            Resolved::Cell(_, _, column, cell) => match cell {
                Ok(value) => {
                    let (rounding, _) = shown::output(&column.working, &column.output);
                    set(&Shown::value(self.manual, value, rounding))
                }
                Err(reason) => format!("<span class=\"gap\">{}</span>", escape(reason)),
            },
            Resolved::Line(line, field) => self.line_text(line, field.as_deref()),
            Resolved::Vehicle(vehicle) => escape(&vehicle.name),
            Resolved::Item(item) => escape(&item.label()),
            Resolved::Procedure(procedure, stage) => {
                escape(stage.map_or(procedure.title.as_str(), |stage| stage.title.as_str()))
            }
            Resolved::Step(_, step) => theme.say_count("step_n", u64::from(step.number)),
            Resolved::Figure(name, file) => match self.figures.and_then(|figures| figures.number(name)) {
                Some(number) => {
                    theme.say_count("figure_n", u64::from(number)).trim_end_matches('.').to_owned()
                }
                None => escape(file.title.as_deref().unwrap_or(name)),
            },
        }
    }

    fn line_text(&self, line: &Line, field: Option<&str>) -> String {
        match field.and_then(|field| line.figure(field)) {
            Some(figure) => set(&shown::figure(self.manual, figure)),
            None if line.name.is_empty() => escape(line.text("hazard").unwrap_or(&line.id)),
            None => escape(&line.name),
        }
    }

    /// Where a reference leads.
    pub fn address(&self, reference: &Reference) -> Option<String> {
        Some(match self.resolve(reference)? {
            Resolved::Value(owner, value, ..) | Resolved::Refused(owner, value, _) => {
                address::value(owner, &value.id)
            }
            Resolved::Table(table) => address::table(&table.id),
            Resolved::Cell(table, row, ..) => {
                format!("{}#{}", address::table(table), address::row_anchor(row))
            }
            Resolved::Line(line, _) => address::line(line.store, &line.id)?,
            Resolved::Vehicle(_) => return None,
            Resolved::Item(item) => self.item(item)?,
            Resolved::Procedure(procedure, None) => address::procedure(&procedure.id),
            Resolved::Procedure(procedure, Some(stage)) => address::stage(&procedure.id, &stage.id),
            Resolved::Step(procedure, step) => address::step(&procedure.id, &step.id),
            Resolved::Figure(name, _) => match self.figures.and_then(|figures| figures.number(name)) {
                Some(number) => format!("{}#{}", address::procedure(self.procedure), Figures::anchor(number)),
                None => address::figure(name),
            },
        })
    }

    fn item(&self, item: &Item) -> Option<String> {
        let touched = self.manual.worked.procedures.get(self.procedure)?.replay.touches(&item.id);
        touched.then(|| address::item(self.procedure, &item.id))
    }
}

/// The scheme's table of the stores has an index page.
pub fn has_index(scheme: Scheme) -> bool {
    Store::of(scheme).and_then(|store| address::line(store, "x")).is_some()
}

/// A figure in the figure face, its second unit beside it.
pub fn set(shown: &Shown) -> String {
    let unit = match shown.unit.as_deref() {
        Some("°") => "°".to_owned(),
        Some(unit) => format!("<span class=\"unit\">\u{a0}{}</span>", escape(unit)),
        None => String::new(),
    };
    let second = shown.second.as_ref();
    let second =
        second.map_or_else(String::new, |text| format!("<span class=\"second\"> ({})</span>", escape(text)));
    format!("<span class=\"value\">{}{unit}{second}</span>", escape(&shown.number))
}

fn html(text: String) -> Event<'static> {
    Event::InlineHtml(CowStr::from(text))
}

/// Text made safe for element content and double-quoted attributes.
pub fn escape(text: &str) -> String {
    let mut out = Vec::with_capacity(text.len());
    // Writing into memory does not fail.
    let _ = escape_html(text, &mut out);
    String::from_utf8(out).unwrap_or_default()
}
