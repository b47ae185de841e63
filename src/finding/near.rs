//! The nearest right thing: which of the known names was probably meant.

use crate::phrase::{Phrase, phrase};

/// The known name closest to `wanted`, when it is close enough to be worth saying.
///
/// A name counts as close when turning one into the other takes at most a third of the letters (but always
/// at least one), letters swapped counting once; or when one is the beginning of the other.
pub fn nearest<'a>(wanted: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    // A name this long is noise, and the distance costs its length squared.
    if wanted.len() > 120 {
        return None;
    }
    let mut known = known.into_iter();
    let some: Vec<&str> = known.by_ref().take(MANY + 1).collect();
    let letters = wanted.chars().count();
    let limit = (letters / 3).max(1);
    let is_many = some.len() > MANY;
    let names = some.into_iter().chain(known);
    let distance = |name: &'a str| {
        let begins = wanted.len() > 2 && (name.starts_with(wanted) || wanted.starts_with(name));
        if is_many && !begins {
            return Some((slips(wanted, name, limit.min(SLIPS))?, name));
        }
        // As many letters as one name has more than the other must be put in at least.
        if !begins && name.chars().count().abs_diff(letters) > limit {
            return None;
        }
        let distance = strsim::osa_distance(wanted, name);
        (distance <= limit || begins).then_some((distance, name))
    };
    names.filter_map(distance).min().map(|(_, name)| name)
}

/// Among more names than so many only slips of the pen are looked for: every unknown name is held against every known
/// one, and both may be thousands.
const MANY: usize = 500;
/// The letters that a slip of the pen changes at most.
const SLIPS: usize = 2;

/// How many letters turn one name into the other, letters swapped counting once, where they are at most `most`.
fn slips(one: &str, other: &str, most: usize) -> Option<usize> {
    // A letter has at most four bytes, so that most names are told apart without a look at them.
    if one.len().abs_diff(other.len()) > 4 * most {
        return None;
    }
    if one.is_ascii() && other.is_ascii() {
        return apart(one.as_bytes(), other.as_bytes(), most);
    }
    let (one, other): (Vec<char>, Vec<char>) = (one.chars().collect(), other.chars().collect());
    apart(&one, &other, most)
}

/// The same of letters. What both begin and end with costs nothing, so that little is left to try.
fn apart<T: PartialEq>(mut one: &[T], mut other: &[T], most: usize) -> Option<usize> {
    if one.len().abs_diff(other.len()) > most {
        return None;
    }
    while let ([a, rest @ ..], [b, others @ ..]) = (one, other)
        && a == b
    {
        (one, other) = (rest, others);
    }
    while let ([rest @ .., a], [others @ .., b]) = (one, other)
        && a == b
    {
        (one, other) = (rest, others);
    }
    let ([a, rest @ ..], [b, others @ ..]) = (one, other) else { return Some(one.len().max(other.len())) };
    let less = most.checked_sub(1)?;
    let swapped = match (rest, others) {
        ([c, rest @ ..], [d, others @ ..]) if a == d && b == c => apart(rest, others, less),
        _ => None,
    };
    let all = [swapped, apart(rest, others, less), apart(rest, other, less), apart(one, others, less)];
    all.into_iter().flatten().min().map(|further| further + 1)
}

/// The help to write something, such as the nearest right thing.
pub fn write(what: &str) -> Phrase {
    phrase!("write `{near}`", near = what)
}

/// A text cut to what a message can hold.
pub fn shorten(text: &str) -> String {
    if text.chars().count() <= 60 {
        return text.to_owned();
    }
    text.chars().take(57).chain("…".chars()).collect()
}

/// `a, b or c`, for messages that list what is allowed.
pub fn or_list<'a>(names: impl IntoIterator<Item = &'a str>) -> String {
    let names: Vec<String> = names.into_iter().map(|name| format!("`{name}`")).collect();
    match names.split_last() {
        None => String::new(),
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_swapped_letter_is_near_and_another_word_is_not() {
        let known = ["hot-air-gun", "torque-wrench-small"];
        assert_eq!(nearest("hot-iar-gun", known), Some("hot-air-gun"));
        assert_eq!(nearest("multimeter", known), None);
    }

    #[test]
    fn a_name_is_near_up_to_a_third_of_its_letters_more_or_fewer() {
        assert_eq!(nearest("xgauge", ["gauge", "gau"]), Some("gauge"));
        assert_eq!(nearest("gauges", ["xxgauges"]), Some("xxgauges"));
        assert_eq!(nearest("gauges", ["xxxgauges"]), None);
    }

    /// Every pair of words of up to five letters of two, held against the distance of another's making.
    #[test]
    fn slips_are_the_distance_up_to_their_limit() {
        let mut words = vec![String::new()];
        for length in 0..5 {
            let longer = words
                .iter()
                .filter(|word| word.len() == length)
                .flat_map(|word| ["a", "ß"].map(|letter| format!("{word}{letter}")));
            let longer: Vec<String> = longer.collect();
            words.extend(longer);
        }
        for one in &words {
            for other in &words {
                let distance = strsim::osa_distance(one, other);
                for most in 0..=2 {
                    let wanted = (distance <= most).then_some(distance);
                    assert_eq!(slips(one, other, most), wanted, "{one} {other} {most}");
                }
            }
        }
    }

    #[test]
    fn among_many_names_a_slip_is_near_and_half_a_name_is_not() {
        let names: Vec<String> = (0..=MANY).map(|at| format!("torque-wrench-{at:04}")).collect();
        let near = |wanted: &str, count: usize| {
            nearest(wanted, names.iter().take(count).map(String::as_str)).is_some()
        };
        assert!(near("torqeu-wrench-000", MANY) && near("torqeu-wrench-000", MANY + 1));
        assert!(near("torq-wrnch-0001", MANY) && !near("torq-wrnch-0001", MANY + 1));
        assert!(near("torque", MANY) && near("torque", MANY + 1), "it begins as they do");
    }

    #[test]
    fn lists_read_as_a_sentence() {
        assert_eq!(or_list(["a", "b", "c"]), "`a`, `b` or `c`");
        assert_eq!(or_list(["a"]), "`a`");
    }
}
