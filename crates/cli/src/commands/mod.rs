//! One command, one file, one function of that name.

mod alter;
mod amounts;
mod border;
mod chart;
mod choices;
mod fabric;
mod make;
mod picture;
mod plan;
mod practice;
mod print;
mod replay;
mod rows;
mod serve;

pub(crate) use alter::alter;
pub(crate) use amounts::amounts;
pub(crate) use border::border;
pub(crate) use chart::chart;
pub(crate) use fabric::fabric;
pub(crate) use make::make;
pub(crate) use picture::picture;
pub(crate) use plan::plan;
pub(crate) use practice::practice;
pub(crate) use print::print;
pub(crate) use replay::replay;
pub(crate) use rows::rows;
pub(crate) use serve::serve;

use std::path::Path;

use ::replay::{ProvenPlan, prove};
use model::{Chart, Gauge, Hand, Plan, Rules, Side, YarnUse};

use crate::console::Console;
use crate::failure::{Exit, Failure};
use crate::from_picture::Look;
use crate::inputs;

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

/// Fails where a file's name promises another kind than the PNG that would be written.
fn png_by_name(option: &str, path: &Path, what: &str) -> Result<(), Failure> {
    if path.extension().is_none() || inputs::ends_in(path, "png") {
        return Ok(());
    }
    let hint = format!("give a name as {}", word(&path.with_extension("png")));
    Err(Failure::usage(what, format!("{option} {}", path.display()), hint))
}

/// The chart to look at.
fn chart_png(chart: &Chart, gauge: &Gauge, hand: Hand, console: &Console) -> Result<Vec<u8>, Failure> {
    console.progress("drawing the chart", 0.0);
    typeset::chart_picture(chart, gauge, hand)
        .map_err(|error| Failure::input(error, "the chart's picture", "make a smaller chart"))
}

/// One face of the fabric of a plan.
fn face(plan: &ProvenPlan, gauge: &Gauge, side: Side, longest: u32) -> Result<Vec<u8>, Failure> {
    typeset::fabric_preview(plan, gauge, side, &typeset::Part::Whole, longest)
        .map_err(|error| Failure::input(error, "the picture of the fabric", "make a smaller chart"))
}

/// How far a chart is from its picture, for a person.
fn likeness(look: Option<Look>) -> String {
    match look {
        Some(Look { mean, blurred: Some(blurred) }) => {
            format!(", mean colour difference {mean:.1} (CIEDE2000), as from across the room {blurred:.1}")
        }
        Some(Look { mean, blurred: None }) => format!(", mean colour difference {mean:.1} (CIEDE2000)"),
        None => String::new(),
    }
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

/// Lines of at most 92 letters, broken at spaces.
fn lines(text: &str) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut().filter(|line| line.chars().count() + 1 + word.chars().count() <= 92) {
            Some(line) => {
                line.push(' ');
                line.push_str(word);
            }
            None => lines.push(word.to_owned()),
        }
    }
    lines
}
