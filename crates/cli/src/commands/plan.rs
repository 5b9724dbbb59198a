//! `plan`: every strand of a chart.

use std::path::PathBuf;

use serde_json::json;

use super::{document, planned, proven, word, yarns_again};
use crate::console::Console;
use crate::failure::Failure;
use crate::summary::{line, summary};
use crate::{args, cautions, inputs, output};

pub(crate) fn plan(arguments: &args::Plan, console: &Console) -> Result<(), Failure> {
    let existing = output::Existing::from_force(arguments.common.force);
    if let Some(path) = &arguments.out {
        let read =
            [Some(&arguments.chart.chart), arguments.chart.yarns.as_ref(), arguments.rules.rules.as_ref()];
        output::spare(&read.map(|path| path.map(PathBuf::as_path)), &[path])?;
        output::check(path, existing)?;
    }
    let mut notes = Vec::new();
    let (chart, in_file) = inputs::chart(&arguments.chart, &mut notes)?;
    let rules = inputs::rules(&arguments.rules, chart.palette())?;
    inputs::note_limits(&rules, &mut notes);
    notes.extend(cautions::alike(&chart));
    let gauge = inputs::gauge(arguments.gauge, in_file, chart.palette().yarns(), &mut notes);
    let plan = planned(&chart, &rules, &gauge, console)?;
    let proven = proven(chart, plan, console)?;
    let (chart, plan) = (proven.chart(), proven.plan());
    console.go_on()?;
    let document = document(chart, plan, &mut notes);
    if let Some(path) = &arguments.out {
        output::write(path, document.as_bytes(), existing)?;
    }
    if console.json() {
        return match &arguments.out {
            None => {
                console.notes(&notes);
                console.print(&document)
            }
            Some(path) => console.print_json(&json!({
                "written": [path.display().to_string()],
                "summary": summary(chart, plan),
                "notes": notes,
            })),
        };
    }
    console.notes(&notes);
    console.print(&line(plan))?;
    match &arguments.out {
        Some(path) => {
            console.say(&format!("written: {}", path.display()));
            console.say(&format!(
                "next: strandwright rows {} {}{}",
                word(&arguments.chart.chart),
                word(path),
                yarns_again(arguments.chart.yarns.as_deref())
            ));
        }
        None => console.say("nothing was written: give a name with --out, or --json for standard output"),
    }
    Ok(())
}
