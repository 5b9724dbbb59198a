//! `chart --choices`: a folder of charts of one picture to choose from, each with its fabric.

use std::fmt::Write as _;
use std::path::Path;

use ease::{Count, Eased};
use image::{ImageFormat, Rgb, RgbImage, imageops};
use lettering::{Face, Style, Weight};
use model::{Gauge, Side};
use pattern::{Pace, hours};
use replay::ProvenPlan;
use serde_json::{Value, json};

use super::{face, planned, proven, word};
use crate::cautions::Cautions;
use crate::console::Console;
use crate::failure::{Exit, Failure};
use crate::from_picture::{Bench, RulesFor};
use crate::summary::{counted, summary};
use crate::{args, cautions, inputs, output};

/// Longest side of a picture of the fabric.
const LONGEST: u32 = 600;
/// The table, and the sheet of all fabrics.
const TABLE: &str = "choices.txt";
const SHEET: &str = "choices.png";

/// One of the charts, proven.
struct Choice {
    proven: ProvenPlan,
    mean: f64,
    blurred: f64,
    hours: f64,
    /// Its handling as a share of the plain one's.
    handling: f64,
}

pub(super) fn choices(
    arguments: &args::Chart,
    count: Count,
    rules: RulesFor<'_>,
    console: &Console,
) -> Result<(), Failure> {
    let existing = output::Existing::from_force(arguments.common.force);
    let Some(path) = &arguments.picture.picture else {
        return Err(Failure::usage("charts to choose from need a picture", "--choices", "give a picture"));
    };
    let names: Vec<[String; 2]> = (1..=count.number())
        .map(|at| [format!("choice-{at}.png"), format!("choice-{at}-fabric.png")])
        .collect();
    let all: Vec<&str> = names.iter().flatten().map(String::as_str).chain([TABLE, SHEET]).collect();
    let paths: Vec<_> = all.iter().map(|name| arguments.out.join(name)).collect();
    let paths: Vec<&Path> = paths.iter().map(|path| path.as_path()).collect();
    output::spare(&arguments.picture.read(), &paths)?;
    output::prepare_folder(&arguments.out, &all, existing)?;

    let mut notes = Vec::new();
    let yarns = inputs::yarns(&arguments.picture.yarns, &mut notes)?;
    let bench = Bench::set(path, &arguments.picture, &yarns, console, &mut notes)?;
    let gauge = bench.request.gauge;
    let found = bench.choices(count, rules, console)?;
    if found.len() < count.number() {
        notes.push(format!(
            "{} are asked for, {} came out: no other is better in likeness or in work",
            count.number(),
            found.len()
        ));
    }
    let mut choices: Vec<Choice> = Vec::new();
    for eased in found {
        let choice = choice(&bench, eased, choices.first(), rules, console)?;
        choices.push(choice);
    }
    let mut cautions = Cautions::default();
    if let Some(plain) = choices.first() {
        // The others are of the same yarns, or of fewer.
        inputs::note_mixed_weights(plain.proven.chart(), &mut notes);
        cautions = cautions::of(plain.proven.chart());
    }
    let mut files: Vec<(&str, Vec<u8>)> = Vec::new();
    let mut fabrics = Vec::new();
    for (choice, [chart, fabric]) in choices.iter().zip(&names) {
        console.progress("drawing the fabrics", 0.0);
        console.go_on()?;
        let drawn = face(&choice.proven, &gauge, Side::Right, LONGEST)?;
        fabrics.push(drawn.clone());
        files.push((chart, formats::write_chart_png(choice.proven.chart(), Some(&gauge))));
        files.push((fabric, drawn));
    }
    files.push((TABLE, table(path, &choices, &gauge).into_bytes()));
    files.push((SHEET, sheet(&choices, &fabrics)?));
    console.go_on()?;
    let written = output::write_folder(&arguments.out, &files, existing)?;
    let written: Vec<String> = written.iter().map(|path| path.display().to_string()).collect();
    if console.json() {
        let choices: Vec<Value> = choices
            .iter()
            .zip(&names)
            .map(|(choice, [chart, fabric])| {
                json!({
                    "chart": chart,
                    "fabric": fabric,
                    "hours": choice.hours,
                    "mean_difference": choice.mean,
                    "blurred_difference": choice.blurred,
                    "handling": choice.handling,
                    "summary": summary(choice.proven.chart(), choice.proven.plan()),
                })
            })
            .collect();
        return console.print_json(&json!({
            "written": written,
            "choices": choices,
            "alike": cautions.alike,
            "bleeding": cautions.bleeding,
            "notes": notes,
        }));
    }
    console.notes(&notes);
    console.notes(&cautions.notes);
    console.print(&table(path, &choices, &gauge))?;
    for path in &written {
        console.say(&format!("written: {path}"));
    }
    let last = arguments.out.join("choice-N.png");
    console.say(&format!(
        "next: look at {}, then strandwright plan {} --out plan.json with the number you like",
        arguments.out.join(SHEET).display(),
        word(&last)
    ));
    Ok(())
}

