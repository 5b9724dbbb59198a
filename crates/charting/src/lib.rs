//! charting: to come.
