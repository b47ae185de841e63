//! The text of a step as a reader sees it: notes among writers and marks of Markdown left out, references said.

use crate::model::{Figure, Prose, Reference};
use crate::page::view::shown;
use crate::parse::read_prose;
use crate::work::{Resolved, Scope, Worked};
use crate::workings::Value;
use pulldown_cmark::{Event, Tag, TagEnd};

/// The lines of a piece of prose; a point of a list or a row of a table is a line.
pub(super) fn lines(worked: &Worked, scope: Scope<'_>, prose: &Prose) -> Vec<String> {
    let mut lines = vec![String::new()];
    let mut push = |text: &str, begins: bool| match lines.last_mut() {
        Some(last) if !begins || last.is_empty() || last == "- " => last.push_str(text),
        _ => lines.push(text.to_owned()),
    };
    // The words of a reference's own link are not its text.
    let mut link = false;
    for (event, _) in read_prose(prose) {
        match event {
            Event::Start(Tag::Link { dest_url, .. }) => {
                let reference = Reference::looks_like(&dest_url).then(|| Reference::parse(&dest_url));
                if let Some(Ok(reference)) = reference {
                    push(&said(worked, scope, &reference), false);
                    link = true;
                }
            }
            Event::End(TagEnd::Link) => link = false,
            Event::Start(Tag::Item) => push("- ", true),
            Event::Start(Tag::TableRow | Tag::TableHead) => push("", true),
            Event::End(TagEnd::TableCell) => push("  ", false),
            Event::Start(Tag::Paragraph | Tag::CodeBlock(_)) | Event::HardBreak => push("", true),
            Event::SoftBreak => push(" ", false),
            Event::TaskListMarker(done) => push(if done { "[x] " } else { "[ ] " }, false),
            Event::Text(text) | Event::Code(text) if !link => push(&text, false),
            _ => {}
        }
    }
    let lines = lines.iter().flat_map(|line| line.lines());
    lines.map(|line| line.trim_end().to_owned()).filter(|line| !line.is_empty()).collect()
}

/// What a reference says; one that leads nowhere was reported, and stands as it was written.
fn said(worked: &Worked, scope: Scope<'_>, reference: &Reference) -> String {
    let Ok(resolved) = worked.resolve(scope, reference) else { return reference.to_string() };
    match resolved {
        Resolved::Value(_, value, output, shown) => value_said(&value.working, output, shown),
        Resolved::Cell(_, _, column, Ok(value)) => value_said(&column.working, &column.output, value),
        Resolved::Refused(.., reason) => reason.to_string(),
        Resolved::Cell(.., Err(reason)) => reason.to_string(),
        Resolved::Swept(at) => at.to_string(),
        Resolved::Table(table) => table.title.clone(),
        Resolved::Line(line, field) => match field.and_then(|field| line.figure(&field).cloned()) {
            Some(figure) => figure_said(&figure),
            None => line.name.clone(),
        },
        Resolved::Vehicle(vehicle) => vehicle.name.clone(),
        Resolved::Item(item) => item.label(),
        Resolved::Procedure(procedure, stage) => stage.map_or(&procedure.title, |stage| &stage.title).clone(),
        Resolved::Step(_, step) => format!("step {}", step.number),
        Resolved::Figure(name, file) => format!("figure {}", file.title.as_deref().unwrap_or(name)),
    }
}

fn value_said(working: &str, output: &str, value: &Value) -> String {
    value.shown(shown::output(working, output).0)
}

fn figure_said(figure: &Figure) -> String {
    match figure {
        Figure::Quantity(quantity) => quantity.to_string(),
        Figure::Number(number) => number.to_string(),
        Figure::Range(range) => format!("{} to {}", range.least, range.greatest),
        Figure::Text(text) => text.clone(),
        Figure::Texts(texts) => texts.iter().map(|(text, _)| text.as_str()).collect::<Vec<_>>().join(", "),
        Figure::Sizes(sizes) => sizes.keys().map(String::as_str).collect::<Vec<_>>().join(", "),
    }
}
