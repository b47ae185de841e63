//! Does something again after every save.

use super::Exit;
use super::terminal::Terminal;
use crate::write;
use notify::RecursiveMode;
use notify_debouncer_full::{DebounceEventResult, DebouncedEvent, new_debouncer};
use std::path::Path;
use std::sync::mpsc::{self, RecvTimeoutError};
use std::time::{Duration, SystemTime};

/// Editors write a file in several goes; what comes within this time is one save.
const QUIET: Duration = Duration::from_millis(150);

/// How often it is looked whether the folder is still the one that is watched: the system tells nothing of a folder
/// that was made anew in the place of another.
const LOOK: Duration = Duration::from_millis(400);

/// Does it once, then again after every save below a folder, until the program is ended or what it prints does not
/// arrive any more. Where the folder goes away and comes again, it is watched again.
pub(super) fn on_save(folder: &Path, terminal: &Terminal, mut again: impl FnMut(&Path) -> Exit) -> Exit {
    let cannot = |error: &dyn std::fmt::Display| {
        terminal.fail(Exit::Machine, &format!("cannot watch `{}`: {error}", folder.display()))
    };
    let full = match folder.canonicalize() {
        Ok(full) => full,
        Err(error) => return cannot(&error),
    };
    loop {
        // The watch stands before the first run, so that nothing that is saved meanwhile is missed.
        let (sender, saves) = mpsc::channel();
        let (known, watching) = (identity(&full), watching(&full, sender));
        let Some(known) = known else {
            terminal.say(&format!("`{}` is gone; waiting until it is there again", folder.display()));
            match wait_for(&full, terminal) {
                Some(exit) => return exit,
                None => continue,
            }
        };
        let _watching = match watching {
            Ok(watching) => watching,
            // It went away meanwhile.
            Err(_) if identity(&full).is_none() => continue,
            Err(error) => return cannot(&error),
        };
        // A working folder that was made anew is another than that in which the program stands.
        let named = identity(folder).as_ref() == Some(&known);
        let mut run = || {
            again(if named { folder } else { &full });
            terminal.say(&format!("waiting for a save below `{}`; Ctrl-C ends", folder.display()));
            terminal.ended()
        };
        if let Some(exit) = run() {
            return exit;
        }
        loop {
            match saves.recv_timeout(LOOK) {
                _ if identity(&full).as_ref() != Some(&known) => break,
                Ok(Ok(events)) if events.iter().any(|event| takes_away(&full, event)) => break,
                Ok(Ok(events)) if events.iter().any(|event| matters(&full, event)) => {
                    if let Some(exit) = run() {
                        return exit;
                    }
                }
                Ok(Ok(_)) | Err(RecvTimeoutError::Timeout) => {}
                Ok(Err(errors)) => {
                    let said: Vec<String> = errors.iter().map(ToString::to_string).collect();
                    return cannot(&said.join("; "));
                }
                Err(RecvTimeoutError::Disconnected) => {
                    return cannot(&"the system tells of no saves any more");
                }
            }
        }
    }
}

/// Waits until a folder is there again; ends where nobody reads what is said meanwhile.
fn wait_for(folder: &Path, terminal: &Terminal) -> Option<Exit> {
    while identity(folder).is_none() {
        if terminal.ended().is_some() {
            return terminal.ended();
        }
        std::thread::sleep(LOOK);
    }
    None
}

/// What tells a folder from another in its place; none where there is no folder.
type Identity = (u64, u64, Option<SystemTime>);

fn identity(folder: &Path) -> Option<Identity> {
    let data = std::fs::metadata(folder).ok().filter(std::fs::Metadata::is_dir)?;
    #[cfg(unix)]
    let known = {
        use std::os::unix::fs::MetadataExt as _;
        // A system may give the number of what is gone to what comes next, so the time of its making counts too.
        (data.dev(), data.ino(), data.created().ok())
    };
    // Elsewhere a folder that is watched cannot be deleted while it is.
    #[cfg(not(unix))]
    let known = (0, 0, data.created().ok());
    Some(known)
}

/// What keeps the watch of a folder.
fn watching(folder: &Path, sender: mpsc::Sender<DebounceEventResult>) -> notify::Result<impl Sized> {
    let mut watching = new_debouncer(QUIET, None, sender)?;
    watching.watch(folder, RecursiveMode::Recursive)?;
    Ok(watching)
}

/// Whether the folder itself was deleted, with which its watch ends.
fn takes_away(folder: &Path, event: &DebouncedEvent) -> bool {
    event.kind.is_remove() && event.paths.iter().any(|path| path == folder)
}

/// Whether something was changed, not merely opened, in a file that a manual is read from: neither hidden nor
/// part of a site that was bound inside it.
fn matters(folder: &Path, event: &DebouncedEvent) -> bool {
    !event.kind.is_access() && event.paths.iter().any(|path| is_read(folder, path))
}

fn is_read(folder: &Path, path: &Path) -> bool {
    let Ok(below) = path.strip_prefix(folder) else { return true };
    let hidden = |name: &std::ffi::OsStr| name.as_encoded_bytes().starts_with(b".");
    !below.iter().any(hidden)
        && !below
            .ancestors()
            .filter(|part| !part.as_os_str().is_empty())
            .any(|part| write::is_site(&folder.join(part)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hidden_files_are_no_part_of_a_manual() {
        let folder = Path::new("/home/.keep/manual");
        assert!(is_read(folder, Path::new("/home/.keep/manual/doors/lining.md")));
        assert!(!is_read(folder, Path::new("/home/.keep/manual/doors/.lining.md.swp")));
        assert!(!is_read(folder, Path::new("/home/.keep/manual/.git/index")));
    }
}
