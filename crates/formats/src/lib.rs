//! formats: to come.
