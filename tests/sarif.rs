//! `inspect --format sarif`: every log is valid against the published schema of SARIF 2.1.0 (tests/schemas/),
//! names its rules, and points where the other formats point.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "tests read and write files")]

mod workbench;

use benchleaf::Run;
use serde_json::{Value, json};
use std::fs;
use std::path::Path;

/// A reader of the part of JSON Schema (draft 7) that this schema is written in. A keyword that it does not
/// know is a failure of the test, never skipped.
struct Schema(Value);

impl Schema {
    fn published() -> Schema {
        let path = workbench::root().join("tests/schemas/sarif-schema-2.1.0.json");
        Schema(serde_json::from_str(&fs::read_to_string(path).unwrap()).unwrap())
    }

    /// What is wrong with a value, each with its place.
    fn faults(&self, value: &Value) -> Vec<String> {
        let mut faults = Vec::new();
        self.check(&self.0, value, "", &mut faults);
        faults
    }

    fn check(&self, schema: &Value, value: &Value, at: &str, faults: &mut Vec<String>) {
        let schema = schema.as_object().expect("a schema is an object");
        // Beside a reference, draft 7 takes no heed of anything else.
        if let Some(reference) = schema.get("$ref") {
            let name = reference.as_str().unwrap().strip_prefix('#').expect("a reference inside the schema");
            return self.check(self.0.pointer(name).expect("a definition"), value, at, faults);
        }
        for (keyword, wanted) in schema {
            let fits = match keyword.as_str() {
                "title" | "description" | "default" | "definitions" | "$schema" | "$id" => true,
                "type" => has_type(wanted, value),
                "enum" => wanted.as_array().unwrap().contains(value),
                "minimum" => value.as_f64().is_none_or(|it| it >= wanted.as_f64().unwrap()),
                "maximum" => value.as_f64().is_none_or(|it| it <= wanted.as_f64().unwrap()),
                "minItems" => value.as_array().is_none_or(|it| it.len() as u64 >= wanted.as_u64().unwrap()),
                "uniqueItems" => wanted == &json!(false) || value.as_array().is_none_or(|it| unique(it)),
                "format" => value.as_str().is_none_or(|it| has_format(wanted.as_str().unwrap(), it)),
                "required" => {
                    let missing = |key: &&Value| value.get(key.as_str().unwrap()).is_none();
                    !value.is_object() || !wanted.as_array().unwrap().iter().any(|key| missing(&key))
                }
                "anyOf" => self.matching(wanted, value) > 0,
                "oneOf" => self.matching(wanted, value) == 1,
                "items" => {
                    for (number, item) in value.as_array().into_iter().flatten().enumerate() {
                        self.check(wanted, item, &format!("{at}/{number}"), faults);
                    }
                    true
                }
                "properties" | "additionalProperties" => {
                    self.check_keys(schema, keyword, value, at, faults);
                    true
                }
                // Only GUIDs, languages and the like have one, and nothing that is written here is such.
                _ => panic!("{at}: `{keyword}` is not known to this reader"),
            };
            if !fits {
                faults.push(format!("{at}: `{keyword}` wants {wanted}, not {value}"));
            }
        }
    }

    fn check_keys(
        &self,
        schema: &serde_json::Map<String, Value>,
        keyword: &str,
        value: &Value,
        at: &str,
        faults: &mut Vec<String>,
    ) {
        let known = schema.get("properties").and_then(Value::as_object);
        for (key, inner) in value.as_object().into_iter().flatten() {
            let declared = known.and_then(|known| known.get(key));
            let inside = format!("{at}/{key}");
            match (keyword, declared, &schema[keyword]) {
                ("properties", Some(declared), _) => self.check(declared, inner, &inside, faults),
                ("additionalProperties", None, Value::Bool(true)) => {}
                ("additionalProperties", None, Value::Bool(false)) => {
                    faults.push(format!("{inside} is not known"));
                }
                ("additionalProperties", None, more) => self.check(more, inner, &inside, faults),
                _ => {}
            }
        }
    }

    fn matching(&self, schemas: &Value, value: &Value) -> usize {
        let fits = |schema: &&Value| {
            let mut faults = Vec::new();
            self.check(schema, value, "", &mut faults);
            faults.is_empty()
        };
        schemas.as_array().unwrap().iter().filter(fits).count()
    }
}

fn has_type(wanted: &Value, value: &Value) -> bool {
    match wanted {
        Value::Array(any) => any.iter().any(|one| has_type(one, value)),
        one => match one.as_str().unwrap() {
            "object" => value.is_object(),
            "array" => value.is_array(),
            "string" => value.is_string(),
            "boolean" => value.is_boolean(),
            "integer" => value.is_i64() || value.is_u64(),
            "number" => value.is_number(),
            "null" => value.is_null(),
            other => panic!("no such type: {other}"),
        },
    }
}

fn unique(items: &[Value]) -> bool {
    items.iter().enumerate().all(|(at, item)| !items[..at].contains(item))
}

