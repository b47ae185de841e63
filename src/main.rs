//! The `benchleaf` command.
fn main() {}
