//! All that a pattern on paper says, as data: what is set on pages, and what a page to take away
//! shows. How it looks is the business of `typeset`.
//!
//! Everything here is plain text, to be shown as it is and never read as markup. What a person typed
//! may hold any character.

mod closing;
mod contents;
mod how_to;
mod told;

pub use contents::{
    Booklet, BorderPart, Fact, HowTo, RowEntry, Rows, Section, WindEntry, WindLine, Word, YarnEntry,
};
pub use told::{Passing, Told, booklet};
