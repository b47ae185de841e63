//! A piece of text as the rules read it: its words in sentences, each with its place in the source, and the
//! numbers and references in it. It is read once, for all rules.

use super::draft::{self, Draft};
use super::numbers::{self, Number};
pub(crate) use super::token::{Sentence, Word};
use super::tokens;
use super::words::{Marks, Phrases, Words};
use crate::model::{Place, Prose, Step};
use crate::parse::Seen;

/// What a piece of text is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Role {
    /// Front matter: title, summary, start state.
    Front,
    /// What stands before the first stage.
    Intro,
    /// A stage's heading.
    StageTitle,
    /// What stands before a stage's first step.
    Stage,
    /// A step's heading.
    Title,
    /// A step's text.
    Step,
    /// A check in plain words, or what is measured.
    Check,
    /// What is to be written down.
    Record,
    /// When a way is taken.
    Choice,
}

impl Role {
    /// Whether it tells people what to do.
    pub(crate) fn instructs(self) -> bool {
        matches!(self, Role::Title | Role::Step)
    }
}

/// Marks of work to do, in capitals.
const MARKS: &[&str] = &["TODO", "TO-DO", "FIXME", "XXX", "TBD", "TBC", "TBA", "WIP"];

/// A piece of text.
#[derive(Debug)]
pub(crate) struct Passage<'a> {
    /// What it is for.
    pub(crate) role: Role,
    /// The step that it belongs to.
    pub(crate) step: Option<&'a Step>,
    /// Its words.
    pub(crate) words: Vec<Word>,
    /// Its sentences.
    pub(crate) sentences: Vec<Sentence>,
    /// Its numbers.
    pub(crate) numbers: Vec<Number>,
    /// Its references.
    pub(crate) seen: Vec<Seen>,
    /// The lists that it may hold words of.
    pub(crate) marks: Marks,
    text: String,
    lower: String,
    file: u32,
    /// Its first byte in the file.
    start: u32,
}

impl<'a> Passage<'a> {
    /// Reads Markdown.
    pub(crate) fn prose(
        words: &Words,
        role: Role,
        step: Option<&'a Step>,
        prose: &Prose,
    ) -> Option<Passage<'a>> {
        if prose.text.trim().is_empty() {
            return None;
        }
        let (draft, seen) = draft::read(prose);
        Some(Passage::of(words, role, step, draft, seen, prose.place.file))
    }

    /// Reads a text of the front matter or of a step's block.
    pub(crate) fn line(
        words: &Words,
        role: Role,
        step: Option<&'a Step>,
        text: &str,
        place: Place,
    ) -> Passage<'a> {
        let (length, own) = (place.end.saturating_sub(place.start), u32::try_from(text.len()).unwrap_or(0));
        // In quotes, without a sign that had to be escaped.
        let quoted = length.checked_sub(own) == Some(2);
        let (from, to) = if quoted { (place.start + 1, place.end - 1) } else { (place.start, place.end) };
        let draft = Draft::line(text, from, to);
        Passage::of(words, role, step, draft, Vec::new(), place.file)
    }

    fn of(
        listed: &Words,
        role: Role,
        step: Option<&'a Step>,
        draft: Draft,
        seen: Vec<Seen>,
        file: u32,
    ) -> Passage<'a> {
        let (words, sentences) = tokens::read(&draft);
        let lower = lower(draft.text());
        let start = draft.pieces().first().map_or(0, |piece| piece.from);
        let numbers = numbers::all(&words, draft.text());
        let marks = words.iter().map(|word| listed.marks(word.of(&lower))).fold(Marks::default(), Marks::and);
        Passage {
            role,
            step,
            words,
            sentences,
            numbers,
            seen,
            marks,
            text: draft.into_text(),
            lower,
            file,
            start,
        }
    }

    /// A word as written.
    pub(crate) fn text(&self, word: &Word) -> &str {
        word.of(&self.text)
    }

    /// A word in lower case.
    pub(crate) fn lower(&self, word: &Word) -> &str {
        word.of(&self.lower)
    }

    /// The words of a sentence.
    pub(crate) fn of_sentence(&self, sentence: &Sentence) -> &[Word] {
        self.words.get(sentence.from..sentence.to).unwrap_or_default()
    }

    /// The numbers of a sentence.
    pub(crate) fn numbers_of(&self, sentence: &Sentence) -> &[Number] {
        let from = self.numbers.partition_point(|number| number.first < sentence.from);
        let to = self.numbers.partition_point(|number| number.first < sentence.to);
        self.numbers.get(from..to).unwrap_or_default()
    }

    /// The words that a number stands in: its first and its last.
    pub(crate) fn words_of(&self, number: &Number) -> Option<(&Word, &Word)> {
        Some((self.words.get(number.first)?, self.words.get(number.last)?))
    }

    /// The words of a sentence, in lower case.
    pub(crate) fn lowers(&self, sentence: &Sentence) -> Vec<&str> {
        self.of_sentence(sentence).iter().map(|word| self.lower(word)).collect()
    }

    /// The whole text in lower case, to look for stems.
    pub(crate) fn all_lower(&self) -> &str {
        &self.lower
    }

    /// Where a run of words stands.
    pub(crate) fn place(&self, first: &Word, last: &Word) -> Place {
        Place { file: self.file, start: first.start, end: last.end.max(first.start) }
    }

    /// The marks of work to do: first byte, one past the last, and how it is written. Beside the language's
    /// phrases these are the ones that every language writes in capitals, and question marks in a row.
    pub(crate) fn marks_of_work(&self, phrases: &Phrases) -> Vec<(u32, u32, String)> {
        let mut marks = Vec::new();
        for sentence in &self.sentences {
            let words = self.of_sentence(sentence);
            for word in words.iter().filter(|word| MARKS.contains(&self.text(word))) {
                marks.push((word.start, word.end, self.text(word).to_owned()));
            }
            // A phrase counts where it ends what is said: `the torque: to be confirmed`.
            for (at, length) in phrases.find(&self.lowers(sentence)) {
                let (Some(first), Some(last)) = (words.get(at), words.get(at + length - 1)) else { continue };
                if at + length == words.len() {
                    marks.push((first.start, last.end, self.quote(first, last)));
                }
            }
        }
        let signs = self.text.find("???").and_then(|at| Some((at, u32::try_from(at).ok()?)));
        if let Some((at, _)) = signs {
            let before =
                self.words.iter().rev().find(|word| usize::try_from(word.to).is_ok_and(|to| to <= at));
            let place = before.map_or((self.start, self.start), |word| (word.start, word.end));
            marks.push((place.0, place.1, "???".to_owned()));
        }
        marks
    }

    /// Where a stretch of the file stands.
    pub(crate) fn between(&self, start: u32, end: u32) -> Place {
        Place { file: self.file, start, end: end.max(start) }
    }

    /// Where a sentence stands.
    pub(crate) fn place_of(&self, sentence: &Sentence) -> Place {
        match (self.of_sentence(sentence).first(), self.of_sentence(sentence).last()) {
            (Some(first), Some(last)) => self.place(first, last),
            _ => Place { file: self.file, ..Place::default() },
        }
    }

    /// A run of words as written, for messages.
    pub(crate) fn quote(&self, first: &Word, last: &Word) -> String {
        let from = usize::try_from(first.from).unwrap_or_default();
        let to = usize::try_from(last.to).unwrap_or_default();
        self.text.get(from..to).unwrap_or_default().replace('\n', " ")
    }
}

