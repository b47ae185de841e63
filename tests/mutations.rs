//! The demo, spoilt two hundred times: whatever stands in the files, binding ends in time, without a panic,
//! and leaves either the old site or a whole new one.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]
#![allow(
    clippy::disallowed_methods,
    unreachable_pub,
    reason = "tests read and write files under a time limit"
)]

mod workbench;

use std::fs;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::mpsc;
use std::time::Duration;
use workbench::binding;
use workbench::seeded::Seeded;

/// How many cases.
const CASES: usize = 200;
/// How many run at a time.
const LANES: usize = 2;
/// After how long one counts as hanging. How fast it is, the benchmarks tell: a busy machine is no fault.
const HANG: Duration = Duration::from_secs(120);

/// A way to spoil a manual; says what it did.
type Spoil = fn(&mut Seeded, &Path) -> String;

const WAYS: &[(&str, Spoil)] = &[
    ("flip bytes", flip_bytes),
    ("drop a line", drop_line),
    ("double a line", double_line),
    ("swap two lines", swap_lines),
    ("cut a file short", cut_short),
    ("empty a file", |seeded, manual| with_file(seeded, manual, any, |_, _| Vec::new())),
    ("delete a file", delete),
    ("swap two files", swap_files),
    ("copy a file beside itself", copy_beside),
    ("nest YAML", nest_yaml),
    ("nest Markdown", nest_markdown),
    ("alias bomb", alias_bomb),
    ("a long line", long_line),
    ("a file of 50 MB", fifty_megabytes),
    ("a file just under the limit", two_megabytes),
    ("replace a number", replace_number),
    ("replace a word", replace_word),
    ("odd characters", odd_characters),
    ("line ends of another system", |seeded, manual| {
        with_file(seeded, manual, text, |_, bytes| {
            String::from_utf8_lossy(&bytes).replace('\n', "\r\n").into_bytes()
        })
    }),
    ("a link in a file's place", link),
    ("a folder in a file's place", folder_in_place),
    ("a procedure that runs itself", runs_itself),
    ("values in a circle", circle),
    ("a hostile figure", hostile_figure),
    ("folders without end", deep_folders),
    ("markup in words", hostile_words),
];

fn any(_: &str) -> bool {
    true
}

fn text(name: &str) -> bool {
    [".md", ".yaml", ".csv", ".svg"].iter().any(|ending| name.ends_with(ending))
}

fn yaml(name: &str) -> bool {
    name.ends_with(".yaml")
}

fn procedure(name: &str) -> bool {
    name.ends_with(".md")
}

fn choose(seeded: &mut Seeded, manual: &Path, fits: fn(&str) -> bool) -> String {
    let names: Vec<String> = workbench::files(manual).into_iter().filter(|name| fits(name)).collect();
    seeded.pick(&names).clone()
}

/// Rewrites a chosen file.
fn with_file(
    seeded: &mut Seeded,
    manual: &Path,
    fits: fn(&str) -> bool,
    change: impl FnOnce(&mut Seeded, Vec<u8>) -> Vec<u8>,
) -> String {
    let name = choose(seeded, manual, fits);
    let bytes = fs::read(manual.join(&name)).unwrap();
    fs::write(manual.join(&name), change(seeded, bytes)).unwrap();
    name
}

/// Rewrites the lines of a chosen file.
fn with_lines(
    seeded: &mut Seeded,
    manual: &Path,
    change: impl FnOnce(&mut Seeded, &mut Vec<String>),
) -> String {
    with_file(seeded, manual, text, |seeded, bytes| {
        let mut lines: Vec<String> = String::from_utf8_lossy(&bytes).lines().map(str::to_owned).collect();
        change(seeded, &mut lines);
        (lines.join("\n") + "\n").into_bytes()
    })
}

fn flip_bytes(seeded: &mut Seeded, manual: &Path) -> String {
    with_file(seeded, manual, any, |seeded, mut bytes| {
        for _ in 0..=seeded.below(8) {
            let at = seeded.below(bytes.len());
            bytes[at] ^= 1 << seeded.below(8);
        }
        bytes
    })
}

