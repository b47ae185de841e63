//! Values with units: what a technician writes, read exactly, converted once, printed plainly.
//!
//! A [`Quantity`] is a number, a [`Unit`] and perhaps a tolerance. A [`Range`] has two ends. Every unit is
//! an exact rational multiple of the coherent SI unit of its [`Dimension`], so that a conversion rounds
//! once. Faults are a [`QuantityError`], one sentence that says what to write instead.
//!
//! ```
//! use benchleaf::quantity::{Quantity, unit};
//! let width = Quantity::parse("3/8 in").unwrap();
//! assert_eq!(width.in_unit(unit("mm").unwrap()).unwrap(), 9.525);
//! ```

mod amount;
mod bound;
mod dimension;
mod error;
mod gauge;
mod number;
pub mod print;
mod range;
mod table;
mod unit;

pub use amount::Quantity;
pub use bound::Bound;
pub use dimension::Dimension;
pub use error::QuantityError;
pub use gauge::{gauge_area, gauge_name};
pub use number::parse_number;
pub use range::Range;
pub use table::{MILLIMETRE, ONE, house_unit, unit, units};
pub use unit::Unit;
