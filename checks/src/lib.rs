//! Tests that need more than one crate.
