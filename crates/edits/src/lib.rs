//! Changes of a chart, each a named operation.
