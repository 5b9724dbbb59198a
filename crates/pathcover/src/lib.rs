//! pathcover: to come.
