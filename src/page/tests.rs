//! The pages as a whole: every link leads somewhere, nothing inline, the same bytes again, and what a
//! dangerous or unfinished procedure shows.

use super::*;
use crate::Run;
use crate::check::Rejected;
use crate::model::{Browsers, State, Verb};
use crate::source::{Content, Source};
use std::collections::BTreeSet;
use std::path::Path;

/// The pages of a manual, or the errors that stand in the way.
fn bound(manual: &Run) -> Result<Pages, Vec<Finding>> {
    let errors = |rejected: Rejected| {
        rejected.findings().iter().filter(|finding| finding.is_error()).cloned().collect::<Vec<_>>()
    };
    manual.render().map(|(pages, _)| pages).map_err(errors)
}

fn demo() -> Run {
    Run::read(Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/procedures"))).unwrap()
}

/// The demo with the furniture of its pages in another language.
fn demo_in(language: &str) -> Run {
    let demo = demo();
    let files = demo.source().files().iter().map(|file| {
        let content = match (file.path.as_str(), file.text()) {
            ("shop.yaml", Some(text)) => {
                Content::Text(text.replace("language: en", &format!("language: {language}")))
            }
            (_, Some(text)) => Content::Text(text.to_owned()),
            (_, None) => Content::Binary(file.bytes().unwrap().to_vec()),
        };
        (file.path.clone(), content)
    });
    Run::of(Source::held(files))
}

fn manual(files: &[(&str, &str)]) -> Run {
    let text = |(path, text): &(&str, &str)| ((*path).to_owned(), Content::Text((*text).to_owned()));
    Run::of(Source::held(files.iter().map(text)))
}

const SHOP: (&str, &str) = ("shop.yaml", "id: shop\nname: A Shop\nlanguage: en\n");
const VAN: (&str, &str) = ("vehicles/van.yaml", "name: Van\n");

/// A procedure that no rule refuses: a head and a first part of the test's own, then a close-out.
fn procedure(head: &str, body: &str) -> String {
    format!(
        "---\nid: job\ntitle: A job\nsummary: Something is done.\narea: Here\napplies-to: [{{vehicle: van}}]\n\
         revision: {{letter: A, effective: 2026-01-05, approved-by: Lead, reason: First issue}}\n\
         skill: general\n{head}---\n\n{body}\n\n## Close out\n\n### Measure the gap\n\n\
         ```step\nrecord: {{ask: Maker's instruction and page}}\n\
         check: {{measure: Gap, accept: 0 mm to 1 mm, otherwise: Ask the lead}}\n```\n"
    )
}

/// The values of an attribute, over all elements.
fn attributes<'a>(html: &'a str, name: &str) -> Vec<&'a str> {
    let wanted = format!(" {name}=\"");
    let starts = html.match_indices(&wanted).map(|(at, _)| &html[at + wanted.len()..]);
    starts.filter_map(|rest| rest.split_once('"').map(|(value, _)| value)).collect()
}

fn pages(site: &Pages) -> impl Iterator<Item = (&String, &str)> {
    let html = site.files.iter().filter(|(path, _)| path.ends_with(".html"));
    html.map(|(path, bytes)| (path, std::str::from_utf8(bytes).unwrap()))
}

#[test]
fn every_link_of_the_demo_leads_to_a_file_and_an_anchor() {
    let site = bound(&demo()).unwrap();
    let ids: BTreeMap<&str, BTreeSet<&str>> = pages(&site)
        .map(|(path, html)| {
            let all = attributes(html, "id");
            let unique: BTreeSet<&str> = all.iter().copied().collect();
            assert_eq!(unique.len(), all.len(), "{path}: an id stands twice");
            (path.as_str(), unique)
        })
        .collect();
    for (path, html) in pages(&site) {
        for link in attributes(html, "href").into_iter().chain(attributes(html, "src")) {
            if link.contains(':') {
                continue;
            }
            let (file, anchor) = link.split_once('#').unwrap_or((link, ""));
            let mut at: Vec<&str> = path.split('/').collect();
            at.pop();
            for part in file.split('/').filter(|part| !part.is_empty()) {
                if part == ".." {
                    assert!(at.pop().is_some(), "{path}: {link}");
                } else {
                    at.push(part);
                }
            }
            let target = if file.is_empty() { path.clone() } else { at.join("/") };
            assert!(site.files.contains_key(&target), "{path}: {link}");
            if let (false, Some(known)) = (anchor.is_empty(), ids.get(target.as_str())) {
                assert!(known.contains(anchor), "{path}: {link}");
            }
        }
    }
}

