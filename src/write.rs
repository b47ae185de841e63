//! Pages → disk: a site is written beside its place, then put there in one rename, so that a reader sees the
//! old one or the new one and never half of either.
#![allow(clippy::disallowed_methods, reason = "this module is the one that writes sites to disk")]

use rayon::prelude::*;
use sha2::{Digest, Sha256};
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

/// The file that lists every other file of a site, in the form that `sha256sum -c` reads.
pub const MANIFEST: &str = "manifest-sha256.txt";

/// A site on disk.
#[derive(Debug)]
pub struct Written {
    /// The folder.
    pub place: PathBuf,
    /// How many files.
    pub files: usize,
    /// How many bytes in all.
    pub bytes: u64,
}

/// Why a site was not written.
#[derive(Debug, thiserror::Error)]
pub enum WriteError {
    /// The place holds something that this program did not make.
    #[error(
        "`{0}` is not a site that Benchleaf made, so it is left alone; name another folder with --into, or move it away"
    )]
    NotOurs(PathBuf),
    /// A site that was made by this program, with something in it that was not.
    #[error(
        "`{place}` holds `{file}`, which Benchleaf did not write, so it is left alone; move that file away"
    )]
    Stranger {
        /// The site.
        place: PathBuf,
        /// The file, below the site.
        file: String,
    },
    /// The place is the manual, or holds it.
    #[error("`{0}` is the manual or holds it; name another folder with --into")]
    Tangled(PathBuf),
    /// The machine failed.
    #[error("{doing} `{path}`: {error}")]
    Io {
        /// What was being done.
        doing: &'static str,
        /// To what.
        path: PathBuf,
        /// What the system said.
        error: io::Error,
    },
}

impl WriteError {
    fn io(doing: &'static str, path: &Path) -> impl FnOnce(io::Error) -> WriteError {
        let path = path.to_owned();
        move |error| WriteError::Io { doing, path, error }
    }
}

/// A site that is being written, beside its place and out of every reader's sight.
#[derive(Debug)]
pub struct Draft {
    fresh: tempfile::TempDir,
    place: PathBuf,
    hashes: BTreeMap<String, String>,
    bytes: u64,
}

impl Draft {
    /// Begins a site that will replace an older one at `place`. `manual` is the folder it is made from.
    ///
    /// # Errors
    /// As [`may_replace`], or when the disk fails.
    pub fn begin(place: &Path, manual: &Path) -> Result<Draft, WriteError> {
        may_replace(place, manual)?;
        let parent = match place.parent() {
            Some(parent) if !parent.as_os_str().is_empty() => parent,
            _ => Path::new("."),
        };
        std::fs::create_dir_all(parent).map_err(WriteError::io("cannot make the folder", parent))?;
        let fresh = tempfile::Builder::new()
            .prefix(".benchleaf-")
            .tempdir_in(parent)
            .map_err(WriteError::io("cannot make a folder in", parent))?;
        open_to_readers(fresh.path()).map_err(WriteError::io("cannot open to readers", fresh.path()))?;
        Ok(Draft { fresh, place: place.to_owned(), hashes: BTreeMap::new(), bytes: 0 })
    }

