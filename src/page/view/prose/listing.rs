//! Code and log listings, coloured by a few classes of our own instead of inline styles.

use crate::page::markup::{Element, Markup};
use std::sync::LazyLock;
use syntect::parsing::{ParseState, Scope, ScopeStack, SyntaxSet};

static SYNTAXES: LazyLock<SyntaxSet> = LazyLock::new(SyntaxSet::load_defaults_newlines);

/// The most bytes of a listing that is coloured: a page holds a read-out, and reading one of a hundred kilobytes by
/// its grammar takes seconds.
const LARGEST: usize = 16 * 1024;

/// Scopes, as the syntaxes name them, and the class that each takes; the first that fits holds.
const CLASSES: [(&str, &str); 8] = [
    ("comment", "c-comment"),
    ("string", "c-text"),
    ("constant", "c-number"),
    ("entity.name", "c-key"),
    ("variable.other.key", "c-key"),
    ("keyword", "c-word"),
    ("storage", "c-word"),
    ("support", "c-word"),
];

/// A key of JSON is a string to its grammar, and named by what stands round it alone.
const KEY: (&str, &str) = ("meta.structure.dictionary.key", "c-key");

/// The scopes as the grammars compare them; a name that is none would be missing from here.
static SCOPES: LazyLock<Vec<(Scope, &'static str)>> = LazyLock::new(|| {
    let scope = |(name, class): (&str, &'static str)| Some((Scope::new(name).ok()?, class));
    [KEY].into_iter().chain(CLASSES).filter_map(scope).collect()
});

/// A listing as a `pre` element; an unknown language, and a listing that is too large, stays as it is.
pub(super) fn coloured(language: &str, text: &str) -> Markup {
    let inner = SYNTAXES
        .find_syntax_by_token(language)
        .filter(|_| !language.is_empty() && text.len() <= LARGEST)
        .and_then(|syntax| spans(ParseState::new(syntax), text))
        .unwrap_or_else(|| Markup::text(text));
    Element::new("pre").with("tabindex", "0").around(&Element::new("code").around(&inner))
}

fn spans(mut state: ParseState, text: &str) -> Option<Markup> {
    let mut stack = ScopeStack::new();
    let mut out = Markup::default();
    // What stands side by side in one class is one piece: a grammar parts a string from its marks.
    let mut piece = (None, String::new());
    for line in text.split_inclusive('\n') {
        let mut at = 0;
        let changes = state.parse_line(line, &SYNTAXES).ok()?;
        for (end, change) in
            changes.iter().map(|(end, change)| (*end, Some(change))).chain([(line.len(), None)])
        {
            let next = line.get(at..end)?;
            let class = class(stack.as_slice());
            if class != piece.0 && !next.is_empty() {
                out = out.then(&span(&piece));
                piece = (class, String::new());
            }
            piece.1.push_str(next);
            at = end;
            if let Some(change) = change {
                stack.apply(change).ok()?;
            }
        }
    }
    Some(out.then(&span(&piece)))
}

fn span((class, text): &(Option<&'static str>, String)) -> Markup {
    match class {
        Some(class) if !text.trim().is_empty() => Element::span(class).around_text(text),
        _ => Markup::text(text),
    }
}

/// The class of what stands inside these scopes: the innermost that has one, but a key is one all through.
fn class(stack: &[Scope]) -> Option<&'static str> {
    let of =
        |scope: &Scope| SCOPES.iter().find(|(known, _)| known.is_prefix_of(*scope)).map(|(_, class)| *class);
    let key = SCOPES.first().filter(|(key, _)| stack.iter().any(|scope| key.is_prefix_of(*scope)));
    key.map(|(_, class)| *class).or_else(|| stack.iter().rev().find_map(of))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_listing_is_coloured_by_class_and_escaped() {
        let html = coloured("yaml", "a: 1 # <b>\n").to_string();
        assert!(html.contains("<span class=\"c-key\">a</span>"), "{html}");
        assert!(html.contains("<span class=\"c-number\">1</span>"), "{html}");
        assert!(html.contains("<span class=\"c-comment\"># &lt;b&gt;\n</span>"), "{html}");
        assert!(!html.contains("style="), "{html}");
        let plain = "<pre tabindex=\"0\"><code>&lt;\n</code></pre>";
        assert_eq!(coloured("no-such", "<\n").as_str(), plain);
        assert_eq!(coloured("", "<\n").as_str(), plain);
    }

    #[test]
    fn a_key_of_json_is_told_from_its_text() {
        let html = coloured("json", "{\"a\": \"b\", \"c\": 1}\n").to_string();
        assert!(html.contains("<span class=\"c-key\">&quot;a&quot;</span>"), "{html}");
        assert!(html.contains("<span class=\"c-text\">&quot;b&quot;</span>"), "{html}");
    }

    #[test]
    fn every_scope_is_one() {
        assert_eq!(SCOPES.len(), CLASSES.len() + 1);
    }

    #[test]
    fn a_large_listing_stays_plain() {
        let listing = |bytes: usize| "a: 1\n".repeat(bytes / 5) + &" ".repeat(bytes % 5);
        assert!(coloured("yaml", &listing(LARGEST)).as_str().contains("c-key"));
        assert!(!coloured("yaml", &listing(LARGEST + 1)).as_str().contains("c-key"));
    }

    /// The lightness of a colour and the contrast of two, by WCAG 2.2, "relative luminance" and "contrast ratio".
    fn contrast(one: &str, other: &str) -> f64 {
        let lightness = |colour: &str| {
            let part = |at: usize, weight: f64| {
                let share = f64::from(u8::from_str_radix(&colour[at..at + 2], 16).unwrap()) / 255.0;
                weight * if share <= 0.04045 { share / 12.92 } else { ((share + 0.055) / 1.055).powf(2.4) }
            };
            part(1, 0.2126) + part(3, 0.7152) + part(5, 0.0722)
        };
        let (one, other) = (lightness(one), lightness(other));
        (one.max(other) + 0.05) / (one.min(other) + 0.05)
    }

    #[test]
    fn every_class_has_a_colour_that_reads_by_day_and_by_night() {
        // Black on white is 21 to 1, the greatest there is.
        assert!((contrast("#000000", "#ffffff") - 21.0).abs() < 1e-9);
        let style = include_str!("../../../../themes/style/ground.css");
        for light in [":root {", ":root[data-light=\"dark\"] {"] {
            let block = style.split(light).nth(1).unwrap().split('}').next().unwrap();
            let value = |name: &str| {
                let line = block.lines().find_map(|line| line.trim().strip_prefix(&format!("--{name}: ")));
                line.unwrap_or_else(|| panic!("{light} --{name}")).trim_end_matches(';')
            };
            for (_, class) in CLASSES {
                let rule = style.lines().find(|line| line.starts_with('.') && line.contains(class)).unwrap();
                let colour = rule.split("color: var(--").nth(1).unwrap().split(')').next().unwrap();
                let contrast = contrast(value(colour), value("margin"));
                assert!(contrast >= 7.0, "{class} is {contrast:.1} to 1 under {light}");
            }
        }
    }
}
