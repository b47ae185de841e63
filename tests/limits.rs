//! Every limit of the workings from both sides: `tests/limits/*.csv` hold a line below and a line above each, with
//! the published source of the limit or the word that it is common practice. Adding a case is adding a line.
//!
//! A line reads `working | inputs | expected | source`. Expected is one of `OUTPUT = ANSWER` (a number is met
//! within its last digit, a text exactly), `refuses INPUT`, `refuses INPUT: WORDS`, `caution WORDS`, `no caution WORDS`,
//! `OUTPUT ~ WORDS` for words that an answer holds, `worst case` where tolerances counted and `no worst case` where there are none.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::disallowed_methods, unreachable_pub, reason = "the tests read their cases")]

mod workbench;

use benchleaf::workings::{Cable, Offered, Outcome, Sleeve, Stock, Value, find, settle};
use std::collections::BTreeMap;
use std::path::Path;
use workbench::things::sleeve;

/// Cables of the kinds that a joint is judged by, each with what decides.
fn judged() -> Vec<Cable> {
    let of = |id: &str, kind: &str| Cable { id: id.to_owned(), kind: kind.to_owned(), ..Cable::default() };
    let rated = |id: &str, rate: f64, limit: Option<f64>| Cable {
        data_rate: Some(rate),
        data_rate_limit: limit,
        ..of(id, "data")
    };
    vec![
        rated("bus-at-limit", 10.0, Some(10.0)),
        rated("bus-above-limit", 10.1, Some(10.0)),
        rated("bus-without-limit", 10.0, None),
        Cable { data_rate_limit: Some(10.0), ..of("bus-without-rate", "data") },
        Cable { untwist_limit: Some(25.0), ..of("pair-with-limit", "pair") },
        of("pair-without-limit", "pair"),
        of("screened", "shielded"),
        Cable { moulded: true, ..of("moulded", "coax") },
        of("light-guide", "fibre"),
        of("squib", "pyrotechnic"),
        of("traction", "high-voltage"),
    ]
}

/// A stock of the judged cables and of three single ones: their resistance is that of ideal copper (IACS, 17.241 mΩ·mm²/m), so that a drop
/// can be worked by hand; the last has no rating.
fn stock() -> Stock {
    let cable = |id: &str, area: f64, rated: Option<f64>| Cable {
        id: id.to_owned(),
        kind: "single".to_owned(),
        area: Some(area),
        per_length: Some(17.241 / area),
        rated,
        ..Cable::default()
    };
    let cables = [cable("thin", 1.0, Some(10.0)), cable("thick", 2.0, Some(20.0)), cable("bare", 4.0, None)];
    Stock { cables: cables.into_iter().chain(judged()).collect() }
}

/// Two sizes of one range, as `range-TWO` of an input.
fn sizes() -> Vec<Sleeve> {
    vec![sleeve("small", 3.0, 1.0), sleeve("large", 6.0, 2.0)]
}

/// Why an answer was refused: the inputs that the refusals name, with what they say of them.
type Refused = Vec<(String, String)>;

fn run(name: &str, inputs: &str) -> Result<Outcome, Refused> {
    let working = find(name).unwrap_or_else(|| panic!("no working {name}"));
    let offered: BTreeMap<String, Offered> = inputs
        .split_whitespace()
        .map(|pair| {
            let (key, text) = pair.split_once('=').unwrap_or_else(|| panic!("{name}: `{pair}`"));
            let offer = match text {
                "range-two" => Offered::Sleeves(sizes()),
                id if key == "cable" => {
                    let cable = stock().cables.iter().find(|cable| cable.id == id).cloned();
                    Offered::Cable(Box::new(cable.unwrap_or_else(|| panic!("no cable {id}"))))
                }
                text => Offered::Text(text.replace('_', " ")),
            };
            (key.to_owned(), offer)
        })
        .collect();
    let named = |refusal: &benchleaf::workings::Refusal| {
        (refusal.input.clone().unwrap_or_default(), refusal.message.to_string())
    };
    let given = settle(working.declaration(), &offered, &stock())
        .map_err(|refusals| refusals.iter().map(named).collect::<Vec<_>>())?;
    working.work(&given).map_err(|refusal| vec![named(&refusal)])
}

