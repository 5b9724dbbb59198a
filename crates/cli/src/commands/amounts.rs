//! `amounts`: yarn, winding list, ends, size, hours and evenings of a proven plan.

mod data;
mod words;

use std::path::PathBuf;

use model::Palette;
use pattern::{
    Amount, Balls, DyeLots, End, Finished, Grouping, Habit, Schedule, ScheduleError, StillToWork, WindingList,
};
use replay::ProvenPlan;

use super::replay::worked;
use crate::console::Console;
use crate::failure::Failure;
use crate::reckoned::{Reckoned, reckoned};
use crate::yarn_names::called;
use crate::{args, output};

/// All that is told.
struct Found<'a> {
    proven: &'a ProvenPlan,
    reckoned: Reckoned,
    amounts: Vec<Amount>,
    finished: Finished,
    winding: WindingList,
    /// Every end, where they are wanted.
    ends: Option<Vec<End>>,
    evenings: Option<Schedule>,
}

impl Found<'_> {
    /// The yarns that the amounts speak of.
    fn palette(&self) -> &Palette {
        self.reckoned.choices.palette(self.proven)
    }
}

pub(crate) fn amounts(arguments: &args::Amounts, console: &Console) -> Result<(), Failure> {
    let existing = output::Existing::from_force(arguments.common.force);
    if let Some(path) = &arguments.out {
        let read = [Some(&arguments.chart.chart), Some(&arguments.plan), arguments.chart.yarns.as_ref()];
        output::spare(&read.map(|path| path.map(PathBuf::as_path)), &[path])?;
        output::check(path, existing)?;
    }
    let mut notes = Vec::new();
    let (proven, in_file) = worked(&arguments.chart, &arguments.plan, &mut notes)?;
    let reckoned = reckoned(&arguments.reckoned, &arguments.chart, &proven, in_file, &mut notes)?;
    let choices = &reckoned.choices;
    let amounts = pattern::amounts(&proven, choices);
    note_balls(choices.palette(&proven), &amounts, choices.dye_lots, &mut notes);
    let found = Found {
        finished: pattern::finished(
            &proven,
            &reckoned.basis.swatch.gauge,
            &amounts,
            reckoned.depth(),
            arguments.reckoned.shrinks,
        ),
        winding: pattern::winding_list(&proven, choices, &Grouping::default()),
        ends: arguments.ends.then(|| pattern::ends(&proven, &choices.takes.yarn_use)),
        evenings: evenings(arguments, &proven, &reckoned)?,
        proven: &proven,
        reckoned,
        amounts,
    };
    let text = words::words(&found, arguments.reckoned.units.units());
    console.go_on()?;
    if let Some(path) = &arguments.out {
        output::write(path, text.as_bytes(), existing)?;
    }
    if console.json() {
        let written: Vec<String> = arguments.out.iter().map(|path| path.display().to_string()).collect();
        return console.print_json(&data::data(&found, &written, &text, &notes));
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

/// Notes what can't be said of balls, and lots that would meet unasked.
fn note_balls(palette: &Palette, amounts: &[Amount], dye_lots: DyeLots, notes: &mut Vec<String>) {
    let names = |those: &dyn Fn(&Amount) -> bool| {
        let names =
            amounts.iter().filter(|amount| those(amount)).map(|amount| called(palette.yarn(amount.yarn)));
        names.collect::<Vec<_>>().join(", ")
    };
    let unknown = names(&|amount| amount.balls.is_none());
    if !unknown.is_empty() {
        notes.push(format!(
            "nothing says what a ball of {unknown} holds: a list given with --yarns does, with metres and grams"
        ));
    }
    let meeting =
        names(&|amount| amount.balls.is_some_and(|balls: Balls| balls.on_hand > 0 && balls.buy > 0));
    if dye_lots == DyeLots::Alike && !meeting.is_empty() {
        notes.push(format!(
            "balls on hand are eked out with bought ones: {meeting}. Where dye lots matter, --spare has a ball more bought and says what to do"
        ));
    }
}

fn evenings(
    arguments: &args::Amounts,
    proven: &ProvenPlan,
    reckoned: &Reckoned,
) -> Result<Option<Schedule>, Failure> {
    let (Some(evenings_a_week), Some(minutes), Some(today)) =
        (arguments.evenings, arguments.minutes, arguments.today)
    else {
        return Ok(None);
    };
    let still = StillToWork {
        rows_done: arguments.rows_done.unwrap_or(0),
        rows: pattern::minutes_by_row(proven, &reckoned.pace),
        finishing: reckoned.time.finishing(),
    };
    let schedule = pattern::schedule(&still, Habit { evenings_a_week, minutes }, today, arguments.by);
    schedule.map(Some).map_err(|error| match error {
        ScheduleError::Evenings(_) => Failure::usage(error, "--evenings", error.hint()),
        ScheduleError::Minutes(_) => Failure::usage(error, "--minutes", error.hint()),
        ScheduleError::Past(_) => Failure::usage(error, "--by", error.hint()),
        ScheduleError::RowsDone { .. } => Failure::input(error, "--rows-done", error.hint()),
        ScheduleError::NoTime(_) | ScheduleError::TooLong => {
            Failure::input(error, "--evenings", error.hint())
        }
    })
}

/// So much of a price, in whole units.
fn price(hundredths: u64) -> String {
    format!("{}.{:02}", hundredths / 100, hundredths % 100)
}
