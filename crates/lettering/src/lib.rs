//! Words as stitches.
