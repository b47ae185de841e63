//! The hidden folder beside a site's place in which one run makes the new site, and what becomes of such folders
//! whose run was killed.
//!
//! It holds `lock`, which its run keeps locked while it lives; `made`, the new site, or after an exchange the old
//! one; and `left/NAME`, the old site between two renames where the system has no exchange. So whatever a killed
//! run leaves can be put right by the next one, which tells a dead run from a live one by the lock alone.

use super::disk::{Disk, Machine};
use super::error::WriteError;
use super::live;
use std::ffi::OsStr;
use std::fs::{File, OpenOptions, TryLockError};
use std::io;
use std::path::{Path, PathBuf};

const PREFIX: &str = ".benchleaf-";
/// The letters and digits after the prefix that tell one run's folder from another's.
const RANDOM: usize = 6;
const LOCK: &str = "lock";
const MADE: &str = "made";
const LEFT: &str = "left";
/// How often a folder is made anew when another run takes it for a dead one's just before it is locked.
const ATTEMPTS: usize = 100;

/// The folder of this run; it goes away when this is dropped.
#[derive(Debug)]
pub(super) struct Workplace {
    folder: PathBuf,
    _lock: File,
}

impl Workplace {
    /// Makes the folder in `parent`, with an empty folder for the new site in it.
    pub(super) fn make(parent: &Path) -> io::Result<Workplace> {
        for _ in 0..ATTEMPTS {
            let folder =
                tempfile::Builder::new().prefix(PREFIX).rand_bytes(RANDOM).tempdir_in(parent)?.keep();
            live::add(&folder);
            match lock(&folder).and_then(|lock| std::fs::create_dir(folder.join(MADE)).map(|()| lock)) {
                Ok(lock) => return Ok(Workplace { folder, _lock: lock }),
                // Another run found the folder before its lock, and cleared it away.
                Err(error) if matches!(error.kind(), io::ErrorKind::NotFound | io::ErrorKind::WouldBlock) => {
                    live::forget(&folder);
                }
                Err(error) => {
                    live::end(&folder, settle);
                    return Err(error);
                }
            }
        }
        Err(io::ErrorKind::ResourceBusy.into())
    }

    /// Where the new site is made.
    pub(super) fn made(&self) -> PathBuf {
        self.folder.join(MADE)
    }

    /// Where the old site of a place waits between two renames.
    pub(super) fn left(&self, place: &Path) -> io::Result<PathBuf> {
        let left = self.folder.join(LEFT);
        match std::fs::create_dir(&left) {
            Err(error) if error.kind() != io::ErrorKind::AlreadyExists => return Err(error),
            _ => {}
        }
        Ok(left.join(place.file_name().unwrap_or(OsStr::new(MADE))))
    }
}

impl Drop for Workplace {
    fn drop(&mut self) {
        live::end(&self.folder, settle);
    }
}

/// Makes and takes the lock of a folder. A file system without locks has a folder that no other run will touch,
/// because it cannot tell that this one is dead.
fn lock(folder: &Path) -> io::Result<File> {
    let path = folder.join(LOCK);
    let lock = File::create_new(&path)?;
    match lock.try_lock() {
        Err(TryLockError::WouldBlock) => Err(io::ErrorKind::WouldBlock.into()),
        Ok(()) | Err(TryLockError::Error(_)) if path.try_exists()? => Ok(lock),
        Ok(()) | Err(TryLockError::Error(_)) => Err(io::ErrorKind::NotFound.into()),
    }
}

/// Puts right what killed runs left in `parent`: an old site that was moved away goes back where its place is
/// empty, and the rest is deleted. The folders of live runs, and what only looks like ours, stay.
///
/// # Errors
/// When an old site cannot be put back. What cannot be deleted is litter and no fault.
pub(super) fn recover(disk: &impl Disk, parent: &Path) -> Result<(), WriteError> {
    let Ok(entries) = std::fs::read_dir(parent) else {
        return Ok(());
    };
    for entry in entries.flatten() {
        let is_folder = entry.file_type().is_ok_and(|kind| kind.is_dir());
        if is_folder && is_named_as_ours(&entry.file_name()) {
            let folder = entry.path();
            recover_one(disk, &folder)
                .map_err(WriteError::io("cannot put back the site kept in", &folder))?;
        }
    }
    Ok(())
}

fn is_named_as_ours(name: &OsStr) -> bool {
    let random = name.to_str().and_then(|name| name.strip_prefix(PREFIX));
    random.is_some_and(|random| random.len() == RANDOM && random.bytes().all(|c| c.is_ascii_alphanumeric()))
}

fn recover_one(disk: &impl Disk, folder: &Path) -> io::Result<()> {
    // A run that was killed before its lock, or after the rest was deleted, leaves an empty folder: that alone
    // can be deleted so.
    if std::fs::remove_dir(folder).is_ok() {
        return Ok(());
    }
    let Ok(entries) = std::fs::read_dir(folder) else {
        return Ok(());
    };
    let known = [LOCK, MADE, LEFT];
    if entries.flatten().any(|entry| !known.iter().any(|known| entry.file_name() == *known)) {
        return Ok(());
    }
    let Ok(lock) = OpenOptions::new().read(true).write(true).open(folder.join(LOCK)) else {
        return Ok(());
    };
    if lock.try_lock().is_err() {
        return Ok(());
    }
    settle_on(disk, folder)
}

/// Ends a folder: see [`settle_on`]. An old site that cannot be put back stays where the next run finds it.
pub(super) fn settle(folder: &Path) {
    let _ = settle_on(&Machine, folder);
}

/// Puts the old site back where its place is empty, then deletes the folder, the lock last: who finds the lock
/// knows the folder for ours however far this came.
fn settle_on(disk: &impl Disk, folder: &Path) -> io::Result<()> {
    let parent = folder.parent().unwrap_or(Path::new("."));
    for left in std::fs::read_dir(folder.join(LEFT)).into_iter().flatten().flatten() {
        let place = parent.join(left.file_name());
        if !std::fs::exists(&place)? {
            disk.rename(&left.path(), &place)?;
        }
    }
    for part in [LEFT, MADE] {
        match disk.remove(&folder.join(part)) {
            Err(error) if error.kind() != io::ErrorKind::NotFound => return Ok(()),
            _ => {}
        }
    }
    let _ = std::fs::remove_file(folder.join(LOCK));
    let _ = std::fs::remove_dir(folder);
    Ok(())
}
