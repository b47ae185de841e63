//! The shop: whose manual it is, its language, units and limits.

use super::Place;

/// What `shop.yaml` says.
#[derive(Clone, Debug)]
pub struct Shop {
    /// Namespaces what the browser keeps.
    pub id: String,
    /// Printed name.
    pub name: String,
    /// Language of the furniture of the pages: `en`, `nl`, `de`, `fr` or `es`.
    pub language: String,
    /// Unit symbol for lengths; likewise torque and temperature.
    pub length: String,
    /// Unit symbol for torques.
    pub torque: String,
    /// Unit symbol for temperatures.
    pub temperature: String,
    /// The second unit of each kind, shown beside the first on wish: `(dimension word, unit symbol)`.
    pub second_units: Vec<(String, String)>,
    /// `A4` or `Letter`.
    pub paper: String,
    /// ISO 4217 code of the currency that prices are in.
    pub currency: String,
    /// The standard whose signal words are used.
    pub signal_words: String,
    /// Oldest browsers that the styles must serve.
    pub browsers: Browsers,
    /// Sizes above which a file is refused.
    pub limits: Limits,
    /// Where it was written.
    pub place: Place,
}

/// Oldest major versions of the three engines' browsers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "each is the browser it names")]
pub struct Browsers {
    pub chrome: u32,
    pub firefox: u32,
    pub safari: u32,
}

impl Default for Browsers {
    fn default() -> Browsers {
        Browsers { chrome: 90, firefox: 90, safari: 14 }
    }
}

/// Sizes above which the manual is refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    /// Bytes of a text file.
    pub file: u64,
    /// Bytes of a figure.
    pub figure: u64,
    /// Number of procedures.
    pub procedures: u64,
}

impl Default for Limits {
    fn default() -> Limits {
        Limits { file: 2 * 1024 * 1024, figure: 5 * 1024 * 1024, procedures: 20_000 }
    }
}