#[test]
fn no_page_holds_anything_inline_and_the_policy_stands_first() {
    let demo = demo();
    let fingerprint = demo.fingerprint();
    let site = bound(&demo).unwrap();
    for (path, html) in pages(&site) {
        let head = html.split_once("<head>").unwrap().1.trim_start();
        assert!(head.starts_with("<meta http-equiv=\"Content-Security-Policy\""), "{path}");
        assert!(!html.contains(" style=") && !html.contains("<style"), "{path}");
        assert!(!html.contains(" onclick=") && !html.contains("javascript:"), "{path}");
        for (at, _) in html.match_indices("<script") {
            let tag = html[at..].split('>').next().unwrap();
            assert!(tag.contains(" src=") || tag.contains("application/json"), "{path}: {tag}");
        }
        assert!(html.contains(&fingerprint), "{path}: the fingerprint is missing");
    }
}

#[test]
fn names_are_fit_for_every_file_system() {
    let site = bound(&demo()).unwrap();
    let folded: BTreeSet<String> = site.files.keys().map(|path| path.to_lowercase()).collect();
    assert_eq!(folded.len(), site.files.len());
    for segment in site.files.keys().flat_map(|path| path.split('/')) {
        let stem = segment.split('.').next().unwrap();
        assert!(crate::model::is_id(stem) && stem.len() <= 40, "{segment}");
    }
}

#[test]
fn a_page_and_its_sheet_say_what_stands_open_where_the_job_may_end() {
    let head = "items: {panels: {lid: {name: Lid}}, aids: {lamp: {name: Work lamp, count: 2}}}\n";
    let body = "## Work\n\n### Place the lamps\n\n```step\ndoes: [place: lamp]\n\
                check: {measure: Gap, accept: at most 2 mm, otherwise: stop}\n```\n\n\
                ### Take off the lid\n\n```step\ndoes: [take-off: lid]\n\
                choose: [{when: It is whole, then: step:put-back}, {when: It is cracked, then: stop}]\n```\n\n\
                ### Put back the lid {#put-back}\n\n```step\ndoes: [put-back: lid]\ncheck: {measure: Gap, accept: at least 1 mm}\n```\n\n\
                ### Take away the lamps\n\n```step\ndoes: [take-away: lamp]\n\
                check: {measure: Count, accept: 2 pieces to 2 pieces, otherwise: stop}\n```\n";
    let caller = "---\nid: call\ntitle: Another\nsummary: It is done.\narea: Here\napplies-to: [{vehicle: van}]\n\
                  revision: {letter: A, effective: 2026-01-05, approved-by: Lead, reason: First issue}\nskill: general\n\
                  ---\n\nWords.\n\n## Work\n\n### Do the job\n\n```step\ncarry-out: job\n```\n\n## Close out\n\n\
                  ### Measure it\n\n```step\ncheck: {measure: Gap, accept: 0 mm to 1 mm, otherwise: Ask the lead}\n```\n";
    let job = procedure(head, body);
    let site = bound(&manual(&[SHOP, VAN, ("job.md", &job), ("call.md", caller)])).unwrap();
    let open = ["Work lamp: 2 on the vehicle", "Lid: off", "nothing stands open"];
    for path in ["procedures/job/index.html", "procedures/job/job-sheet.html", "procedures/call/index.html"] {
        let html = std::str::from_utf8(&site.files[path]).unwrap();
        let halts: Vec<&str> = html.split("If the job ends here").skip(1).collect();
        assert_eq!(halts.len(), 3, "{path}");
        for (halt, open) in halts.iter().zip(open) {
            assert!(halt.split("</div>").next().unwrap().contains(open), "{path}: {halt}");
        }
        assert!(halts[0].contains("Leave a note at the wheel"), "{path}: how it is left safe");
    }
    let html = std::str::from_utf8(&site.files["procedures/job/index.html"]).unwrap();
    for said in
        ["at most 2\u{a0}mm", "at least 1\u{a0}mm", "Otherwise end the job here", "→ end the job here"]
    {
        assert!(html.contains(said), "{said}");
    }
}

