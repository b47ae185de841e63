//! For tests only: a strict little XML reader, and where the letters of a sheet lie.

use crate::drawings::Sketch;
use crate::workings::{Given, Offered, Outcome, Stock, find, settle};
use std::collections::BTreeMap;

/// One element as it opens.
pub(crate) struct Element {
    /// Its name.
    pub(crate) name: String,
    /// Its attributes.
    pub(crate) attributes: BTreeMap<String, String>,
    /// The text right after its start tag.
    pub(crate) text: String,
}

impl Element {
    /// A numeric attribute.
    pub(crate) fn number(&self, name: &str) -> f64 {
        self.attributes[name].parse().unwrap()
    }
}

/// Reads XML; panics where it is not well-formed.
pub(crate) fn read(xml: &str) -> Vec<Element> {
    let mut open: Vec<String> = Vec::new();
    let mut elements = Vec::new();
    let mut rest = xml;
    while let Some(start) = rest.find('<') {
        let (text, tag) = rest.split_at(start);
        check_text(text);
        let end = tag.find('>').expect("a tag ends");
        let inner = &tag[1..end];
        rest = &tag[end + 1..];
        if let Some(name) = inner.strip_prefix('/') {
            assert_eq!(open.pop().as_deref(), Some(name), "tags nest");
            continue;
        }
        let own = inner.strip_suffix('/').unwrap_or(inner);
        let (name, mut attributes) = own.split_once(' ').unwrap_or((own, ""));
        let mut found = BTreeMap::new();
        while !attributes.trim().is_empty() {
            let (key, after) = attributes.trim_start().split_once("=\"").expect("an attribute has a value");
            let (value, next) = after.split_once('"').expect("a value ends");
            check_text(value);
            assert!(found.insert(key.to_owned(), value.to_owned()).is_none(), "`{key}` twice");
            assert!(next.is_empty() || next.starts_with(' '), "attributes are apart");
            attributes = next;
        }
        if !inner.ends_with('/') {
            open.push(name.to_owned());
        }
        let text = rest.split('<').next().unwrap_or("").to_owned();
        elements.push(Element { name: name.to_owned(), attributes: found, text });
        assert!(!open.is_empty() || rest.is_empty(), "one root");
    }
    assert!(open.is_empty(), "every element ends");
    elements
}

/// Text holds no bare `<` or `&` and nothing that XML forbids.
fn check_text(text: &str) {
    for part in text.split('&').skip(1) {
        let known = ["amp;", "lt;", "gt;", "quot;", "#39;"];
        assert!(known.iter().any(|entity| part.starts_with(entity)), "a bare & in `{text}`");
    }
    assert!(!text.contains('<') && !text.chars().any(char::is_control));
}

/// Works a working out from texts, as the command line would.
pub(crate) fn work(name: &str, inputs: &[(&str, &str)], more: Vec<(&str, Offered)>) -> (Given, Outcome) {
    let working = find(name).unwrap();
    let texts = inputs.iter().map(|(key, text)| ((*key).to_owned(), Offered::Text((*text).to_owned())));
    let offered = texts.chain(more.into_iter().map(|(key, offer)| (key.to_owned(), offer))).collect();
    let given = settle(working.declaration(), &offered, &Stock::default()).unwrap();
    let outcome = working.work(&given).unwrap();
    (given, outcome)
}

/// Holds a sketch against every rule of output, wide and narrow. Answers which letters are not clear.
pub(crate) fn check(sketch: &Sketch, prefix: &str) -> Vec<String> {
    let mut faults = Vec::new();
    assert!(!sketch.callouts.is_empty() && !sketch.title.is_empty());
    for (svg, width, prefix) in
        [(&sketch.svg, 640.0, prefix.to_owned()), (&sketch.narrow, 360.0, format!("{prefix}-n"))]
    {
        let elements = read(svg);
        let root = elements.first().unwrap();
        let view: Vec<f64> =
            root.attributes["viewBox"].split(' ').map(|part| part.parse().unwrap()).collect();
        assert_eq!((root.name.as_str(), view[2]), ("svg", width));
        assert_eq!(root.attributes["role"], "img");
        assert_eq!(root.attributes["aria-labelledby"], format!("{prefix}-t {prefix}-d"));
        assert!(!root.attributes.contains_key("width"));
        check_references(&elements, svg, &prefix);
        faults.extend(unclear(&elements, (view[2], view[3])));
    }
    faults
}

/// Ids have the prefix, references stay inside, nothing is inline style or script.
fn check_references(elements: &[Element], svg: &str, prefix: &str) {
    let mut ids = Vec::new();
    for element in elements {
        assert!(!["script", "style", "image", "foreignObject", "use"].contains(&element.name.as_str()));
        for (key, value) in &element.attributes {
            assert!(key != "style" && !key.starts_with("on") && !key.contains("href"), "{key}");
            if let Some(reference) = value.strip_prefix("url(#") {
                let id = format!(r#"id="{}""#, reference.trim_end_matches(')'));
                assert!(svg.contains(&id), "{id} is there");
            }
            if key == "id" {
                assert!(value.starts_with(&format!("{prefix}-")), "{value}");
                ids.push(value);
            }
            for number in
                value.split([' ', ',']).filter(|_| ["x", "y", "d", "points", "r"].contains(&key.as_str()))
            {
                let places = number
                    .rsplit_once('.')
                    .map_or(0, |(_, places)| places.chars().take_while(char::is_ascii_digit).count());
                assert!(places <= 2 && !number.contains("NaN"), "{key}={value}");
            }
        }
    }
    let all = ids.len();
    ids.sort();
    ids.dedup();
    assert_eq!(ids.len(), all, "ids are unique");
}

/// Letters that are too small, not on the sheet, or not clear of one another.
fn unclear(elements: &[Element], size: (f64, f64)) -> Vec<String> {
    let mut faults = Vec::new();
    let mut boxes: Vec<(f64, f64, f64, f64, &str)> = Vec::new();
    for text in elements.iter().filter(|element| element.name == "text") {
        let height = text.number("font-size");
        if height < 12.0 {
            faults.push(format!("{}: `{}` is too small", size.0, text.text));
        }
        let plain = text.text.replace("&amp;", "&").replace("&#39;", "'");
        let wide = plain.chars().count() as f64 * 0.6 * height;
        let left = match text.attributes.get("text-anchor").map(String::as_str) {
            Some("middle") => text.number("x") - wide / 2.0,
            Some("end") => text.number("x") - wide,
            _ => text.number("x"),
        };
        let base = text.number("y");
        let (top, foot) = (base - 0.75 * height, base + 0.1 * height);
        if left < 0.0 || left + wide > size.0 || top < 0.0 || foot > size.1 {
            faults.push(format!("{}: `{plain}` is cut off", size.0));
        }
        for (l, t, r, f, other) in &boxes {
            let apart = left >= *r || left + wide <= *l || top >= *f || foot <= *t;
            if !apart {
                faults.push(format!("{}: `{plain}` over `{other}`", size.0));
            }
        }
        boxes.push((left, top, left + wide, foot, &text.text));
    }
    faults
}
