//! Signal words in running text.

use super::passage::{Passage, Sentence, Word};
use super::words::Words;

/// The signal word with which a sentence begins as a message does: `Warning: …`, `CAUTION …`.
pub(crate) fn message(words: &Words, passage: &Passage<'_>, sentence: &Sentence) -> Option<(Word, Word)> {
    let all = passage.of_sentence(sentence);
    let lowers = passage.lowers(sentence);
    let length = words.signal.starts(&lowers)?;
    let (first, last) = (all.first()?, all.get(length.checked_sub(1)?)?);
    // A word that begins a remark as well is a signal in capitals alone: `Hinweis:` is none, `HINWEIS` is.
    if words.notes.starts(&lowers).is_some()
        && !all.iter().take(length).all(|word| is_capital(passage.text(word)))
    {
        return None;
    }
    let alone = all.len() == length || matches!(last.after, ':' | '!' | '–' | '—' | '-' | '.');
    (alone || is_loud(passage.text(first))).then_some((*first, *last))
}

/// A signal word in capital letters, wherever it stands.
pub(crate) fn loud(words: &Words, passage: &Passage<'_>, sentence: &Sentence) -> Option<(Word, Word)> {
    let all = passage.of_sentence(sentence);
    let at = all.iter().position(|word| {
        is_loud(passage.text(word)) && words.signal.starts(&[passage.lower(word)]).is_some()
    })?;
    let word = all.get(at)?;
    Some((*word, *word))
}

fn is_loud(word: &str) -> bool {
    word.chars().count() > 3 && is_capital(word)
}

fn is_capital(word: &str) -> bool {
    word.chars().all(|letter| !letter.is_lowercase())
}
