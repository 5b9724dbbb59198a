//! strandwright
fn main() {}