/// Proves a chart that was found. Whether the balls on hand will do is left to the one that is taken.
fn choice(
    bench: &Bench,
    eased: Eased,
    plain: Option<&Choice>,
    rules: RulesFor<'_>,
    console: &Console,
) -> Result<Choice, Failure> {
    let chart = bench.charted(&eased.chart, eased.look.mean, &mut Vec::new())?.chart;
    let plan = if chart == eased.chart {
        eased.plan
    } else {
        // Without its idle yarns it is another chart to the plan.
        planned(&chart, &rules(chart.palette())?, &bench.request.gauge, console)?
    };
    let proven = proven(chart, plan, console)?;
    let cost = |proven: &ProvenPlan| proven.plan().counts.cost.as_stitches();
    let handling = plain.map_or(1.0, |plain| cost(&proven) / cost(&plain.proven).max(f64::MIN_POSITIVE));
    let hours = hours(&proven, &Pace::default()).total();
    Ok(Choice { proven, mean: eased.look.mean, blurred: eased.look.blurred, hours, handling })
}

/// All numbers side by side.
fn table(picture: &Path, choices: &[Choice], gauge: &Gauge) -> String {
    let mut text = format!("Charts of {} to choose from\n\n", picture.display());
    if let Some(first) = choices.first() {
        let (columns, rows) = (first.proven.chart().columns(), first.proven.chart().rows());
        let _ = writeln!(
            text,
            "Each has {} by {}, {:.1} by {:.1} cm. 1 is the plain one, each stitch its nearest yarn; every further\n\
             one is easier to work and looks a little less like the picture.\n",
            counted(columns as u64, "stitch", "stitches"),
            counted(rows as u64, "row", "rows"),
            gauge.width_of(columns).as_cm(),
            gauge.height_of(rows).as_cm(),
        );
    }
    text += "choice   hours   ends   strands at once   handling   difference   across the room\n";
    for (at, choice) in (1..).zip(choices) {
        let counts = choice.proven.plan().counts;
        let _ = writeln!(
            text,
            "{at:6} {:7.1} {:6} {:17} {:8.0} % {:12.2} {:17.2}",
            choice.hours,
            counts.ends(),
            counts.strands_at_once,
            choice.handling * 100.0,
            choice.mean,
            choice.blurred
        );
    }
    text += "\nHours are an estimate. Handling is what the strands cost beside the stitches, as a part of the plain\n\
             chart's. Difference is that of picture and yarn, stitch by stitch, the mean of CIEDE2000; beside it the\n\
             same as from across the room. The lower, the more like the picture.\n";
    text
}

/// All fabrics side by side, their numbers below.
fn sheet(choices: &[Choice], fabrics: &[Vec<u8>]) -> Result<Vec<u8>, Failure> {
    const GAP: u32 = 30;
    /// Pixels to a cell of a letter.
    const CELL: u32 = 3;
    let style = Style { line_gap: 3, ..Style::new(7) };
    let mut parts = Vec::new();
    for (at, (choice, fabric)) in (1..).zip(choices.iter().zip(fabrics)) {
        let counts = choice.proven.plan().counts;
        let text = format!(
            "{at}\n{:.1} hours\n{} ends\n{} strands at once\n{:.0} % of the handling\ndifference {:.2}",
            choice.hours,
            counts.ends(),
            counts.strands_at_once,
            choice.handling * 100.0,
            choice.mean
        );
        let block = lettering::set(&text, &Face::built_in(Weight::Regular), &style).map_err(defect)?;
        parts.push((image::load_from_memory(fabric).map_err(defect)?.into_rgb8(), block));
    }
    let pixels = |cells: usize| u32::try_from(cells).unwrap_or(0) * CELL;
    let wide =
        parts.iter().map(|(fabric, block)| fabric.width().max(pixels(block.columns()))).max().unwrap_or(0);
    let high = parts.iter().map(|(fabric, _)| fabric.height()).max().unwrap_or(0);
    let text_high = parts.iter().map(|(_, block)| pixels(block.rows())).max().unwrap_or(0);
    let across = GAP + u32::try_from(parts.len()).unwrap_or(0) * (wide + GAP);
    let mut sheet = RgbImage::from_pixel(across, high + text_high + 3 * GAP, Rgb([255; 3]));
    for (at, (fabric, block)) in (0..).zip(&parts) {
        let left = GAP + at * (wide + GAP);
        imageops::replace(&mut sheet, fabric, i64::from(left), i64::from(GAP));
        for (column, row) in block.inked() {
            let (x, y) = (left + pixels(column), high + 2 * GAP + pixels(block.rows() - 1 - row.0));
            let dot = RgbImage::from_pixel(CELL, CELL, Rgb([40; 3]));
            imageops::replace(&mut sheet, &dot, i64::from(x), i64::from(y));
        }
    }
    let mut bytes = std::io::Cursor::new(Vec::new());
    sheet.write_to(&mut bytes, ImageFormat::Png).map_err(defect)?;
    Ok(bytes.into_inner())
}

#[allow(clippy::needless_pass_by_value)] // as `map_err` hands it over
fn defect(error: impl std::error::Error) -> Failure {
    let hint = "this is a defect of the program: please report it with the picture";
    Failure::new(Exit::Output, format!("the sheet can't be drawn: {error}"), SHEET, hint)
}
