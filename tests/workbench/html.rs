//! A plain reader of the pages that are bound: their start tags, attributes and raw texts. It knows only
//! what a page of this program may hold and reports everything else.

/// A start tag.
#[derive(Debug)]
pub struct Tag {
    /// Its name, in lower case.
    pub name: String,
    /// Its attributes, unescaped, in order.
    pub attributes: Vec<(String, String)>,
    /// The text up to the end tag, for `script`, `style` and `title` only.
    pub raw: String,
    /// The line that it stands on.
    pub line: usize,
}

impl Tag {
    /// The value of an attribute.
    pub fn attribute(&self, name: &str) -> Option<&str> {
        self.attributes.iter().find(|(key, _)| key == name).map(|(_, value)| value.as_str())
    }
}

/// Every start tag of a page.
pub fn tags(page: &str) -> Vec<Tag> {
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(open) = page[at..].find('<').map(|step| at + step) {
        let rest = &page[open..];
        if rest.starts_with("<!--") {
            at = rest.find("-->").map_or(page.len(), |end| open + end + 3);
            continue;
        }
        if !rest[1..].starts_with(|c: char| c.is_ascii_alphabetic()) {
            at = open + 1;
            continue;
        }
        let (mut tag, length) = tag(rest);
        tag.line = page[..open].matches('\n').count() + 1;
        at = open + length;
        if matches!(tag.name.as_str(), "script" | "style" | "title") {
            let close = format!("</{}", tag.name);
            let end = page[at..].find(&close).map_or(page.len(), |step| at + step);
            tag.raw = page[at..end].to_owned();
            at = end;
        }
        found.push(tag);
    }
    found
}

/// The tag at the beginning of `text`, and its length.
fn tag(text: &str) -> (Tag, usize) {
    let name_end =
        text[1..].find(|c: char| !c.is_ascii_alphanumeric() && c != '-').map_or(text.len(), |n| n + 1);
    let name = text[1..name_end].to_ascii_lowercase();
    let mut attributes = Vec::new();
    let mut at = name_end;
    loop {
        at += text[at..].len() - text[at..].trim_start_matches(|c: char| c.is_whitespace() || c == '/').len();
        let rest = &text[at..];
        if rest.is_empty() {
            break;
        }
        if rest.starts_with('>') {
            at += 1;
            break;
        }
        let key_end =
            rest.find(|c: char| c.is_whitespace() || matches!(c, '=' | '>' | '/')).unwrap_or(rest.len());
        let key = rest[..key_end].to_ascii_lowercase();
        at += key_end.max(1);
        let mut value = String::new();
        if let Some(after) = text[at..].strip_prefix('=') {
            at += 1;
            let (inner, length) = match after.chars().next() {
                Some(quote @ ('"' | '\'')) => {
                    let end = after[1..].find(quote).unwrap_or(after.len() - 1);
                    (&after[1..=end], (end + 2).min(after.len()))
                }
                _ => {
                    let end = after.find(|c: char| c.is_whitespace() || c == '>').unwrap_or(after.len());
                    (&after[..end], end)
                }
            };
            value = unescape(inner);
            at += length;
        }
        attributes.push((key, value));
    }
    (Tag { name, attributes, raw: String::new(), line: 0 }, at)
}

/// Text with its character references replaced: those by number, and the five that the templates write.
pub fn unescape(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some(at) = rest.find('&') {
        out.push_str(&rest[..at]);
        rest = &rest[at..];
        let end = rest.find(';').unwrap_or(0);
        let named = rest.get(1..end).and_then(|name| match name {
            "amp" => Some('&'),
            "lt" => Some('<'),
            "gt" => Some('>'),
            "quot" => Some('"'),
            "apos" => Some('\''),
            _ => {
                let number = name.strip_prefix('#')?;
                let code = match number.strip_prefix(['x', 'X']) {
                    Some(hex) => u32::from_str_radix(hex, 16).ok()?,
                    None => number.parse().ok()?,
                };
                char::from_u32(code)
            }
        });
        match named {
            Some(character) => {
                out.push(character);
                rest = &rest[end + 1..];
            }
            None => {
                out.push('&');
                rest = &rest[1..];
            }
        }
    }
    out + rest
}
