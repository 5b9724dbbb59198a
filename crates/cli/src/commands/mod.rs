//! One command, one file, one function of that name.

mod chart;
mod make;
mod plan;
mod replay;
mod rows;
mod serve;

pub(crate) use chart::chart;
pub(crate) use make::make;
pub(crate) use plan::plan;
pub(crate) use replay::replay;
pub(crate) use rows::rows;
pub(crate) use serve::serve;

use std::path::Path;

use ::replay::{ProvenPlan, prove};
use model::{Chart, Gauge, Plan, Rules, YarnUse};

use crate::console::Console;
use crate::failure::{Exit, Failure};

/// A path as a word for the shell.
fn word(path: &Path) -> String {
    let name = path.display().to_string();
    let plain = |letter: char| letter.is_alphanumeric() || "/._-+,:@%\\".contains(letter);
    if name.chars().all(plain) { name } else { format!("'{}'", name.replace('\'', "'\\''")) }
}

/// The option that gives the list of yarns to the next command too.
fn yarns_again(list: Option<&Path>) -> String {
    list.map_or_else(String::new, |list| format!(" --yarns {}", word(list)))
}

/// A plan as its document; where it is too long to be read back, with a note.
fn document(chart: &Chart, plan: &Plan, notes: &mut Vec<String>) -> String {
    let document = formats::write_plan(chart, plan);
    if document.len() > formats::MAX_PLAN_BYTES {
        notes.push(format!(
            "the plan's file has {} MiB, `replay` and `rows` read at most {}: a smaller or calmer chart makes a shorter one",
            document.len() >> 20,
            formats::MAX_PLAN_BYTES >> 20
        ));
    }
    document
}

/// Plans a chart, showing how far it has got.
fn planned(chart: &Chart, rules: &Rules, gauge: &Gauge, console: &Console) -> Result<Plan, Failure> {
    let watch = |progress: planner::Progress| {
        #[allow(clippy::cast_precision_loss)] // for show
        let done = progress.done as f64 / progress.total.max(1) as f64;
        console.progress("planning every strand", done)
    };
    planner::plan(chart, rules, YarnUse::estimate(gauge), &watch).map_err(|error| match error {
        planner::PlanError::Cancelled => Failure::cancelled(),
        planner::PlanError::TooLarge(_) => Failure::input(error, "the chart", "make a smaller chart"),
        planner::PlanError::RulesForOtherYarns { .. } | planner::PlanError::TailTooLong(_) => {
            Failure::usage(error, "the rules", "change the rules")
        }
    })
}

/// Works a plan of our own stitch by stitch. That it fails is a defect of ours, and nothing is shown.
fn proven(chart: Chart, plan: Plan, console: &Console) -> Result<ProvenPlan, Failure> {
    console.progress("working the plan stitch by stitch", 0.0);
    prove(chart, plan).map_err(|violation| {
        Failure::new(
            Exit::Violation,
            format!("the plan does not hold: {violation}"),
            "the planner",
            "this is a defect of the program: please report it with the chart",
        )
    })
}
