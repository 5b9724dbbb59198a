//! `fabric`: the fabric as a proven plan makes it.

use model::Side;
use serde_json::json;

use super::replay::worked;
use super::{face, png_by_name};
use crate::console::Console;
use crate::failure::Failure;
use crate::{args, inputs, output};

pub(crate) fn fabric(arguments: &args::Fabric, console: &Console) -> Result<(), Failure> {
    let existing = output::Existing::from_force(arguments.common.force);
    let read =
        [Some(arguments.chart.chart.as_path()), Some(&arguments.plan), arguments.chart.yarns.as_deref()];
    for (option, path) in [("--out", Some(&arguments.out)), ("--back", arguments.back.as_ref())] {
        let Some(path) = path else { continue };
        png_by_name(option, path, "a picture of the fabric is written as PNG")?;
        output::spare(&read, &[path])?;
        output::check(path, existing)?;
    }
    if arguments.back.as_ref() == Some(&arguments.out) {
        return Err(Failure::usage("both are the same file", "--out and --back", "give two names"));
    }
    let mut notes = Vec::new();
    let (proven, in_file) = worked(&arguments.chart, &arguments.plan, &mut notes)?;
    let yarns = proven.chart().palette().yarns();
    let gauge = inputs::gauge(arguments.gauge, in_file, yarns, &mut notes);
    console.progress("drawing the fabric", 0.0);
    let mut files = vec![(arguments.out.clone(), face(&proven, &gauge, Side::Right, arguments.size)?)];
    if let Some(back) = &arguments.back {
        console.go_on()?;
        files.push((back.clone(), face(&proven, &gauge, Side::Wrong, arguments.size)?));
    }
    console.go_on()?;
    output::write_all(&files, existing)?;
    let written: Vec<String> = files.iter().map(|(path, _)| path.display().to_string()).collect();
    if console.json() {
        return console.print_json(&json!({"written": written, "notes": notes}));
    }
    console.notes(&notes);
    for path in &written {
        console.say(&format!("written: {path}"));
    }
    Ok(())
}
