//! Whether a site may be written to a place.

use super::disk::{Machine, is_mounted, may_change};
use super::error::WriteError;
use super::manifest::{MANIFEST, listed};
use super::workplace;
use std::collections::BTreeSet;
use std::io;
use std::path::Path;

/// Puts right what a killed run left beside `place`, then checks before any work is done whether a site may be
/// written there: nothing is there, an empty folder, or a site that this program made and in which nobody put
/// anything since. `manual` is the folder that the site is made from.
///
/// # Errors
/// When the place holds something else, is the manual, or holds it; when its parent is missing; when it cannot
/// be exchanged for another folder.
pub fn prepare(place: &Path, manual: &Path) -> Result<(), WriteError> {
    let absolute = |path: &Path| std::fs::canonicalize(path).or_else(|_| std::path::absolute(path));
    let (Ok(here), Ok(there)) = (absolute(place), absolute(manual)) else {
        return Err(WriteError::Tangled(place.to_owned()));
    };
    if there.starts_with(&here) {
        return Err(WriteError::Tangled(place.to_owned()));
    }
    let parent = parent(place);
    if !parent.is_dir() {
        return Err(WriteError::NoParent { place: place.to_owned(), parent: parent.to_owned() });
    }
    workplace::recover(&Machine, parent)?;
    may_change(parent).map_err(|error| WriteError::at(place, parent, error))?;
    may_replace(place)
}

/// The folder that holds a place.
pub(super) fn parent(place: &Path) -> &Path {
    match place.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    }
}

/// Checks what stands at a place: nothing, an empty folder, or a site of ours without a stranger's file that this
/// user may delete.
///
/// # Errors
/// When something else stands there.
pub(super) fn may_replace(place: &Path) -> Result<(), WriteError> {
    match std::fs::symlink_metadata(place) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(()),
        Err(error) => return Err(WriteError::io("cannot look at", place)(error)),
        Ok(data) if data.is_dir() => {}
        Ok(_) => return Err(WriteError::NotOurs(place.to_owned())),
    }
    if is_mounted(place, parent(place)) {
        return Err(WriteError::Mounted(place.to_owned()));
    }
    let is_empty = std::fs::read_dir(place).is_ok_and(|mut entries| entries.next().is_none());
    let listed = listed(place).or(is_empty.then(BTreeSet::new));
    let listed = listed.ok_or_else(|| WriteError::NotOurs(place.to_owned()))?;
    for entry in walkdir::WalkDir::new(place) {
        let entry = entry.map_err(|error| WriteError::io("cannot look through", place)(error.into()))?;
        if entry.file_type().is_dir() {
            may_change(entry.path()).map_err(|error| WriteError::at(place, entry.path(), error))?;
            continue;
        }
        let below = entry.path().strip_prefix(place).unwrap_or(entry.path());
        let file = below.iter().map(|part| part.to_string_lossy()).collect::<Vec<_>>().join("/");
        if file != MANIFEST && !listed.contains(&file) {
            return Err(WriteError::Stranger { place: place.to_owned(), file });
        }
    }
    Ok(())
}