/// What stands behind a panel is told as it was last left before that step, not as a later one leaves it.
#[test]
fn what_is_behind_a_panel_is_told_as_it_stands_when_the_panel_goes_back() {
    let head = "items: {panels: {lid: {name: Lid, hides: [plug]}}, connectors: {plug: {name: Lamp plug}}}\n";
    let step = |number: usize, does: &str| {
        format!(
            "### Do number {number} {{#do-{number}}}\n\n```step\ndoes: [{does}]\nneeds-off: []\ncheck: The lock has engaged\n```\n\n"
        )
    };
    let does = [
        "take-off: lid",
        "unplug: plug",
        "plug-in: plug",
        "put-back: lid",
        "take-off: lid",
        "unplug: plug",
        "plug-in: plug",
        "put-back: lid",
    ];
    let steps: String = (1..).zip(does).map(|(number, does)| step(number, does)).collect();
    let job = procedure(head, &format!("## Work\n\n{steps}"));
    let site = bound(&manual(&[SHOP, VAN, ("job.md", &job)])).unwrap();
    let html = std::str::from_utf8(&site.files["procedures/job/index.html"]).unwrap();
    let told: Vec<&str> =
        html.split("class=\"behind\"").skip(1).map(|rest| rest.split("</ul>").next().unwrap()).collect();
    let [first, second] = told.as_slice() else { panic!("{} lists", told.len()) };
    assert!(first.contains("#do-3") && !first.contains("#do-7"), "{first}");
    assert!(second.contains("#do-7") && !second.contains("#do-3"), "{second}");
}

/// The mat has room for as many as lie on it at once: four, then two back in, then three more.
#[test]
fn the_parking_mat_has_room_for_as_many_as_are_out_at_once() {
    let head = "items: {fasteners: {screws: {name: Lid screws, count: 9, torque: hand-tight}}}\n";
    let step = |number: usize, does: &str| {
        format!("### Do number {number}\n\n```step\ndoes:\n  - {does}\ncheck: counted\n```\n\n")
    };
    for (does, most) in [
        (
            &[
                "remove: {item: screws, count: 4}",
                "fasten: {item: screws, count: 2}",
                "remove: {item: screws, count: 3}",
                "fasten: {item: screws, count: 5}",
            ][..],
            5,
        ),
        (
            &[
                "remove: {item: screws, count: 4}",
                "fasten: {item: screws, count: 4}",
                "remove: {item: screws, count: 3}",
                "fasten: {item: screws, count: 3}",
            ],
            4,
        ),
        (&["remove: screws", "fasten: screws"], 9),
    ] {
        let steps: String = (1..).zip(does).map(|(number, does)| step(number, does)).collect();
        let job = procedure(head, &format!("## Work\n\n{steps}"));
        let site = bound(&manual(&[SHOP, VAN, ("job.md", &job)])).unwrap();
        let html = std::str::from_utf8(&site.files["procedures/job/parking.html"]).unwrap();
        assert!(html.contains(&format!("Lid screws ×{most}<")), "{does:?}: {most} are out at once");
    }
}

/// A torque never goes up in its second unit, a length that is cut never goes down: 6.1 N·m is 4.499 lbf·ft, and
/// 25 mm are 0.98425 in (by NIST SP 811: 1 lbf·ft = 1.355 818 N·m, 1 in = 25.4 mm).
#[test]
fn a_second_unit_is_rounded_against_the_hazard() {
    let shop = "id: shop\nname: A Shop\nlanguage: en\nsecond-units: {torque: lbf·ft, length: in}\n";
    let head = "items: {fasteners: {screws: {name: Lid screws, torque: 6.1 N·m, source: maker}}}\n\
                values: {run: {working: cut-length, runs: 25 mm}}\n";
    let job = procedure(
        head,
        "## Work\n\n### Tighten the screws\n\n```step\ndoes: [slacken: screws]\ncheck: counted\n```\n\n\
         ### Tighten them\n\n```step\ndoes: [tighten: screws]\ntools: [wrench]\ncheck: counted\n```\n\nCut <value:run.length>.\n",
    );
    let tools = ("stores/tools.yaml", "wrench: {name: Torque wrench, range: 2 N·m to 10 N·m}\n");
    let site = bound(&manual(&[("shop.yaml", shop), VAN, tools, ("job.md", &job)])).unwrap();
    let html = std::str::from_utf8(&site.files["procedures/job/index.html"]).unwrap();
    assert!(html.contains("4.49\u{a0}lbf·ft") && !html.contains("4.5\u{a0}lbf·ft"), "the torque went up");
    assert!(html.contains("0.985\u{a0}in") && !html.contains("0.984\u{a0}in"), "the length went down");
}

