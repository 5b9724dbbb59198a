//! `alter`: a chart changed by operations, and what each did to ends and hours.

use model::{Chart, Gauge, Hand, Rules, Weights};
use pattern::{Pace, hours};
use replay::ProvenPlan;
use serde_json::{Value, json};

use super::{planned, png_by_name, proven, word, yarns_again};
use crate::console::Console;
use crate::failure::Failure;
use crate::operations::{Altered, carried_out};
use crate::summary::{counted, summary};
use crate::{args, inputs, output};

pub(crate) fn alter(arguments: &args::Alter, console: &Console) -> Result<(), Failure> {
    let existing = output::Existing::from_force(arguments.common.force);
    let is_csv = inputs::ends_in(&arguments.out, "csv");
    if !is_csv {
        png_by_name("--out", &arguments.out, "a chart is written as PNG or CSV")?;
    }
    let list = arguments.chart.yarns.as_deref();
    output::spare(&[Some(&arguments.chart.chart), list], &[&arguments.out])?;
    output::check(&arguments.out, existing)?;
    let mut notes = Vec::new();
    let (chart, in_file) = inputs::chart(&arguments.chart, &mut notes)?;
    let yarns = match list {
        // What there is to say of the list was said when the chart was read.
        Some(list) => inputs::yarns(list, &mut Vec::new())?,
        None => Vec::new(),
    };
    let gauge = inputs::gauge(arguments.gauge, in_file, chart.palette().yarns(), &mut notes);
    let mut done: Vec<(&str, Altered)> = Vec::new();
    for operation in &arguments.operations {
        let before = done.last().map_or(&chart, |(_, altered)| &altered.chart);
        let altered = carried_out(operation, before, &yarns)?;
        done.push((operation, altered));
    }
    // Only now, since all of them are understood.
    let first = worked(&chart, &gauge, console)?;
    let mut before = Work::of(&first);
    let mut last = first;
    let mut told = Vec::new();
    for (operation, altered) in done {
        if altered.chart != **last.chart() {
            last = worked(&altered.chart, &gauge, console)?;
        }
        let after = Work::of(&last);
        told.push(Told { operation, name: altered.name, stitches: altered.stitches, before, after });
        before = after;
    }
    let chart = last.chart();
    let bytes = if is_csv {
        formats::write_chart_csv(chart).into_bytes()
    } else {
        formats::write_chart_png(chart, Some(&gauge))
    };
    console.go_on()?;
    output::write(&arguments.out, &bytes, existing)?;
    let written = arguments.out.display().to_string();
    if console.json() {
        return console.print_json(&json!({
            "written": [written],
            "operations": told.iter().map(Told::json).collect::<Vec<_>>(),
            "summary": summary(chart, last.plan()),
            "notes": notes,
        }));
    }
    console.notes(&notes);
    let lines: Vec<String> = told.iter().map(Told::line).collect();
    console.print(&lines.join("\n"))?;
    console.say(&format!("written: {written}"));
    console.say(&format!(
        "next: strandwright plan {}{} --out plan.json",
        word(&arguments.out),
        yarns_again(list)
    ));
    Ok(())
}

/// A plan under the default rules, proven.
fn worked(chart: &Chart, gauge: &Gauge, console: &Console) -> Result<ProvenPlan, Failure> {
    let rules = Rules::new(chart.palette(), Weights::default(), Hand::Right);
    let plan = planned(chart, &rules, gauge, console)?;
    proven(chart.clone(), plan, console)
}

/// What a chart takes.
#[derive(Clone, Copy)]
struct Work {
    ends: usize,
    hours: f64,
    strands_at_once: usize,
}

impl Work {
    fn of(proven: &ProvenPlan) -> Self {
        let counts = proven.plan().counts;
        let hours = hours(proven, &Pace::default()).total();
        Self { ends: counts.ends(), hours, strands_at_once: counts.strands_at_once }
    }

    fn json(self) -> Value {
        json!({"ends": self.ends, "hours": self.hours, "strands_at_once": self.strands_at_once})
    }
}

/// One operation and what it did.
struct Told<'a> {
    operation: &'a str,
    name: &'static str,
    stitches: edits::Stitches,
    before: Work,
    after: Work,
}

impl Told<'_> {
    fn json(&self) -> Value {
        json!({
            "do": self.operation,
            "name": self.name,
            "changed": self.stitches.changed,
            "added": self.stitches.added,
            "removed": self.stitches.removed,
            "before": self.before.json(),
            "after": self.after.json(),
        })
    }

    fn line(&self) -> String {
        let edits::Stitches { changed, added, removed } = self.stitches;
        let parts = [(changed, "changed"), (added, "added"), (removed, "taken out")];
        let parts = parts.iter().filter(|(stitches, _)| *stitches > 0);
        let parts: Vec<String> = parts
            .map(|(stitches, what)| format!("{} {what}", counted(*stitches as u64, "stitch", "stitches")))
            .collect();
        let stitches = if parts.is_empty() { "no stitch changed".to_owned() } else { parts.join(", ") };
        let (before, after) = (self.before, self.after);
        let ends = match after.ends.abs_diff(before.ends) {
            0 => "as before".to_owned(),
            fewer if after.ends < before.ends => format!("{fewer} fewer"),
            more => format!("{more} more"),
        };
        format!(
            "{}: {stitches}; ends {} → {} ({ends}); hours {:.1} → {:.1}",
            self.operation, before.ends, after.ends, before.hours, after.hours
        )
    }
}
