//! Which folder is the manual: the one that is named, else the one here or above that holds shop.yaml, else
//! `procedures` here.

use super::Exit;
use super::terminal::Terminal;
use crate::Run;
use std::path::{Path, PathBuf};

/// Finds the manual's folder.
pub(super) fn find(named: Option<&Path>) -> Result<PathBuf, String> {
    if let Some(named) = named {
        return match std::fs::metadata(named) {
            Ok(data) if data.is_dir() => Ok(named.to_owned()),
            Ok(_) => Err(format!("`{}` is a file; a manual is a folder with a shop.yaml", named.display())),
            Err(error) => Err(format!("`{}` cannot be opened: {error}", named.display())),
        };
    }
    let here = std::env::current_dir().map_err(|error| format!("there is no working folder: {error}"))?;
    for (depth, folder) in here.ancestors().enumerate() {
        if folder.join("shop.yaml").is_file() {
            // Paths in messages stay short where the manual lies here.
            return Ok(if depth == 0 { PathBuf::from(".") } else { folder.to_owned() });
        }
    }
    let procedures = Path::new("procedures");
    if procedures.join("shop.yaml").is_file() {
        return Ok(procedures.to_owned());
    }
    Err("no manual here: neither this folder, one above it nor `procedures` holds a shop.yaml; name the folder".to_owned())
}

/// Reads the manual, or says why not.
pub(super) fn read(named: Option<&Path>, terminal: &Terminal) -> Result<Run, Exit> {
    let folder = find(named).map_err(|why| terminal.fail(Exit::Usage, &why))?;
    Run::read(&folder).map_err(|error| {
        terminal.fail(Exit::Machine, &format!("cannot read `{}`: {error}", folder.display()))
    })
}
