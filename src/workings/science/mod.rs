//! The computations that several workings share. Pure functions of plain numbers in stated units.

pub mod chain;
pub(crate) mod copper;
pub(crate) mod cutting;
pub(crate) mod descent;
pub(crate) mod expression;
pub mod packing;
pub(crate) mod search;
pub(crate) mod stations;