fn drop_line(seeded: &mut Seeded, manual: &Path) -> String {
    with_lines(seeded, manual, |seeded, lines| drop(lines.remove(seeded.below(lines.len()))))
}

fn double_line(seeded: &mut Seeded, manual: &Path) -> String {
    with_lines(seeded, manual, |seeded, lines| {
        let at = seeded.below(lines.len());
        lines.insert(at, lines[at].clone());
    })
}

fn swap_lines(seeded: &mut Seeded, manual: &Path) -> String {
    with_lines(seeded, manual, |seeded, lines| {
        let (a, b) = (seeded.below(lines.len()), seeded.below(lines.len()));
        lines.swap(a, b);
    })
}

fn cut_short(seeded: &mut Seeded, manual: &Path) -> String {
    with_file(seeded, manual, any, |seeded, mut bytes| {
        bytes.truncate(seeded.below(bytes.len()));
        bytes
    })
}

fn delete(seeded: &mut Seeded, manual: &Path) -> String {
    let name = choose(seeded, manual, any);
    fs::remove_file(manual.join(&name)).unwrap();
    name
}

fn swap_files(seeded: &mut Seeded, manual: &Path) -> String {
    let (a, b) = (choose(seeded, manual, any), choose(seeded, manual, any));
    let (of_a, of_b) = (fs::read(manual.join(&a)).unwrap(), fs::read(manual.join(&b)).unwrap());
    fs::write(manual.join(&a), of_b).unwrap();
    fs::write(manual.join(&b), of_a).unwrap();
    format!("{a} and {b}")
}

fn copy_beside(seeded: &mut Seeded, manual: &Path) -> String {
    let name = choose(seeded, manual, text);
    let (stem, ending) = name.rsplit_once('.').unwrap();
    fs::copy(manual.join(&name), manual.join(format!("{stem}-again.{ending}"))).unwrap();
    name
}

fn nest_yaml(seeded: &mut Seeded, manual: &Path) -> String {
    let depth = [30, 300, 3_000, 100_000][seeded.below(4)];
    let nest = match seeded.below(4) {
        0 => "[".repeat(depth) + &"]".repeat(depth),
        1 => "{a: ".repeat(depth) + "1" + &"}".repeat(depth),
        2 => "[".repeat(depth),
        _ => (0..depth.min(1_000)).map(|level| format!("\n{}a:", " ".repeat(level + 4))).collect(),
    };
    let name = with_file(
        seeded,
        manual,
        |name| yaml(name) || procedure(name),
        |_, bytes| {
            let text = String::from_utf8_lossy(&bytes).into_owned();
            let at = text.find('\n').unwrap() + 1;
            format!("{}nest: {nest}\n{}", &text[..at], &text[at..]).into_bytes()
        },
    );
    format!("{name}, {depth} deep")
}

fn nest_markdown(seeded: &mut Seeded, manual: &Path) -> String {
    let depth = [100, 2_000, 30_000][seeded.below(3)];
    let nest = match seeded.below(8) {
        0 => "> ".repeat(depth) + "deep",
        1 => "* ".repeat(depth) + "deep",
        2 => "[".repeat(depth),
        3 => "*a **b ".repeat(depth),
        4 => "[a](".repeat(depth),
        5 => "`".repeat(depth) + " `",
        6 => "| a ".repeat(depth) + "|\n" + &"| - ".repeat(depth) + "|\n| b |\n",
        _ => "<value:".repeat(depth),
    };
    with_file(seeded, manual, procedure, |_, mut bytes| {
        bytes.extend_from_slice(format!("\n{nest}\n").as_bytes());
        bytes
    })
}

fn alias_bomb(seeded: &mut Seeded, manual: &Path) -> String {
    let mut bomb = "a0: &a0 [x, x, x, x, x, x, x, x, x]\n".to_owned();
    for level in 1..30 {
        let many = vec![format!("*a{}", level - 1); 9].join(", ");
        bomb.push_str(&format!("a{level}: &a{level} [{many}]\n"));
    }
    with_file(
        seeded,
        manual,
        |name| yaml(name) || procedure(name),
        |_, bytes| {
            let text = String::from_utf8_lossy(&bytes).into_owned();
            let at = text.find('\n').unwrap() + 1;
            format!("{}{bomb}{}", &text[..at], &text[at..]).into_bytes()
        },
    )
}

