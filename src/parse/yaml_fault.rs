//! Why a piece of YAML cannot be read: the cause that its writer would name, at its place, and what to write
//! instead. The library says where it stopped, which is often a line after the slip.

use std::ops::Range;

/// What is wrong, where in the piece, and what to write.
pub(super) struct Cause {
    pub(super) range: Range<usize>,
    pub(super) headline: String,
    pub(super) note: &'static str,
    pub(super) help: Option<String>,
}

/// A line with its place.
#[derive(Clone, Copy)]
struct Line<'t> {
    start: usize,
    text: &'t str,
}

/// Quotes that word processors make of straight ones.
const TYPOGRAPHIC: &[char] = &['“', '”', '„', '‘', '’', '‚', '«', '»'];

/// The cause for which reading stopped at a byte of `text`; `said` is the library's word for it.
pub(super) fn cause(text: &str, at: usize, said: &str) -> Cause {
    let lines = lines(text, at);
    let mut near = lines.iter().rev().copied().filter(|line| !line.text.trim().is_empty()).take(2);
    let (last, before) = (near.next(), near.next());
    let on = |look: fn(Line<'_>) -> Option<Cause>| last.and_then(look).or_else(|| before.and_then(look));
    lines
        .iter()
        .find_map(|line| indent(*line))
        .or_else(|| on(wide_colon))
        .or_else(|| on(typographic))
        .or_else(|| open(text))
        .or_else(|| on(second_colon))
        .or_else(|| on(tight_colon))
        .or_else(|| on(no_colon))
        .unwrap_or_else(|| Cause {
            range: at..at,
            headline: format!("this is not YAML that can be read: {said}"),
            note: "reading stopped here",
            help: Some("the lines of one list or map begin in the same column, and a text with a sign of YAML goes into quotes".to_owned()),
        })
}

/// The lines up to the one that holds a byte.
fn lines(text: &str, at: usize) -> Vec<Line<'_>> {
    let mut lines = Vec::new();
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        if start > at {
            break;
        }
        lines.push(Line { start, text: line.trim_end_matches(['\n', '\r']) });
        start += line.len();
    }
    lines
}

/// A non-breaking space before the first word of a line: YAML takes it for a letter of that word.
pub(super) fn unseen_indent(text: &str) -> Option<Cause> {
    if !text.contains('\u{a0}') {
        return None;
    }
    let lines = lines(text, text.len());
    lines.into_iter().filter(|line| line.text.trim_start_matches(' ').starts_with('\u{a0}')).find_map(indent)
}

/// White space that is no space before the first word.
fn indent(line: Line<'_>) -> Option<Cause> {
    let words = line.text.trim_start().trim_start_matches('\u{a0}').len();
    let blank = line.text.get(..line.text.len() - words)?;
    let (at, sign) = blank.char_indices().find(|(_, sign)| *sign != ' ')?;
    let (headline, help) = if sign == '\t' {
        ("a tab indents this line", "indent with spaces, two for each level, and not with tabs")
    } else {
        ("a non-breaking space indents this line", "replace each non-breaking space by a plain one")
    };
    Some(Cause {
        range: line.start + at..line.start + at + sign.len_utf8(),
        headline: headline.to_owned(),
        note: "here",
        help: Some(help.to_owned()),
    })
}

/// A colon as wide as a Chinese letter.
fn wide_colon(line: Line<'_>) -> Option<Cause> {
    let (key, value) = line.text.split_once('：').filter(|(key, _)| is_key(key))?;
    let at = line.start + key.len();
    Some(Cause {
        range: at..at + '：'.len_utf8(),
        headline: "a full-width colon is none to YAML".to_owned(),
        note: "this sign",
        help: Some(format!("write a plain colon and a space: `{}: {}`", key.trim(), value.trim())),
    })
}

/// A value in quotes of print.
fn typographic(line: Line<'_>) -> Option<Cause> {
    let (key, value) = line.text.split_once(':')?;
    let inner = value.trim().trim_start_matches(TYPOGRAPHIC).trim_end_matches(TYPOGRAPHIC);
    if !value.trim_start().starts_with(TYPOGRAPHIC) {
        return None;
    }
    let at = line.text.len() - value.trim_start().len();
    Some(Cause {
        range: line.start + at..line.start + line.text.len(),
        headline: "typographic quotes are letters to YAML, and quote nothing".to_owned(),
        note: "quoted for print",
        help: Some(format!(
            "instead of typographic quotes write straight ones: `{}: \"{inner}\"`",
            key.trim()
        )),
    })
}

