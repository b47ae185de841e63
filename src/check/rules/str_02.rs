//! STR-02: a step starts with a verb, or with a condition and then a verb.

use crate::check::passage::{Passage, Role, Sentence};
use crate::check::reading::Reading;
use crate::check::rule::{Page, Rule};
use crate::check::words::{Phrases, Words};
use crate::finding::{Code, Severity, Sink};
use crate::model::Store;
use crate::phrase::phrase;

/// The rule STR-02.
pub(super) struct Str02;

static PAGE: Page = Page {
    code: Code("STR-02"),
    severity: Severity::Warning,
    rule: "a step starts with a verb, or with a condition and then a verb",
    why: "Steps that begin with what to do are understood faster and carried out more often as meant.",
    source: "Bovair & Kieras 1984, as cited by guides for procedure writers; DOE-STD-1029-92",
    fails: "### The nine lining screws",
    passes: "### Remove the lining screws\n### If the lead is yellow, stop the job",
};

impl Rule for Str02 {
    fn page(&self) -> &'static Page {
        &PAGE
    }

    fn check(&self, reading: &Reading<'_>, sink: &mut Sink) {
        let listed = reading.worked.parsed().stores().list(Store::Words, "verbs");
        let own = Phrases::of(listed.map(|(verb, _)| verb.as_str()));
        for read in &reading.procedures {
            for passage in read.passages.iter().filter(|passage| passage.role == Role::Title) {
                let Some(sentence) = passage.sentences.first() else { continue };
                if begins(reading.words, &own, passage, sentence) {
                    continue;
                }
                let Some(first) = passage.of_sentence(sentence).first() else { continue };
                let headline =
                    phrase!("this step does not start with a verb: \"{words}\"", words = passage.text(first));
                let finding = read.at(
                    PAGE.finding(headline),
                    passage.place(first, first),
                    phrase!("what is to be done?"),
                    passage.step,
                );
                sink.push(finding.help(reading.words.help("verb-first", &[])));
            }
        }
    }
}

/// Whether a title begins with a verb of its language or of the shop.
fn begins(words: &Words, own: &Phrases, passage: &Passage<'_>, sentence: &Sentence) -> bool {
    let all = passage.of_sentence(sentence);
    let lowers = passage.lowers(sentence);
    if words.begins_with_verb(&lowers) || own.starts(&lowers).is_some() {
        return true;
    }
    // A noun in capitals is no infinitive: `Schrauben` are screws, `schrauben` is work.
    let mut small = all.iter().filter(|word| passage.text(word).starts_with(char::is_lowercase));
    if words.verb_last && small.any(|word| words.verbs.contains(passage.lower(word))) {
        return true;
    }
    let after = all.iter().position(|word| matches!(word.after, ',' | ':'));
    let then = after.and_then(|at| lowers.get(at + 1..)).unwrap_or_default();
    lowers.first().is_none_or(|first| words.conditions.contains(first) && words.begins_with_verb(then))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{Place, Prose};

    /// Headings as a garage writes them, and headings that name a thing and no work: common practice, without a
    /// source.
    const HEADINGS: [(&str, &str, &str); 5] = [
        ("en", include_str!("../words/headings/en.txt"), include_str!("../words/headings/en-nouns.txt")),
        ("nl", include_str!("../words/headings/nl.txt"), include_str!("../words/headings/nl-nouns.txt")),
        ("de", include_str!("../words/headings/de.txt"), include_str!("../words/headings/de-nouns.txt")),
        ("fr", include_str!("../words/headings/fr.txt"), include_str!("../words/headings/fr-nouns.txt")),
        ("es", include_str!("../words/headings/es.txt"), include_str!("../words/headings/es-nouns.txt")),
    ];

    fn passes(language: &str, heading: &str) -> bool {
        let prose = Prose { text: heading.to_owned(), place: Place::default() };
        let words = Words::of(language);
        let passage = Passage::prose(words, Role::Title, None, &prose).unwrap();
        begins(words, &Phrases::default(), &passage, passage.sentences.first().unwrap())
    }

    #[test]
    fn headings_of_the_trade_pass_and_names_of_things_do_not() {
        let mut wrong = Vec::new();
        for (language, verbs, nouns) in HEADINGS {
            assert!(verbs.lines().count() >= if language == "en" { 80 } else { 30 }, "{language}");
            assert!(nouns.lines().count() >= 20, "{language}");
            wrong.extend(
                verbs
                    .lines()
                    .filter(|line| !passes(language, line))
                    .map(|line| format!("{language}: no verb in `{line}`")),
            );
            wrong.extend(
                nouns
                    .lines()
                    .filter(|line| passes(language, line))
                    .map(|line| format!("{language}: a verb in `{line}`")),
            );
        }
        assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    }
}
