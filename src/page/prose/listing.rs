//! Code and log listings, coloured by a few classes of our own instead of inline styles.

use crate::page::markup::{Element, Markup};
use std::sync::LazyLock;
use syntect::parsing::{ParseState, ScopeStack, SyntaxSet};

static SYNTAXES: LazyLock<SyntaxSet> = LazyLock::new(SyntaxSet::load_defaults_newlines);

/// Scopes, as the syntaxes name them, and the class that each takes; the first that fits holds.
const CLASSES: [(&str, &str); 9] = [
    ("comment", "c-comment"),
    ("string", "c-text"),
    ("constant.numeric", "c-number"),
    ("constant", "c-number"),
    ("entity.name", "c-key"),
    ("variable.other.key", "c-key"),
    ("keyword", "c-word"),
    ("storage", "c-word"),
    ("support", "c-word"),
];

/// A listing as a `pre` element; an unknown language stays as it is.
pub(super) fn coloured(language: &str, text: &str) -> Markup {
    let inner = SYNTAXES
        .find_syntax_by_token(language)
        .filter(|_| !language.is_empty())
        .and_then(|syntax| spans(ParseState::new(syntax), text))
        .unwrap_or_else(|| Markup::text(text));
    Element::new("pre").with("tabindex", "0").around(&Element::new("code").around(&inner))
}

fn spans(mut state: ParseState, text: &str) -> Option<Markup> {
    let mut stack = ScopeStack::new();
    let mut out = Markup::default();
    for line in text.split_inclusive('\n') {
        let mut at = 0;
        for (end, change) in state.parse_line(line, &SYNTAXES).ok()? {
            out = out.then(&piece(line.get(at..end)?, &stack));
            at = end;
            stack.apply(&change).ok()?;
        }
        out = out.then(&piece(line.get(at..)?, &stack));
    }
    Some(out)
}

fn piece(text: &str, stack: &ScopeStack) -> Markup {
    let scopes: Vec<String> = stack.as_slice().iter().rev().map(|scope| scope.build_string()).collect();
    let class = scopes.iter().find_map(|scope| {
        CLASSES.iter().find(|(known, _)| scope.starts_with(known)).map(|(_, class)| *class)
    });
    match class {
        Some(class) if !text.trim().is_empty() => Element::span(class).around_text(text),
        _ => Markup::text(text),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_listing_is_coloured_by_class_and_escaped() {
        let html = coloured("yaml", "a: 1 # <b>\n").to_string();
        assert!(html.contains("<span class=\"c-comment\">"), "{html}");
        assert!(html.contains("&lt;b&gt;") && !html.contains("style="), "{html}");
        let plain = "<pre tabindex=\"0\"><code>&lt;\n</code></pre>";
        assert_eq!(coloured("no-such", "<\n").as_str(), plain);
    }
}
