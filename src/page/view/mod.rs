//! What templates are given: plain data, all links already relative, all words already chosen.

pub mod card;
pub mod entry;
pub mod figures;
pub mod loose;
pub mod plan;
pub mod prose;
pub mod registers;
pub mod shown;
pub mod uses;
pub mod working;

use crate::page::markup::Markup;
use crate::page::{Manual, address};
use crate::theme::STYLE_SHEET;
use serde::Serialize;

/// Words that may lead somewhere.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Link {
    /// Where to.
    pub href: Option<String>,
    /// The words.
    pub text: String,
    /// A remark beside it.
    pub note: Option<String>,
}

impl Link {
    /// A link from a page to an address.
    pub fn new(here: &str, to: &str, text: impl Into<String>) -> Link {
        Link { href: Some(address::link(here, to)), text: text.into(), note: None }
    }
}

/// A place where something is used: a step, or a procedure.
#[derive(Clone, Debug, Serialize)]
pub struct Where {
    /// The link.
    pub href: String,
    /// The step's number, the procedure's revision.
    pub number: String,
    /// The title.
    pub text: String,
    /// A remark.
    pub note: Option<String>,
}

/// The steps of one procedure that use something.
#[derive(Clone, Debug, Serialize)]
pub struct UseGroup {
    /// The procedure.
    pub href: String,
    /// Its title.
    pub text: String,
    /// Its steps.
    pub steps: Vec<Where>,
}

/// A figure that is set large.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Reading {
    /// What it is.
    pub label: String,
    /// The digits, or a word.
    pub number: String,
    /// The unit.
    pub unit: Option<String>,
    /// The same in the second unit.
    pub second: Option<String>,
    /// Where the words lead.
    pub href: Option<String>,
    /// The way to its working.
    pub how: Option<String>,
    /// Where it comes from.
    pub source: Option<String>,
    /// Whether that is nobody's published figure.
    pub unverified: bool,
    /// Whether a person writes it in.
    pub write_in: bool,
    /// A remark.
    pub note: Option<String>,
}

/// A safety message.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Panel {
    /// How grave: 0 is danger.
    pub rank: u8,
    /// `danger`, `warning`, `caution` or `notice`.
    pub word: String,
    /// The word as printed.
    pub signal: String,
    /// What can hurt.
    pub hazard: String,
    /// How.
    pub consequence: String,
    /// What to do about it.
    pub avoid: String,
    /// The sign's number in ISO 7010.
    pub sign: Option<String>,
    /// Its entry in the hazard index.
    pub href: Option<String>,
}

/// A stop notice over the whole width.
#[derive(Clone, Debug, Serialize)]
pub struct Gate {
    /// What to do.
    pub title: String,
    /// Why.
    pub lines: Vec<String>,
    /// Where to instead.
    pub href: Option<String>,
    /// Its words.
    pub text: Option<String>,
}

/// A drawing or picture with its callouts.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Drawing {
    /// Its anchor.
    pub id: Option<String>,
    /// Its number on the page.
    pub number: Option<u32>,
    /// Inline, wide.
    pub svg: Option<String>,
    /// Inline, narrow.
    pub narrow: Option<String>,
    /// A file.
    pub src: Option<String>,
    /// The text alternative of a file.
    pub alt: String,
    /// The caption.
    pub caption: String,
    /// Everything that it shows, in words.
    pub callouts: Vec<String>,
}

/// A table whose cells repeat their headers on narrow screens.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Sheet {
    /// The caption.
    pub caption: String,
    /// The columns.
    pub columns: Vec<Column>,
    /// The rows.
    pub rows: Vec<Row>,
}

/// A column.
#[derive(Clone, Debug, Serialize)]
pub struct Column {
    /// The header.
    pub text: String,
    /// Whether it holds figures.
    pub figures: bool,
}

/// A row.
#[derive(Clone, Debug, Serialize)]
pub struct Row {
    /// Its anchor.
    pub id: Option<String>,
    /// Its cells.
    pub cells: Vec<Cell>,
}

/// A cell.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Cell {
    /// The column's header, repeated.
    pub head: String,
    /// Plain words.
    pub text: String,
    /// Ready markup, in place of words.
    pub html: Option<Markup>,
    /// Where the words lead.
    pub href: Option<String>,
    /// The same in the second unit.
    pub second: Option<String>,
    /// The way to its working.
    pub how: Option<String>,
    /// A remark.
    pub note: Option<String>,
    /// Readings one below the other, after the words.
    pub lines: Vec<Reading>,
    /// Whether there is nothing, and the words say why.
    pub gap: bool,
    /// Whether it holds a figure.
    pub figures: bool,
}

impl Cell {
    /// Plain words.
    pub fn text(text: impl Into<String>) -> Cell {
        Cell { text: text.into(), ..Cell::default() }
    }

    /// Words that lead somewhere.
    pub fn link(href: String, text: impl Into<String>) -> Cell {
        Cell { href: Some(href), ..Cell::text(text) }
    }

    /// Whether it says nothing at all.
    fn is_empty(&self) -> bool {
        self.text.is_empty() && self.html.is_none() && self.lines.is_empty()
    }

    /// The reason why there is nothing.
    pub fn gap(reason: impl Into<String>) -> Cell {
        Cell { gap: true, ..Cell::text(reason) }
    }
}

impl Sheet {
    /// An empty table with these headers, each with whether it holds figures.
    pub fn new(caption: impl Into<String>, columns: Vec<(String, bool)>) -> Sheet {
        let columns = columns.into_iter().map(|(text, figures)| Column { text, figures }).collect();
        Sheet { caption: caption.into(), columns, rows: Vec::new() }
    }

