//! The stores: what the shop keeps. Each kind is declared in a file of its own and listed in [`register`];
//! reading, faults, references, registers, search and the handbook follow from the declaration.

mod cables;
mod consumables;
mod declaration;
mod fasteners;
mod fuses;
mod hazards;
mod joins;
mod line;
mod parts;
mod protection;
mod register;
mod services;
mod sleeves;
mod tools;
mod words;

pub use declaration::{Declaration, EVERY_LINE, FIGURE, Register};
pub use line::{Figure, Line, Stores};
pub use register::Store;
