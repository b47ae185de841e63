//! The computations that several workings share. Pure functions of plain numbers in stated units.

pub mod chain;
pub(crate) mod copper;
pub(crate) mod cutting;
pub(crate) mod descent;
pub(crate) mod expression;
pub(crate) mod field;
pub(crate) mod moves;
pub(crate) mod neighbours;
pub mod packing;
pub(crate) mod plan;
pub(crate) mod point;
pub(crate) mod search;
pub(crate) mod seed;
pub(crate) mod starts;
pub(crate) mod stations;
