//! `picture`: the chart to look at, as it is drawn: with numbers, symbols and key.

use std::path::Path;

use model::Hand;
use serde_json::json;

use super::{chart_png, word};
use crate::console::Console;
use crate::failure::Failure;
use crate::{args, inputs, output};

pub(crate) fn picture(arguments: &args::Picture, console: &Console) -> Result<(), Failure> {
    let existing = output::Existing::from_force(arguments.common.force);
    let kind = kind(&arguments.out)?;
    let read = [Some(arguments.chart.chart.as_path()), arguments.chart.yarns.as_deref()];
    output::spare(&read, &[&arguments.out])?;
    output::check(&arguments.out, existing)?;
    let mut notes = Vec::new();
    let (chart, in_file) = inputs::chart(&arguments.chart, &mut notes)?;
    let gauge = inputs::gauge(arguments.gauge, in_file, chart.palette().yarns(), &mut notes);
    let hand = arguments.hand.map_or(Hand::Right, args::HandArg::hand);
    let bytes = match kind {
        Kind::Pixels => chart_png(&chart, &gauge, hand, console)?,
        Kind::Drawing => typeset::chart_svg(&chart, &gauge, hand).into_bytes(),
    };
    console.go_on()?;
    output::write(&arguments.out, &bytes, existing)?;
    let written = arguments.out.display().to_string();
    if console.json() {
        return console.print_json(&json!({"written": [written], "notes": notes}));
    }
    console.notes(&notes);
    console.say(&format!("written: {written}"));
    Ok(())
}

/// What a file's name asks for.
#[derive(Clone, Copy)]
enum Kind {
    Pixels,
    Drawing,
}

fn kind(path: &Path) -> Result<Kind, Failure> {
    if inputs::ends_in(path, "svg") {
        return Ok(Kind::Drawing);
    }
    if inputs::ends_in(path, "png") {
        return Ok(Kind::Pixels);
    }
    let (svg, png) = (path.with_extension("svg"), path.with_extension("png"));
    Err(Failure::usage(
        "the picture of a chart is written as SVG or PNG",
        format!("--out {}", path.display()),
        format!("give a name as {} or {}", word(&svg), word(&png)),
    ))
}
