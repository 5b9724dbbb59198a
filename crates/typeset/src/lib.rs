//! typeset: to come.
