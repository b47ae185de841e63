//! A bind as a caller of the library does it: the one place where tests touch its interface for sites.

use benchleaf::{BindError, Run};
use std::path::Path;

/// Binds a manual into a place; an error says what stood in the way.
pub fn bind(manual: &Path, place: &Path) -> Result<(), String> {
    let run = Run::read(manual).map_err(|error| format!("{}: {error}", manual.display()))?;
    match run.bind(place) {
        Ok(_) => Ok(()),
        Err(BindError::Write(error)) => Err(error.to_string()),
        Err(BindError::Rejected(rejected)) => {
            let errors = rejected.findings().iter().filter(|finding| finding.is_error());
            let headlines = errors.map(|finding| format!("{}: {}\n", finding.code, finding.headline));
            Err(format!("the manual has faults:\n{}", headlines.collect::<String>()))
        }
    }
}
