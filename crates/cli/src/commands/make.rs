//! `make`: the whole way, from a picture to a folder with the pattern.

use std::path::Path;

use model::Palette;
use serde_json::json;

use super::{chart_png, document, likeness, planned, proven};
use crate::console::Console;
use crate::failure::Failure;
use crate::from_picture::{Made, made};
use crate::summary::{counted, line, summary};
use crate::{args, cautions, inputs, output};

/// The files of a pattern.
const FILES: [&str; 5] = ["chart.png", "chart-picture.png", "plan.json", "rows.txt", "summary.txt"];

pub(crate) fn make(arguments: &args::Make, console: &Console) -> Result<(), Failure> {
    let existing = output::Existing::from_force(arguments.common.force);
    let mut read = arguments.picture.read().to_vec();
    read.push(arguments.rules.rules.as_deref());
    let paths = FILES.map(|name| arguments.out.join(name));
    output::spare(&read, &paths.each_ref().map(Path::new))?;
    output::prepare_folder(&arguments.out, &FILES, existing)?;
    let mut notes = Vec::new();
    let rules_for = |palette: &Palette| inputs::rules(&arguments.rules, palette);
    let Made { chart, gauge, plan, look } = made(&arguments.picture, &rules_for, console, &mut notes)?;
    let rules = rules_for(chart.palette())?;
    inputs::note_limits(&rules, &mut notes);
    let cautions = cautions::of(&chart);
    let hand = rules.hand;
    let plan = match plan {
        Some(plan) => plan,
        None => planned(&chart, &rules, &gauge, console)?,
    };
    let proven = proven(chart, plan, console)?;
    let chart = proven.chart();
    let terms = arguments.terms.terms();
    let drawn = chart_png(chart, &gauge, hand, console)?;
    console.progress("writing the rows", 0.0);
    let document = document(chart, proven.plan(), &mut notes);
    let all_notes = [&notes[..], &cautions.notes].concat();
    let files = [
        (FILES[0], formats::write_chart_png(chart, Some(&gauge))),
        (FILES[1], drawn),
        (FILES[2], document.into_bytes()),
        (FILES[3], pattern::rows(&proven, terms).into_bytes()),
        (FILES[4], pattern::summary(&proven, &gauge, terms, &all_notes).into_bytes()),
    ];
    console.go_on()?;
    let written = output::write_folder(&arguments.out, &files, existing)?;
    let written: Vec<String> = written.iter().map(|path| path.display().to_string()).collect();
    if console.json() {
        return console.print_json(&json!({
            "written": written,
            "summary": summary(chart, proven.plan()),
            "mean_difference": look.map(|look| look.mean),
            "blurred_difference": look.and_then(|look| look.blurred),
            "alike": cautions.alike,
            "bleeding": cautions.bleeding,
            "notes": notes,
        }));
    }
    console.notes(&all_notes);
    console.say(&format!(
        "{} by {}, {:.1} by {:.1} cm, {}{}",
        counted(chart.columns() as u64, "stitch", "stitches"),
        counted(chart.rows() as u64, "row", "rows"),
        gauge.width_of(chart.columns()).as_cm(),
        gauge.height_of(chart.rows()).as_cm(),
        counted(proven.plan().counts.colours as u64, "colour", "colours"),
        likeness(look)
    ));
    console.say(&line(proven.plan()));
    for path in &written {
        console.say(&format!("written: {path}"));
    }
    console.say("next: read summary.txt, look at chart-picture.png, and work from rows.txt");
    Ok(())
}
