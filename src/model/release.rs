//! What was published last of a procedure.

use crate::model::Place;
use crate::model::key::{Form, Key, must};

/// What `releases.yaml` records of a procedure.
pub const RELEASE: &[Key] = &[
    must("letter", Form::Text, "the letter of the revision that was published", "B"),
    must(
        "hash",
        Form::Own("64 hex digits in lower case"),
        "SHA-256 of its file, as `sha256sum` prints it",
        "9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08",
    ),
];

/// A line of `releases.yaml`: the letter under which a procedure was last published, and the file that it was.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Release {
    /// The revision letter that was published.
    pub letter: String,
    /// The SHA-256 of the procedure's file as it was then: 64 hex digits in lower case.
    pub hash: String,
    /// The same of the file as it stands now; none where the manual has no such procedure.
    pub now: Option<String>,
    /// Where the procedure is named.
    pub place: Place,
}

impl Release {
    /// Whether the file is another than the published one.
    pub fn is_changed(&self) -> bool {
        self.now.as_ref().is_some_and(|now| *now != self.hash)
    }
}

/// Revision letters in the order of drawing offices, which pass over letters that are read as digits or as one
/// another (common practice): A to H, J to N, P, R, T to W, Y, then AA.
const LETTERS: &str = "ABCDEFGHJKLMNPRTUVWY";

/// Whether a text is a revision letter: one to three of those in use.
pub fn is_revision_letter(text: &str) -> bool {
    (1..=3).contains(&text.len()) && text.chars().all(|letter| LETTERS.contains(letter))
}

/// The letter after this one, where this one is a row of letters.
pub fn next_letter(letter: &str) -> Option<String> {
    let mut places: Vec<usize> = letter.chars().map(|one| LETTERS.find(one)).collect::<Option<_>>()?;
    let mut at = places.len();
    loop {
        let Some(before) = at.checked_sub(1) else {
            places.insert(0, 0);
            break;
        };
        at = before;
        let place = places.get_mut(at)?;
        if *place + 1 < LETTERS.len() {
            *place += 1;
            break;
        }
        *place = 0;
    }
    Some(places.into_iter().filter_map(|place| LETTERS.chars().nth(place)).collect())
}

/// Whether one letter comes before another: shorter ones first, as Z comes before AA.
pub fn comes_before(one: &str, other: &str) -> bool {
    (one.len(), one) < (other.len(), other)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_pass_over_those_that_are_misread() {
        let next = |letter| next_letter(letter).unwrap();
        assert_eq!([next("A"), next("H"), next("N"), next("R")], ["B", "J", "P", "T"]);
        assert_eq!([next("Y"), next("AY"), next("YY")], ["AA", "BA", "AAA"]);
        assert_eq!(next_letter("1"), None);
    }

    #[test]
    fn two_letters_come_after_one() {
        assert!(comes_before("Y", "AA") && comes_before("B", "C") && !comes_before("C", "C"));
    }
}
