//! `border`: rounds around a blanket that lie flat, in words.

use std::fmt::Write as _;

use border::{Pace, amounts, hours, says, words};
use model::{Hand, YarnUse};
use serde_json::{Value, json};

use crate::console::Console;
use crate::failure::Failure;
use crate::rounds::{self, Given};
use crate::summary::counted;
use crate::yarn_names::called;
use crate::{args, inputs, output};

pub(crate) fn border(arguments: &args::Border, console: &Console) -> Result<(), Failure> {
    let existing = output::Existing::from_force(arguments.common.force);
    let list = arguments.chart.yarns.as_deref();
    if let Some(path) = &arguments.out {
        output::spare(&[Some(&arguments.chart.chart), list], &[path])?;
        output::check(path, existing)?;
    }
    let mut notes = Vec::new();
    let (chart, in_file) = inputs::chart(&arguments.chart, &mut notes)?;
    let gauge = inputs::gauge(arguments.gauge, in_file, chart.palette().yarns(), &mut notes);
    let list = match list {
        // What there is to say of the list was said when the chart was read.
        Some(list) => inputs::yarns(list, &mut Vec::new())?,
        None => Vec::new(),
    };
    let terms = rounds::terms(arguments.terms.terms());
    let hand = arguments.hand.map_or(Hand::Right, args::HandArg::hand);
    let given = Given { text: &arguments.rounds, option: "--rounds", list: &list, terms };
    let (border, palette) = given.border(&chart, gauge, hand)?;
    let pace = pattern::Pace::default();
    let amounts = amounts(&border, &YarnUse::estimate(&gauge));
    let hours = hours(&border, &Pace { stitch: pace.stitch, end: pace.weave }).total();
    let (width, height) = border.finished();

    let mut text = words(&border, terms);
    text += "\nYarn for each colour (an estimate):\n";
    for amount in &amounts {
        let _ = writeln!(
            text,
            "{} ({}): {}, {}, {}; {:.0} m, between {:.0} and {:.0}",
            called(palette.yarn(amount.yarn)),
            palette.symbol(amount.yarn),
            counted(amount.rounds as u64, "round", "rounds"),
            counted(amount.stitches, "stitch", "stitches"),
            counted(amount.joins, "join", "joins"),
            amount.length.likely.as_metres(),
            amount.length.low.as_metres(),
            amount.length.high.as_metres()
        );
    }
    let _ = writeln!(
        text,
        "\n{hours:.1} hours (an estimate). With its border the piece is {:.1} by {:.1} cm.",
        width.as_cm(),
        height.as_cm()
    );
    console.go_on()?;
    if let Some(path) = &arguments.out {
        output::write(path, text.as_bytes(), existing)?;
    }
    if console.json() {
        let written: Vec<String> = arguments.out.iter().map(|path| path.display().to_string()).collect();
        let rounds = border.rounds().iter().map(|worked| {
            json!({
                "stitch": terms.short(worked.round.stitch),
                "yarn": palette.yarn(worked.round.yarn).key,
                "stitches": worked.stitches,
                "growth": worked.growth,
                "corners": worked.corners.map(|corner| corner.stitches),
            })
        });
        let yarns = amounts.iter().map(|amount| {
            json!({
                "yarn": palette.yarn(amount.yarn).key,
                "rounds": amount.rounds,
                "stitches": amount.stitches,
                "joins": amount.joins,
                "metres": amount.length.likely.as_metres(),
                "metres_least": amount.length.low.as_metres(),
                "metres_most": amount.length.high.as_metres(),
            })
        });
        return console.print_json(&json!({
            "written": written,
            "terms": terms.name(),
            "rounds": rounds.collect::<Vec<Value>>(),
            "says": says(&border, terms),
            "yarns": yarns.collect::<Vec<Value>>(),
            "hours": hours,
            "width_cm": width.as_cm(),
            "height_cm": height.as_cm(),
            "text": text,
            "notes": notes,
        }));
    }
    console.notes(&notes);
    match &arguments.out {
        None => console.print(&text),
        Some(path) => {
            console.say(&format!("written: {}", path.display()));
            Ok(())
        }
    }
}
