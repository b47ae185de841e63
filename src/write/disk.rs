//! What the exchange of two sites asks of the system: a seam, so that a test can refuse or stop at each of it.

use std::io;
use std::path::Path;

/// The moves of a folder.
pub(super) trait Disk {
    /// Lets two folders change places in one step, so that each path names one of them at every moment.
    ///
    /// # Errors
    /// `Unsupported` or `InvalidInput` where the system or the file system has no such step; `NotFound` where
    /// one of the two is missing.
    fn exchange(&self, one: &Path, other: &Path) -> io::Result<()>;

    /// Gives a folder another path. An empty folder there is replaced, a full one is not.
    ///
    /// # Errors
    /// As the system has them.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()>;

    /// Deletes a folder with all that it holds.
    ///
    /// # Errors
    /// As the system has them; part of it may be gone then.
    fn remove(&self, folder: &Path) -> io::Result<()>;
}

/// The machine's own.
pub(super) struct Machine;

impl Disk for Machine {
    #[cfg(any(target_os = "linux", target_os = "macos"))]
    fn exchange(&self, one: &Path, other: &Path) -> io::Result<()> {
        use rustix::fs::{CWD, RenameFlags, renameat_with};
        Ok(renameat_with(CWD, one, CWD, other, RenameFlags::EXCHANGE)?)
    }

    #[cfg(not(any(target_os = "linux", target_os = "macos")))]
    fn exchange(&self, _: &Path, _: &Path) -> io::Result<()> {
        Err(io::ErrorKind::Unsupported.into())
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        std::fs::rename(from, to)
    }

    fn remove(&self, folder: &Path) -> io::Result<()> {
        std::fs::remove_dir_all(folder)
    }
}

/// Lets everybody read a folder or a file that was made, whatever the umask: a web server on the intranet reads
/// as another user.
#[cfg(unix)]
pub(super) fn open_to_readers(path: &Path, is_folder: bool) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    let mode = if is_folder { 0o755 } else { 0o644 };
    std::fs::set_permissions(path, std::fs::Permissions::from_mode(mode))
}

/// Elsewhere a file takes its rights from the folder that holds it.
#[cfg(not(unix))]
pub(super) fn open_to_readers(_: &Path, _: bool) -> io::Result<()> {
    Ok(())
}

/// Whether this user may make and delete things in a folder.
#[cfg(unix)]
pub(super) fn may_change(folder: &Path) -> io::Result<()> {
    use rustix::fs::{Access, access};
    Ok(access(folder, Access::WRITE_OK | Access::EXEC_OK)?)
}

/// Elsewhere only the attempt tells.
#[cfg(not(unix))]
pub(super) fn may_change(_: &Path) -> io::Result<()> {
    Ok(())
}

/// Whether another file system begins at a folder.
#[cfg(unix)]
pub(super) fn is_mounted(folder: &Path, parent: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let device = |path: &Path| std::fs::metadata(path).map(|data| data.dev()).ok();
    device(folder) != device(parent)
}

/// Elsewhere only the attempt tells.
#[cfg(not(unix))]
pub(super) fn is_mounted(_: &Path, _: &Path) -> bool {
    false
}