    /// Adds a row; each cell takes over its column's header.
    pub fn push(&mut self, id: Option<String>, cells: Vec<Cell>) {
        let cells = cells.into_iter().zip(&self.columns);
        let cells = cells.map(|(cell, column)| Cell {
            head: column.text.clone(),
            // A long list of figures may break over lines, else its table would run off the sheet.
            figures: column.figures && !cell.gap && cell.text.chars().count() <= LONGEST_FIGURE,
            ..cell
        });
        self.rows.push(Row { id, cells: cells.collect() });
    }

    /// Leaves out the columns in which no row says anything.
    pub fn without_empty_columns(mut self) -> Sheet {
        let speaks: Vec<bool> = (0..self.columns.len())
            .map(|at| {
                let cells = self.rows.iter().filter_map(|row| row.cells.get(at));
                cells.into_iter().any(|cell| !cell.is_empty())
            })
            .collect();
        let mut keep = speaks.iter();
        self.columns.retain(|_| *keep.next().unwrap_or(&true));
        for row in &mut self.rows {
            let mut keep = speaks.iter();
            row.cells.retain(|_| *keep.next().unwrap_or(&true));
        }
        self
    }
}

/// Most characters of a cell that is set on one line.
const LONGEST_FIGURE: usize = 34;

/// The frame around every page.
#[derive(Clone, Debug, Serialize)]
pub struct Frame {
    /// The page kind.
    pub kind: &'static str,
    /// The page's title.
    pub title: String,
    /// The way up to the root.
    pub root: String,
    /// The language of the furniture.
    pub language: String,
    /// The manual's fingerprint.
    pub fingerprint: String,
    /// The shop's name.
    pub shop: String,
    /// The style sheet's name.
    pub style: String,
    /// The scripts' names.
    pub scripts: Vec<String>,
    /// Words across the sheet when it is printed: a draft says so.
    pub mark: Option<String>,
    /// What stands out of the top of the sheet.
    pub dividers: Vec<Divider>,
    /// What the edges are called.
    pub edges_name: String,
    /// What is cut into its edge.
    pub edges: Vec<Edge>,
}

/// A divider: the way to another sheet.
#[derive(Clone, Debug, Serialize)]
pub struct Divider {
    /// Where to.
    pub href: String,
    /// The words.
    pub text: String,
    /// `house` for the way to the front; on a narrow screen `shelf` gives way to `shelves`.
    pub class: Option<&'static str>,
    /// Whether it is this sheet.
    pub current: bool,
}

/// A tab in the edge: the way to a part of this sheet.
#[derive(Clone, Debug, Serialize)]
pub struct Edge {
    /// The anchor.
    pub id: String,
    /// The number.
    pub number: u32,
    /// The word.
    pub text: String,
}

/// The frame of a page that belongs to no procedure.
pub fn frame(manual: &Manual<'_>, kind: &'static str, here: &str, title: String) -> Frame {
    let say = |key: &str| manual.theme.say(key);
    let mut pages = vec![
        (address::FRONT.to_owned(), manual.worked.parsed().shop().name.clone()),
        (address::SEARCH.to_owned(), say("search")),
    ];
    pages.extend(registers::pages(manual).into_iter().map(|(page, title, _)| (page, title)));
    let divider = |(page, text): (String, String)| Divider {
        href: address::link(here, &page),
        text,
        class: match page.as_str() {
            address::FRONT => Some("house"),
            address::SEARCH => None,
            _ => Some("shelf"),
        },
        current: page == here,
    };
    let mut dividers: Vec<Divider> = pages.into_iter().map(divider).collect();
    let href = address::link(here, &format!("{}#at--registers", address::FRONT));
    dividers.push(Divider { href, text: say("registers"), class: Some("shelves"), current: false });
    bare_frame(manual, kind, here, title, dividers)
}

/// The frame of a sheet of a procedure.
pub fn procedure_frame(
    manual: &Manual<'_>,
    kind: &'static str,
    here: &str,
    id: &str,
    title: String,
) -> Frame {
    let say = |key: &str| manual.theme.say(key);
    let mut sheets = vec![
        (address::FRONT.to_owned(), manual.worked.parsed().shop().name.clone()),
        (address::procedure(id), say("procedure")),
        (address::job_sheet(id), say("job_sheet")),
    ];
    let worked = manual.worked.procedures().get(id);
    if worked.is_some_and(|worked| !worked.schedule.joints.is_empty()) {
        sheets.push((address::join_schedule(id), say("join_schedule")));
    }
    if manual.parks(id) {
        sheets.push((address::parking(id), say("parking")));
    }
    if worked.is_some_and(|worked| !worked.values.is_empty()) {
        sheets.push((address::workings(id), say("workings")));
    }
    sheets.push((address::SEARCH.to_owned(), say("search")));
    let divider = |(page, text): (String, String)| Divider {
        href: address::link(here, &page),
        text,
        class: (page == address::FRONT).then_some("house"),
        current: page == here,
    };
    bare_frame(manual, kind, here, title, sheets.into_iter().map(divider).collect())
}

fn bare_frame(
    manual: &Manual<'_>,
    kind: &'static str,
    here: &str,
    title: String,
    dividers: Vec<Divider>,
) -> Frame {
    Frame {
        kind,
        title,
        root: address::root(here),
        language: manual.theme.language.clone(),
        fingerprint: manual.fingerprint.to_owned(),
        shop: manual.worked.parsed().shop().name.clone(),
        style: manual.theme.asset(STYLE_SHEET),
        scripts: vec![manual.theme.asset("reading.js")],
        mark: None,
        dividers,
        edges_name: String::new(),
        edges: Vec::new(),
    }
}
