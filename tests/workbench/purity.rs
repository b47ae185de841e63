//! What a page or a drawing of a site may never hold, whatever was written into its sources: anything that
//! runs, anything inline, anything that is fetched from elsewhere.

use super::html::{Tag, tags};

/// Elements that run, embed or send.
const NEVER: [&str; 10] =
    ["style", "iframe", "object", "embed", "base", "form", "foreignobject", "frame", "applet", "portal"];

/// Attributes that lead somewhere.
const LEADING: [&str; 9] =
    ["href", "src", "xlink:href", "action", "formaction", "data", "srcset", "poster", "ping"];

/// The faults of one page or drawing. A drawing that stands as a file may have styles of its own.
pub fn faults_of(name: &str, text: &str) -> Vec<String> {
    let is_drawing = name.ends_with(".svg");
    let mut found = tags(text);
    if is_drawing {
        found.retain(|tag| tag.name != "style");
        found.iter_mut().for_each(|tag| tag.attributes.retain(|(key, _)| key != "style"));
    }
    let mut faults: Vec<String> = found.iter().flat_map(fault_of_tag).collect();
    if is_drawing {
        faults.extend(found.iter().filter(|tag| tag.name == "script").map(|_| "a script".to_owned()));
    }
    faults.into_iter().map(|fault| format!("{name}: {fault}")).collect()
}

fn fault_of_tag(tag: &Tag) -> Vec<String> {
    let said = |what: &str| format!("line {}: <{}> {what}", tag.line, tag.name);
    let mut faults = Vec::new();
    if NEVER.contains(&tag.name.as_str()) {
        faults.push(said("stands there"));
    }
    let is_data = tag.attribute("type") == Some("application/json");
    if tag.name == "script" && tag.attribute("src").is_none() && !is_data {
        faults.push(said("is inline"));
    }
    for (key, value) in &tag.attributes {
        if key.starts_with("on") || key == "style" {
            faults.push(said(&format!("has the attribute `{key}`")));
        }
        if LEADING.contains(&key.as_str()) && !leads_well(&tag.name, value) {
            faults.push(said(&format!("leads to `{value}`")));
        }
    }
    faults
}

/// Links of words may lead out, openly; everything that is loaded stands in the site.
fn leads_well(name: &str, target: &str) -> bool {
    // Browsers pass over white space and control characters inside a scheme.
    let plain: String = target.chars().filter(|c| !c.is_whitespace() && !c.is_control()).collect();
    let plain = plain.to_ascii_lowercase();
    if plain.starts_with("//") || plain.starts_with('\\') {
        return false;
    }
    match plain.split_once(':') {
        Some((scheme, _)) if !scheme.contains(['/', '#', '?']) => {
            name == "a" && matches!(scheme, "http" | "https" | "mailto" | "tel")
        }
        _ => true,
    }
}
