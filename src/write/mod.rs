//! Pages → disk: a site is written in a hidden folder beside its place, then the two change places in one step, so
//! that a reader sees the old one or the new one and never half of either.
#![allow(clippy::disallowed_methods, reason = "this module is the one that writes sites to disk")]

mod disk;
mod error;
mod live;
mod manifest;
mod place;
mod swap;
#[cfg(test)]
mod tests;
mod workplace;

pub use error::WriteError;
pub use manifest::{MANIFEST, fingerprint, is_site};
pub use place::prepare;

use disk::{Machine, open_to_readers};
use rayon::prelude::*;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use workplace::Workplace;

/// A site on disk.
#[derive(Debug)]
pub struct Written {
    place: PathBuf,
    files: usize,
    bytes: u64,
}

impl Written {
    /// The folder.
    pub fn place(&self) -> &Path {
        &self.place
    }

    /// How many files.
    pub fn files(&self) -> usize {
        self.files
    }

    /// How many bytes in all.
    pub fn bytes(&self) -> u64 {
        self.bytes
    }
}

/// From now on a signal that ends this process (interrupt, request to end, loss of the terminal) takes a draft
/// away first. Where the system has no such signals, the next run takes it away.
///
/// # Errors
/// When the system does not let a process listen to signals.
pub fn tidy_on_signals() -> Result<(), WriteError> {
    live::tidy_on_signals(workplace::settle)
        .map_err(WriteError::io("cannot listen to the signals of", Path::new("the system")))
}

/// A site that is being written, beside its place and out of every reader's sight.
#[derive(Debug)]
pub(crate) struct Draft {
    workplace: Workplace,
    place: PathBuf,
    folders: BTreeSet<PathBuf>,
    hashes: BTreeMap<String, String>,
    bytes: u64,
}

impl Draft {
    /// Begins a site that will replace an older one at `place`. `manual` is the folder it is made from.
    ///
    /// # Errors
    /// As [`prepare`], or when the disk fails.
    pub(crate) fn begin(place: &Path, manual: &Path) -> Result<Draft, WriteError> {
        prepare(place, manual)?;
        let parent = place::parent(place);
        let workplace = Workplace::make(parent).map_err(|error| WriteError::at(place, parent, error))?;
        let mut draft = Draft {
            workplace,
            place: place.to_owned(),
            folders: BTreeSet::new(),
            hashes: BTreeMap::new(),
            bytes: 0,
        };
        draft.make_folder(&draft.workplace.made())?;
        Ok(draft)
    }

    /// Writes files, side by side.
    ///
    /// # Errors
    /// When the disk fails. A draft that is dropped leaves nothing behind.
    pub(crate) fn put(&mut self, files: Vec<(String, Vec<u8>)>) -> Result<(), WriteError> {
        let root = self.workplace.made();
        let files: Vec<(String, PathBuf, Vec<u8>)> = files
            .into_iter()
            .map(|(path, bytes)| {
                let target = path.split('/').fold(root.clone(), |folder, part| folder.join(part));
                (path, target, bytes)
            })
            .collect();
        for folder in files.iter().filter_map(|(_, target, _)| target.parent()) {
            self.make_folder(folder)?;
        }
        let written: Vec<Result<(String, String, u64), WriteError>> = files
            .into_par_iter()
            .map(|(path, target, bytes)| {
                let length = put(&target, &bytes)?;
                Ok((path, manifest::hash(&bytes), length))
            })
            .collect();
        for file in written {
            let (path, hash, length) = file?;
            self.bytes += length;
            self.hashes.insert(path, hash);
        }
        Ok(())
    }

    /// Writes the manifest and puts the site in its place.
    ///
    /// # Errors
    /// When the disk fails, or somebody put something into the old site since; the old site is then whole.
    pub(crate) fn finish(self) -> Result<Written, WriteError> {
        let manifest = manifest::manifest(&self.hashes);
        let bytes = self.bytes + put(&self.workplace.made().join(MANIFEST), manifest.as_bytes())?;
        let files = self.hashes.len() + 1;
        let writing = live::writing();
        place::may_replace(&self.place)?;
        swap::swap(&Machine, &self.workplace, &self.place)?;
        drop(writing);
        Ok(Written { place: self.place, files, bytes })
    }

    /// Makes a folder of the site with those above it, once.
    fn make_folder(&mut self, folder: &Path) -> Result<(), WriteError> {
        if self.folders.contains(folder) {
            return Ok(());
        }
        let made = self.workplace.made();
        if let Some(above) = folder.parent().filter(|_| folder != made) {
            self.make_folder(above)?;
        }
        let _writing = live::writing();
        let failed = || WriteError::io("cannot make the folder", folder);
        std::fs::create_dir_all(folder).map_err(failed())?;
        open_to_readers(folder, true).map_err(failed())?;
        self.folders.insert(folder.to_owned());
        Ok(())
    }
}

fn put(target: &Path, bytes: &[u8]) -> Result<u64, WriteError> {
    let _writing = live::writing();
    std::fs::write(target, bytes).map_err(WriteError::io("cannot write", target))?;
    open_to_readers(target, false).map_err(WriteError::io("cannot open to readers", target))?;
    Ok(u64::try_from(bytes.len()).unwrap_or(u64::MAX))
}
