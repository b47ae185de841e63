//! Figures: every file under figures/ looked through side by side, under names that every system can keep.

use super::FigureFile;
use super::files::{self, Kind};
use crate::finding::{Code, FileId, Finding, Sink, Span, unseen};
use crate::model::{Limits, fit_file_name, is_file_name};
use crate::picture;
use crate::source::SourceFile;
use rayon::prelude::*;
use std::collections::BTreeMap;

/// Names that not every system can keep.
const NAME: Code = Code("SRC-15");

/// Reads the figures of a manual, by their path below figures/.
pub(super) fn read(
    numbered: &[(FileId, &SourceFile)],
    limits: &Limits,
    sink: &mut Sink,
) -> BTreeMap<String, FigureFile> {
    let looked: Vec<(String, FigureFile, Sink)> = numbered
        .par_iter()
        .filter(|(_, file)| files::kind(&file.path) == Kind::Figure)
        .map(|(id, file)| {
            let mut found = Sink::new();
            let name = file.path.trim_start_matches("figures/").to_owned();
            let admitted = files::admit(*id, file, Kind::Figure, limits, &mut found);
            let bytes = admitted.and_then(|_| file.bytes());
            let picture =
                bytes.and_then(|bytes| picture::take_in(*id, &unseen::shown(&name), bytes, &mut found));
            let sound = picture.is_some();
            let title = picture.and_then(|picture| picture.title);
            (name, FigureFile { file: *id, title, sound }, found)
        })
        .collect();
    let mut figures: BTreeMap<String, FigureFile> = BTreeMap::new();
    let mut folded: BTreeMap<String, FileId> = BTreeMap::new();
    for (name, figure, found) in looked {
        sink.take(found);
        check_name(&name, figure.file, sink);
        if let Some(first) = folded.insert(name.to_ascii_lowercase(), figure.file) {
            let shown = unseen::shown(&name);
            sink.push(
                Finding::error(NAME, format!("two figures are named `{shown}` but for capitals"))
                    .at(Span::whole(figure.file), "the second")
                    .label(Span::whole(first), "the first")
                    .help("give one of them another name: some systems take both for one file"),
            );
        }
        figures.insert(name, figure);
    }
    figures
}

/// A name that not every system keeps is an error with the name to use.
fn check_name(name: &str, file: FileId, sink: &mut Sink) {
    if name.split('/').all(is_file_name) {
        return;
    }
    let fit: Vec<String> = name.split('/').map(fit_file_name).collect();
    let headline = format!("the figure's name `{}` does not hold on every system", unseen::shown(name));
    sink.push(
        Finding::error(NAME, headline)
            .at(Span::whole(file), "this file")
            .help(format!("name it `figures/{}`", fit.join("/"))),
    );
}

/// A path that would break a list of files or a line on a terminal, whatever the file is.
pub(super) fn check_path(path: &str, file: FileId, sink: &mut Sink) {
    if path.chars().any(|c| c.is_control() || unseen::turns(c) || unseen::has_no_width(c) || c == '\u{fffd}')
    {
        sink.push(
            Finding::error(
                NAME,
                format!("the path `{}` holds characters that nobody sees", unseen::shown(path)),
            )
            .at(Span::whole(file), "this file")
            .help("name it with letters, digits and hyphens"),
        );
    }
}
