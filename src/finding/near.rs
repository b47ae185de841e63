//! The nearest right thing: which of the known names was probably meant.

/// The known name closest to `wanted`, when it is close enough to be worth saying.
///
/// A name counts as close when turning one into the other takes at most a third of the letters (but always
/// at least one), letters swapped counting once; or when one is the beginning of the other.
pub fn nearest<'a>(wanted: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    // A name this long is noise, and the distance costs its length squared.
    if wanted.len() > 120 {
        return None;
    }
    let letters = wanted.chars().count();
    let limit = (letters / 3).max(1);
    known
        .into_iter()
        .filter_map(|name| {
            let begins = wanted.len() > 2 && (name.starts_with(wanted) || wanted.starts_with(name));
            // As many letters as one name has more than the other must be put in at least; most names of a manual
            // are told apart by that, without the distance, which costs the product of the lengths.
            if !begins && name.chars().count().abs_diff(letters) > limit {
                return None;
            }
            let distance = strsim::osa_distance(wanted, name);
            (distance <= limit || begins).then_some((distance, name))
        })
        .min()
        .map(|(_, name)| name)
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

    #[test]
    fn lists_read_as_a_sentence() {
        assert_eq!(or_list(["a", "b", "c"]), "`a`, `b` or `c`");
        assert_eq!(or_list(["a"]), "`a`");
    }
}