/// Lower case, letter by letter, so that every byte keeps its place.
fn lower(text: &str) -> String {
    if text.is_ascii() {
        return text.to_ascii_lowercase();
    }
    let fold = |letter: char| {
        let mut small = letter.to_lowercase();
        match (small.next(), small.next()) {
            (Some(one), None) if one.len_utf8() == letter.len_utf8() => one,
            _ => letter,
        }
    };
    text.chars().map(fold).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::reading::Reading;
    use crate::finding::{Excerpts, FileId};

    fn passage(text: &str) -> Passage<'static> {
        let prose = Prose { text: text.to_owned(), place: Place { file: 0, start: 100, end: 100 } };
        Passage::prose(Words::of("en"), Role::Step, None, &prose).unwrap()
    }

    fn sentences(text: &str) -> Vec<String> {
        let passage = passage(text);
        passage.sentences.iter().map(|sentence| passage.lowers(sentence).join(" ")).collect()
    }

    #[test]
    fn sentences_end_where_they_end() {
        assert_eq!(
            sentences("Lift it.\nLay it down, e.g. on a bench. Done"),
            ["lift it", "lay it down e.g on a bench", "done"]
        );
        assert_eq!(
            sentences("It takes 0.5 mm. See fig. 3 for that!"),
            ["it takes 0.5 mm", "see fig 3 for that"]
        );
        assert_eq!(sentences("- one\n- two *three*\n\nfour"), ["one", "two three", "four"]);
    }

    #[test]
    fn a_reference_is_one_word_and_its_words_are_kept() {
        let bare = passage("It takes <value:tape.length> of tape.");
        assert_eq!(bare.words.len(), 5);
        assert_eq!(bare.seen.len(), 1);
        let named = passage("Take the [long sleeve](value:tape.length).");
        assert_eq!(named.lowers(&named.sentences[0]), ["take", "the", "long", "sleeve"]);
    }

    #[test]
    fn numbers_know_their_units() {
        let text = passage("Cut 25mm, then 3/8 inch, 2,5 mm and 7 at once.");
        let said: Vec<Option<String>> = text
            .numbers
            .iter()
            .map(|number| number.quantity.as_ref().map(|q| format!("{}{}", q.value, q.unit.symbol)))
            .collect();
        assert_eq!(said, [Some("25mm".into()), Some("0.375in".into()), Some("2.5mm".into()), None]);
    }

    /// Every word of the demo stands in its file where its place says.
    #[test]
    fn places_lead_back_to_the_words() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("procedures");
        let run = crate::Run::read(&folder).unwrap();
        let (worked, _) = run.work();
        let mut looked = 0;
        for passage in Reading::of(&worked).procedures.iter().flat_map(|read| &read.passages) {
            // The keys of the front matter stand for their texts.
            for word in passage
                .words
                .iter()
                .filter(|_| !matches!(passage.role, Role::Front | Role::Record | Role::Choice))
            {
                let place = passage.place(word, word);
                let range = usize::try_from(place.start).unwrap()..usize::try_from(place.end).unwrap();
                let there = &run.source().text(FileId(place.file))[range];
                let said = passage.text(word);
                let loose = passage.role == Role::Check && !there.starts_with(said);
                assert!(loose || said.contains('\u{fffc}') || there == said, "`{there}` is read as `{said}`");
                looked += 1;
            }
        }
        assert!(looked > 3_000, "only {looked} words were looked at");
    }
}
