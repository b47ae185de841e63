//! The shop: whose manual it is, its language, units and limits.

use crate::model::Place;
use crate::model::key::{Form, Key, may, must};

/// Languages that the furniture of the pages is written in.
pub const LANGUAGES: &[&str] = &["en", "nl", "de", "fr", "es"];

/// The keys of `shop.yaml`.
pub const SHOP: &[Key] = &[
    must("id", Form::Id, "names what the browser keeps of this manual", "quay-garage"),
    must("name", Form::Text, "printed on every page", "Quay Garage"),
    may("language", Form::Word(LANGUAGES), "language of the pages' furniture; `en` where missing", "en"),
    may("units", Form::Map(UNITS), "the units that figures are shown in", "{length: mm, torque: N·m}"),
    may("second-units", Form::Map(UNITS), "units shown beside these on wish", "{length: in, torque: lbf·ft}"),
    may("paper", Form::Word(&["A4", "Letter"]), "the paper of sheets; `A4` where missing", "A4"),
    may("currency", Form::Text, "ISO 4217 code of the currency of prices; `EUR` where missing", "EUR"),
    may("signal-words", Form::Word(&["ANSI Z535.6"]), "the standard of the signal words", "ANSI Z535.6"),
    may(
        "browsers",
        Form::Map(BROWSERS),
        "oldest browsers that the pages must serve",
        "{chrome: 90, safari: 14}",
    ),
    may("limits", Form::Map(LIMITS), "sizes above which the manual is refused", "{file: 2 MB, figure: 5 MB}"),
];

/// The units that a shop may choose.
const UNITS: &[Key] = &[
    may("length", Form::Unit("mm"), "unit of lengths", "mm"),
    may("torque", Form::Unit("N·m"), "unit of torques", "N·m"),
    may("temperature", Form::Unit("°C"), "unit of temperatures", "degC"),
];

/// The browsers of the three engines, by their major versions.
const BROWSERS: &[Key] = &[
    may("chrome", Form::Count(10_000), "90 where missing", "90"),
    may("firefox", Form::Count(10_000), "90 where missing", "90"),
    may("safari", Form::Count(10_000), "14 where missing", "14"),
];

/// What a manual may hold at most.
const LIMITS: &[Key] = &[
    may("file", Form::Size, "a text file; 2 MB where missing", "2 MB"),
    may("figure", Form::Size, "a figure; 5 MB where missing", "5 MB"),
    may("procedures", Form::Count(1_000_000), "number of procedures; 20000 where missing", "20000"),
    may(
        "carried",
        Form::Count(100_000_000),
        "steps that procedures carry out of others, for every combination of parameters; 500000 where missing",
        "500000",
    ),
    may(
        "cells",
        Form::Count(1_000_000),
        "values and columns of all tables, in each row; 5000 where missing",
        "5000",
    ),
    may(
        "wires",
        Form::Count(1_000_000),
        "wires of all written bundles of more than four, in each row of a table; 5000 where missing",
        "5000",
    ),
];

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
    /// Steps of other procedures on all routes.
    pub carried: u64,
    /// Values and columns of the tables, each counted once for every row.
    pub cells: u64,
    /// Wires of written bundles for which an arrangement is searched.
    pub wires: u64,
}

impl Default for Limits {
    fn default() -> Limits {
        Limits {
            file: 2 * 1024 * 1024,
            figure: 5 * 1024 * 1024,
            procedures: 20_000,
            carried: 500_000,
            cells: 5_000,
            wires: 5_000,
        }
    }
}
