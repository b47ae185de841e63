//! Words and sentences of a text.

use super::draft::{Draft, Piece};
use super::token::{Sentence, Word};

/// Signs that stand before a word and belong to none.
const BEFORE: &[char] = &['(', '"', '\'', '“', '”', '„', '‘', '’', '«', '»', '[', '{', '¡', '¿', '…'];
/// Signs that stand after one.
const AFTER: &[char] =
    &['.', ',', ';', ':', '!', '?', ')', '"', '\'', '”', '“', '’', '‘', '»', '«', ']', '}', '…'];

/// Words with a full stop that ends no sentence, in the languages of the manual.
const SHORT: &[&str] = &[
    "e.g", "i.e", "no", "nr", "fig", "approx", "max", "min", "incl", "excl", "resp", "cf", "vs", "bijv",
    "bv", "ca", "d.w.z", "z.b", "d.h", "bzw", "ggf", "u.a", "usw", "vgl", "abb", "p.ex", "p. ex", "env",
    "réf", "ej", "p.ej", "núm", "aprox", "máx", "mín",
];

/// The words of a draft, and its sentences.
pub(super) fn read(draft: &Draft) -> (Vec<Word>, Vec<Sentence>) {
    let (mut words, mut sentences) = (Vec::new(), Vec::new());
    let whole = [(0, false)];
    let blocks: &[(usize, bool)] = if draft.blocks().is_empty() { &whole } else { draft.blocks() };
    let mut piece = 0;
    for (index, (from, in_table)) in blocks.iter().enumerate() {
        let to = blocks.get(index + 1).map_or(draft.text().len(), |(at, _)| *at);
        let block = draft.text().get(*from..to).unwrap_or_default();
        let mut opens = true;
        let mut first = words.len();
        let mut tokens = spans(block).peekable();
        while let Some((start, token)) = tokens.next() {
            let next = tokens.peek().map(|(_, token)| *token);
            if let Some(word) = word(draft, &mut piece, from + start, token) {
                words.push(word);
            } else if let Some(last) = words.get_mut(first..).and_then(<[Word]>::last_mut) {
                last.after = token.chars().next_back().unwrap_or(' ');
            }
            if ends(token, next) && words.len() > first {
                sentences.push(Sentence { from: first, to: words.len(), in_table: *in_table, opens });
                first = words.len();
                opens = false;
            }
        }
        if words.len() > first {
            sentences.push(Sentence { from: first, to: words.len(), in_table: *in_table, opens });
        }
    }
    (words, sentences)
}

/// The stretches between white space, with where each begins.
fn spans(text: &str) -> impl Iterator<Item = (usize, &str)> {
    let mut at = 0;
    std::iter::from_fn(move || {
        let rest = text.get(at..)?;
        let skip = rest.find(|letter: char| !letter.is_whitespace())?;
        let token = rest.get(skip..)?;
        let length = token.find(char::is_whitespace).unwrap_or(token.len());
        let start = at + skip;
        at = start + length;
        Some((start, token.get(..length)?))
    })
}

/// The word in a token, without the signs around it; none where it is all signs.
fn word(draft: &Draft, piece: &mut usize, start: usize, token: &str) -> Option<Word> {
    let inner = token.trim_start_matches(BEFORE);
    let from = start + token.len() - inner.len();
    let bare = inner.trim_end_matches(AFTER);
    if !bare.chars().any(|letter| letter.is_alphanumeric() || matches!(letter, '\u{fffc}' | '%' | '°' | '&'))
    {
        return None;
    }
    let to = from + bare.len();
    let after = inner.get(bare.len()..).and_then(|signs| signs.chars().next()).unwrap_or(' ');
    let narrow = |at: usize| u32::try_from(at).unwrap_or(u32::MAX);
    let start = source(draft, piece, from, true);
    let end = source(draft, piece, to, false);
    Some(Word { from: narrow(from), to: narrow(to), start, end, after })
}

/// Where a byte of the text stands in the file; `first` for the first byte of a word, else one past its last.
fn source(draft: &Draft, piece: &mut usize, at: usize, first: bool) -> u32 {
    let begins = |piece: &Piece| if first { piece.at <= at } else { piece.at < at };
    while draft.pieces().get(*piece + 1).is_some_and(begins) {
        *piece += 1;
    }
    let Some(known) = draft.pieces().get(*piece) else { return 0 };
    let step = u32::try_from(at.saturating_sub(known.at)).unwrap_or(0);
    match (known.exact, first) {
        (true, _) => known.from.saturating_add(step).min(known.to),
        (false, true) => known.from,
        (false, false) => known.to,
    }
}

/// Whether a sentence ends after a token.
fn ends(token: &str, next: Option<&str>) -> bool {
    let bare = token.trim_end_matches(['"', '\'', '”', '“', '’', '»', ')', ']']);
    let stop = bare.ends_with(['.', '!', '?', '…']);
    let Some(next) = next else { return true };
    let small = next.trim_start_matches(BEFORE).chars().next().is_some_and(char::is_lowercase);
    if !stop || small {
        return false;
    }
    let word = bare.trim_start_matches(BEFORE).trim_end_matches('.').to_lowercase();
    // A figure may follow `no.`; a capital letter begins a sentence after most other words.
    !(bare.ends_with('.') && (SHORT.contains(&word.as_str()) || is_initial(&word)))
}

/// A single letter with a full stop, as in a name.
fn is_initial(word: &str) -> bool {
    let mut letters = word.chars();
    letters.next().is_some_and(char::is_alphabetic) && letters.next().is_none()
}
