//! `amounts`: yarn, winding list, ends, size, hours and evenings of a proven plan.

mod basis;
mod data;
mod words;

use std::path::PathBuf;

use pattern::{
    Amount, Choices, DyeLots, End, Finished, Grouping, Habit, OwnPace, Pace, Schedule, ScheduleError,
    StillToWork, Time, WindingList,
};
use replay::ProvenPlan;

use self::basis::Basis;
use super::replay::worked;
use crate::args::UnitsArg;
use crate::console::Console;
use crate::failure::Failure;
use crate::yarn_names::called;
use crate::{args, output};

/// All that is told.
struct Found<'a> {
    proven: &'a ProvenPlan,
    basis: Basis,
    choices: Choices,
    amounts: Vec<Amount>,
    finished: Finished,
    winding: WindingList,
    /// Every end, where they are wanted.
    ends: Option<Vec<End>>,
    pace: Pace,
    time: Time,
    evenings: Option<Schedule>,
}

pub(crate) fn amounts(arguments: &args::Amounts, console: &Console) -> Result<(), Failure> {
    let existing = output::Existing::from_force(arguments.common.force);
    if let Some(path) = &arguments.out {
        let read = [Some(&arguments.chart.chart), Some(&arguments.plan), arguments.chart.yarns.as_ref()];
        output::spare(&read.map(|path| path.map(PathBuf::as_path)), &[path])?;
        output::check(path, existing)?;
    }
    let mut notes = Vec::new();
    let own = OwnPace { stitches_a_minute: arguments.stitches_a_minute, ..OwnPace::default() };
    let pace = own.pace().map_err(|error| Failure::usage(error, "--stitches-a-minute", error.hint()))?;
    notes.extend(own.slip().map(|slip| format!("the pace looks odd: {slip}")));
    let (proven, in_file) = worked(&arguments.chart, &arguments.plan, &mut notes)?;
    let basis = basis::basis(arguments, &proven, in_file, &mut notes)?;

    let dye_lots = if arguments.spare { DyeLots::Matter } else { DyeLots::Alike };
    let choices = Choices { margin: arguments.margin, dye_lots, ..Choices::new(basis.takes) };
    let amounts = pattern::amounts(&proven, &choices);
    note_balls(&proven, &amounts, arguments.spare, &mut notes);
    let time = pattern::time(&proven, &pace, 0.0);
    let found = Found {
        finished: pattern::finished(
            &proven,
            &basis.swatch.gauge,
            &amounts,
            model::Length::ZERO,
            arguments.shrinks,
        ),
        winding: pattern::winding_list(&proven, &choices, &Grouping::default()),
        ends: arguments.ends.then(|| pattern::ends(&proven, &choices.takes.yarn_use)),
        evenings: evenings(arguments, &proven, &pace, &time)?,
        proven: &proven,
        basis,
        choices,
        amounts,
        pace,
        time,
    };
    let text = words::words(&found, arguments.units);
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
fn note_balls(proven: &ProvenPlan, amounts: &[Amount], spare: bool, notes: &mut Vec<String>) {
    let names = |those: &dyn Fn(&Amount) -> bool| {
        let palette = proven.chart().palette();
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
    let meeting = names(&|amount| amount.balls.is_some_and(|balls| balls.on_hand > 0 && balls.buy > 0));
    if !spare && !meeting.is_empty() {
        notes.push(format!(
            "balls on hand are eked out with bought ones: {meeting}. Where dye lots matter, --spare has a ball more bought and says what to do"
        ));
    }
}

fn evenings(
    arguments: &args::Amounts,
    proven: &ProvenPlan,
    pace: &Pace,
    time: &Time,
) -> Result<Option<Schedule>, Failure> {
    let (Some(evenings_a_week), Some(minutes), Some(today)) =
        (arguments.evenings, arguments.minutes, arguments.today)
    else {
        return Ok(None);
    };
    let still = StillToWork {
        rows_done: arguments.rows_done.unwrap_or(0),
        rows: pattern::minutes_by_row(proven, pace),
        finishing: time.finishing(),
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

/// What the units of the person are.
#[derive(Clone, Copy)]
struct Units(UnitsArg);

/// So much of a price, in whole units.
fn price(hundredths: u64) -> String {
    format!("{}.{:02}", hundredths / 100, hundredths % 100)
}
