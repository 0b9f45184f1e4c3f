//! The `handround` command: demo and serve.
fn main() {}
