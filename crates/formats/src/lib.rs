//! The documents: charts, yarn lists, rules and plans as bytes or text, to the types of `model`
//! and back.
//!
//! Everything here is pure: bytes in, values out; no file is opened and no clock is read. What
//! comes in may be damaged or hostile: readers bound its size before they take memory for it,
//! collect the faults they find instead of stopping at the first, and never panic. The documents
//! themselves are described in `docs/formats.md`.

mod chart_csv;
mod chart_png;
mod decimal;
mod fault;
mod json_text;
mod keys;
mod plan_json;
mod plan_read;
mod rules_toml;
mod toml_text;
mod yarns;

pub use chart_csv::{read_chart_csv, write_chart_csv};
pub use chart_png::{ChartFile, SizeLimits, name_yarns, read_chart_png, write_chart_png};
pub use fault::{Fault, Faults, Noted, utf8};
pub use keys::{MAX_KEY, is_chart_key, is_key};
pub use plan_json::{PLAN_DOCUMENT, PLAN_VERSION, write_plan};
pub use plan_read::{MAX_PLAN_BYTES, PlanFile, belongs_to, read_plan};
pub use rules_toml::{LimitSetting, RulesFile, WeightSettings, read_rules};
pub use yarns::{MAX_LIST, read_yarns, write_yarns};

/// The most cells of a chart that a reader takes.
pub const MAX_CELLS: usize = 4_000_000;
