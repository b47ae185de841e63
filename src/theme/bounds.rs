//! What keeps a shop's own templates within bounds. Dress is trusted code, and may still be wrong: it must
//! neither run without end nor take the pages' policy away.

use std::collections::{BTreeMap, BTreeSet};
use std::io::{self, Write};
use tera::{Kwargs, State, TeraResult};

/// The policy of every page: it loads what stands in the site, runs nothing inline and sends nothing.
pub const POLICY: &str = "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; base-uri 'none'; form-action 'none'\">";

/// Most bytes of one page.
const LARGEST_PAGE: usize = 64 * 1024 * 1024;

/// Most numbers that `range` gives: loops inside loops multiply.
const LONGEST_RANGE: usize = 1_000;

/// Whether a page begins with its policy, before anything that could run.
pub(super) fn begins_with_policy(page: &str) -> bool {
    let after = |text: &str, open: &str| -> Option<usize> {
        let inner = text.trim_start();
        let end = inner.strip_prefix(open)?.find('>')?;
        Some(text.len() - inner.len() + open.len() + end + 1)
    };
    let mut rest = page;
    for open in ["<!DOCTYPE html", "<html", "<head"] {
        let Some(end) = after(rest, open) else { return false };
        rest = rest.get(end..).unwrap_or_default();
    }
    rest.trim_start().starts_with(POLICY)
}

/// The numbers from `start` to before `end` by `step_by`, as the engine's own function of the name, and shorter.
pub(super) fn range(given: Kwargs, _: &State) -> TeraResult<Vec<i64>> {
    let start = given.get::<i64>("start")?.unwrap_or(0);
    let end = given.must_get::<i64>("end")?;
    let step = given.get::<i64>("step_by")?.unwrap_or(1);
    if step == 0 {
        return Err(tera::Error::message("`range` is called with a `step_by` of 0"));
    }
    let within = |at: &i64| if step > 0 { *at < end } else { *at > end };
    let numbers = std::iter::successors(Some(start), |at| at.checked_add(step)).take_while(within);
    let numbers: Vec<i64> = numbers.take(LONGEST_RANGE + 1).collect();
    if numbers.len() > LONGEST_RANGE {
        return Err(tera::Error::message(format!("`range` gives at most {LONGEST_RANGE} numbers")));
    }
    Ok(numbers)
}

/// A page that is being written, up to its greatest size.
#[derive(Default)]
pub(super) struct Page {
    bytes: Vec<u8>,
}

impl Page {
    /// The page as text; templates write nothing else.
    pub(super) fn text(self) -> String {
        String::from_utf8(self.bytes).unwrap_or_default()
    }
}

impl Write for Page {
    fn write(&mut self, part: &[u8]) -> io::Result<usize> {
        if self.bytes.len() + part.len() > LARGEST_PAGE {
            let most = LARGEST_PAGE / 1024 / 1024;
            return Err(io::Error::other(format!("the page grows beyond {most} MB")));
        }
        self.bytes.extend_from_slice(part);
        Ok(part.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

/// A component of templates that leads back to itself: the template and the byte where it is declared.
pub(super) fn circle<'a>(templates: impl Iterator<Item = (&'a str, &'a str)>) -> Option<(&'a str, usize)> {
    let mut places: BTreeMap<&str, (&str, usize)> = BTreeMap::new();
    let mut calls: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for (template, text) in templates {
        let mut inside = None;
        for (at, _) in text.match_indices("{%").chain(text.match_indices("{{")).collect::<BTreeMap<_, _>>() {
            let tag = text.get(at + 2..).unwrap_or_default().trim_start_matches(['-', ' ', '\t', '\r', '\n']);
            if let Some(name) = tag.strip_prefix("component ").map(name) {
                places.insert(name, (template, at));
                calls.insert(name, BTreeSet::new());
                inside = Some(name);
            } else if tag.starts_with("endcomponent") {
                inside = None;
            } else if let (Some(called), Some(inside)) = (tag.strip_prefix('<').map(name), inside) {
                calls.entry(inside).or_default().insert(called);
            }
        }
    }
    let leads_back = |start: &str| {
        let mut seen: BTreeSet<&str> = BTreeSet::new();
        let mut open: Vec<&str> = calls.get(start).into_iter().flatten().copied().collect();
        while let Some(next) = open.pop() {
            if next == start {
                return true;
            }
            if seen.insert(next) {
                open.extend(calls.get(next).into_iter().flatten());
            }
        }
        false
    };
    places.iter().find(|(name, _)| leads_back(name)).map(|(_, place)| *place)
}

/// The name at the beginning of a tag.
fn name(tag: &str) -> &str {
    let tag = tag.trim_start();
    let end = tag.find(|c: char| !c.is_alphanumeric() && !matches!(c, '_' | '.' | ':' | '-'));
    tag.get(..end.unwrap_or(tag.len())).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_begins_with_its_policy_and_nothing_stands_before_it() {
        let page =
            |before: &str| format!("<!DOCTYPE html>\n<html lang=\"en\">{before}\n<head>\n{POLICY}\n<title>x");
        assert!(begins_with_policy(&page("")));
        for before in
            ["<script src=\"a\"></script>", "<!-- <head> -->", "<head><script src=\"a\"></script></head>"]
        {
            assert!(!begins_with_policy(&page(before)), "{before}");
        }
        assert!(!begins_with_policy(&page("").replace("'none'; script", "*; script")));
        assert!(!begins_with_policy(&page("").replacen(POLICY, &format!("<title>x</title>{POLICY}"), 1)));
        assert!(!begins_with_policy(""));
    }

    #[test]
    fn a_component_that_leads_back_to_itself_is_found_and_a_chain_is_none() {
        let itself = "{% component a() %}{{ <a /> }}{% endcomponent a %}";
        assert_eq!(circle([("x.html", itself)].into_iter()), Some(("x.html", 0)));
        let pair = "{% component a() %}{{<b />}}{% endcomponent a %}\n{%- component b(p) -%}{%<a>%}{%</a>%}{% endcomponent b %}";
        assert_eq!(circle([("x.html", pair)].into_iter()), Some(("x.html", 0)));
        let chain = "{% component a() %}{{<b />}}{% endcomponent a %}{% component b() %}x{% endcomponent b %}{{<a />}}";
        assert_eq!(circle([("x.html", chain)].into_iter()), None);
        // A later template takes the place of an earlier one.
        let mended = "{% component a() %}x{% endcomponent a %}";
        assert_eq!(circle([("x.html", itself), ("y.html", mended)].into_iter()), None);
    }

    #[test]
    fn a_page_ends_at_its_greatest_size() {
        let mut page = Page::default();
        let half = vec![b' '; LARGEST_PAGE / 2];
        assert!(page.write_all(&half).is_ok() && page.write_all(&half).is_ok());
        assert!(page.write_all(b" ").is_err());
    }
}
