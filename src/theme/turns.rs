//! Holds a shop's own templates to an end: into each that is compiled calls are put that count the turns of its loops
//! and look at what it sets, since loops inside loops multiply and a text put to itself doubles.

use std::cell::Cell;
use std::ops::Range;
use tera::{Kwargs, State, TeraResult, Value};

/// What the calls are named. No template of a shop has a reason to call it, and it does no harm where one does.
pub(super) const NAME: &str = "benchleaf_turn";

/// Most turns of one page: of its loops, blocks and components together.
const MOST: u32 = 200_000;

/// Most bytes of a text, and most members of a list or map, that a template may set.
const LARGEST: usize = 1024 * 1024;

thread_local! {
    /// The turns of the page that this thread is writing; a page is written by one thread.
    static TURNS: Cell<u32> = const { Cell::new(0) };
}

/// Begins to count for another page.
pub(super) fn begin() {
    TURNS.set(0);
}

/// Whether the page that was written last was stopped because it went on and on.
pub(super) fn stopped() -> bool {
    TURNS.get() > MOST
}

/// One turn; refused where there were too many, or where what is shown to it is too large.
pub(super) fn turn(given: Kwargs, _: &State) -> TeraResult<String> {
    let turns = TURNS.get().saturating_add(1);
    TURNS.set(turns);
    if turns > MOST {
        return Err(tera::Error::message(format!("it goes on and on: a page takes at most {MOST} turns")));
    }
    if let Some(set) = given.get::<Value>("of")? {
        let members = set.as_array().map(<[Value]>::len).or_else(|| set.as_map().map(|map| map.len()));
        if set.as_str().map(str::len).or(members).unwrap_or(0) > LARGEST {
            TURNS.set(MOST + 1);
            return Err(tera::Error::message(format!(
                "what it sets grows beyond {LARGEST} bytes or members"
            )));
        }
    }
    Ok(String::new())
}

/// A template with the calls in it, and where they were put.
#[derive(Debug, Default)]
pub(super) struct Counted {
    /// The text that is compiled.
    pub(super) text: String,
    /// Where each call begins in the text that is compiled, and how long it is.
    calls: Vec<(usize, usize)>,
}

impl Counted {
    /// Puts the calls in.
    pub(super) fn of(template: &str) -> Counted {
        let mut counted = Counted::default();
        let tags = tags(template);
        let extends = tags.iter().any(|tag| tag.word == "extends");
        if !extends {
            counted.call(None, false);
        }
        let (mut from, mut inside, mut open) = (0, 0_usize, Vec::new());
        for tag in tags {
            let closed = tag.word.strip_prefix("end");
            match closed.unwrap_or(tag.word) {
                "block" | "component" if closed.is_some() => inside = inside.saturating_sub(1),
                "block" | "component" => inside += 1,
                _ => {}
            }
            let set = match tag.word {
                "set" | "set_global" if tag.assigns => Some(tag.name),
                "set" | "set_global" => {
                    open.push(tag.name);
                    continue;
                }
                "endset" | "endset_global" => open.pop(),
                "for" | "block" | "component" => None,
                _ => continue,
            };
            // What stands outside the blocks of a template that extends another is not printed.
            if extends && inside == 0 {
                continue;
            }
            counted.text.push_str(template.get(from..tag.end).unwrap_or_default());
            counted.call(set, tag.trims);
            from = tag.end;
        }
        counted.text.push_str(template.get(from..).unwrap_or_default());
        counted
    }

    fn call(&mut self, set: Option<&str>, trims: bool) {
        let (of, end) =
            (set.map(|name| format!("of={name}")).unwrap_or_default(), if trims { "-" } else { "" });
        let call = format!("{{{{ {NAME}({of}) {end}}}}}");
        self.calls.push((self.text.len(), call.len()));
        self.text.push_str(&call);
    }

    /// A range of the text that is compiled, in the template as it was written.
    pub(super) fn written(&self, range: Range<usize>) -> Range<usize> {
        self.at(range.start)..self.at(range.end)
    }

    fn at(&self, at: usize) -> usize {
        let before = self.calls.iter().take_while(|(start, _)| *start < at);
        // A place inside a call is where the call was put in.
        at - before.map(|(start, length)| (*length).min(at - start)).sum::<usize>()
    }
}

/// A tag between `{%` and `%}`.
struct Tag<'a> {
    /// Its first word.
    word: &'a str,
    /// What follows that.
    name: &'a str,
    /// Whether a sign of equality stands in it.
    assigns: bool,
    /// Whether it takes away the white space behind it.
    trims: bool,
    /// One past its last byte.
    end: usize,
}

