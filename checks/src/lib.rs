//! Tests that need more than one crate.

pub mod brute_force;
pub mod circulation;
pub mod naive;
pub mod random;
pub mod read_back;
pub mod reader;
pub mod told;
