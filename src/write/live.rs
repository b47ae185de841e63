//! The folders that this process is making sites in, and how they go away when a signal ends it.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::{PoisonError, RwLock, RwLockReadGuard, RwLockWriteGuard};

/// Only what is process-wide can be tidied by a signal, which knows nothing of who called what.
static LIVE: RwLock<BTreeSet<PathBuf>> = RwLock::new(BTreeSet::new());

/// A lock that a panic poisoned still holds paths, and nothing else.
fn change() -> RwLockWriteGuard<'static, BTreeSet<PathBuf>> {
    LIVE.write().unwrap_or_else(PoisonError::into_inner)
}

/// Holds a signal off while something is written: what tidies up must not race with what makes anew.
pub(super) fn writing() -> RwLockReadGuard<'static, BTreeSet<PathBuf>> {
    LIVE.read().unwrap_or_else(PoisonError::into_inner)
}

/// Notes a folder that must go when a signal comes.
pub(super) fn add(folder: &Path) {
    change().insert(folder.to_owned());
}

/// Forgets a folder that is no longer this process's.
pub(super) fn forget(folder: &Path) {
    change().remove(folder);
}

/// Ends a folder by `settle` and forgets it, with no signal in between.
pub(super) fn end(folder: &Path, settle: impl FnOnce(&Path)) {
    let mut live = change();
    settle(folder);
    live.remove(folder);
}

/// From now on an interrupt, a request to end and the loss of the terminal tidy up by `settle` before they end
/// the process, as they would have: with the signal as its exit.
#[cfg(unix)]
pub(super) fn tidy_on_signals(settle: fn(&Path)) -> std::io::Result<()> {
    use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM};
    use signal_hook::iterator::Signals;
    use signal_hook::low_level::emulate_default_handler;

    let heeded = [SIGINT, SIGTERM, SIGHUP].into_iter().filter(|signal| !is_ignored(*signal));
    let mut signals = Signals::new(heeded)?;
    std::thread::Builder::new().name("signals".into()).spawn(move || {
        if let Some(signal) = signals.forever().next() {
            // The lock is never given back: nobody writes any more until the process is gone.
            let live = change();
            live.iter().for_each(|folder| settle(folder));
            let _ = emulate_default_handler(signal);
        }
    })?;
    Ok(())
}

/// Elsewhere the next run tidies up.
#[cfg(not(unix))]
pub(super) fn tidy_on_signals(_: fn(&Path)) -> std::io::Result<()> {
    Ok(())
}

/// Whether the process was started to ignore a signal, as `nohup` and a shell's background jobs are; what was
/// ignored stays so. Known only where the system tells it in a file.
#[cfg(unix)]
fn is_ignored(signal: i32) -> bool {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    ignored(&status, signal)
}

/// Whether a signal's bit is set in the mask of ignored signals that a process's status shows.
#[cfg(unix)]
fn ignored(status: &str, signal: i32) -> bool {
    let mask = status.lines().find_map(|line| line.strip_prefix("SigIgn:"));
    let mask = mask.and_then(|mask| u64::from_str_radix(mask.trim(), 16).ok()).unwrap_or_default();
    let bit = u32::try_from(signal - 1).ok().and_then(|bit| 1_u64.checked_shl(bit)).unwrap_or_default();
    mask & bit != 0
}

#[cfg(all(test, unix))]
mod tests {
    use super::*;

    /// The masks are those that proc(5) describes: bit n − 1 stands for signal n.
    #[test]
    fn a_signal_is_ignored_by_its_bit() {
        let status =
            "Name:\tx\nSigBlk:\t0000000000000003\nSigIgn:\t0000000000000001\nSigCgt:\t0000000000000002\n";
        assert!(ignored(status, 1) && !ignored(status, 2));
        assert!(!ignored("", 1) && !ignored("SigIgn:\tffffffffffffffff\n", 0));
    }
}