#[test]
fn the_same_source_gives_the_same_bytes_with_any_number_of_threads() {
    let source = demo();
    let one = rayon::ThreadPoolBuilder::new().num_threads(1).build().unwrap();
    let many = rayon::ThreadPoolBuilder::new().num_threads(7).build().unwrap();
    let first = one.install(|| bound(&source)).unwrap();
    let second = many.install(|| bound(&source)).unwrap();
    assert_eq!(first.files, second.files);
}

#[test]
fn every_language_renders_the_whole_demo() {
    for language in crate::theme::LANGUAGES {
        let site = bound(&demo_in(language)).unwrap();
        for (path, html) in pages(&site) {
            assert!(html.contains(&format!("<html lang=\"{language}\">")), "{path}");
            for key in ["verb_", "state_", "kind_", "kinds_", "stop_", "signal_", "skill_", "action_", "key_"]
            {
                let raw = html.match_indices(key).map(|(at, _)| &html[at..html.len().min(at + 24)]);
                let raw: Vec<&str> = raw.collect();
                assert!(raw.is_empty(), "{path}: a label is missing: {raw:?}");
            }
        }
    }
}

#[test]
#[allow(clippy::disallowed_methods, reason = "this test reads the code")]
fn every_label_that_the_code_asks_for_is_known() {
    let mut sink = Sink::new();
    let theme = Theme::load(manual(&[]).source(), Browsers::default(), "en", &mut sink);
    let verbs = Verb::words().map(|word| ("verb", word));
    for (kind, word) in verbs.chain(State::words().map(|word| ("state", word))) {
        let key = format!("{kind}_{}", word.replace('-', "_"));
        let label = theme.known(&key).unwrap_or_else(|| panic!("themes/labels/en.yaml has no `{key}`"));
        assert!(kind == "state" || label.contains("{what}"), "`{key}` has no place for `{{what}}`: {label}");
    }
    let root = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/src/page"));
    for entry in walkdir::WalkDir::new(root).into_iter().map(Result::unwrap) {
        if entry.path().extension().is_none_or(|ending| ending != "rs") || entry.path().ends_with("tests.rs")
        {
            continue;
        }
        let text = std::fs::read_to_string(entry.path()).unwrap();
        for call in ["say(\"", "say_what(\"", "say_count(\""] {
            for (at, _) in text.match_indices(call) {
                let key = text[at + call.len()..].split('"').next().unwrap();
                let known = theme.known(key).is_some() || theme.known(&format!("{key}.one")).is_some();
                assert!(known, "{}: {key}", entry.path().display());
            }
        }
    }
}

#[test]
fn raw_markup_of_a_procedure_is_refused_and_stays_text_where_it_is_escaped() {
    let body = |mark: &str| {
        format!(
            "Text {mark}<script>alert(1){mark}</script> and {mark}<b onclick=x>b{mark}</b>.\n\n\
             ## Stage\n\n### Do {mark}<i>it{mark}</i>\n\nWords."
        )
    };
    let of = |mark: &str| bound(&manual(&[SHOP, VAN, ("job.md", &procedure("", &body(mark)))]));
    let errors = of("").unwrap_err();
    assert!(errors.iter().all(|error| error.code.0 == "SRC-11"), "{errors:?}");
    let site = of("\\").unwrap();
    let html = std::str::from_utf8(&site.files["procedures/job/index.html"]).unwrap();
    assert!(!html.contains("<script>alert") && !html.contains("<b onclick"), "{html}");
    assert!(html.contains("&lt;script&gt;"));
}

#[test]
fn data_for_the_script_cannot_close_its_element() {
    let body = "## Stage\n\n### Say `</script>` aloud\n\nWords.";
    let site = bound(&manual(&[SHOP, VAN, ("job.md", &procedure("", body))])).unwrap();
    let html = std::str::from_utf8(&site.files["procedures/job/index.html"]).unwrap();
    let data = html.split_once("application/json").unwrap().1;
    assert!(data.split_once("</script>").unwrap().0.contains("\\u003c/script>"));
}

#[test]
fn a_withdrawn_procedure_shows_the_stop_and_no_step() {
    let body = "## Stage\n\n### Secret step\n\nWords.";
    let site = bound(&manual(&[SHOP, VAN, ("job.md", &procedure("status: withdrawn\n", body))])).unwrap();
    for page in ["index.html", "job-sheet.html"] {
        let html = std::str::from_utf8(&site.files[&format!("procedures/job/{page}")]).unwrap();
        assert!(html.contains("Withdrawn. Do not work by this page"), "{page}");
        assert!(!html.contains("Secret step"), "{page}");
    }
}

