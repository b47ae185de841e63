//! Values and tables, each after those that it builds on; and what references lead to.

use super::{found, job, known, number, value, worked};
use crate::model::Reference;
use crate::work::{Influence, Resolved, Scope, Worked};
use crate::workings::Value;

fn values(values: &str) -> String {
    format!("values:\n{values}")
}

#[test]
fn the_order_in_which_values_are_written_does_not_matter() {
    let last = "  b: {working: formula, expression: 2*a, a: value:a}\n  a: {working: formula, expression: x, x: 3 mm}\n";
    let (worked, findings) = job(&values(last));
    assert_eq!(number(&worked, "b", "result"), 6.0, "{findings:?}");
    let ids: Vec<&str> = known(&worked).values.iter().map(|value| value.id.as_str()).collect();
    assert_eq!(ids, ["b", "a"], "they stand as they were written");
}

#[test]
fn a_circle_of_values_is_printed() {
    let ring = "  a: {working: formula, expression: x, x: value:b}\n  b: {working: formula, expression: x, x: value:c}\n  c: {working: formula, expression: x, x: value:a}\n  d: {working: formula, expression: x, x: value:a}\n";
    let (worked, findings) = job(&values(ring));
    let told = found(&findings, "VAL-06");
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].contains("value:job/a → value:job/b → value:job/c → value:job/a"), "{told:?}");
    assert!(value(&worked, "d").result.is_err(), "what builds on the circle is a gap");
}

/// A row of so many values is worked, and one more is refused: the limit that the format states nowhere, held from
/// both sides.
#[test]
fn a_row_of_values_may_be_two_hundred_long() {
    let row = |count: usize| {
        let mut all = String::from("  v0: {working: formula, expression: x, x: 1 mm}\n");
        for number in 1..count {
            all.push_str(&format!(
                "  v{number}: {{working: formula, expression: x, x: value:v{}}}\n",
                number - 1
            ));
        }
        // The last is worked first, so that the whole row is open at once.
        let mut lines: Vec<&str> = all.lines().collect();
        lines.reverse();
        values(&format!("{}\n", lines.join("\n")))
    };
    assert!(found(&job(&row(200)).1, "VAL-06").is_empty());
    assert_eq!(found(&job(&row(201)).1, "VAL-06").len(), 1);
}

const TABLE: &str = "id: chart\ntitle: A chart\nrows: {wire: [thin, thick]}\nvalues:\n  double: {working: formula, expression: 2*d, d: value:own}\n  own: {working: formula, expression: w + 1 mm, w: row:wire.outside}\ntake: [double.result, own.result]\n";

#[test]
fn the_values_of_a_row_may_stand_in_any_order() {
    let (worked, findings) = worked(&[("tables/chart.yaml", TABLE)]);
    let cells: Vec<Vec<f64>> = worked.tables["chart"]
        .rows
        .iter()
        .map(|row| row.cells.iter().map(|cell| cell.as_ref().unwrap().as_number().unwrap()).collect())
        .collect();
    assert_eq!(cells, [vec![6.0, 3.0], vec![8.0, 4.0]], "{findings:?}");
}

#[test]
fn a_circle_in_a_row_is_told_once() {
    let ring = TABLE.replace("w: row:wire.outside", "w: value:double");
    let (worked, findings) = worked(&[("tables/chart.yaml", &ring)]);
    assert_eq!(found(&findings, "VAL-06").len(), 1, "{findings:?}");
    assert!(worked.tables["chart"].rows.iter().all(|row| row.cells.iter().all(Result::is_err)));
}

#[test]
fn a_cell_of_a_table_is_a_figure_for_a_value() {
    let front = values("  own: {working: formula, expression: x, x: table:chart/thick.double}\n");
    let job = super::procedure("job", &front.replace(".double", ".result"), "## Work\n\n### Look at it\n");
    let (worked, findings) = worked(&[("tables/chart.yaml", TABLE), ("job.md", &job)]);
    assert_eq!(number(&worked, "own", "result"), 8.0, "{findings:?}");
}

#[test]
fn a_refused_value_is_told_once_and_what_builds_on_it_is_silent() {
    let front = values(
        "  a: {working: formula, expression: x, x: 3 parsec}\n  b: {working: formula, expression: x, x: value:a}\n",
    );
    let (worked, findings) = job(&front);
    let errors: Vec<_> = findings.iter().filter(|finding| finding.code.0.starts_with("VAL")).collect();
    assert_eq!(errors.len(), 1, "{errors:?}");
    assert!(value(&worked, "b").result.is_err());
}

fn lead<'a>(worked: &'a Worked, reference: &str) -> Result<Resolved<'a>, String> {
    let reference = Reference::parse(reference).unwrap();
    worked.resolve(Scope::Procedure("job"), &reference).map_err(|missing| missing.message.to_string())
}

#[test]
fn values_tables_prose_and_kit_look_references_up_alike() {
    let front = "items: {conductors: {feed: {of: thin, action: join}}}\nvalues:\n  own: {working: formula, expression: x, x: value:feed/joint.length}\n  size: {working: sleeve, over: 2 mm, grip: 2 mm, covers: 5 mm, from: sleeve:plain/s3}\n  none: {working: sleeve, over: 2 mm, grip: 2 mm, covers: 5 mm, from: sleeve:plain/s4}\n";
    let (worked, findings) = job(front);
    assert_eq!(number(&worked, "own", "result"), 4.0);
    assert!(matches!(
        lead(&worked, "value:feed/joint.length"),
        Ok(Resolved::Value(.., Value::Number { .. }))
    ));
    assert!(value(&worked, "size").result.is_ok(), "{findings:?}");
    let wanted = "the range `plain` has no size `s4`";
    assert_eq!(lead(&worked, "sleeve:plain/s4").unwrap_err(), wanted);
    assert!(found(&findings, "VAL-06").iter().any(|told| told.contains(wanted)), "{findings:?}");
    let missing = "`cable:thin` has no `colour`";
    assert_eq!(lead(&worked, "cable:thin.colour").unwrap_err(), missing);
    assert_eq!(lead(&worked, "row:wire").unwrap_err(), "`row:wire` serves inside a table only");
}

