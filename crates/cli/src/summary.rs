//! The summary of a plan as JSON.

use model::{Chart, Cost, Plan};
use serde_json::{Map, Number, Value};

/// The numbers of a plan, as the plan document has them.
pub(crate) fn summary(chart: &Chart, plan: &Plan) -> Value {
    let counts = plan.counts;
    let mut summary = Map::new();
    let mut count = |name: &str, value: u64| summary.insert(name.to_owned(), Value::from(value));
    count("rows", chart.rows() as u64);
    count("columns", chart.columns() as u64);
    count("stitches", chart.stitches() as u64);
    count("colours", counts.colours as u64);
    count("runs", counts.runs as u64);
    count("strands", counts.strands as u64);
    count("ends", counts.ends() as u64);
    count("strands_at_once", counts.strands_at_once as u64);
    count("carried", counts.carried);
    count("longest_carry", u64::from(counts.longest_carry));
    for (name, value) in [("cost", counts.cost), ("bound", plan.bound)] {
        summary.insert(name.to_owned(), stitches(value));
    }
    summary.insert("gap".to_owned(), Number::from_f64(plan.gap()).map_or(Value::Null, Value::Number));
    Value::Object(summary)
}

/// Thousandths as the nearest float, which prints with at most three digits.
fn stitches(cost: Cost) -> Value {
    Number::from_f64(cost.as_stitches()).map_or(Value::Null, Value::Number)
}

/// So many of a thing, in words.
pub(crate) fn counted(number: u64, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

/// One line for a person.
pub(crate) fn line(plan: &Plan) -> String {
    let counts = plan.counts;
    format!(
        "{}, so {} ends; at most {} at once; {} carried, at most {} of other colours in one go; cost {}, bound {}",
        counted(counts.strands as u64, "strand", "strands"),
        counts.ends(),
        counts.strands_at_once,
        counted(counts.carried, "stitch", "stitches"),
        counts.longest_carry,
        counts.cost,
        plan.bound
    )
}