/// URIs as RFC 3986 spells them: no other characters, percent signs with two digits.
fn has_format(format: &str, text: &str) -> bool {
    let legal = |c: char| c.is_ascii_alphanumeric() || "-._~:/?#[]@!$&'()*+,;=%".contains(c);
    let hex = |rest: &str| rest.len() >= 2 && rest.as_bytes()[..2].iter().all(u8::is_ascii_hexdigit);
    let spelt = text.chars().all(legal) && text.split('%').skip(1).all(hex);
    match format {
        "uri" => spelt && text.split_once(':').is_some_and(|(scheme, _)| !scheme.contains('/')),
        "uri-reference" => spelt && !text.split('/').next().unwrap_or_default().contains(':'),
        other => panic!("no such format is written here: {other}"),
    }
}

/// What the command prints of a manual, from the folder above it.
fn log(manual: &Path) -> (Value, Option<i32>) {
    let mut command = assert_cmd::Command::new(assert_cmd::cargo::cargo_bin!("benchleaf"));
    let name = manual.file_name().unwrap();
    let output = command.arg("inspect").arg(name).args(["--format", "sarif"]);
    let output = output.current_dir(manual.parent().unwrap()).output().unwrap();
    (serde_json::from_slice(&output.stdout).expect("one JSON text on stdout"), output.status.code())
}

/// A manual with every case of tests/faults/ in it, under names that a URI must escape.
fn faulty() -> (tempfile::TempDir, std::path::PathBuf) {
    let keep = workbench::folder();
    let manual = keep.path().join("the manual");
    let faults = workbench::root().join("tests/faults");
    workbench::copy(&faults.join("base"), &manual);
    fs::create_dir_all(manual.join("größe 100%")).unwrap();
    for name in workbench::files(&faults).into_iter().filter(|name| !name.starts_with("base/")) {
        fs::copy(faults.join(&name), manual.join("größe 100%").join(&name)).unwrap();
    }
    (keep, manual)
}

#[test]
fn the_demos_log_is_valid_and_lists_every_code() {
    let (log, code) = log(&workbench::demo());
    assert_eq!(Schema::published().faults(&log), Vec::<String>::new());
    assert_eq!(code, Some(0));
    assert_eq!(
        log["runs"][0]["results"].as_array().unwrap().iter().filter(|row| row["level"] == "error").count(),
        0
    );
    let rules = log["runs"][0]["tool"]["driver"]["rules"].as_array().unwrap();
    let known: Vec<&str> = benchleaf::check::pages().iter().map(|page| page.code.0).collect();
    assert_eq!(rules.iter().map(|rule| rule["id"].as_str().unwrap()).collect::<Vec<_>>(), known);
}

#[test]
fn a_faulty_manuals_log_is_valid_and_points_where_json_points() {
    let (_keep, manual) = faulty();
    let (log, code) = log(&manual);
    assert_eq!(Schema::published().faults(&log), Vec::<String>::new());
    assert_eq!(code, Some(1));
    let results = log["runs"][0]["results"].as_array().unwrap();
    let run = Run::read(&manual).unwrap();
    let rejected = run.inspect().unwrap_err();
    let (source, findings) = (run.source(), rejected.findings());
    assert!(results.len() > 20, "{} results say little", results.len());
    assert_eq!(results.len(), findings.len());
    let rules = &log["runs"][0]["tool"]["driver"]["rules"];
    for (result, finding) in results.iter().zip(findings) {
        assert_eq!(result["ruleId"], finding.code.0);
        if let Some(index) = result["ruleIndex"].as_u64() {
            assert_eq!(rules[index as usize]["id"], finding.code.0);
        }
        assert!(result["message"]["text"].as_str().unwrap().len() >= finding.headline.len());
        let related = result["relatedLocations"].as_array().map_or(0, Vec::len);
        assert_eq!(related, finding.labels.len());
        let Some(span) = finding.span else { continue };
        let place = &result["locations"][0]["physicalLocation"];
        let uri = place["artifactLocation"]["uri"].as_str().unwrap();
        assert!(uri.starts_with("the%20manual/"), "{uri}");
        assert!(!uri.contains("gr") || uri.contains("gr%C3%B6%C3%9Fe%20100%25/"), "{uri}");
        let text = source.file(span.file).and_then(|file| file.text()).unwrap_or_default();
        let end = benchleaf::finding::line_column(text, span.end);
        assert_eq!(place["region"]["endLine"], end.line);
        assert_eq!(place["region"]["endColumn"], end.column);
    }
}

#[test]
fn the_reader_of_the_schema_sees_what_is_wrong() {
    let schema = Schema::published();
    let (good, _) = log(&workbench::demo());
    let spoilt: [(&str, Value); 5] = [
        ("/version", json!("2.0.0")),
        ("/runs/0/columnKind", json!("bytes")),
        ("/runs/0/tool/driver/name", json!(7)),
        ("/runs/0/tool/driver/rules/0/shortDescription", json!({"words": "x"})),
        ("/runs", json!({})),
    ];
    for (at, value) in spoilt {
        let mut log = good.clone();
        *log.pointer_mut(at).unwrap() = value;
        assert_ne!(schema.faults(&log), Vec::<String>::new(), "{at}");
    }
    let mut log = good;
    log["runs"][0]["results"] = json!([{"message": {"text": "x"}, "locations": [{"physicalLocation":
        {"artifactLocation": {"uri": "a b.md"}, "region": {"startLine": 0}}}]}]);
    assert_eq!(schema.faults(&log).len(), 2, "{:?}", schema.faults(&log));
}
