//! The dress of the pages: templates, styles, scripts and labels, built in and overridden by a shop's own
//! `dress/` folder. What a shop got wrong becomes a finding with its line; the built-in part then serves.

mod bounds;
mod labels;
mod style;
mod turns;

use crate::finding::{Code, FileId, Finding, Severity, Sink, Span, line_column, nearest};
use crate::model::Browsers;
use crate::phrase::{Language, Phrase};
use crate::source::Source;
use include_dir::{Dir, include_dir};
use serde::Serialize;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::sync::Arc;
use tera::{Context, ErrorKind, Kwargs, State, Tera, TeraResult, Value};
use turns::Counted;

pub use bounds::POLICY;
pub use labels::{LANGUAGES, Labels};

static BUILT_IN: Dir<'static> = include_dir!("$CARGO_MANIFEST_DIR/themes");

/// A template that cannot be read or rendered.
const TEMPLATE: Code = Code("THE-01");
/// A style that cannot be read, or that would fetch another.
pub(crate) const STYLE: Code = Code("THE-02");
/// A label file that cannot be read, or a label that no page asks for.
pub(crate) const LABEL: Code = Code("THE-03");
/// A file in `dress/` that overrides nothing.
const STRANGER: Code = Code("THE-04");

/// A page without its policy.
const UNSHELTERED: Code = Code("THE-05");

/// A template that goes on and on.
pub(crate) const ENDLESS: Code = Code("THE-06");

/// The file name of the one style sheet.
pub const STYLE_SHEET: &str = "bench.css";

/// What the built-in templates are called, so that a shop's own of the same name win and may extend them.
const PREFIX: &str = "builtin/";

/// Everything that turns views into pages.
pub struct Theme {
    tera: Tera,
    labels: Arc<Labels>,
    /// The language of the furniture.
    pub language: String,
    /// All styles, minified for the shop's browsers.
    pub style: String,
    /// The scripts by file name.
    pub scripts: BTreeMap<&'static str, &'static str>,
    /// What the style and the scripts are called in a site, by file name.
    names: BTreeMap<&'static str, String>,
    /// The shop's own templates, for findings.
    own: BTreeMap<String, (FileId, String)>,
    /// The same as they are compiled.
    counted: BTreeMap<String, Counted>,
}

impl std::fmt::Debug for Theme {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.debug_struct("Theme").field("language", &self.language).finish_non_exhaustive()
    }
}

impl Theme {
    /// Reads the built-in theme and what the shop's `dress/` folder puts in its place.
    pub(crate) fn load(source: &Source, browsers: Browsers, language: &str, sink: &mut Sink) -> Theme {
        let dress = Dress::read(source, sink);
        let labels = Arc::new(Labels::load(language, &dress.labels, sink));
        let mut theme = Theme {
            tera: engine(&labels),
            labels,
            language: language.to_owned(),
            style: style::bound(&dress.styles, browsers, sink),
            scripts: built_in("script").collect(),
            names: BTreeMap::new(),
            own: dress.templates,
            counted: BTreeMap::new(),
        };
        let sheet = (STYLE_SHEET, theme.style.as_str());
        let files = theme.scripts.iter().map(|(name, text)| (*name, *text)).chain([sheet]);
        theme.names = files.map(|(name, text)| (name, with_hash(name, text.as_bytes()))).collect();
        theme.compile(sink);
        theme
    }

    /// Whether a shop's own template takes part, which may fail only as a page is made.
    pub(crate) fn has_own_templates(&self) -> bool {
        !self.own.is_empty()
    }

    /// A label by its key. A key that no language knows prints as itself, and a test finds it.
    pub fn say(&self, key: &str) -> String {
        self.labels.say(key)
    }

    /// The words of its language.
    pub fn labels(&self) -> &Labels {
        &self.labels
    }

    /// A label with its `{what}` filled in.
    pub fn say_what(&self, key: &str, what: &str) -> String {
        self.labels.say(key).replace("{what}", what)
    }

    /// A label with its `{n}` filled in, in the right number.
    pub fn say_count(&self, key: &str, count: u64) -> String {
        self.labels.count(key, &count.to_string()).replace("{n}", &count.to_string())
    }

    /// A phrase of the program's own in the language of the pages.
    pub fn tell(&self, phrase: &Phrase) -> String {
        self.labels.tell(phrase)
    }

