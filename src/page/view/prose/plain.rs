//! Prose as the plain words that a page prints of it, for what finds it by them: references are what they stand
//! for, and notes among writers are none of it.

use crate::model::{Prose, Reference};
use crate::page::view::prose::Writer;
use crate::parse::read_prose;
use pulldown_cmark::{Event, LinkType, Tag, TagEnd};

/// The words that a piece of prose prints, in order, with white space between those of two blocks.
pub(super) fn words(writer: &Writer<'_>, prose: &Prose) -> String {
    let mut words = String::new();
    // What an autolinked reference stands for is said already, and how many images stand open.
    let (mut said, mut images) = (false, 0_usize);
    for (event, _) in read_prose(prose) {
        match event {
            Event::Start(Tag::Link { link_type: LinkType::Autolink, dest_url, .. }) => {
                if let Some(reference) = reference(&dest_url) {
                    words.push_str(&writer.said(&reference).plain());
                    said = true;
                }
            }
            Event::End(TagEnd::Link) => said = false,
            Event::Start(Tag::Image { .. }) => images += 1,
            Event::End(TagEnd::Image) => images = images.saturating_sub(1),
            Event::Text(_) if said => {}
            Event::Text(text) => match (images > 0).then(|| reference(&text)).flatten() {
                Some(reference) => words.push_str(&writer.said(&reference).plain()),
                None => words.push_str(&text),
            },
            Event::Code(text) => words.push_str(&text),
            Event::SoftBreak | Event::HardBreak => words.push(' '),
            Event::End(
                TagEnd::Emphasis
                | TagEnd::Strong
                | TagEnd::Strikethrough
                | TagEnd::Superscript
                | TagEnd::Subscript,
            ) => {}
            Event::End(_) => words.push('\n'),
            _ => {}
        }
    }
    words
}

/// The reference that a text is as a whole.
fn reference(text: &str) -> Option<Reference> {
    Reference::looks_like(text).then(|| Reference::parse(text).ok()).flatten()
}
