//! Words as stitches: a quote or a name becomes a [`Block`] of cells that a caller lays on a chart or
//! makes a chart of.
//!
//! [`set`] does the work: it takes the text, a [`Face`] and a [`Style`]. The face is either built in
//! (designs drawn cell by cell, 5 rows high and up) or a TrueType or OpenType file of the person's,
//! whose strokes are moved onto whole stitches.
//!
//! *Heights* are those of a capital letter without accent, in rows. Accents stand above that and tails
//! hang below the line, and the block grows by what the text needs of both: every line of a block
//! takes the same rows, at least the capitals' height above the line the letters stand on.
//!
//! *Which way up*: a chart shows the right side of the fabric as it is seen, whichever hand holds the
//! hook, so a block reads from its left and is never mirrored; the first line of text is at the top.
//! Rows are [`model::RowIndex`]es, which count from the bottom as a chart's do.
//!
//! Letters are set one after another from left to right. Scripts that join or reorder their letters,
//! or run from right to left, are refused by name rather than drawn wrong.

mod block;
mod compact;
mod error;
mod face;
mod grid;
mod outline;
mod setting;
mod snap;
mod text;

pub use block::Block;
pub use error::{Fits, LetteringError, MissingLetter, Place};
pub use face::{Face, Weight};
pub use setting::{Align, MAX_CELLS, MAX_GAP, MAX_HEIGHT, MIN_HEIGHT, Spacing, Style, set};
pub use text::MAX_CHARACTERS;