/// A bracket, a brace or a quote that is opened and never closed.
fn open(text: &str) -> Option<Cause> {
    let mut open: Vec<(usize, char)> = Vec::new();
    let mut quote: Option<(usize, char)> = None;
    let mut before = '\n';
    let mut signs = text.char_indices().peekable();
    while let Some((at, sign)) = signs.next() {
        // A sign of YAML counts where a value or a key may begin; within a text it is a letter.
        let begins =
            matches!(before, '\n' | ':' | '-' | ',' | '[' | '{') || !open.is_empty() && before == ' ';
        match (quote, sign) {
            (Some((_, '"')), '\\') => drop(signs.next()),
            (Some((_, mark)), sign) if mark == sign => quote = None,
            (Some(_), _) => {}
            (None, '"' | '\'') if begins => quote = Some((at, sign)),
            (None, '[' | '{') if begins => open.push((at, sign)),
            (None, ']' | '}') if !open.is_empty() => drop(open.pop()),
            (None, '#') if text.get(..at).is_some_and(|all| all.ends_with([' ', '\n'])) => {
                while signs.next_if(|(_, sign)| *sign != '\n').is_some() {}
            }
            _ => {}
        }
        if !matches!(sign, ' ' | '\r') {
            before = sign;
        }
    }
    if let Some((at, mark)) = quote {
        let line = text.get(at..)?.lines().next()?;
        return Some(Cause {
            range: at..at + line.len(),
            headline: "this quote is never closed".to_owned(),
            note: "it begins here and takes in all that follows",
            help: Some(format!("write the closing quote: `{line}{mark}`")),
        });
    }
    let (at, sign) = open.first().copied()?;
    let (noun, closing) = if sign == '[' { ("bracket", ']') } else { ("brace", '}') };
    let line = text.get(at..)?.lines().next()?;
    let help = match line.split_once(" #") {
        Some((_, rest)) if !rest.starts_with(' ') => {
            "` #` begins a remark: put a text that holds it into quotes".to_owned()
        }
        _ => format!("close it with `{closing}`"),
    };
    Some(Cause {
        range: at..at + line.len(),
        headline: format!("this {noun} is never closed"),
        note: "it begins here and takes in all that follows",
        help: Some(help),
    })
}

/// A text without quotes that holds a colon and a space.
fn second_colon(line: Line<'_>) -> Option<Cause> {
    let (key, value) = line.text.split_once(": ")?;
    if !value.contains(": ") || value.trim_start().starts_with(['"', '\'', '[', '{', '|', '>']) {
        return None;
    }
    let at = line.text.len() - value.trim_start().len();
    Some(Cause {
        range: line.start + at..line.start + line.text.len(),
        headline: "a text without quotes holds a colon and a space".to_owned(),
        note: "`: ` begins a value to YAML",
        help: Some(format!(
            "put it into quotes, since it holds `: `: `{}: \"{}\"`",
            key.trim(),
            value.trim()
        )),
    })
}

/// A key whose colon has no space behind it.
fn tight_colon(line: Line<'_>) -> Option<Cause> {
    let (key, value) = line.text.split_once(':').filter(|(key, _)| is_key(key))?;
    if value.is_empty() || value.starts_with(' ') {
        return None;
    }
    let start = line.text.len() - line.text.trim_start().len();
    Some(Cause {
        range: line.start + start..line.start + line.text.len(),
        headline: "no space stands after this colon".to_owned(),
        note: "to YAML this is one word",
        help: Some(format!("write a space after the colon: `{}: {value}`", key.trim())),
    })
}

/// A line that begins as a key does and has no colon.
fn no_colon(line: Line<'_>) -> Option<Cause> {
    let words = line.text.trim();
    let (key, value) = words.split_once(' ').unwrap_or((words, "…"));
    if line.text.contains(':') || !is_key(key) {
        return None;
    }
    let start = line.text.len() - line.text.trim_start().len();
    Some(Cause {
        range: line.start + start..line.start + line.text.len(),
        headline: "this line has a key and no colon".to_owned(),
        note: "a key and its value are wanted",
        help: Some(format!("write a colon and a space after the key: `{key}: {value}`")),
    })
}

/// Whether a text can be a key: an id, perhaps indented or after a dash.
fn is_key(text: &str) -> bool {
    let key = text.trim().trim_start_matches("- ");
    !key.is_empty() && key.chars().all(|c| c.is_alphanumeric() || matches!(c, '-' | '_'))
}
