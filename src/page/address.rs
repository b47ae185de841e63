//! Every address of the site, and the relative links between them. Links always name the file, so that they
//! hold on a disk, on a server and below any path.

use crate::model::{Scheme, Store};

/// The front page.
pub const FRONT: &str = "index.html";
/// The torque index.
pub const TORQUE: &str = "torque.html";
/// Waivers and sources.
pub const WAIVERS: &str = "waivers.html";
/// Search.
pub const SEARCH: &str = "search.html";

/// What the search index is called. It follows from the sources and the program alone, and so does the
/// fingerprint: a browser never puts an old index to a new page.
pub fn search_data(fingerprint: &str) -> String {
    format!("search-index.{fingerprint}.js")
}

/// A procedure's page.
pub fn procedure(id: &str) -> String {
    format!("procedures/{id}/index.html")
}

/// A step of a procedure.
pub fn step(procedure: &str, step: &str) -> String {
    format!("procedures/{procedure}/index.html#{step}")
}

/// A stage of a procedure. Ids hold no double hyphen, so that a stage and a step never share an anchor.
pub fn stage(procedure: &str, stage: &str) -> String {
    format!("procedures/{procedure}/index.html#stage--{stage}")
}

/// An item in the list of what a procedure disturbs.
pub fn item(procedure: &str, item: &str) -> String {
    format!("procedures/{procedure}/index.html#item--{item}")
}

/// A procedure's job sheet.
pub fn job_sheet(id: &str) -> String {
    format!("procedures/{id}/job-sheet.html")
}

/// A procedure's workings.
pub fn workings(id: &str) -> String {
    format!("procedures/{id}/workings.html")
}

/// A procedure's join schedule.
pub fn join_schedule(id: &str) -> String {
    format!("procedures/{id}/join-schedule.html")
}

/// A procedure's parking mat, with bag labels and counts.
pub fn parking(id: &str) -> String {
    format!("procedures/{id}/parking.html")
}

/// The anchor of a value among its procedure's workings.
pub fn value_anchor(value: &str) -> String {
    value.replace('/', "--")
}

/// A value's working.
pub fn value(procedure: &str, value: &str) -> String {
    format!("{}#{}", workings(procedure), value_anchor(value))
}

/// A computed table.
pub fn table(id: &str) -> String {
    format!("tables/{id}.html")
}

/// The same table as comma-separated values.
pub fn table_csv(id: &str) -> String {
    format!("tables/{id}.csv")
}

/// The anchor of a row on its table's page.
pub fn row_anchor(row: &str) -> String {
    format!("row--{}", crate::model::slug(row))
}

/// A figure's file; no two names are alike but for capitals.
pub fn figure(name: &str) -> String {
    format!("figures/{}", name.to_ascii_lowercase())
}

/// An asset.
pub fn asset(name: &str) -> String {
    format!("assets/{name}")
}

/// The register of a kind of store.
pub fn register(store: Store) -> String {
    format!("{}.html", store.file())
}

/// A line of the stores, where its kind is listed: on a page of its own, or beside another.
pub fn line(store: Store, id: &str) -> Option<String> {
    let page = store.listed_with()?;
    let anchor = if page == store { id.to_owned() } else { beside(store, id) };
    Some(format!("{}#{anchor}", register(page)))
}

/// The anchor of a line that stands on the page of another table.
pub fn beside(store: Store, id: &str) -> String {
    format!("{}--{id}", Scheme::Line(store).word())
}

/// The way up from a page to the site's root: empty, or `../` for each folder.
pub fn root(from: &str) -> String {
    "../".repeat(from.matches('/').count())
}

/// A link from one page to an address; within the same page only the anchor.
pub fn link(from: &str, to: &str) -> String {
    let (file, anchor) = match to.split_once('#') {
        Some((file, anchor)) => (file, Some(anchor)),
        None => (to, None),
    };
    if let (true, Some(anchor)) = (file == from, anchor) {
        return format!("#{anchor}");
    }
    let here: Vec<&str> = from.split('/').collect();
    let there: Vec<&str> = file.split('/').collect();
    let folders = here.len().saturating_sub(1);
    let shared = here
        .iter()
        .zip(&there)
        .take(folders.min(there.len().saturating_sub(1)))
        .take_while(|(a, b)| a == b)
        .count();
    let mut link = "../".repeat(folders - shared);
    link.push_str(&there.get(shared..).unwrap_or_default().join("/"));
    if let Some(anchor) = anchor {
        link.push('#');
        link.push_str(anchor);
    }
    link
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn links_climb_as_far_as_they_must_and_name_the_file() {
        for (from, to, wanted) in [
            ("index.html", "procedures/a/index.html", "procedures/a/index.html"),
            ("procedures/a/index.html", "index.html", "../../index.html"),
            ("procedures/a/index.html", "procedures/a/workings.html#x", "workings.html#x"),
            ("procedures/a/index.html", "procedures/b/index.html#x", "../b/index.html#x"),
            ("procedures/a/index.html", "procedures/a/index.html#x", "#x"),
            ("procedures/a/index.html", "procedures/a/index.html", "index.html"),
            ("tables/a.html", "procedures/b/index.html", "../procedures/b/index.html"),
            ("tools.html", "tools.html#x", "#x"),
        ] {
            assert_eq!(link(from, to), wanted, "{from} {to}");
        }
        assert_eq!(root("procedures/a/index.html"), "../../");
        assert_eq!(root("tools.html"), "");
    }

    #[test]
    fn a_stage_and_a_step_of_one_id_have_two_anchors() {
        assert_ne!(step("a", "join"), stage("a", "join"));
    }
}
