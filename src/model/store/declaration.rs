//! What a kind of store is: its file, its noun, its scheme, its keys, and where its register stands.

use crate::model::key::{Form, Key, may, must};

/// A kind of store.
#[derive(Debug)]
pub struct Declaration {
    /// The name of its file under `stores/`, without the ending.
    pub file: &'static str,
    /// One line of it, in a sentence: `tool`, `sleeve range`.
    pub noun: &'static str,
    /// The word with which references point at a line; none where nothing refers to one.
    pub scheme: Option<&'static str>,
    /// What it holds, in a sentence.
    pub doc: &'static str,
    /// The key by which people call a line; its id where there is none.
    pub called_by: &'static str,
    /// The keys that its lines may have, besides those that every line may have.
    pub keys: &'static [Key],
    /// Lists that stand beside the lines, under keys that are therefore no ids of lines.
    pub lists: &'static [Key],
    /// The page on which its lines are listed.
    pub register: Register,
}

/// Where the lines of a kind of store are listed in the manual.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Register {
    /// On a page of its own, named as its file is.
    Own,
    /// On the page of another, by that one's file.
    Beside(&'static str),
    /// Nowhere: it steers the work and names nothing that is kept.
    Nowhere,
}

/// Keys that every line may have, unless it declares one of that name itself.
pub const EVERY_LINE: &[Key] = &[
    may(
        "source",
        Form::Text,
        "where its figures come from: a document, `maker`, `measured`, `common practice`, `memory` or `invented`",
        "measured",
    ),
    may("note", Form::Text, "a remark", "Kept in drawer 4"),
    may("also", Form::Texts, "other names, for search", "[spark wrench]"),
];

/// A figure with a source of its own: `{value: 14 A, source: maker}`.
pub const FIGURE: &[Key] = &[
    must("value", Form::Own("as the key itself"), "the figure", "14 A"),
    may("source", Form::Text, "where this one figure comes from", "maker"),
];
