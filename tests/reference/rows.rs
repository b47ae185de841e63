//! Reads the reference rows, and judges a computed value by the tolerance of its row.

use std::collections::BTreeMap;
use std::path::Path;

/// One row of a reference file.
#[derive(Debug, Clone)]
pub(crate) struct Row {
    pub(crate) id: String,
    pub(crate) quantity: String,
    pub(crate) inputs: BTreeMap<String, String>,
    pub(crate) expected: String,
    pub(crate) unit: String,
    pub(crate) tolerance: String,
}

impl Row {
    /// The text of an input, which must be there.
    pub(crate) fn text(&self, name: &str) -> &str {
        self.inputs.get(name).unwrap_or_else(|| panic!("{}: no input {name}", self.id))
    }

    /// The expected number.
    pub(crate) fn number(&self) -> f64 {
        self.expected.parse().unwrap_or_else(|_| panic!("{}: `{}` is no number", self.id, self.expected))
    }

    /// The number after `abs` in the tolerance, or nought.
    pub(crate) fn absolute(&self) -> f64 {
        after(&self.tolerance, "abs ").unwrap_or(0.0)
    }
}

/// What was computed for a row.
#[derive(Debug)]
pub(crate) enum Got {
    /// A number in the unit of the row, to be met within its tolerance.
    Number(f64),
    /// A number that is a proven floor: it may lie above the expected one by this share, never below.
    Packing(f64, f64),
    /// A number that must not lie below the expected one, and by no more than this share above it.
    Above(f64, f64),
    /// A text.
    Text(String),
}

/// All rows of `tests/reference/NAME.csv`.
pub(crate) fn rows(name: &str) -> Vec<Row> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference").join(format!("{name}.csv"));
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    let mut lines = records(&text).into_iter();
    let head = lines.next().expect("a header");
    lines
        .map(|cells| {
            assert_eq!(cells.len(), head.len(), "{name}: {cells:?}");
            let cell =
                |column: &str| cells[head.iter().position(|name| name == column).expect("a column")].clone();
            let pair = |part: &str| {
                part.split_once('=').map(|(key, value)| (key.trim().to_owned(), value.trim().to_owned()))
            };
            Row {
                id: cell("id"),
                quantity: cell("quantity"),
                inputs: cell("inputs").split(';').filter_map(pair).collect(),
                expected: cell("expected").trim().to_owned(),
                unit: cell("unit"),
                tolerance: cell("tolerance"),
            }
        })
        .collect()
}

/// Records of RFC 4180.
fn records(text: &str) -> Vec<Vec<String>> {
    let (mut records, mut cells, mut cell, mut quoted) = (Vec::new(), Vec::new(), String::new(), false);
    let mut letters = text.chars().peekable();
    while let Some(letter) = letters.next() {
        match letter {
            '"' if quoted && letters.peek() == Some(&'"') => {
                letters.next();
                cell.push('"');
            }
            '"' => quoted = !quoted,
            ',' if !quoted => cells.push(std::mem::take(&mut cell)),
            '\n' if !quoted => {
                cells.push(std::mem::take(&mut cell));
                records.push(std::mem::take(&mut cells));
            }
            '\r' if !quoted => {}
            other => cell.push(other),
        }
    }
    if !cell.is_empty() || !cells.is_empty() {
        cells.push(cell);
        records.push(cells);
    }
    records
}

/// The number after a word.
fn after(text: &str, word: &str) -> Option<f64> {
    let rest = text.split_once(word)?.1;
    let end = rest
        .find(|letter: char| !(letter.is_ascii_digit() || matches!(letter, '.' | 'e' | '-')))
        .unwrap_or(rest.len());
    rest[..end].parse().ok()
}

/// Whether the computed value agrees; else why not.
pub(crate) fn judge(row: &Row, got: &Got) -> Result<(), String> {
    let complain =
        |value: f64| Err(format!("{}: {value} instead of {} ({})", row.id, row.expected, row.tolerance));
    match got {
        Got::Text(text) if text.trim() == row.expected => Ok(()),
        Got::Text(text) => Err(format!("{}: `{text}` instead of `{}`", row.id, row.expected)),
        Got::Packing(value, share) => {
            let expected = row.number();
            let fine =
                *value >= expected - row.absolute() && *value <= expected * (1.0 + share) + row.absolute();
            if fine { Ok(()) } else { complain(*value) }
        }
        Got::Above(value, share) => {
            let expected = row.number();
            if *value >= expected && *value <= expected * (1.0 + share) { Ok(()) } else { complain(*value) }
        }
        Got::Number(value) => {
            let off = (value - row.number()).abs();
            let relative = after(&row.tolerance, "rel ").map(|part| {
                let percent = row.tolerance.contains('%');
                row.number().abs() * if percent { part / 100.0 } else { part }
            });
            let allowed =
                [relative, after(&row.tolerance, "abs ")].into_iter().flatten().fold(f64::NAN, f64::max);
            // `exact` leaves only what the last places of a computation add.
            let allowed = if allowed.is_nan() { row.number().abs().max(1.0) * 1e-9 } else { allowed };
            if off <= allowed * (1.0 + 1e-9) { Ok(()) } else { complain(*value) }
        }
    }
}
