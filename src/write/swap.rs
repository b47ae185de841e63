//! The new site takes its place.

use super::disk::Disk;
use super::error::WriteError;
use super::workplace::Workplace;
use std::io;
use std::path::Path;

/// How often a place is tried at which another run puts its own site at the same moment.
const ATTEMPTS: usize = 100;

/// Puts the site that was made in its place. Where the system can exchange two folders, a reader finds a whole site
/// there at every moment; elsewhere the old one is moved away first, and put back if the new one cannot follow.
///
/// # Errors
/// When the place cannot be changed; the old site then stands there.
pub(super) fn swap(disk: &impl Disk, workplace: &Workplace, place: &Path) -> Result<(), WriteError> {
    let failed = |error| WriteError::at(place, place.parent().unwrap_or(place), error);
    for _ in 0..ATTEMPTS {
        let done = match disk.exchange(&workplace.made(), place) {
            Ok(()) => true,
            Err(error) if error.kind() == io::ErrorKind::NotFound => {
                settled(disk.rename(&workplace.made(), place)).map_err(failed)?
            }
            Err(error) if is_refused(&error) => by_renames(disk, workplace, place).map_err(failed)?,
            Err(error) => return Err(failed(error)),
        };
        if done {
            return Ok(());
        }
    }
    Err(failed(io::ErrorKind::AlreadyExists.into()))
}

/// Whether the system, or this file system, has no exchange.
fn is_refused(error: &io::Error) -> bool {
    matches!(error.kind(), io::ErrorKind::Unsupported | io::ErrorKind::InvalidInput)
}

/// Whether a rename came about; it did not where another run's site came to stand there just before.
fn settled(renamed: io::Result<()>) -> io::Result<bool> {
    match renamed {
        Ok(()) => Ok(true),
        Err(error)
            if matches!(error.kind(), io::ErrorKind::DirectoryNotEmpty | io::ErrorKind::AlreadyExists) =>
        {
            Ok(false)
        }
        Err(error) => Err(error),
    }
}

/// Moves the old site away, then the new one there; whether that came about.
fn by_renames(disk: &impl Disk, workplace: &Workplace, place: &Path) -> io::Result<bool> {
    let left = workplace.left(place)?;
    match disk.rename(place, &left) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(error),
        _ => {}
    }
    let renamed = settled(disk.rename(&workplace.made(), place));
    if !matches!(renamed, Ok(true)) && std::fs::exists(&left)? {
        // The old site goes back, unless another run's newer one stands there by now.
        if std::fs::exists(place)? {
            disk.remove(&left)?;
        } else {
            disk.rename(&left, place)?;
        }
    }
    renamed
}
