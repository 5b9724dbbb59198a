//! `chart`: a chart of a picture.

use std::ops::ControlFlow;

use charting::{Charted, ChartingError, Colours, Frame, Request, Wanted};
use model::{Gauge, Hand, Yarn};
use serde_json::json;

use crate::args::{self, PictureArgs};
use crate::console::Console;
use crate::failure::Failure;
use crate::{inputs, output};

/// So many yarns are chosen where the person does not say.
const USUAL_COLOURS: usize = 8;

pub(crate) fn chart(arguments: &args::Chart, console: &Console) -> Result<(), Failure> {
    let existing = output::Existing::from_force(arguments.common.force);
    output::check(&arguments.out, existing)?;
    if let Some(picture) = &arguments.picture_out {
        output::check(picture, existing)?;
    }
    let mut notes = Vec::new();
    let (charted, gauge) = charted(&arguments.picture, console, &mut notes)?;
    let chart = &charted.chart;
    let is_csv = arguments.out.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("csv"));
    let bytes = if is_csv {
        notes.push("a CSV holds no gauge and no colours: keep the yarn list beside it".to_owned());
        formats::write_chart_csv(chart).into_bytes()
    } else {
        formats::write_chart_png(chart, Some(&gauge))
    };
    let drawn = match &arguments.picture_out {
        Some(path) => Some((
            path,
            picture(chart, &gauge, arguments.hand.map_or(Hand::Right, args::HandArg::hand), console)?,
        )),
        None => None,
    };
    console.go_on()?;
    output::write(&arguments.out, &bytes, existing)?;
    let mut written = vec![arguments.out.display().to_string()];
    if let Some((path, bytes)) = drawn {
        output::write(path, &bytes, existing)?;
        written.push(path.display().to_string());
    }
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
        "{} stitches by {} rows, {:.1} by {:.1} cm, {} yarns, mean colour difference {:.1} (CIEDE2000)",
        chart.columns(),
        chart.rows(),
        gauge.width_of(chart.columns()).as_cm(),
        gauge.height_of(chart.rows()).as_cm(),
        chart.palette().len(),
        charted.mean_difference
    ));
    for path in &written {
        console.say(&format!("written: {path}"));
    }
    console.say(&format!("next: strandwright plan {} --out plan.json", arguments.out.display()));
    Ok(())
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
    let gauge = inputs::gauge(arguments.gauge, None, &yarns, notes);
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
        Ok(charted) => Ok((charted.unpack(notes), gauge)),
        Err(ChartingError::Stopped) => Err(Failure::cancelled()),
        Err(error) => Err(refused(&error, arguments)),
    }
}

/// What charting refuses, with the place where the person said it.
fn refused(error: &ChartingError, arguments: &PictureArgs) -> Failure {
    let place = match error {
        ChartingError::Crop(_) => "--crop".to_owned(),
        ChartingError::Size(_) => "--width and --height".to_owned(),
        ChartingError::Choose(_) => format!("--colours and {}", arguments.yarns.display()),
        ChartingError::NamedTwice(_) => "--colour".to_owned(),
        _ => arguments.picture.display().to_string(),
    };
    Failure::input(error, place, error.hint())
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
    Ok(Colours::Choose { count, keep: Vec::new() })
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