/// A change of a cable touches the joint that is made of it, what builds on that, and the table's row; and nothing of
/// another cable.
#[test]
fn a_line_of_the_stores_touches_what_was_worked_from_it() {
    let front = "items: {conductors: {feed: {of: thin, action: join}, fat: {of: thick, action: join}}}\n";
    let job = super::procedure("job", front, "## Work\n\n### Look at it\n");
    let (worked, _) = worked(&[("tables/chart.yaml", TABLE), ("job.md", &job)]);
    let touched = Influence::of(&worked).touched_by(crate::model::Store::Cables, "thin");
    let ids: Vec<&str> = touched.values.iter().map(|(_, value)| value.id.as_str()).collect();
    for id in ["feed/joint", "feed/sleeve", "joints/stagger", "fat/offset"] {
        assert!(ids.contains(&id), "{id}: {ids:?}");
    }
    assert!(!ids.contains(&"fat/joint") && !ids.contains(&"fat/sleeve"), "{ids:?}");
    let rows: Vec<&str> = touched.rows.iter().map(|(_, row)| row.id.as_str()).collect();
    assert_eq!(rows, ["thin"]);
}

/// Limits of the shop, and a bundle of so many wires as `value`.
fn limited(wires: usize, value: &str) -> (String, String) {
    let shop = format!("id: shop\nname: A Shop\nlanguage: en\nlimits: {{wires: {wires}}}\n");
    (shop, format!("  {value}: {{working: bundle, diameters: [1 mm, 2 mm, 3 mm, 4 mm, 5 mm]}}\n"))
}

#[test]
fn bundles_are_searched_up_to_the_limit_of_the_shop() {
    for (wires, worked_last) in [(10, true), (9, false)] {
        let (shop, first) = limited(wires, "a");
        // Four wires and fewer are found at once and do not count, however often they stand.
        let front = format!(
            "{first}  four: {{working: bundle, diameters: [1 mm, 2 mm, 3 mm, 4 mm]}}\n{}",
            "  b: {working: bundle, diameters: '1 mm, 2 mm, 3 mm, 4 mm, 6 mm'}\n  c: {working: total, of: [value:b.diameter]}\n"
        );
        let job = super::procedure("job", &values(&front), "## Work\n\n### Look at it\n");
        let (worked, findings) = worked(&[("shop.yaml", &shop), ("job.md", &job)]);
        assert_eq!(value(&worked, "c").result.is_ok(), worked_last, "{wires}");
        assert!(value(&worked, "four").result.is_ok() && value(&worked, "a").result.is_ok());
        let errors: Vec<_> = findings.iter().filter(|finding| finding.is_error()).collect();
        let told = usize::from(!worked_last);
        assert_eq!((found(&findings, "SRC-02").len(), errors.len()), (told, told), "{errors:?}");
    }
}

#[test]
fn each_row_of_a_table_counts_its_wires() {
    let table = "id: t\ntitle: T\nrows: {w: 1 mm to 3 mm by 1 mm}\nvalues:\n  b: {working: bundle, diameters: [row:w, 1 mm, 2 mm, 3 mm, 4 mm]}\ntake: [b.diameter]\n";
    for (wires, cells) in [(15, 3), (14, 0)] {
        let (shop, _) = limited(wires, "a");
        let (worked, findings) = worked(&[("shop.yaml", &shop), ("tables/t.yaml", table)]);
        let shown = worked.tables()["t"].rows.iter().filter(|row| row.cells[0].is_ok()).count();
        assert_eq!((shown, found(&findings, "SRC-02").len()), (cells, usize::from(cells == 0)));
    }
}

#[test]
fn the_places_of_a_bundle_count_as_many_wires() {
    for (wires, told) in [(205, 0), (204, 1)] {
        let (shop, first) = limited(wires, "a");
        let front = format!("{first}  b: {{working: bundle, diameters: [value:a.positions]}}\n");
        let job = super::procedure("job", &values(&front), "## Work\n\n### Look at it\n");
        let (_, findings) = worked(&[("shop.yaml", &shop), ("job.md", &job)]);
        assert_eq!(found(&findings, "SRC-02").len(), told, "{findings:?}");
    }
}

#[test]
fn a_value_that_others_use_is_the_same_at_home_and_there() {
    let front = |value: &str| format!("values:\n  {value}\n");
    let body = "## Work\n\n### Look at it\n";
    let home = super::procedure("home", &front("a: {working: formula, expression: x, x: 3 mm}"), body);
    let there = front("b: {working: formula, expression: 2*a, a: value:home/a}");
    let (worked, findings) =
        worked(&[("home.md", &home), ("job.md", &super::procedure("job", &there, body))]);
    assert_eq!(number(&worked, "b", "result"), 6.0, "{findings:?}");
    let at_home = worked.procedures()["home"].value("a").map(|value| value.result.is_ok());
    assert_eq!(at_home, Some(true));
}
