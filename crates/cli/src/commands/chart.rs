//! `chart`: a chart of a picture.

use std::ops::ControlFlow;
use std::path::Path;

use charting::{Charted, ChartingError, Choice, Colours, Frame, Request, SizeError, Wanted};
use model::{Gauge, Hand, Yarn};
use serde_json::json;

use super::{word, yarns_again};
use crate::args::{self, PictureArgs};
use crate::console::Console;
use crate::failure::Failure;
use crate::summary::counted;
use crate::{inputs, output};

/// So many yarns are chosen where the person does not say.
const USUAL_COLOURS: usize = 8;

pub(crate) fn chart(arguments: &args::Chart, console: &Console) -> Result<(), Failure> {
    let existing = output::Existing::from_force(arguments.common.force);
    let is_csv = inputs::ends_in(&arguments.out, "csv");
    let read = [Some(arguments.picture.picture.as_path()), Some(&arguments.picture.yarns)];
    if !is_csv {
        png_by_name("--out", &arguments.out, "a chart is written as PNG or CSV")?;
    }
    output::spare(&read, &[&arguments.out])?;
    output::check(&arguments.out, existing)?;
    if let Some(picture) = &arguments.picture_out {
        png_by_name("--picture-out", picture, "the picture of a chart is written as PNG")?;
        if *picture == arguments.out {
            return Err(Failure::usage(
                "both are the same file",
                "--out and --picture-out",
                "give two names",
            ));
        }
        output::spare(&read, &[picture])?;
        output::check(picture, existing)?;
    }
    let mut notes = Vec::new();
    let (charted, gauge) = charted(&arguments.picture, console, &mut notes)?;
    let chart = &charted.chart;
    let bytes = if is_csv {
        notes.push("a CSV holds no gauge and no colours: keep the yarn list beside it".to_owned());
        formats::write_chart_csv(chart).into_bytes()
    } else {
        formats::write_chart_png(chart, Some(&gauge))
    };
    let mut files = vec![(arguments.out.clone(), bytes)];
    if let Some(path) = &arguments.picture_out {
        let hand = arguments.hand.map_or(Hand::Right, args::HandArg::hand);
        files.push((path.clone(), picture(chart, &gauge, hand, console)?));
    }
    console.go_on()?;
    output::write_all(&files, existing)?;
    let written: Vec<String> = files.iter().map(|(path, _)| path.display().to_string()).collect();
    if console.json() {
        let keys: Vec<&str> = chart.palette().yarns().iter().map(|yarn| yarn.key.as_str()).collect();
        return console.print_json(&json!({
            "written": written,
            "rows": chart.rows(),
            "columns": chart.columns(),
            "yarns": keys,
            "mean_difference": charted.mean_difference,
            "notes": notes,
        }));
    }
    console.notes(&notes);
    console.say(&format!(
        "{} by {}, {:.1} by {:.1} cm, {}, mean colour difference {:.1} (CIEDE2000)",
        counted(chart.columns() as u64, "stitch", "stitches"),
        counted(chart.rows() as u64, "row", "rows"),
        gauge.width_of(chart.columns()).as_cm(),
        gauge.height_of(chart.rows()).as_cm(),
        counted(chart.palette().len() as u64, "yarn", "yarns"),
        charted.mean_difference
    ));
    for path in &written {
        console.say(&format!("written: {path}"));
    }
    let list = if is_csv { yarns_again(Some(&arguments.picture.yarns)) } else { String::new() };
    console.say(&format!("next: strandwright plan {}{list} --out plan.json", word(&arguments.out)));
    Ok(())
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
pub(super) fn picture(
    chart: &model::Chart,
    gauge: &Gauge,
    hand: Hand,
    console: &Console,
) -> Result<Vec<u8>, Failure> {
    console.progress("drawing the chart", 0.0);
    typeset::chart_picture(chart, gauge, hand)
        .map_err(|error| Failure::input(error, "the chart's picture", "make a smaller chart"))
}

/// From the picture's file to a chart, with the gauge it was made to.
pub(super) fn charted(
    arguments: &PictureArgs,
    console: &Console,
    notes: &mut Vec<String>,
) -> Result<(Charted, Gauge), Failure> {
    let yarns = inputs::yarns(&arguments.yarns, notes)?;
    // The yarns named, else all of the list: which of them are chosen shows only later.
    let named = |yarn: &&Yarn| arguments.colour.is_empty() || arguments.colour.contains(&yarn.key);
    let candidates: Vec<Yarn> = yarns.iter().filter(named).cloned().collect();
    let gauge = inputs::gauge(arguments.gauge, None, &candidates, notes);
    let request = Request {
        crop: arguments.crop,
        wanted: Wanted { width: arguments.width, height: arguments.height },
        gauge,
        frame: frame(arguments, &yarns)?,
        colours: colours(arguments, &yarns, notes)?,
    };
    console.progress("reading the picture", 0.0);
    let picture = inputs::picture(&arguments.picture, notes)?;
    console.go_on()?;
    let mut watch = |done: f32| {
        if console.progress("charting", f64::from(done)) {
            ControlFlow::Continue(())
        } else {
            ControlFlow::Break(())
        }
    };
    match charting::chart_picture(&picture, &request, &yarns, &mut watch) {
        Ok(charted) => {
            let charted = charted.unpack(notes);
            inputs::note_mixed_weights(&charted.chart, notes);
            Ok((charted, gauge))
        }
        Err(ChartingError::Stopped) => Err(Failure::cancelled()),
        Err(error) => Err(refused(&error, arguments)),
    }
}

/// What charting refuses, with the place where the person said it. The command line was understood;
/// it is the picture, the list and the wishes that do not go together.
fn refused(error: &ChartingError, arguments: &PictureArgs) -> Failure {
    let option = match error {
        ChartingError::Crop(_) => "--crop",
        ChartingError::Size(SizeError::Frame { .. }) => "--frame",
        ChartingError::Size(_) => "--width and --height",
        ChartingError::Choose(_) => "--colours",
        ChartingError::NamedTwice(_) => "--colour",
        _ => return Failure::input(error, arguments.picture.display(), error.hint()),
    };
    match error {
        ChartingError::Size(SizeError::NotGiven) | ChartingError::NamedTwice(_) => {
            Failure::usage(error, option, error.hint())
        }
        _ => Failure::input(error, option, error.hint()),
    }
}

fn colours(arguments: &PictureArgs, yarns: &[Yarn], notes: &mut Vec<String>) -> Result<Colours, Failure> {
    if !arguments.colour.is_empty() {
        let places =
            arguments.colour.iter().map(|key| place(yarns, key, "--colour")).collect::<Result<_, _>>()?;
        return Ok(Colours::Given(places));
    }
    let count = arguments.colours.unwrap_or_else(|| {
        let count = yarns.len().min(USUAL_COLOURS);
        notes.push(format!(
            "{count} yarns are chosen from the list; say how many with --colours, or which with --colour"
        ));
        count
    });
    Ok(Colours::Choose(Choice::of(count)))
}

fn frame(arguments: &PictureArgs, yarns: &[Yarn]) -> Result<Option<Frame>, Failure> {
    match (arguments.frame, &arguments.frame_colour) {
        (Some(stitches), Some(key)) if stitches > 0 => {
            Ok(Some(Frame { stitches, yarn: place(yarns, key, "--frame-colour")? }))
        }
        _ => Ok(None),
    }
}

fn place(yarns: &[Yarn], key: &str, flag: &str) -> Result<usize, Failure> {
    yarns.iter().position(|yarn| yarn.key == key).ok_or_else(|| {
        let keys: Vec<&str> = yarns.iter().map(|yarn| yarn.key.as_str()).collect();
        Failure::input(
            format!("the yarn list has no yarn {key:?}"),
            flag,
            format!("it has {}", keys.join(", ")),
        )
    })
}