    /// A sentence that a declaration holds, in the language of the pages.
    pub fn sentence(&self, english: &'static str) -> String {
        self.tell(&Phrase::bare(english))
    }

    /// What tells phrases in the language of the pages.
    pub fn speaker(&self) -> Arc<dyn Language> {
        Arc::clone(&self.labels) as Arc<dyn Language>
    }

    /// A label, where there is one.
    pub fn known(&self, key: &str) -> Option<String> {
        self.labels.get(key).map(str::to_owned)
    }

    /// What the style or a script is called in a site: its name holds the hash of its content, so that a
    /// browser never puts an old one to a new page.
    pub fn asset(&self, name: &str) -> String {
        self.names.get(name).cloned().unwrap_or_else(|| name.to_owned())
    }

    /// Renders a page.
    ///
    /// # Errors
    /// A finding with file and line where a template fails, grows without end, or leaves the policy out.
    pub fn render<View: Serialize>(&self, template: &str, view: &View) -> Result<String, Box<Finding>> {
        let mut page = bounds::Page::default();
        turns::begin();
        Context::from_serialize(view)
            .and_then(|context| self.tera.render_to(template, &context, &mut page))
            .map_err(|error| Box::new(self.finding(&error)))?;
        let page = page.text();
        // The built-in pages are held to it by a test; only a shop's own could leave it out.
        if self.own.is_empty() || bounds::begins_with_policy(&page) {
            return Ok(page);
        }
        let own = self.own.get("base.html").or_else(|| self.own.get(template));
        let finding = Finding::error(UNSHELTERED, "a page of this dress does not begin with the policy")
            .help(format!("its first lines are `<!DOCTYPE html>`, `<html …>`, `<head>` and `{POLICY}`"));
        Err(Box::new(match own {
            Some((file, _)) => finding.at(Span::whole(*file), "this template"),
            None => finding,
        }))
    }

    /// Adds all templates; a shop's own that does not compile is reported and left out.
    fn compile(&mut self, sink: &mut Sink) {
        self.break_circles(sink);
        turns::begin();
        loop {
            let built =
                built_in("templates").map(|(name, text)| (format!("{PREFIX}{name}"), text.to_owned()));
            self.counted =
                self.own.iter().map(|(name, (_, text))| (name.clone(), Counted::of(text))).collect();
            let own = self.counted.iter().map(|(name, counted)| (name.clone(), counted.text.clone()));
            let mut tera = engine(&self.labels);
            let Err(error) = tera.add_raw_templates(built.chain(own)) else {
                self.tera = tera;
                return;
            };
            sink.push(self.finding(&error));
            let at_fault = match error.kind() {
                ErrorKind::SyntaxError(report) | ErrorKind::RenderingError(report) => report.filename(),
                ErrorKind::CircularExtend { tpl, .. } | ErrorKind::CircularInclude { tpl, .. } => tpl,
                ErrorKind::MissingParent { current, .. } => current,
                _ => "",
            };
            if self.own.remove(at_fault).is_none() && self.own.pop_last().is_none() {
                return;
            }
        }
    }

    /// Leaves out templates whose components lead back to themselves: they would never end.
    fn break_circles(&mut self, sink: &mut Sink) {
        loop {
            let mut all: Vec<(&str, &str)> = built_in("templates").collect();
            all.extend(self.own.iter().map(|(name, (_, text))| (name.as_str(), text.as_str())));
            let Some((name, at)) = bounds::circle(all.into_iter()) else { return };
            let name = name.to_owned();
            let Some((file, text)) =
                self.own.remove(&name).or_else(|| self.own.pop_last().map(|(_, own)| own))
            else {
                return;
            };
            let line = text.get(at..).and_then(|rest| rest.lines().next()).map_or(0, str::len);
            sink.push(
                Finding::error(
                    TEMPLATE,
                    format!("a component of the template `{name}` leads back to itself"),
                )
                .at(Span::new(file, at, at + line), "declared here"),
            );
        }
    }

