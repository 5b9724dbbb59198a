//! `chart`: a chart of a picture, or of words.

use model::{Hand, Palette, Rules, Weights};
use serde_json::json;

use super::{chart_png, choices, likeness, png_by_name, word, yarns_again};
use crate::console::Console;
use crate::failure::Failure;
use crate::from_picture::{Made, made};
use crate::summary::counted;
use crate::{args, cautions, inputs, output};

pub(crate) fn chart(arguments: &args::Chart, console: &Console) -> Result<(), Failure> {
    let existing = output::Existing::from_force(arguments.common.force);
    let hand = arguments.hand.map_or(Hand::Right, args::HandArg::hand);
    let rules = |palette: &Palette| Ok(Rules::new(palette, Weights::default(), hand));
    if let Some(count) = arguments.choices {
        return choices::choices(arguments, count, &rules, console);
    }
    let is_csv = inputs::ends_in(&arguments.out, "csv");
    let read = arguments.picture.read();
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
    let Made { chart, gauge, look, .. } = made(&arguments.picture, &rules, console, &mut notes)?;
    let cautions = cautions::of(&chart);
    let bytes = if is_csv {
        notes.push("a CSV holds no gauge and no colours: keep the yarn list beside it".to_owned());
        formats::write_chart_csv(&chart).into_bytes()
    } else {
        formats::write_chart_png(&chart, Some(&gauge))
    };
    let mut files = vec![(arguments.out.clone(), bytes)];
    if let Some(path) = &arguments.picture_out {
        files.push((path.clone(), chart_png(&chart, &gauge, hand, console)?));
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
            "mean_difference": look.map(|look| look.mean),
            "blurred_difference": look.and_then(|look| look.blurred),
            "alike": cautions.alike,
            "bleeding": cautions.bleeding,
            "notes": notes,
        }));
    }
    console.notes(&notes);
    console.notes(&cautions.notes);
    console.say(&format!(
        "{} by {}, {:.1} by {:.1} cm, {}{}",
        counted(chart.columns() as u64, "stitch", "stitches"),
        counted(chart.rows() as u64, "row", "rows"),
        gauge.width_of(chart.columns()).as_cm(),
        gauge.height_of(chart.rows()).as_cm(),
        counted(chart.palette().len() as u64, "yarn", "yarns"),
        likeness(look)
    ));
    for path in &written {
        console.say(&format!("written: {path}"));
    }
    let list = if is_csv { yarns_again(Some(&arguments.picture.yarns)) } else { String::new() };
    console.say(&format!("next: strandwright plan {}{list} --out plan.json", word(&arguments.out)));
    Ok(())
}