    /// Writes files, side by side.
    ///
    /// # Errors
    /// When the disk fails. A draft that is dropped leaves nothing behind.
    pub fn put(&mut self, files: Vec<(String, Vec<u8>)>) -> Result<(), WriteError> {
        let root = self.fresh.path();
        let written: Vec<Result<(String, String, u64), WriteError>> = files
            .into_par_iter()
            .map(|(path, bytes)| {
                let length = put(root, &path, &bytes)?;
                Ok((path, hex(&Sha256::digest(&bytes)), length))
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
    /// When the disk fails; the old site is then whole.
    pub fn finish(self) -> Result<Written, WriteError> {
        let manifest = manifest(&self.hashes);
        let bytes = self.bytes + put(self.fresh.path(), MANIFEST, manifest.as_bytes())?;
        let files = self.hashes.len() + 1;
        swap(self.fresh, &self.place)?;
        Ok(Written { place: self.place, files, bytes })
    }
}

/// Writes a site that is held in memory to `place`, replacing an older one there.
///
/// # Errors
/// As [`Draft`]; the old site is then whole.
pub fn write(files: &BTreeMap<String, Vec<u8>>, place: &Path, manual: &Path) -> Result<Written, WriteError> {
    let mut draft = Draft::begin(place, manual)?;
    draft.put(files.iter().map(|(path, bytes)| (path.clone(), bytes.clone())).collect())?;
    draft.finish()
}

/// Checks before any work is done whether a site may be written to `place`: nothing is there, an empty folder,
/// or a site that this program made and in which nobody put anything since.
///
/// # Errors
/// When the place holds something else, is the manual, or holds it.
pub fn may_replace(place: &Path, manual: &Path) -> Result<(), WriteError> {
    let absolute = |path: &Path| std::fs::canonicalize(path).or_else(|_| std::path::absolute(path));
    let (Ok(here), Ok(there)) = (absolute(place), absolute(manual)) else {
        return Err(WriteError::Tangled(place.to_owned()));
    };
    if there.starts_with(&here) {
        return Err(WriteError::Tangled(place.to_owned()));
    }
    match std::fs::symlink_metadata(place) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(()),
        Err(error) => return Err(WriteError::io("cannot look at", place)(error)),
        Ok(data) if data.is_dir() => {}
        Ok(_) => return Err(WriteError::NotOurs(place.to_owned())),
    }
    let mut files = walkdir::WalkDir::new(place).min_depth(1).into_iter().peekable();
    if files.peek().is_none() {
        return Ok(());
    }
    let listed = listed(place).ok_or_else(|| WriteError::NotOurs(place.to_owned()))?;
    for entry in files {
        let entry = entry.map_err(|error| WriteError::io("cannot look through", place)(error.into()))?;
        let below = entry.path().strip_prefix(place).unwrap_or(entry.path());
        let file = below.iter().map(|part| part.to_string_lossy()).collect::<Vec<_>>().join("/");
        if !entry.file_type().is_dir() && file != MANIFEST && !listed.contains(&file) {
            return Err(WriteError::Stranger { place: place.to_owned(), file });
        }
    }
    Ok(())
}

/// Whether a folder is a site that this program made.
pub fn is_site(folder: &Path) -> bool {
    listed(folder).is_some()
}

/// The files that a site's manifest lists; none where the folder has no manifest of ours.
fn listed(folder: &Path) -> Option<BTreeSet<String>> {
    let manifest = std::fs::read_to_string(folder.join(MANIFEST)).ok()?;
    let path = |line: &str| {
        let (hash, path) = line.split_once("  ")?;
        (hash.len() == 64 && hash.bytes().all(|byte| byte.is_ascii_hexdigit())).then(|| path.to_owned())
    };
    let listed: BTreeSet<String> = manifest.lines().map(path).collect::<Option<_>>()?;
    listed.contains("index.html").then_some(listed)
}

/// A web server on the intranet must be able to read what was written, and a temporary folder is private.
#[cfg(unix)]
fn open_to_readers(folder: &Path) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    std::fs::set_permissions(folder, std::fs::Permissions::from_mode(0o755))
}

/// Elsewhere a folder takes its rights from the one that holds it.
#[cfg(not(unix))]
fn open_to_readers(_: &Path) -> io::Result<()> {
    Ok(())
}

fn put(root: &Path, path: &str, bytes: &[u8]) -> Result<u64, WriteError> {
    let target = path.split('/').fold(root.to_owned(), |folder, part| folder.join(part));
    if let Some(folder) = target.parent() {
        std::fs::create_dir_all(folder).map_err(WriteError::io("cannot make the folder", folder))?;
    }
    let mut file = std::fs::File::create(&target).map_err(WriteError::io("cannot write", &target))?;
    file.write_all(bytes).map_err(WriteError::io("cannot write", &target))?;
    Ok(u64::try_from(bytes.len()).unwrap_or(u64::MAX))
}

/// The manifest of a site's files by their hashes: hash, two spaces, path, sorted by path.
fn manifest(hashes: &BTreeMap<String, String>) -> String {
    hashes.iter().map(|(path, hash)| format!("{hash}  {path}\n")).collect()
}

/// The fingerprint of a manual: the first ten hexadecimal digits of the hash over every source and theme file
/// (path, length, bytes, sorted by path) and this program's version.
pub fn fingerprint<'a>(files: impl IntoIterator<Item = (&'a str, &'a [u8])>) -> String {
    let mut sorted: Vec<(&str, &[u8])> = files.into_iter().collect();
    sorted.sort_unstable();
    let mut hash = Sha256::new();
    for (path, bytes) in sorted {
        hash.update(path.as_bytes());
        hash.update([0]);
        hash.update(u64::try_from(bytes.len()).unwrap_or(u64::MAX).to_le_bytes());
        hash.update(bytes);
    }
    hash.update(env!("CARGO_PKG_VERSION").as_bytes());
    hex(&hash.finalize()).chars().take(10).collect()
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    })
}

/// Puts the fresh folder in its place; what was there is moved aside first and back if that fails.
fn swap(fresh: tempfile::TempDir, place: &Path) -> Result<(), WriteError> {
    let fresh = fresh.keep();
    let rename = |from: &Path, to: &Path| std::fs::rename(from, to);
    if !place.exists() {
        return rename(&fresh, place).map_err(|error| {
            let _ = std::fs::remove_dir_all(&fresh);
            WriteError::io("cannot put the site at", place)(error)
        });
    }
    let mut aside = fresh.clone().into_os_string();
    aside.push("-old");
    let aside = PathBuf::from(aside);
    if let Err(error) = rename(place, &aside) {
        let _ = std::fs::remove_dir_all(&fresh);
        return Err(WriteError::io("cannot move the old site away from", place)(error));
    }
    if let Err(error) = rename(&fresh, place) {
        let _ = rename(&aside, place);
        let _ = std::fs::remove_dir_all(&fresh);
        return Err(WriteError::io("cannot put the site at", place)(error));
    }
    // The new site stands; an old one that cannot be deleted is litter and no fault.
    let _ = std::fs::remove_dir_all(&aside);
    Ok(())
}