    fn finding(&self, error: &tera::Error) -> Finding {
        let (name, message, range) = match error.kind() {
            ErrorKind::SyntaxError(report) | ErrorKind::RenderingError(report) => {
                (report.filename(), report.message().to_owned(), report.span().range.clone())
            }
            ErrorKind::MissingParent { current, parent } => {
                (current.as_str(), format!("it extends `{parent}`, which is not there"), 0..0)
            }
            ErrorKind::CircularExtend { tpl, .. } | ErrorKind::CircularInclude { tpl, .. } => {
                (tpl.as_str(), "it leads back to itself".to_owned(), 0..0)
            }
            other => ("", other.to_string(), 0..0),
        };
        let headline = format!("the template `{}` fails: {message}", name.trim_start_matches(PREFIX));
        let code = if turns::stopped() { ENDLESS } else { TEMPLATE };
        let finding = Finding::error(code, headline);
        match (self.own.get(name), self.counted.get(name)) {
            (Some((file, _)), Some(counted)) => {
                let range = counted.written(range);
                finding.at(Span::new(*file, range.start, range.end), "here")
            }
            _ => finding,
        }
    }
}

/// Every file of the built-in theme with its bytes: part of what makes a manual, and of its fingerprint.
pub fn built_in_files() -> Vec<(&'static str, &'static [u8])> {
    let files = BUILT_IN.dirs().flat_map(Dir::files);
    files.filter_map(|file| Some((file.path().to_str()?, file.contents()))).collect()
}

/// The files below a folder of the built-in theme, sorted by name.
fn built_in(folder: &str) -> impl Iterator<Item = (&'static str, &'static str)> + use<> {
    let files = BUILT_IN.get_dir(folder).into_iter().flat_map(Dir::files);
    let named: BTreeMap<&str, &str> =
        files.filter_map(|file| Some((file.path().file_name()?.to_str()?, file.contents_utf8()?))).collect();
    named.into_iter()
}

/// A file name with the hash of a content before its ending.
pub fn with_hash(name: &str, content: &[u8]) -> String {
    let hash: String = Sha256::digest(content).iter().take(5).map(|byte| format!("{byte:02x}")).collect();
    match name.rsplit_once('.') {
        Some((stem, ending)) => format!("{stem}.{hash}.{ending}"),
        None => format!("{name}.{hash}"),
    }
}

/// An engine that knows the labels and nothing yet of templates: filters must come first.
fn engine(labels: &Arc<Labels>) -> Tera {
    let mut tera = Tera::default();
    let labels = Arc::clone(labels);
    let say = move |key: &str, given: Kwargs, _: &State| -> TeraResult<String> {
        let count = given.get::<Value>("n")?.map(|value| value.to_string());
        let mut text = labels.count(key, count.as_deref().unwrap_or_default());
        if text == key && labels.get(key).is_none() {
            return Err(tera::Error::message(format!("there is no label `{key}`")));
        }
        for name in ["n", "what", "who"] {
            if let Some(value) = given.get::<Value>(name)? {
                text = text.replace(&format!("{{{name}}}"), &value.to_string());
            }
        }
        Ok(text)
    };
    tera.register_filter("say", say);
    tera.register_function("range", bounds::range);
    tera.register_function(turns::NAME, turns::turn);
    // The prefix is a constant that the engine accepts; were it not, no built-in template would be found.
    let _ = tera.set_fallback_prefixes(vec![PREFIX]);
    tera
}

/// A shop's own files, by the name of what they override.
#[derive(Default)]
struct Dress {
    templates: BTreeMap<String, (FileId, String)>,
    styles: BTreeMap<String, (FileId, String)>,
    labels: BTreeMap<String, (FileId, String)>,
}

impl Dress {
    fn read(source: &Source, sink: &mut Sink) -> Dress {
        let mut dress = Dress::default();
        for (id, file) in source.iter() {
            let Some(below) = file.path.strip_prefix("dress/") else { continue };
            let name = below.rsplit('/').next().unwrap_or(below).to_owned();
            let (folder, into) = match name.rsplit_once('.').map(|(_, ending)| ending) {
                Some("html") => ("templates", &mut dress.templates),
                Some("css") => ("style", &mut dress.styles),
                Some("yaml") => ("labels", &mut dress.labels),
                _ => {
                    sink.push(stranger(&name, id, None));
                    continue;
                }
            };
            // A template may be new: a page of the shop's own may include it. A style or label file may not.
            if folder != "templates" && !built_in(folder).any(|(known, _)| known == name) {
                let near = nearest(&name, built_in(folder).map(|(known, _)| known)).map(str::to_owned);
                sink.push(stranger(&name, id, near));
            } else if let Some(text) = file.text() {
                into.insert(name, (id, text.to_owned()));
            }
        }
        dress
    }
}

