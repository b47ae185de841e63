//! The ledger: a replay of a procedure over the lives of its items, which finds whatever is left loose,
//! unplugged, cut, isolated or lost. Pure: it knows the model and nothing else.

mod book;
mod fault;
mod proposal;
mod record;
mod replay;
mod way;

pub use book::Book;
pub use fault::{Fault, Trail};
pub use proposal::{Closing, closings_of, propose};
pub use record::{Entry, Halt, Moved, Onward, Replay, Stop};
pub use replay::replay;
