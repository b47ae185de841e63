//! Dead links: every address on every page names a file of the site, and every `#` something on it.

use crate::workbench::{files, html};
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

/// What leads nowhere, as `page:line: address: why`.
pub fn dead(site: &Path) -> Vec<String> {
    let names: BTreeSet<String> = files(site).into_iter().collect();
    let pages: BTreeMap<&str, Vec<html::Tag>> = names
        .iter()
        .filter(|name| name.ends_with(".html"))
        .map(|name| {
            (name.as_str(), html::tags(&fs::read_to_string(site.join(name)).expect("a page is UTF-8")))
        })
        .collect();
    let ids: BTreeMap<&str, BTreeSet<&str>> = pages
        .iter()
        .map(|(name, tags)| (*name, tags.iter().filter_map(|tag| tag.attribute("id")).collect()))
        .collect();
    let mut found = Vec::new();
    for (page, tags) in &pages {
        for tag in tags {
            for (key, address) in &tag.attributes {
                if matches!(key.as_str(), "href" | "src" | "action" | "poster" | "data" | "xlink:href")
                    && let Some(why) = fault(page, address, &names, &ids)
                {
                    found.push(format!("{page}:{}: `{address}` {why}", tag.line));
                }
            }
        }
    }
    found
}

fn fault(
    page: &str,
    address: &str,
    names: &BTreeSet<String>,
    ids: &BTreeMap<&str, BTreeSet<&str>>,
) -> Option<String> {
    if address.is_empty() {
        return Some("is empty".into());
    }
    if ["http://", "https://", "mailto:", "tel:", "data:image/"]
        .iter()
        .any(|scheme| address.starts_with(scheme))
    {
        return None;
    }
    if address.starts_with('/') || address.contains(':') {
        return Some("does not travel with the folder".into());
    }
    let (address, anchor) = address.split_once('#').unwrap_or((address, ""));
    let file = address.split('?').next().unwrap_or_default();
    let target = if file.is_empty() { page.to_owned() } else { resolve(page, file)? };
    if !names.contains(&target) {
        return Some(format!("names no file (`{target}`)"));
    }
    let known = anchor.is_empty() || ids.get(target.as_str()).is_none_or(|ids| ids.contains(anchor));
    (!known).then(|| format!("names nothing on `{target}`"))
}

/// The path below the site that a relative address on a page leads to; one above the site keeps its `..`.
fn resolve(page: &str, address: &str) -> Option<String> {
    let mut parts: Vec<&str> = page.split('/').collect();
    parts.pop();
    for part in address.split('/') {
        match part {
            "." => {}
            ".." if parts.last().is_some_and(|last| *last != "..") => {
                parts.pop();
            }
            part => parts.push(part),
        }
    }
    Some(parts.join("/"))
}

#[test]
fn dead_links_are_found() {
    let folder = crate::workbench::folder();
    let write = |name: &str, text: &str| {
        let path = folder.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    };
    write(
        "index.html",
        r##"<a href="a/b.html#x">ok</a><a href="a/b.html#y">no</a><a href="c.html">no</a><a href="#z" id=z>"##,
    );
    write(
        "a/b.html",
        r#"<p id="x"><a href="../index.html?q=1&amp;r=2#z">ok</a><img src="../../up.png"><a href="/root">"#,
    );
    let found = dead(folder.path());
    assert_eq!(found.len(), 4, "{found:?}");
    assert!(found[0].starts_with("a/b.html:1: `../../up.png`"), "{found:?}");
    assert!(found[2].contains("#y` names nothing"), "{found:?}");
}