fn long_line(seeded: &mut Seeded, manual: &Path) -> String {
    let piece = *seeded.pick(&["a", "x ", "é", "<value:a> ", "**", "12 mm ", "a: b, "]);
    let long = piece.repeat(600_000 / piece.len());
    with_lines(seeded, manual, |seeded, lines| {
        let at = seeded.below(lines.len());
        lines[at].push_str(&long);
    })
}

/// Names under which a large file is put: each is read by another reader.
const LARGE: &[&str] = &[
    "huge.md",
    "stores/tools.yaml",
    "vehicles/huge.yaml",
    "tables/huge.yaml",
    "figures/huge.svg",
    "shop.yaml",
    "huge.bin",
    "vehicles/calder-320-trailer.csv",
];

fn large(seeded: &mut Seeded, manual: &Path, length: usize) -> String {
    let piece = *seeded
        .pick(&["a", "\n", "[", "- a\n", "a: b\n", "# ", "---\n", "\0", "> ", "a,b,c\n", "\"", "*a ", "<g>"]);
    let name = *seeded.pick(LARGE);
    fs::write(manual.join(name), piece.repeat(length / piece.len())).unwrap();
    format!("{name} full of {piece:?}")
}

fn fifty_megabytes(seeded: &mut Seeded, manual: &Path) -> String {
    large(seeded, manual, 50 << 20)
}

fn two_megabytes(seeded: &mut Seeded, manual: &Path) -> String {
    large(seeded, manual, (2 << 20) - 64)
}

fn replace_number(seeded: &mut Seeded, manual: &Path) -> String {
    let new = *seeded.pick(&[
        "0",
        "-1",
        "1e308",
        "1e-308",
        "nan",
        "inf",
        "99999999999999999999",
        "0,5",
        "1/0",
        "0x10",
        "1e400",
    ]);
    let name = with_lines(seeded, manual, |seeded, lines| {
        let with: Vec<usize> =
            (0..lines.len()).filter(|at| lines[*at].contains(|c: char| c.is_ascii_digit())).collect();
        if with.is_empty() {
            return;
        }
        let line = &mut lines[*seeded.pick(&with)];
        let start = line.find(|c: char| c.is_ascii_digit()).unwrap();
        let length =
            line[start..].find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(line.len() - start);
        line.replace_range(start..start + length, new);
    });
    format!("{name}, by {new}")
}

fn replace_word(seeded: &mut Seeded, manual: &Path) -> String {
    let new = *seeded.pick(&[
        "",
        "~",
        "null",
        "yes",
        "[]",
        "{}",
        "value:a/b.c",
        "procedure:door-loom",
        "step:",
        "maker",
        "{side}",
        "..",
        "con",
    ]);
    let name = with_lines(seeded, manual, |seeded, lines| {
        let at = seeded.below(lines.len());
        let words: Vec<&str> = lines[at].split(' ').collect();
        let gone = seeded.below(words.len());
        let kept = words.iter().enumerate().map(|(place, word)| if place == gone { new } else { word });
        lines[at] = kept.collect::<Vec<_>>().join(" ");
    });
    format!("{name}, by `{new}`")
}

fn odd_characters(seeded: &mut Seeded, manual: &Path) -> String {
    let odd = [
        '\u{0}', '\u{7}', '\u{85}', '\u{200d}', '\u{202e}', '\u{2028}', '\u{feff}', '\u{fffd}', '𝛀', 'ß',
        '\t', '\u{1b}',
    ];
    with_lines(seeded, manual, |seeded, lines| {
        for _ in 0..6 {
            let line = seeded.below(lines.len());
            let places: Vec<usize> =
                lines[line].char_indices().map(|(at, _)| at).chain([lines[line].len()]).collect();
            let at = *seeded.pick(&places);
            lines[line].insert(at, *seeded.pick(&odd));
        }
    })
}

