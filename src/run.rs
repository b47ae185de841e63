//! The one road from a folder to its site. Every command, test and measurement goes along it, as far as it needs,
//! so that what one of them accepts, all accept.

use crate::check::{Checked, Rejected, check};
use crate::finding::{Finding, Sink};
use crate::page::{self, Pages, Stopped};
use crate::parse::{Parsed, parse};
use crate::search;
use crate::source::Source;
use crate::theme::{self, Theme};
use crate::work::{Worked, work};
use crate::write::{self, Draft, WriteError, Written};
use std::convert::Infallible;
use std::path::Path;

/// A manual on its way: what was read, and how far each caller wants to go with it.
#[derive(Debug)]
pub struct Run {
    source: Source,
}

impl Run {
    /// Reads a manual's folder, leaving out sites that were bound inside it.
    ///
    /// # Errors
    /// When the folder cannot be walked.
    pub fn read(folder: &Path) -> std::io::Result<Run> {
        Ok(Run::of(Source::read(folder, write::is_site)?))
    }

    /// Takes a manual that was read already, or that was never on a disk.
    pub fn of(source: Source) -> Run {
        Run { source }
    }

    /// What was read; findings point into it.
    pub fn source(&self) -> &Source {
        &self.source
    }

    /// Reads what is written and computes nothing; with what was found on the way.
    pub fn parse(&self) -> (Parsed, Vec<Finding>) {
        let mut sink = Sink::new();
        let parsed = parse(&self.source, &mut sink);
        (parsed, sink.into_sorted())
    }

    /// Works the manual without asking the rules, for what must go on in spite of faults; with what was found on
    /// the way.
    pub fn work(&self) -> (Worked, Vec<Finding>) {
        let mut sink = Sink::new();
        let (worked, _) = self.dressed(&mut sink);
        (worked, sink.into_sorted())
    }

    /// Inspects the manual. It says all that a bind would: where a shop has templates of its own, which may
    /// fail only as a page is made, every page is made and thrown away.
    ///
    /// # Errors
    /// When anything blocks binding: every finding.
    pub fn inspect(&self) -> Result<Checked, Rejected> {
        let (checked, theme) = self.check()?;
        if !theme.has_own_templates() {
            return Ok(checked);
        }
        match page::draw(&checked, &theme, &self.fingerprint(), |_| Ok::<(), Infallible>(())) {
            Ok(_) => Ok(checked),
            Err(Stopped::Failed(findings)) => Err(checked.reject(findings)),
            Err(Stopped::Keeping(never)) => match never {},
        }
    }

    /// Inspects the manual and renders its pages, the whole site in memory; with what was found and does not
    /// block.
    ///
    /// # Errors
    /// When anything blocks binding, or a shop's own template fails: every finding.
    pub fn render(&self) -> Result<(Pages, Checked), Rejected> {
        let (checked, theme) = self.check()?;
        let fingerprint = self.fingerprint();
        match page::render(&checked, &theme, &fingerprint) {
            Ok(pages) => Ok((search::add(pages, &fingerprint), checked)),
            Err(findings) => Err(checked.reject(findings)),
        }
    }

    /// Inspects the manual and writes it as a site, page by page, so that a manual of any size is never held in
    /// memory as a whole. The place is as it was until the last file stands.
    ///
    /// # Errors
    /// When anything blocks binding, a shop's own template fails, or the site cannot be written.
    pub fn bind(&self, place: &Path) -> Result<(Written, Checked), BindError> {
        let (checked, theme) = self.check().map_err(BindError::Rejected)?;
        let mut draft = Draft::begin(place, self.source.root())?;
        let fingerprint = self.fingerprint();
        let records = match page::draw(&checked, &theme, &fingerprint, |files| draft.put(files)) {
            Ok(records) => records,
            Err(Stopped::Failed(findings)) => return Err(BindError::Rejected(checked.reject(findings))),
            Err(Stopped::Keeping(error)) => return Err(error.into()),
        };
        draft.put(vec![search::script(&records, &fingerprint)])?;
        Ok((draft.finish()?, checked))
    }

    /// Every rule over the manual, and the theme that it is dressed in.
    fn check(&self) -> Result<(Checked, Theme), Rejected> {
        let mut sink = Sink::new();
        let (worked, theme) = self.dressed(&mut sink);
        // What is found is said in the manual's language, as its pages are.
        match check(worked, &self.source, sink) {
            Ok(mut checked) => {
                checked.tell(theme.labels());
                Ok((checked, theme))
            }
            Err(mut rejected) => {
                rejected.tell(theme.labels());
                Err(rejected)
            }
        }
    }

    /// The worked manual and its theme; what is wrong with the theme counts as a fault of the manual.
    fn dressed(&self, sink: &mut Sink) -> (Worked, Theme) {
        let parsed = parse(&self.source, sink);
        let theme = Theme::load(&self.source, parsed.shop().browsers, &parsed.shop().language, sink);
        (work(parsed, sink), theme)
    }

    /// The manual's fingerprint: over every file that was read, the built-in theme and this program's version.
    pub fn fingerprint(&self) -> String {
        let own = self.source.files().iter().filter_map(|file| Some((file.path.as_str(), file.bytes()?)));
        let theme: Vec<(&str, &[u8])> = theme::built_in_files();
        write::fingerprint(own.chain(theme))
    }
}

/// Why a manual was not bound.
#[derive(Debug)]
pub enum BindError {
    /// It has faults.
    Rejected(Rejected),
    /// Its site could not be written.
    Write(WriteError),
}

impl From<WriteError> for BindError {
    fn from(error: WriteError) -> BindError {
        BindError::Write(error)
    }
}
