//! The vocabulary of Strandwright: yarn, palette, chart, gauge, lengths, rules, plan and steps.
//!
//! Everything here is plain, checked data. Nothing reads a file, knows a clock or draws anything,
//! and nothing decides: planning, replaying and writing live in crates of their own.
//!
//! Two ways of counting meet in this project and have different names: memory counts rows from 0
//! ([`RowIndex`]), people count them from 1 at the bottom ([`RowNumber`]).

mod chart;
mod colour;
mod cost;
mod gauge;
mod length;
mod plan;
mod rules;
mod yarn;

pub use chart::{Boundary, Chart, ChartError, Direction, Hand, MAX_SIDE, RowIndex, RowNumber, Run, Side};
pub use colour::{ALIKE, Lab, Srgb, SrgbError, delta_e_2000};
pub use cost::{Cost, CostError};
pub use gauge::{Gauge, GaugeError, ROW_HEIGHT_TO_STITCH_WIDTH, YarnUse};
pub use length::Length;
pub use plan::{Plan, PlanCounts, Row, ShortTail, Step, StrandClaim, StrandId, Tail, TailLine};
pub use rules::{CostTables, Limits, Never, Rules, Weights};
pub use yarn::{Ball, ColourIndex, MAX_YARNS, Palette, PaletteError, Price, WeightCategory, Yarn};
