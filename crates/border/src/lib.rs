//! A border that lies flat.
