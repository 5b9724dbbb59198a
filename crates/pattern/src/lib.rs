//! pattern: to come.