fn link(seeded: &mut Seeded, manual: &Path) -> String {
    let name = delete(seeded, manual);
    let target = *seeded.pick(&["/etc/passwd", ".", "..", "nowhere", "/dev/zero", "shop.yaml"]);
    #[cfg(unix)]
    std::os::unix::fs::symlink(target, manual.join(&name)).unwrap();
    format!("{name} → {target}")
}

fn folder_in_place(seeded: &mut Seeded, manual: &Path) -> String {
    let name = delete(seeded, manual);
    fs::create_dir(manual.join(&name)).unwrap();
    name
}

fn runs_itself(seeded: &mut Seeded, manual: &Path) -> String {
    let other = choose(seeded, manual, procedure);
    let id = other.rsplit('/').next().unwrap().trim_end_matches(".md").to_owned();
    let name = with_file(seeded, manual, procedure, |_, bytes| {
        let text = String::from_utf8_lossy(&bytes).into_owned();
        let step = format!("\n### Run it {{#run-it}}\n\n```step\ncarry-out: {id}\n```\n\n## Close-out");
        text.replacen("\n## Close-out", &step, 1).into_bytes()
    });
    // Both ways round, so that a circle of two comes up as well as one of one.
    let own = name.rsplit('/').next().unwrap().trim_end_matches(".md");
    let text = fs::read_to_string(manual.join(&other)).unwrap();
    let step = format!("\n### Run that {{#run-that}}\n\n```step\ncarry-out: {own}\n```\n\n## Close-out");
    fs::write(manual.join(&other), text.replacen("\n## Close-out", &step, 1)).unwrap();
    format!("{name} and {other}")
}

fn circle(seeded: &mut Seeded, manual: &Path) -> String {
    let length = [1, 2, 400][seeded.below(3)];
    let values: String = (0..length)
        .map(|at| format!("  ring-{at}: {{working: total, of: [value:ring-{}.sum]}}\n", (at + 1) % length))
        .collect();
    with_file(seeded, manual, procedure, |_, bytes| {
        let text = String::from_utf8_lossy(&bytes).into_owned();
        if text.contains("\nvalues:\n") {
            text.replacen("\nvalues:\n", &format!("\nvalues:\n{values}"), 1).into_bytes()
        } else {
            text.replacen("---\n", &format!("---\nvalues:\n{values}"), 1).into_bytes()
        }
    })
}

fn hostile_figure(seeded: &mut Seeded, manual: &Path) -> String {
    let bad = *seeded.pick(&[
        "<svg xmlns=\"http://www.w3.org/2000/svg\"><title>x</title><script>alert(1)</script></svg>",
        "<!DOCTYPE svg [<!ENTITY a \"&b;&b;\"><!ENTITY b \"&a;\">]><svg><title>&a;</title></svg>",
        "<svg><title>x",
        "<svg onload=\"alert(1)\"><title>x</title><image href=\"http://example.org/x.png\"/></svg>",
        "<title></title><svg>",
        "<svg xmlns=\"http://www.w3.org/2000/svg\"><title>x</title><a href=\"javascript:x\"><path/></a></svg>",
        "<svg xmlns=\"http://www.w3.org/2000/svg\"><title>a\" onerror=\"x</title></svg>",
    ]);
    with_file(seeded, manual, |name| name.ends_with(".svg"), |_, _| bad.as_bytes().to_vec())
}

/// Puts what would be markup, attributes or a script behind a word somewhere in a text.
fn hostile_words(seeded: &mut Seeded, manual: &Path) -> String {
    let words = *seeded.pick(&[
        "\" onclick=\"x",
        "' onclick='x",
        "\\<script>x\\</script>",
        "![a\" onerror=\"x](figure:lining-layout.svg)",
        "`</code><script>x</script>`",
        "[a](https://example.org/\"onclick=\"x)",
        "<https://example.org/\"onclick=x>",
        "&#34; onclick=&#34;x",
        "&lt;script>x&lt;/script>",
        "[a](javascript:x)",
    ]);
    with_lines(seeded, manual, |seeded, lines| {
        for _ in 0..4 {
            let line = seeded.below(lines.len());
            lines[line].push(' ');
            lines[line].push_str(words);
        }
    })
}

