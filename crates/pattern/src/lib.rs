//! From a proven plan to what a person works by: rows in words, amounts of yarn, time.
//!
//! Everything here takes a [`replay::ProvenPlan`], so a plan that was not worked stitch by stitch
//! can't be written out.

mod amounts;
mod fold;
mod hours;
mod rows;
mod summary;
mod tails;
mod wrap;

pub use amounts::{Amount, Band, amounts};
pub use hours::{Hours, Pace, hours};
pub use rows::{Terms, row, rows};
pub use summary::{summary, yarn_line};