/// What leads to the records of a site, in lower case.
fn searched(site: &Pages) -> String {
    let texts = site.records().iter().flat_map(|record| &record.texts);
    texts.map(|(text, _)| format!("{}\n", text.to_lowercase())).collect()
}

#[test]
fn what_is_printed_is_found_and_what_is_not_is_not() {
    let tools = "lead: {name: Bare lead, also: [jumper]}\n";
    let body = "Intro.\n\n<!--\nnotewordone\n-->\n\n## Stage\n\n### Look\n\n\
                Use **bold**face <tool:lead> and [words](tool:lead) &amp; `code`<!-- notewordtwo -->.\n\n\
                ```\nlisted\n```";
    let site = bound(&manual(&[SHOP, VAN, ("stores/tools.yaml", tools), ("job.md", &procedure("", body))]));
    let texts = searched(&site.unwrap());
    for word in ["intro.", "use boldface bare lead and words", "& code.", "listed"] {
        assert!(texts.contains(word), "`{word}` is not found: {texts}");
    }
    for word in ["noteword", "tool:", "**", "amp;", "<!--"] {
        assert!(!texts.contains(word), "`{word}` is found: {texts}");
    }
}

#[test]
fn nothing_leads_to_a_step_that_its_page_does_not_print() {
    let body = "Secret intro.\n\n## Stage\n\n### Secret step\n\nWords.";
    for (head, found) in [("", true), ("status: withdrawn\n", false)] {
        let site = bound(&manual(&[SHOP, VAN, ("job.md", &procedure(head, body))])).unwrap();
        assert_eq!(searched(&site).contains("secret"), found);
        assert_eq!(site.records().iter().any(|record| record.address.contains('#')), found);
    }
}

#[test]
fn a_draft_says_so_on_screen_and_on_paper() {
    let body = "## Stage\n\n### Try it\n\nWords.";
    let site = bound(&manual(&[SHOP, VAN, ("job.md", &procedure("status: draft\n", body))])).unwrap();
    let html = std::str::from_utf8(&site.files["procedures/job/index.html"]).unwrap();
    assert!(html.contains("data-mark=\"draft\"") && html.contains("Not for work on a vehicle"));
}

#[test]
fn a_gated_procedure_names_the_maker_and_licensed_people() {
    let body = "## Stage\n\n### Look\n\nWords.";
    let text = procedure("", body).replace("skill: general", "skill: high-voltage");
    let site = bound(&manual(&[SHOP, VAN, ("job.md", &text)])).unwrap();
    let html = std::str::from_utf8(&site.files["procedures/job/index.html"]).unwrap();
    assert!(html.contains("class=\"halt\"") && html.contains("no isolation sequence and no waiting time"));
}

#[test]
fn a_template_that_fails_while_rendering_is_named_with_its_place() {
    let files = [SHOP, VAN, ("dress/front.html", "<p>\n{{ no.such.thing }}</p>")];
    let rejected = bound(&manual(&files)).unwrap_err();
    let finding = rejected.first().unwrap();
    assert_eq!(finding.code.0, "THE-01");
    assert!(finding.span.is_some_and(|span| span.start >= 4), "{finding:?}");
}

/// Tables are named before the first stage, before the first step of one, in a step and as a check's limit; one is
/// named nowhere.
#[test]
fn what_a_procedure_says_before_its_steps_is_a_use_too() {
    let table = |id: &str| {
        format!(
            "id: {id}\ntitle: Chart {id}\nrows: {{length: 1 m to 2 m by 1 m}}\n\
             values: {{gap: {{working: total, of: ['0.1 mm', row:length]}}}}\ntake: [gap.sum]\n"
        )
    };
    let body = "Before <table:intro>.\n\n## Stage {#stage}\n\nNow <table:stage>.\n\n### Look {#look}\n\n\
                ```step\ncheck: {measure: Gap, accept: at most table:limit/1-m.sum, otherwise: Ask the lead}\n\
                ```\n\nSee <table:step>.";
    let tables =
        ["intro", "stage", "step", "limit", "nowhere"].map(|id| (format!("tables/{id}.yaml"), table(id)));
    let text = procedure("", body);
    let mut files = vec![SHOP, VAN, ("job.md", text.as_str())];
    files.extend(tables.iter().map(|(path, text)| (path.as_str(), text.as_str())));
    let site = bound(&manual(&files)).unwrap_or_else(|found| panic!("{found:?}"));
    for (id, steps) in
        [("intro", Some(0)), ("stage", Some(0)), ("step", Some(1)), ("limit", Some(1)), ("nowhere", None)]
    {
        let page = std::str::from_utf8(&site.files[&format!("tables/{id}.html")]).unwrap();
        let links = |to: &str| page.matches(&format!("href=\"../procedures/job/index.html{to}\"")).count();
        assert_eq!((links(""), links("#look")), steps.map_or((0, 0), |steps| (1, steps)), "{id}");
    }
}