fn deep_folders(_: &mut Seeded, manual: &Path) -> String {
    let deep: PathBuf = std::iter::repeat_n("deep", 200).collect();
    fs::create_dir_all(manual.join(&deep)).unwrap();
    fs::copy(manual.join("rear-doors/door-loom.md"), manual.join(&deep).join("con.md")).unwrap();
    "200 deep".into()
}

/// Binds, waiting no longer than a hang would show: whether a site was written.
fn bind(manual: &Path, site: &Path) -> Result<bool, String> {
    let (sender, receiver) = mpsc::channel();
    let (manual, site) = (manual.to_owned(), site.to_owned());
    std::thread::spawn(move || {
        let outcome = catch_unwind(AssertUnwindSafe(|| binding::bind(&manual, &site).is_ok()));
        let _ = sender.send(outcome.map_err(|_| "it panicked".to_owned()));
    });
    receiver.recv_timeout(HANG).map_err(|_| "it hangs".to_owned())?
}

/// Binds a spoilt copy and compares what stands there afterwards.
fn run(
    case: usize,
    before: &mut std::collections::BTreeMap<String, Vec<u8>>,
    place: &Path,
) -> Result<bool, String> {
    let (manual, site) = (place.join("manual"), place.join("bound"));
    let _ = fs::remove_dir_all(&manual);
    workbench::copy(&workbench::demo(), &manual);
    let mut seeded = Seeded::new(1 + case as u64);
    let (way, spoil) = WAYS[case % WAYS.len()];
    let what = spoil(&mut seeded, &manual);
    let said = |wrong: &str| format!("case {case}, {way} ({what}): {wrong}");
    let outcome = bind(&manual, &site);
    let after = workbench::snapshot(&site);
    let fault = match &outcome {
        Err(wrong) => Some(wrong.clone()),
        Ok(true) => match [workbench::manifest_faults(&site), workbench::impurities(&site)].concat() {
            faults if faults.is_empty() => None,
            faults => Some(format!("the new site is not whole or not pure: {faults:?}")),
        },
        Ok(false) => {
            (after != *before).then(|| "it was refused, and the old site is not as it was".to_owned())
        }
    };
    // The next case begins from what stands there now.
    *before = after;
    if let Some(fault) = fault {
        return Err(said(&fault));
    }
    let left: Vec<_> = fs::read_dir(place).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    if left.len() != 2 {
        return Err(said(&format!("something is left beside the site: {left:?}")));
    }
    outcome
}

/// Every second case (or as many as there are lanes), one after another in a place of its own.
fn lane_of_cases(lane: usize) -> Vec<Result<bool, String>> {
    let keep = workbench::folder();
    let site = keep.path().join("bound");
    binding::bind(&workbench::demo(), &site).unwrap();
    let mut before = workbench::snapshot(&site);
    (lane..CASES).step_by(LANES).map(|case| run(case, &mut before, keep.path())).collect()
}

#[test]
fn two_hundred_spoilt_manuals_end_and_leave_a_whole_site() {
    let lanes: Vec<Vec<Result<bool, String>>> = std::thread::scope(|scope| {
        let lanes: Vec<_> = (0..LANES).map(|lane| scope.spawn(move || lane_of_cases(lane))).collect();
        lanes.into_iter().map(|lane| lane.join().expect("a lane reports and does not panic")).collect()
    });
    let outcomes: Vec<Result<bool, String>> = lanes.into_iter().flatten().collect();
    assert_eq!(outcomes.len(), CASES);
    let written = outcomes.iter().filter(|outcome| matches!(outcome, Ok(true))).count();
    let wrong: Vec<String> = outcomes.into_iter().filter_map(Result::err).collect();
    assert!(wrong.is_empty(), "{} of {CASES}:\n{}", wrong.len(), wrong.join("\n"));
    assert!(
        (10..CASES - 50).contains(&written),
        "{written} of {CASES} were bound: the ways do not spoil as meant"
    );
}