fn stranger(name: &str, file: FileId, near: Option<String>) -> Finding {
    let help = near.map_or_else(
        || "dress/ holds templates (.html), styles (.css) and labels (.yaml)".to_owned(),
        |near| format!("name it `{near}`"),
    );
    Finding::new(STRANGER, Severity::Warning, format!("`dress/{name}` overrides nothing"))
        .at(Span::whole(file), "this file")
        .help(help)
}

/// The span of a line of a file, from a line counted from 1.
pub(crate) fn line_span(file: FileId, text: &str, line: usize) -> Span {
    let start: usize = text.split_inclusive('\n').take(line.saturating_sub(1)).map(str::len).sum();
    let length = text.get(start..).and_then(|rest| rest.lines().next()).map_or(0, str::len);
    debug_assert!(start >= text.len() || line_column(text, start).line == line.max(1));
    Span::new(file, start, start + length)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::Content;

    fn dressed(files: &[(&str, &str)]) -> Source {
        Source::held(files.iter().map(|(path, text)| ((*path).to_owned(), Content::Text((*text).to_owned()))))
    }

    fn load(files: &[(&str, &str)]) -> (Theme, Vec<Finding>) {
        let mut sink = Sink::new();
        let theme = Theme::load(&dressed(files), Browsers::default(), "en", &mut sink);
        (theme, sink.into_sorted())
    }

    #[test]
    fn the_built_in_theme_is_sound_in_every_language() {
        for language in LANGUAGES {
            let mut sink = Sink::new();
            let theme = Theme::load(&dressed(&[]), Browsers::default(), language, &mut sink);
            assert_eq!(sink.into_sorted(), Vec::new(), "{language}");
            assert!(theme.style.contains(".card"));
            assert_eq!(theme.scripts.len(), 4);
        }
    }

    #[test]
    fn a_shop_puts_one_template_in_place_of_another_and_may_extend_it() {
        let own = "{% extends \"builtin/waivers.html\" %}{% block after %}of our own{% endblock after %}";
        let (theme, findings) = load(&[("dress/waivers.html", own)]);
        assert_eq!(findings, Vec::new());
        let error = theme.render("waivers.html", &BTreeMap::from([("a", 1)])).unwrap_err();
        assert_eq!(error.code, TEMPLATE, "the view lacks what the page needs: {error:?}");
    }

    #[test]
    fn a_broken_template_is_reported_with_its_place_and_left_out() {
        let (theme, findings) = load(&[("dress/front.html", "<p>\n{% if %}</p>")]);
        let finding = findings.first().unwrap();
        assert_eq!((finding.code, finding.span.map(|span| span.file)), (TEMPLATE, Some(FileId(0))));
        assert!(finding.span.unwrap().start >= 4, "{finding:?}");
        assert!(theme.own.is_empty());
    }

    #[test]
    fn a_broken_style_and_an_import_are_reported_with_their_line() {
        let (_, findings) = load(&[("dress/card.css", "a { color: red }\n@import url(http://x/y.css);\n}}")]);
        assert!(findings.iter().all(|finding| finding.code == STYLE));
        assert!(!findings.is_empty());
    }

    #[test]
    fn a_style_that_fetches_or_nests_without_end_is_refused_at_its_line() {
        let deep = format!("a{{}}\n{}", "a{".repeat(20_000));
        for bad in [
            "a{}\nb{background:url(http://x/y)}",
            "a{}\nb{background:url(//x/y)}",
            "a{}\nb{background:url(../../y)}",
            "a{}\nb{background:image-set('http://x/y' 1x)}",
            "a{}\n@import 'x.css';",
            deep.as_str(),
        ] {
            let (theme, findings) = load(&[("dress/card.css", bad)]);
            let all: Vec<Code> = findings.iter().map(|finding| finding.code).collect();
            assert_eq!(all, [STYLE], "{}", &bad[..40.min(bad.len())]);
            assert_eq!(line_column(bad, findings[0].span.unwrap().start).line, 2);
            assert!(theme.style.contains(".card"), "the built-in one serves");
        }
        let good =
            "b{background:url(../figures/lid.svg);mask:url(#a)}c{background:url(data:image/png;base64,AA)}";
        assert_eq!(load(&[("dress/card.css", good)]).1, Vec::new());
    }

    #[test]
    fn a_template_that_never_ends_is_refused() {
        let circle = "{% component a() %}{{<a />}}{% endcomponent a %}";
        let (_, findings) = load(&[("dress/own.html", circle)]);
        assert_eq!(findings.iter().map(|finding| finding.code).collect::<Vec<_>>(), [TEMPLATE]);
        for (count, passes) in [(1_000, true), (1_001, false)] {
            let own = format!("{{% for n in range(end={count}) %}}{{% endfor %}}");
            let (theme, findings) = load(&[("dress/own.html", own.as_str())]);
            assert_eq!(findings, Vec::new());
            let said = theme.render("own.html", &BTreeMap::<String, String>::new()).unwrap_err();
            assert_eq!(said.code == UNSHELTERED, passes, "{count}: {}", said.headline);
        }
    }

    #[test]
    fn loops_inside_loops_and_what_doubles_are_stopped_at_their_line() {
        let loops = |inner: usize| {
            format!(
                "<p>\n{{% for a in range(end=100) %}}{{% for b in range(end={inner}) %}}x{{% endfor %}}{{% endfor %}}"
            )
        };
        let doubled = |times: usize| {
            format!(
                "<p>\n{{% set_global s = \"12345678\" %}}{{% for a in range(end={times}) %}}{{% set_global s = s ~ s %}}{{% endfor %}}"
            )
        };
        let called = "{% component a() %}{% for x in range(end=700) %}{{<b />}}{% endfor %}{% endcomponent a %}\
                      {% component b() %}{% for x in range(end=700) %}{% endfor %}{% endcomponent b %}\n{{<a />}}";
        // One turn of the page, a hundred of the outer loop, a hundred times those of the inner; 8 B · 2^17 = 1 MB.
        for (own, ends) in [
            (loops(1_000), true),
            (loops(1_000).replacen("100", "199", 1), true),
            (loops(1_000).replacen("100", "200", 1), false),
            (doubled(17), true),
            (doubled(18), false),
            (called.to_owned(), false),
        ] {
            let (theme, findings) = load(&[("dress/own.html", own.as_str())]);
            assert_eq!(findings, Vec::new(), "{own}");
            let said = theme.render("own.html", &BTreeMap::<String, String>::new()).unwrap_err();
            assert_eq!(said.code == UNSHELTERED, ends, "{own}: {}", said.headline);
            if !ends {
                assert_eq!(said.code, ENDLESS, "{}", said.headline);
                let start = said.span.unwrap().start;
                assert!((1..own.len()).contains(&start), "{start} of {own}");
            }
        }
    }

    #[test]
    fn the_name_of_a_style_or_script_changes_with_its_content() {
        let (plain, _) = load(&[]);
        let (own, _) = load(&[("dress/card.css", ".card{color:red}")]);
        assert_ne!(plain.asset(STYLE_SHEET), own.asset(STYLE_SHEET));
        assert_eq!(plain.asset("ticks.js"), own.asset("ticks.js"));
        // The beginning of the SHA-256 of `abc`, from FIPS 180-4, as its examples give it.
        assert_eq!(with_hash("a.js", b"abc"), "a.ba7816bf8f.js");
    }

    #[test]
    fn labels_are_changed_one_by_one_and_unknown_ones_reported() {
        let (theme, findings) = load(&[("dress/en.yaml", "check: Look.\nchek: Look.\n")]);
        assert_eq!(theme.say("check"), "Look.");
        let finding = findings.first().unwrap();
        assert_eq!((finding.code, finding.help.as_deref()), (LABEL, Some("write `check`")));
        assert_eq!(finding.span.map(|span| span.start), Some(13));
    }

    #[test]
    fn what_overrides_nothing_is_said() {
        let (_, findings) = load(&[("dress/crad.css", "a{}"), ("dress/logo.svg", "<svg/>")]);
        assert_eq!(findings.iter().filter(|finding| finding.code == STRANGER).count(), 2);
        assert!(findings.iter().any(|finding| finding.help.as_deref() == Some("name it `card.css`")));
    }
}
