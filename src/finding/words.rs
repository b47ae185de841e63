//! The words of a finding: English as they are written, or a phrase that the manual's language tells in its own.

use crate::phrase::{Language, Phrase};
use std::fmt;
use std::ops::Deref;

/// Words that a finding says. They read as the text that is shown.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Words {
    text: String,
    phrase: Option<Phrase>,
}

impl Words {
    /// The text that is shown.
    pub fn as_str(&self) -> &str {
        &self.text
    }

    /// Says them in a language, as far as they are a phrase.
    pub(super) fn tell(&mut self, language: &dyn Language) {
        if let Some(phrase) = &self.phrase {
            self.text = language.tell(phrase);
        }
    }
}

impl Deref for Words {
    type Target = str;

    fn deref(&self) -> &str {
        &self.text
    }
}

impl fmt::Display for Words {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.text)
    }
}

impl From<String> for Words {
    fn from(text: String) -> Words {
        Words { text, phrase: None }
    }
}

impl From<&str> for Words {
    fn from(text: &str) -> Words {
        text.to_owned().into()
    }
}

impl From<Phrase> for Words {
    fn from(phrase: Phrase) -> Words {
        Words { text: phrase.to_string(), phrase: Some(phrase) }
    }
}

impl PartialEq<str> for Words {
    fn eq(&self, other: &str) -> bool {
        self.text == other
    }
}

impl PartialEq<&str> for Words {
    fn eq(&self, other: &&str) -> bool {
        self.text == *other
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::phrase::phrase;

    #[derive(Debug)]
    struct Loud;

    impl Language for Loud {
        fn tell(&self, phrase: &Phrase) -> String {
            phrase.told(&|english| Some(english.to_uppercase().replace("{N}", "{n}")))
        }
    }

    #[test]
    fn a_phrase_is_told_and_plain_text_stays() {
        let mut told = Words::from(phrase!("{n} wires", n = "three"));
        let mut plain = Words::from("three wires");
        assert_eq!((&*told, &*plain), ("three wires", "three wires"));
        told.tell(&Loud);
        plain.tell(&Loud);
        assert_eq!((&*told, &*plain), ("three WIRES", "three wires"));
    }
}