/// The tags of a template, without those in comments and in what is not read.
fn tags(template: &str) -> Vec<Tag<'_>> {
    let (mut tags, mut at) = (Vec::new(), 0);
    while let Some(open) = template.get(at..).and_then(|rest| rest.find('{')).map(|step| at + step) {
        let rest = template.get(open..).unwrap_or_default();
        if rest.starts_with("{#") {
            at = rest.find("#}").map_or(template.len(), |end| open + end + 2);
        } else if rest.starts_with("{{") {
            at = end_of(template, open + 2, "}}");
        } else if rest.starts_with("{%") {
            at = end_of(template, open + 2, "%}");
            let tag = tag(template.get(open..at).unwrap_or_default(), at);
            if tag.word == "raw" {
                at = template
                    .get(at..)
                    .and_then(|rest| rest.find("endraw"))
                    .map_or(template.len(), |end| at + end);
            }
            tags.push(tag);
        } else {
            at = open + 1;
        }
    }
    tags
}

/// One past the mark that closes what is open at a place, beyond any strings.
fn end_of(template: &str, from: usize, mark: &str) -> usize {
    let mut quote = None;
    for (at, character) in template.get(from..).unwrap_or_default().char_indices() {
        match quote {
            Some(open) if open == character => quote = None,
            Some(_) => {}
            None if matches!(character, '"' | '\'' | '`') => quote = Some(character),
            None if template.get(from + at..).is_some_and(|rest| rest.starts_with(mark)) => {
                return from + at + mark.len();
            }
            None => {}
        }
    }
    template.len()
}

fn tag(text: &str, end: usize) -> Tag<'_> {
    let inner = text.trim_start_matches("{%").trim_end_matches("%}");
    let trims = inner.ends_with('-');
    let mut words = inner
        .trim_matches('-')
        .split(|c: char| c.is_whitespace() || c == '=')
        .filter(|word| !word.is_empty());
    let (word, name) = (words.next().unwrap_or_default(), words.next().unwrap_or_default());
    Tag { word, name, assigns: inner.contains('='), trims, end }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn counted(template: &str) -> String {
        Counted::of(template).text.replace(NAME, "T")
    }

    #[test]
    fn calls_stand_where_something_may_turn_or_grow() {
        assert_eq!(
            counted("a{% for x in y %}b{% endfor %}"),
            "{{ T() }}a{% for x in y %}{{ T() }}b{% endfor %}"
        );
        assert_eq!(counted("{%- for x in y -%} b"), "{{ T() }}{%- for x in y -%}{{ T() -}} b");
        assert_eq!(counted("{% set a = b %}"), "{{ T() }}{% set a = b %}{{ T(of=a) }}");
        assert_eq!(counted("{% set a %}b{% endset %}"), "{{ T() }}{% set a %}b{% endset %}{{ T(of=a) }}");
        let block = "{% extends \"x\" %}{% set a = 1 %}{% block m %}{% set b = 1 %}{% endblock m %}";
        let calls = "{% extends \"x\" %}{% set a = 1 %}{% block m %}{{ T() }}{% set b = 1 %}{{ T(of=b) }}{% endblock m %}";
        assert_eq!(counted(block), calls);
        assert_eq!(
            counted("{% component a(b) %}{% endcomponent a %}"),
            "{{ T() }}{% component a(b) %}{{ T() }}{% endcomponent a %}"
        );
    }

    #[test]
    fn what_is_no_tag_stays_as_it_is() {
        for plain in [
            "{# {% for x in y %} #}",
            "{% raw %}{% for x in y %}{% endraw %}",
            "{{ \"{% for x in y %}\" }}",
            "{% if a == \"%} {% for x in y %}\" %}{% endif %}",
            "{ % for",
            "{% for",
        ] {
            let wanted = if plain == "{% for" { "{% for{{ T() }}" } else { plain };
            assert_eq!(counted(plain), format!("{{{{ T() }}}}{wanted}"));
        }
    }

    #[test]
    fn places_are_told_as_they_were_written() {
        let template = "a{% for x in y %}b{% endfor %}c";
        let counted = Counted::of(template);
        for (at, character) in template.char_indices() {
            let moved = counted.text.match_indices(character).find(|(moved, _)| counted.at(*moved) == at);
            assert!(moved.is_some(), "{at}: {character}");
        }
        assert_eq!(
            counted.written(counted.text.len() - 1..counted.text.len()),
            template.len() - 1..template.len()
        );
        assert_eq!(counted.at(3), 0, "inside the first call");
    }
}
