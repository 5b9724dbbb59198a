//! `rows`: a plan's rows in words. The plan is worked first: an unproven one is not written out.

use std::path::PathBuf;

use serde_json::json;

use super::replay::worked;
use crate::console::Console;
use crate::failure::Failure;
use crate::{args, output};

pub(crate) fn rows(arguments: &args::Rows, console: &Console) -> Result<(), Failure> {
    let existing = output::Existing::from_force(arguments.common.force);
    if let Some(path) = &arguments.out {
        let read = [Some(&arguments.chart.chart), Some(&arguments.plan), arguments.chart.yarns.as_ref()];
        output::spare(&read.map(|path| path.map(PathBuf::as_path)), &[path])?;
        output::check(path, existing)?;
    }
    let mut notes = Vec::new();
    let (proven, _) = worked(&arguments.chart, &arguments.plan, &mut notes)?;
    let terms = arguments.terms.terms();
    let text = pattern::rows(&proven, terms);
    console.go_on()?;
    if let Some(path) = &arguments.out {
        output::write(path, text.as_bytes(), existing)?;
    }
    if console.json() {
        let written: Vec<String> = arguments.out.iter().map(|path| path.display().to_string()).collect();
        return console.print_json(&json!({
            "written": written,
            "terms": terms.name(),
            "rows": text,
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
