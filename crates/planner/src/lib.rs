//! planner: to come.
