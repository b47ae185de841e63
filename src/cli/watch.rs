//! Does something again after every save.

use super::Exit;
use super::terminal::Terminal;
use crate::write;
use notify::RecursiveMode;
use notify_debouncer_full::{DebounceEventResult, DebouncedEvent, new_debouncer};
use std::path::{Path, PathBuf};
use std::sync::mpsc;
use std::time::Duration;

/// Editors write a file in several goes; what comes within this time is one save.
const QUIET: Duration = Duration::from_millis(150);

/// Does it once, then again after every save below a folder, until the program is ended.
pub(super) fn on_save(folder: &Path, terminal: &Terminal, mut again: impl FnMut() -> Exit) -> Exit {
    let (sender, saves) = mpsc::channel();
    // The watch stands before the first run, so that nothing that is saved meanwhile is missed.
    let (below, _watching) = match watching(folder, sender) {
        Ok(both) => both,
        Err(error) => {
            return terminal.fail(Exit::Machine, &format!("cannot watch `{}`: {error}", folder.display()));
        }
    };
    let waiting = format!("waiting for a save below `{}`; Ctrl-C ends", folder.display());
    again();
    terminal.say(&waiting);
    for batch in saves {
        match batch {
            Ok(events) if events.iter().any(|event| matters(&below, event)) => {
                again();
                terminal.say(&waiting);
            }
            Ok(_) => {}
            Err(errors) => {
                let said: Vec<String> = errors.iter().map(ToString::to_string).collect();
                return terminal.fail(Exit::Machine, &said.join("; "));
            }
        }
    }
    Exit::Done
}

/// The folder in full, by which saves are reported, and what keeps the watch.
fn watching(
    folder: &Path,
    sender: mpsc::Sender<DebounceEventResult>,
) -> notify::Result<(PathBuf, impl Sized)> {
    let folder = folder.canonicalize()?;
    let mut watching = new_debouncer(QUIET, None, sender)?;
    watching.watch(&folder, RecursiveMode::Recursive)?;
    Ok((folder, watching))
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