#[test]
fn footnotes_and_headings_carry_their_steps_prefix() {
    let body = "## Stage\n\n### One\n\nA[^n].\n\n[^n]: Note.\n\n### Two\n\nB[^n].\n\n[^n]: Other.";
    let site = bound(&manual(&[SHOP, VAN, ("job.md", &procedure("", body))])).unwrap();
    let html = std::str::from_utf8(&site.files["procedures/job/index.html"]).unwrap();
    assert!(html.contains("id=\"one--n\"") && html.contains("id=\"two--n\""));
}

#[test]
fn the_lining_screws_are_parked_one_to_a_circle_beside_a_bar_of_50_mm() {
    let site = bound(&demo()).unwrap();
    let html = std::str::from_utf8(&site.files["procedures/door-lining/parking.html"]).unwrap();
    let mats = html.split("<svg").filter(|mat| mat.contains(" class=\"mat\""));
    let mat = mats.map(|mat| mat.split("</svg>").next().unwrap()).find(|mat| mat.contains("ining screws ×9"));
    let mat = mat.expect("the screws have a mat");
    assert_eq!(mat.matches("<circle").count(), 9);
    assert!(mat.contains(" width=\"170mm\"") && mat.contains("viewBox=\"0 0 170 "), "{mat}");
    assert!(
        mat.contains("<rect class=\"bar\"") && mat.contains("width=\"50\"") && mat.contains("50\u{a0}mm")
    );
}

#[test]
fn only_what_takes_fasteners_out_has_a_parking_mat() {
    let body = "## Stage\n\n### Look\n\nWords.";
    let site = bound(&manual(&[SHOP, VAN, ("job.md", &procedure("", body))])).unwrap();
    assert!(!site.files.contains_key("procedures/job/parking.html"));
    assert!(pages(&site).all(|(_, html)| !html.contains("parking.html")));
}

/// What a step does reads as a technician says it, the verb where the language has it.
#[test]
fn what_a_step_does_is_a_sentence_in_each_language() {
    let plain = |html: &str| {
        let texts = html.split('<').map(|piece| piece.split_once('>').map_or("", |(_, text)| text));
        texts.collect::<String>().split_whitespace().collect::<Vec<_>>().join(" ")
    };
    for (language, screws, wire) in [
        ("en", "Take out the lining screws (9)", "Close the shield of the wire"),
        ("nl", "Lining screws verwijderen (9)", "Afscherming sluiten: Draad"),
        ("de", "Lining screws entfernen (9)", "Schirm schließen: Leitung"),
        ("fr", "Retirer : lining screws (9)", "Fermer le blindage : fil"),
        ("es", "Retirar: lining screws (9)", "Cerrar la malla: hilo"),
    ] {
        let site = bound(&demo_in(language)).unwrap();
        let said: Vec<String> = pages(&site)
            .flat_map(|(_, html)| html.split("<ul class=\"moves\">").skip(1))
            .flat_map(|list| list.split("</ul>").next().unwrap_or_default().split("<li>").skip(1))
            .map(|item| plain(&format!("<li>{item}")))
            .collect();
        assert!(said.iter().any(|line| line.starts_with(screws)), "{language}: {said:?}");
        let captions: Vec<String> = pages(&site)
            .flat_map(|(_, html)| html.split("<caption").skip(1))
            .map(|caption| plain(&format!("<caption{}", caption.split("</caption>").next().unwrap())))
            .collect();
        assert!(captions.contains(&wire.to_owned()), "{language}: {captions:?}");
    }
}

/// The step that closes a shield shows what its strip drawing says of the bridge.
#[test]
fn the_step_that_closes_a_shield_shows_how_long_its_bridge_is() {
    let site = bound(&demo()).unwrap();
    let html = std::str::from_utf8(&site.files["procedures/aerial-coax/index.html"]).unwrap();
    let (_, table) = html.split_once("Close the shield of the wire").unwrap();
    let table = table.split("</table>").next().unwrap();
    for head in ["Bridge the shield over", "Over the shield"] {
        assert!(table.contains(head), "{head}: {table}");
    }
}
