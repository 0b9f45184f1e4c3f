//! Practice partners from outside, a terminal player and a load generator.
fn main() {}
