//! From a proven plan to what a person works by: rows in words, amounts of yarn, time.
//!
//! What is said of a plan takes a [`replay::ProvenPlan`], so a plan that was not worked stitch by
//! stitch can't be written out. What the figures mean stands in `docs/amounts.md`.

mod amounts;
mod basis;
mod days;
mod drift;
mod ends;
mod evenings;
mod fold;
mod patch;
mod rows;
mod shown;
mod summary;
mod swatch;
mod tails;
mod tally;
mod time;
mod units;
mod winding;
mod wrap;

pub use amounts::{
    Amount, AmountsError, Balls, BorderYarn, Choices, DyeLots, Finished, LotAdvice, Margin, Parts, Shrinkage,
    Takes, amounts, cost, finished,
};
pub use basis::Basis;
pub use drift::{Drift, DriftError, ENOUGH_ROWS, Remeasured, drift};
pub use ends::{End, EndOf, ends};
pub use evenings::{
    Day, Evening, Habit, InTime, MOST_EVENINGS, Schedule, ScheduleError, StillToWork, schedule,
};
pub use patch::{Lesson, Move, lessons, practice_patch};
pub use rows::{RowText, RowsInWords, Terms, row, rows, rows_in_words};
pub use shown::Units;
pub use summary::{summary, yarn_line};
pub use swatch::{
    Caution, Counted, Figure, Inside, Measured, Origin, STITCH_TO_WIDTH_BAND, Slip, SlipKind, Swatch,
    SwatchError, SwatchYarn, Taken, WHY_A_SWATCH, estimate, swatch,
};
pub use time::{
    Hours, MOST_SECONDS, MOST_STITCHES_A_MINUTE, OwnPace, Pace, PaceError, Time, hours, minutes_by_row, time,
};
pub use units::{Band, Grist, LengthUnit, Weight, WeightUnit};
pub use winding::{Entry, Grouping, Wind, WindingList, winding_list};
