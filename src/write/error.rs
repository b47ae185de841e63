//! Why a site was not written, in words that say what to do instead.

use std::io;
use std::path::{Path, PathBuf};

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
    /// The folder that the site is to stand in is missing.
    #[error(
        "`{place}` cannot be made, because the folder `{parent}` is not there; make that folder first, or name another with --into"
    )]
    NoParent {
        /// The site.
        place: PathBuf,
        /// The folder that should hold it.
        parent: PathBuf,
    },
    /// The place is where another file system is mounted, so that no folder can be exchanged for it.
    #[error(
        "`{0}` cannot be exchanged for the new site, because a disk is mounted there; name a folder inside it with --into, such as `{shown}`",
        shown = .0.join("manual").display()
    )]
    Mounted(PathBuf),
    /// Somebody else's folder, or one on a disk that is read only.
    #[error(
        "the site cannot be put at `{place}`, because `{folder}` may not be changed ({error}); name another folder with --into, or ask its owner"
    )]
    Locked {
        /// The site.
        place: PathBuf,
        /// The folder that may not be changed.
        folder: PathBuf,
        /// What the system said.
        error: io::Error,
    },
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
    /// Keeps what was being done, and to what, beside what the system said.
    pub(super) fn io(doing: &'static str, path: &Path) -> impl FnOnce(io::Error) -> WriteError {
        let path = path.to_owned();
        move |error| WriteError::Io { doing, path, error }
    }

    /// What the system said when something was to be put at `place` by changing `folder`.
    pub(super) fn at(place: &Path, folder: &Path, error: io::Error) -> WriteError {
        use io::ErrorKind::{CrossesDevices, PermissionDenied, ReadOnlyFilesystem, ResourceBusy};
        match error.kind() {
            ResourceBusy | CrossesDevices => WriteError::Mounted(place.to_owned()),
            PermissionDenied | ReadOnlyFilesystem => {
                WriteError::Locked { place: place.to_owned(), folder: folder.to_owned(), error }
            }
            _ => WriteError::io("cannot put the site at", place)(error),
        }
    }

    /// Whether another place would do, so that the command line was wrong and not the machine.
    pub fn is_the_place(&self) -> bool {
        !matches!(self, WriteError::Locked { .. } | WriteError::Io { .. })
    }
}
