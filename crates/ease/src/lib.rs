//! Charts that look right and can be worked.
//!
//! A picture cut straight to a few yarns is full of stray stitches: each costs ends, carries and
//! patience. Here the chart is looked for that makes one sum small: how much it takes from the
//! likeness, and what it costs to work by the planner's own reckoning, at what a stitch of work is
//! worth.
//!
//! ```text
//! Cells, yarns, rules, what matters ─► sketch ─► small changes ─► Chart, Plan, Look
//!                                     expand    climb, strands
//! ```
//!
//! 1. *Likeness*: the CIEDE2000 difference of each cell and its yarn, times the cell's weight
//!    ([`Importance`]), summed.
//! 2. *Sketch*: α-expansion on that and a price for every seam between two yarns.
//! 3. *Small changes*, thousands of them: the end of a run, a run, a gap, a strand or a part of one,
//!    a patch, a seam over many rows. Each is judged with the strands that would have to work it,
//!    told off anew where it lies, and kept where the sum falls. After each round the planner tells
//!    off all strands from scratch, and the round is kept only if the sum, worked out exactly, has
//!    fallen.
//!
//! Same task, same chart, on any number of threads: no clock, no chance.

mod choices;
mod climb;
mod desk;
mod easing;
mod expand;
mod flow;
mod importance;
mod look;
mod problem;
mod strands;
mod task;
#[cfg(test)]
mod trial;
mod worked;

pub use choices::{Count, Ease, Eased, choices, choices_on, ease, ease_at, ease_on, sketch_at};
pub use importance::{Fixed, Importance};
pub use look::{BLUR, Look};
pub use task::{EaseError, Task};
