//! Which folder is the manual: the one that is named, else the one here or above that holds shop.yaml, else
//! `procedures` here.

use super::Exit;
use super::terminal::Terminal;
use crate::Run;
use std::path::{Path, PathBuf};

/// A manual's folder, and how it was found.
pub(super) struct Found {
    /// The folder.
    pub(super) folder: PathBuf,
    /// Whether it was found by looking up from here.
    pub(super) above: bool,
    /// The file that was named, below the folder with `/` between its parts.
    pub(super) file: Option<String>,
}

/// Finds the manual's folder. Where a file is named, the manual is the one that holds it.
pub(super) fn find(named: Option<&Path>) -> Result<Found, String> {
    let here = std::env::current_dir().map_err(|error| format!("there is no working folder: {error}"))?;
    if let Some(named) = named {
        return match std::fs::metadata(named) {
            Ok(data) if data.is_dir() => Ok(Found { folder: named.to_owned(), above: false, file: None }),
            Ok(_) => holding(named, &here),
            Err(error) => Err(format!("`{}` cannot be opened: {error}", named.display())),
        };
    }
    if let Some(folder) = above(&here) {
        let above = folder != here;
        return Ok(Found { folder: shortened(folder, &here), above, file: None });
    }
    let procedures = Path::new("procedures");
    if procedures.join("shop.yaml").is_file() {
        return Ok(Found { folder: procedures.to_owned(), above: false, file: None });
    }
    Err("no manual here: neither this folder, one above it nor `procedures` holds a shop.yaml; name the folder".to_owned())
}

/// The manual that holds a file.
fn holding(file: &Path, here: &Path) -> Result<Found, String> {
    let full = here.join(file).canonicalize();
    let full = full.map_err(|error| format!("`{}` cannot be opened: {error}", file.display()))?;
    let folder = full.parent().and_then(above).ok_or_else(|| {
        format!("`{}` lies in no manual: no folder above it holds a shop.yaml", file.display())
    })?;
    let below = full.strip_prefix(folder).unwrap_or(&full);
    let parts: Vec<String> = below.iter().map(|part| part.to_string_lossy().into_owned()).collect();
    Ok(Found { folder: shortened(folder, here), above: false, file: Some(parts.join("/")) })
}

/// The nearest folder, this one or above, that holds a shop.yaml.
fn above(here: &Path) -> Option<&Path> {
    here.ancestors().find(|folder| folder.join("shop.yaml").is_file())
}

/// Paths in messages stay short where the manual lies here.
fn shortened(folder: &Path, here: &Path) -> PathBuf {
    if folder == here { PathBuf::from(".") } else { folder.to_owned() }
}

/// Reads the manual, or says why not. A file that is named stands for the manual that holds it.
pub(super) fn read(named: Option<&Path>, terminal: &Terminal) -> Result<Run, Exit> {
    let found = find(named).map_err(|why| terminal.fail(Exit::Usage, &why))?;
    open(&found.folder, terminal)
}

/// Reads the manual in a folder, or says why not.
pub(super) fn open(folder: &Path, terminal: &Terminal) -> Result<Run, Exit> {
    Run::read(folder).map_err(|error| {
        terminal.fail(Exit::Machine, &format!("cannot read `{}`: {error}", folder.display()))
    })
}
