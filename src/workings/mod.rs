//! The workings: engineering computations with names, typed inputs, formulas, limits and sources.
//!
//! A caller finds a working in the [`register()`], hands what was written to [`settle()`], and gives the
//! settled inputs to [`Working::work`]. Everything else (lists, schemas, pages) follows from the
//! [`Declaration`]. Workings touch no files and print nothing.
//!
//! ```
//! use benchleaf::workings::{Offered, Stock, find, settle};
//! use std::collections::BTreeMap;
//! let bundle = find("bundle").unwrap();
//! let offered = BTreeMap::from([("diameters".to_owned(), Offered::Text("2mm,2mm,2mm".to_owned()))]);
//! let given = settle(bundle.declaration(), &offered, &Stock::default()).unwrap();
//! let outcome = bundle.work(&given).unwrap();
//! assert!((outcome.number("diameter").unwrap() - 4.3094).abs() < 1e-4);
//! ```

mod base;
mod bundle;
mod coax_impedance;
mod coax_strip;
mod convert;
mod cut_length;
mod formula;
mod fuse;
mod insert;
mod join_or_replace;
mod joint;
mod line_joint;
mod register;
pub mod science;
mod sleeve;
mod stagger;
mod stock_cut;
mod torque;
mod total;
mod wire;
mod wrap;

pub use crate::quantity::Bound;
pub use base::declaration::{Declaration, Example, Formula, Input, Kind, Output};
pub use base::given::{Given, Measure, Settled};
pub use base::nouns::{Cable, Service, Sleeve, Stock};
pub use base::outcome::{Circle, Member, Outcome, Section, Value};
pub use base::refusal::Refusal;
pub use base::settle::{Offered, settle};
pub use base::working::Working;
pub(crate) use bundle::MOST as MOST_WIRES;
pub use register::{find, register};
