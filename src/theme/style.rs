//! Styles: one source a layer, checked, lowered for the shop's browsers and minified into one sheet.

use crate::finding::{FileId, Finding, Sink};
use crate::model::Browsers;
use crate::stylesheet;
use crate::theme::{STYLE, built_in, line_span};
use lightningcss::stylesheet::{MinifyOptions, ParserOptions, PrinterOptions, StyleSheet};
use lightningcss::targets::{Browsers as Oldest, Targets};
use std::collections::BTreeMap;

/// The layers in the order of the cascade: what a reader's screen or paper asks for comes last.
const LAYERS: [&str; 8] = [
    "ground.css",
    "sheet.css",
    "card.css",
    "safety.css",
    "ledger.css",
    "register.css",
    "paper.css",
    "narrow.css",
];

/// One sheet of all layers, a shop's own in place of the built-in ones.
pub(super) fn bound(own: &BTreeMap<String, (FileId, String)>, browsers: Browsers, sink: &mut Sink) -> String {
    let layers: BTreeMap<&str, &str> = built_in("style").collect();
    let mut sheet = String::new();
    for name in LAYERS {
        if let Some((file, text)) = own.get(name) {
            match minified(text, browsers) {
                Ok(style) => {
                    sheet.push_str(&style);
                    continue;
                }
                Err(fault) => sink.push(
                    Finding::error(STYLE, format!("the style `{name}` fails: {}", fault.message))
                        .at(line_span(*file, text, fault.line), "here")
                        .help_if(fault.help),
                ),
            }
        }
        match layers.get(name).map(|text| minified(text, browsers)) {
            Some(Ok(style)) => sheet.push_str(&style),
            Some(Err(fault)) => {
                sink.push(Finding::error(STYLE, format!("the built-in style `{name}`: {}", fault.message)));
            }
            None => sink.push(Finding::error(STYLE, format!("the built-in style `{name}` is missing"))),
        }
    }
    sheet
}

/// Most characters of a target that a finding repeats.
const LONGEST_ECHO: usize = 60;

/// Whether a target stands in the site, seen from the folder of the styles.
fn stays_inside(target: &str) -> bool {
    let figure =
        target.strip_prefix("../figures/").is_some_and(|rest| !rest.contains("..") && !rest.contains('\\'));
    target.starts_with('#') || target.starts_with("data:image/") || figure
}

struct Fault {
    message: String,
    /// Counted from 1.
    line: usize,
    help: Option<String>,
}

fn minified(text: &str, browsers: Browsers) -> Result<String, Fault> {
    if let Some((at, wrong)) = stylesheet::faults(text, &stays_inside).into_iter().next() {
        let line = text.get(..at).unwrap_or_default().matches('\n').count() + 1;
        let (message, help) = match wrong {
            stylesheet::Fault::Fetches(target) => (
                format!("it would fetch `{}`", target.chars().take(LONGEST_ECHO).collect::<String>()),
                "a manual fetches nothing: put the rules here, a picture as `url(../figures/NAME)`",
            ),
            stylesheet::Fault::Nests => (
                format!("it nests deeper than {} levels", stylesheet::DEEPEST),
                "close the blocks, or write them one after another",
            ),
        };
        return Err(Fault { message, line, help: Some(help.to_owned()) });
    }
    // The engine counts lines from 0.
    let fault = |message: String, line: u32| Fault {
        message,
        line: usize::try_from(line).unwrap_or(0) + 1,
        help: None,
    };
    let mut sheet = StyleSheet::parse(text, ParserOptions::default())
        .map_err(|error| fault(error.kind.to_string(), error.loc.map_or(0, |at| at.line)))?;
    let targets = Targets::from(Oldest {
        chrome: Some(browsers.chrome << 16),
        firefox: Some(browsers.firefox << 16),
        safari: Some(browsers.safari << 16),
        ..Oldest::default()
    });
    sheet
        .minify(MinifyOptions { targets, ..MinifyOptions::default() })
        .map_err(|error| fault(error.kind.to_string(), error.loc.map_or(0, |at| at.line)))?;
    let printer = PrinterOptions { minify: true, targets, ..PrinterOptions::default() };
    sheet.to_css(printer).map(|printed| printed.code).map_err(|error| fault(error.to_string(), 0))
}