/// What is wrong with an answer, against what a line expects.
fn fault(answer: &Result<Outcome, Refused>, expected: &str) -> Option<String> {
    if let Some(input) = expected.strip_prefix("refuses ") {
        let (input, words) = input.split_once(": ").unwrap_or((input, ""));
        return match answer {
            Err(named) if named.iter().any(|(name, said)| name == input && said.contains(words)) => None,
            Err(named) => Some(format!("refuses {named:?}")),
            Ok(_) => Some("answers".to_owned()),
        };
    }
    let Ok(outcome) = answer else { return Some(format!("{answer:?}")) };
    let cautioned = |words: &str| outcome.cautions.iter().any(|caution| caution.to_string().contains(words));
    if let Some(words) = expected.strip_prefix("no caution ") {
        return cautioned(words).then(|| "cautions".to_owned());
    }
    if let Some(words) = expected.strip_prefix("caution ") {
        return (!cautioned(words)).then(|| format!("cautions only {:?}", outcome.cautions));
    }
    if let Some(counts) = ["worst case", "no worst case"].iter().position(|words| *words == expected) {
        return (outcome.worst_case == (counts == 1))
            .then(|| format!("has worst_case {}", outcome.worst_case));
    }
    if let Some((output, words)) = expected.split_once(" ~ ") {
        let said = outcome.get(output).map(|value| value.shown(benchleaf::quantity::print::Rounding::Exact));
        return (!said.as_ref().is_some_and(|said| said.contains(words))).then(|| format!("says {said:?}"));
    }
    let (output, wanted) = expected.split_once(" = ").unwrap_or_else(|| panic!("`{expected}`"));
    let got = outcome.get(output);
    let met = match got {
        Some(Value::Number { value, .. }) => {
            let digits = wanted.split_once('.').map_or(0, |(_, after)| after.len());
            let half = 0.5 * 10f64.powi(-i32::try_from(digits).unwrap());
            wanted.parse::<f64>().is_ok_and(|wanted| (value - wanted).abs() <= half)
        }
        Some(value) => value.shown(benchleaf::quantity::print::Rounding::Exact) == wanted,
        None => wanted == "none",
    };
    (!met).then(|| format!("{output} is {got:?}"))
}

#[test]
fn every_limit_holds_from_both_sides() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/limits");
    let mut faults = Vec::new();
    let mut lines = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let text = std::fs::read_to_string(&path).unwrap();
        for (number, line) in
            (1..).zip(text.lines()).filter(|(_, line)| !line.starts_with('#') && !line.is_empty())
        {
            lines += 1;
            let parts: Vec<&str> = line.split('|').map(str::trim).collect();
            let [working, inputs, expected, source] = parts.as_slice() else {
                panic!("{}:{number}: four parts are wanted", path.display())
            };
            assert!(!source.is_empty(), "{}:{number}: a source is wanted", path.display());
            if let Some(fault) = fault(&run(working, inputs), expected) {
                faults.push(format!(
                    "{}:{number}: {working} {inputs}: {expected}, but it {fault}",
                    path.display()
                ));
            }
        }
    }
    assert!(lines > 0 && faults.is_empty(), "{}", faults.join("\n"));
}

/// A working without a line is a working that nobody asked from outside.
#[test]
fn every_working_has_a_line() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/limits");
    let mut named = std::collections::BTreeSet::new();
    for entry in std::fs::read_dir(root).unwrap() {
        let text = std::fs::read_to_string(entry.unwrap().path()).unwrap();
        named.extend(text.lines().filter_map(|line| Some(line.split_once(" | ")?.0.to_owned())));
    }
    for working in benchleaf::workings::register() {
        let name = working.declaration().name;
        assert!(
            named.contains(name),
            "`{name}` has no line in tests/limits/*.csv: a limit of it from both sides"
        );
    }
}
