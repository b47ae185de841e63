//! What every working can do.

use crate::workings::base::declaration::Declaration;
use crate::workings::base::given::Given;
use crate::workings::base::outcome::Outcome;
use crate::workings::base::refusal::Refusal;

/// One engineering computation: it declares itself, and works out what it is given.
pub trait Working: Sync {
    /// Names, units, limits, formulas and sources.
    fn declaration(&self) -> &'static Declaration;

    /// The input whose things are packed side by side, where the best arrangement of them is searched for.
    fn packs(&self) -> Option<&'static str> {
        None
    }

    /// The answer to settled inputs.
    ///
    /// # Errors
    /// A refusal where the inputs together lie outside the limits, or where nothing fits.
    fn work(&self, given: &Given) -> Result<Outcome, Refusal>;
}
