//! The entries of the indexes: one for each line of the stores, with everything that uses it.

use crate::finding::Finding;
use crate::model::{Figure, Form, Key, Line, Store};
use crate::page::view::shown::{self, Shown};
use crate::page::view::{Cell, Frame, Link, Panel, Sheet, UseGroup, frame, registers, uses};
use crate::page::{File, Manual, address};
use serde::Serialize;

/// An index page.
#[derive(Debug, Serialize)]
pub struct Index {
    page: Frame,
    title: String,
    lead: String,
    summary: Option<Sheet>,
    entries: Vec<Entry>,
}

/// An entry.
#[derive(Debug, Default, Serialize)]
pub struct Entry {
    /// Its anchor.
    pub id: String,
    /// What people call it.
    pub name: String,
    /// Whether nothing uses it.
    pub idle: bool,
    /// A hazard's message.
    pub panel: Option<Panel>,
    /// Its figures.
    pub facts: Vec<Fact>,
    /// A sleeve range's sizes.
    pub sizes: Option<Sheet>,
    /// Where its figures come from.
    pub source: Option<String>,
    /// Whether that is nobody's published figure.
    pub unverified: bool,
    /// A remark.
    pub note: Option<String>,
    /// Other names.
    pub also: String,
    /// The tables that it goes into.
    pub links: Vec<Link>,
    /// What was worked from it: procedures with how many values, and tables.
    pub touches: Vec<Link>,
    /// The steps that use it.
    pub used: Vec<UseGroup>,
}

/// One figure of an entry.
#[derive(Debug, Serialize)]
pub struct Fact {
    label: String,
    text: String,
    href: Option<String>,
    second: Option<String>,
    note: Option<String>,
}

impl Fact {
    /// Whether it says what a hazard's message does not say already.
    pub fn is_beside_the_message(&self, manual: &Manual<'_>) -> bool {
        self.label == manual.theme.say("key_protection")
    }
}

/// Renders an index page under its title and the sentence below that.
///
/// # Errors
/// Where its template fails.
pub fn index(
    manual: &Manual<'_>,
    kind: &'static str,
    here: &str,
    (title, lead): (String, String),
    summary: Option<Sheet>,
    entries: Vec<Entry>,
) -> Result<Vec<File>, Box<Finding>> {
    let view = Index { page: frame(manual, kind, here, title.clone()), title, lead, summary, entries };
    let html = manual.theme.render("index.html", &view)?;
    Ok(vec![(here.to_owned(), html.into_bytes())])
}

/// The entries of a table of the stores, those that something uses first.
pub fn entries(manual: &Manual<'_>, here: &str, store: Store) -> Vec<Entry> {
    let all = manual.worked.parsed().stores().lines(store).map(|line| entry(manual, here, line));
    let (used, idle): (Vec<Entry>, Vec<Entry>) = all.partition(|entry| !entry.idle);
    used.into_iter().chain(idle).collect()
}

/// The entry of a line.
pub fn entry(manual: &Manual<'_>, here: &str, line: &Line) -> Entry {
    let at = manual.uses.line(line.store, &line.id);
    let charts = manual.uses.charts(line.store, &line.id).filter_map(|id| {
        let table = manual.worked.parsed().tables().get(id)?;
        let rows = manual.worked.tables().get(id).map(|worked| worked.rows.as_slice()).unwrap_or_default();
        // A line may be an input of every row without being one.
        let to = match rows.iter().any(|row| row.id == line.id) {
            true => format!("{}#{}", address::table(id), address::row_anchor(&line.id)),
            false => address::table(id),
        };
        Some(Link::new(here, &to, table.title.clone()))
    });
    let links: Vec<Link> = charts.collect();
    Entry {
        id: line.id.clone(),
        name: line.name.clone(),
        idle: at.is_none() && links.is_empty(),
        panel: None,
        facts: facts(manual, here, line),
        sizes: sizes(manual, line),
        unverified: line.source.as_deref().is_some_and(shown::is_unverified),
        source: line.source.clone(),
        note: line.note.as_deref().map(|note| note.trim_end_matches('.').to_owned()),
        also: line.also.join(", "),
        links,
        touches: touches(manual, here, line),
        used: uses::groups(manual, here, at),
    }
}

/// What a change of a line would touch: the workings of each procedure, with how many of its values.
fn touches(manual: &Manual<'_>, here: &str, line: &Line) -> Vec<Link> {
    let link = |(owner, count): (&str, u64)| {
        let title = manual.procedure(owner)?.title.clone();
        let note = Some(manual.theme.say_count("values_n", count));
        Some(Link { note, ..Link::new(here, &address::workings(owner), title) })
    };
    manual.influence.values_touched(line.store, &line.id).into_iter().filter_map(link).collect()
}

/// The figures of a line in the order in which the format declares its keys.
fn facts(manual: &Manual<'_>, here: &str, line: &Line) -> Vec<Fact> {
    let keys =
        registers::keys(line.store).filter(|key| key.name != "name" && !matches!(key.form, Form::Lines(_)));
    let fact = |key: &crate::model::Key| {
        let (figure, own, _) = line.figures.get(key.name)?;
        let shown = linked(manual, here, key.form, figure);
        let source = own.as_deref().map(|source| {
            let word = if shown::is_unverified(source) { "unverified" } else { "source_is" };
            manual.theme.say_what(word, source)
        });
        let label = registers::key(manual, key.name);
        let (href, shown) = shown;
        Some(Fact { label, text: shown.text(), href, second: shown.second, note: source })
    };
    keys.filter_map(fact).collect()
}

/// A figure, and where it leads when it names other lines of the stores.
fn linked(manual: &Manual<'_>, here: &str, form: Form, figure: &Figure) -> (Option<String>, Shown) {
    let store = match form {
        Form::References(schemes) => schemes.iter().find_map(|scheme| Store::of_word(scheme)),
        _ => None,
    };
    let (Some(store), Figure::Texts(ids)) = (store, figure) else {
        return (None, shown::figure(manual, figure));
    };
    let name = |id: &str| {
        let line = manual.worked.parsed().stores().get(store, id);
        let hazard = line.and_then(|line| line.text("hazard"));
        hazard.map(str::to_owned).or(line.map(|line| line.name.clone())).unwrap_or_else(|| id.to_owned())
    };
    let names: Vec<String> = ids.iter().map(|(id, _)| name(id)).collect();
    let href = ids.first().and_then(|(id, _)| address::line(store, id)).map(|to| address::link(here, &to));
    (href, Shown { number: names.join(", "), ..Shown::default() })
}

/// What a line keeps in sizes: those of a sleeve range.
fn sizes(manual: &Manual<'_>, line: &Line) -> Option<Sheet> {
    let sized = |key: &'static Key| match (key.form, line.figure(key.name)) {
        (Form::Lines(keys), Some(Figure::Sizes(sizes))) => Some((keys, sizes)),
        _ => None,
    };
    let (keys, sizes) = registers::keys(line.store).find_map(sized)?;
    let mut heads = vec![(manual.theme.say("key_size"), false)];
    heads.extend(keys.iter().map(|key| (registers::key(manual, key.name), true)));
    let mut sheet = Sheet::new(line.name.clone(), heads);
    for (id, size) in sizes {
        let mut cells = vec![Cell::text(id.clone())];
        cells.extend(keys.iter().map(|key| match size.get(key.name) {
            Some(quantity) => {
                let shown = Shown::quantity(manual, quantity);
                Cell { second: shown.second.clone(), ..Cell::text(shown.text()) }
            }
            None => Cell::default(),
        }));
        sheet.push(None, cells);
    }
    Some(sheet)
}
