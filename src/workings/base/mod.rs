//! What every working is made of: its declaration, what it is given, what it answers or refuses.

pub(crate) mod declaration;
pub(crate) mod given;
pub(crate) mod nouns;
pub(crate) mod outcome;
pub(crate) mod refusal;
pub(crate) mod settle;
pub(crate) mod working;
