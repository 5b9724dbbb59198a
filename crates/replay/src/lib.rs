//! replay: to come.
