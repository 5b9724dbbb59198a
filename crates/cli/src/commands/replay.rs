//! `replay`: a plan from its file, worked stitch by stitch.

use model::{CostTables, Gauge};
use replay::{ProvenPlan, Violation, prove};
use serde_json::{Map, Value, json};

use crate::console::Console;
use crate::failure::{Exit, Failure};
use crate::summary::{counted, line, summary};
use crate::{args, inputs};

pub(crate) fn replay(arguments: &args::Replay, console: &Console) -> Result<(), Failure> {
    let mut notes = Vec::new();
    let (proven, _) = worked(&arguments.chart, &arguments.plan, &mut notes)?;
    let (chart, plan) = (proven.chart(), proven.plan());
    if console.json() {
        return console.print_json(&json!({
            "accepted": true,
            "summary": summary(chart, plan),
            "most_inside": proven.most_inside(),
            "notes": notes,
        }));
    }
    console.notes(&notes);
    console.print(&format!(
        "the plan can be worked, makes this chart, keeps its rules and counts right\n\
         {} in {}; {}; at most {} inside one stitch",
        counted(chart.stitches() as u64, "stitch", "stitches"),
        counted(chart.rows() as u64, "row", "rows"),
        line(plan),
        counted(u64::from(proven.most_inside()), "strand or tail", "strands and tails")
    ))
}

/// Works a plan from its file, or says what is wrong with it; with the gauge that the chart's file has.
pub(super) fn worked(
    chart: &args::ChartArg,
    plan: &std::path::Path,
    notes: &mut Vec<String>,
) -> Result<(ProvenPlan, Option<Gauge>), Failure> {
    let (chart, gauge) = inputs::chart(chart, notes)?;
    let file = inputs::plan(plan, &chart)?;
    let rules = &file.plan.rules;
    if rules.tables != CostTables::new(chart.palette(), &rules.weights) {
        notes.push(
            "the plan's tables of carry and lift are not those that its weights give for these colours; it is checked under its own tables"
                .to_owned(),
        );
    }
    let proven = prove(chart, file.plan).map_err(|violation| refused(&violation, plan))?;
    Ok((proven, gauge))
}

fn refused(violation: &Violation, plan: &std::path::Path) -> Failure {
    let row = violation.row.map(|row| row.0);
    let strand = violation.strand.map(|strand| u64::from(strand.0) + 1);
    let place = [
        Some(plan.display().to_string()),
        row.map(|row| format!("row {row}")),
        violation.stitch.map(|stitch| format!("stitch {stitch}")),
        strand.map(|strand| format!("strand {strand}")),
    ];
    let place: Vec<String> = place.into_iter().flatten().collect();
    let reason = violation.kind.code().replace('_', " ");
    let what = format!("{reason}: expected {}, found {}", violation.expected, violation.found);
    let mut details = Map::new();
    details.insert("accepted".to_owned(), Value::Bool(false));
    details.insert(
        "violation".to_owned(),
        json!({
            "reason": violation.kind.code(),
            "row": row,
            "stitch": violation.stitch,
            "strand": strand,
            "expected": violation.expected,
            "found": violation.found,
            "hint": violation.hint,
        }),
    );
    Failure {
        details: Some(details),
        ..Failure::new(Exit::Violation, what, place.join(", "), &violation.hint)
    }
}
