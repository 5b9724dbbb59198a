//! Rows per evening: when it will be done, or what it takes to be done by a day.

use core::fmt;
use core::ops::RangeInclusive;

use model::RowNumber;

/// A day, counted from any day that the caller likes; only differences matter.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Day(pub i64);

/// When somebody works.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Habit {
    /// Evenings in a week, 1 to 7, spread over it as evenly as may be.
    pub evenings_a_week: u32,
    /// Minutes in an evening, 5 to 960.
    pub minutes: u32,
}

impl Habit {
    const MINUTES: RangeInclusive<u32> = 5..=960;

    /// How many evenings there are from today on and before another day.
    fn evenings_before(&self, today: Day, day: Day) -> u64 {
        let days = u64::try_from(day.0.saturating_sub(today.0)).unwrap_or(0);
        let evenings = (u128::from(days) * u128::from(self.evenings_a_week)).div_ceil(7);
        u64::try_from(evenings).unwrap_or(u64::MAX)
    }

    /// The day of an evening, counted from 0; the first is today.
    fn day(&self, today: Day, evening: u64) -> Day {
        let days = evening.saturating_mul(7) / u64::from(self.evenings_a_week);
        Day(today.0.saturating_add(i64::try_from(days).unwrap_or(i64::MAX)))
    }
}

/// What is to be done.
#[derive(Clone, Debug, PartialEq)]
pub struct StillToWork {
    /// Rows that are done.
    pub rows_done: usize,
    /// Minutes of each row of the chart, those done included.
    pub rows: Vec<f64>,
    /// Hours after the last row: weaving in, and the border.
    pub finishing: f64,
}

/// One evening.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Evening {
    /// Its day.
    pub day: Day,
    /// First and last row to be finished on it; none where all of it goes into one long row or the
    /// finishing.
    pub rows: Option<(RowNumber, RowNumber)>,
    /// Minutes of finishing.
    pub finishing: f64,
}

/// Whether it will be done in time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum InTime {
    /// No day was named.
    NoDay,
    /// It will.
    Yes {
        /// Evenings left over.
        to_spare: u64,
        /// So many rows an evening do, when the work is spread over all evenings there are.
        rows_an_evening: u64,
    },
    /// It won't.
    No {
        /// Rows, counted from the bottom, that will be done.
        rows_by_then: usize,
        /// Minutes in each of those evenings that would do; none where no evening is that long.
        minutes: Option<u32>,
        /// Evenings in a week that would do; none where seven would not.
        evenings_a_week: Option<u32>,
    },
}

/// When what is done.
#[derive(Clone, Debug, PartialEq)]
pub struct Schedule {
    /// Evenings, one after the other.
    pub evenings: Vec<Evening>,
    /// The last of them.
    pub done_on: Day,
    /// Rows an evening, on the average, while there are rows.
    pub rows_an_evening: f64,
    /// Whether that is in time.
    pub in_time: InTime,
    /// All of it in words, days as a number from today.
    pub says: String,
}

/// Why there is no schedule.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ScheduleError {
    /// Not 1 to 7 evenings.
    Evenings(u32),
    /// Not 5 to 960 minutes.
    Minutes(u32),
    /// More rows are done than there are.
    RowsDone {
        /// As it was given.
        done: usize,
        /// Rows that there are.
        rows: usize,
    },
    /// A day that is past, so many days ago.
    Past(i64),
    /// A time that is below zero, no number, or absurd.
    NoTime(f64),
    /// It takes more than [`MOST_EVENINGS`].
    TooLong,
}

/// The most evenings that are planned: about a hundred years of them.
pub const MOST_EVENINGS: usize = 40_000;

impl fmt::Display for ScheduleError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Evenings(number) => {
                write!(f, "{number} evenings a week are none or too many: 1 to 7 it is")
            }
            Self::Minutes(number) => write!(f, "{number} minutes make no evening: 5 to 960 it is"),
            Self::RowsDone { done, rows } => write!(f, "{done} rows are done, and there are only {rows}"),
            Self::Past(days) => write!(f, "the wished day was {days} days ago"),
            Self::NoTime(number) => write!(f, "{number} is no time that work takes"),
            Self::TooLong => write!(f, "the work takes more than {MOST_EVENINGS} evenings"),
        }
    }
}

impl std::error::Error for ScheduleError {}

impl ScheduleError {
    /// What to do about it.
    #[must_use]
    pub const fn hint(&self) -> &'static str {
        match self {
            Self::Evenings(_) | Self::Minutes(_) => "give what you keep up for months",
            Self::RowsDone { .. } => "give the number of the last row that is finished",
            Self::Past(_) => "name a day to come",
            Self::NoTime(_) => "check the pace",
            Self::TooLong => "a smaller chart, or more minutes an evening",
        }
    }
}

/// Plans the evenings from today on, to be done before the day `by` begins where one is named.
///
/// Work goes on where it stopped, in the middle of a row too; a row counts on the evening on which
/// it is finished.
///
/// # Errors
/// When the habit, the rows done, the day or a time make no sense, or the work takes a lifetime.
pub fn schedule(
    still: &StillToWork,
    habit: Habit,
    today: Day,
    by: Option<Day>,
) -> Result<Schedule, ScheduleError> {
    if !(1..=7).contains(&habit.evenings_a_week) {
        return Err(ScheduleError::Evenings(habit.evenings_a_week));
    }
    if !Habit::MINUTES.contains(&habit.minutes) {
        return Err(ScheduleError::Minutes(habit.minutes));
    }
    if still.rows_done > still.rows.len() {
        return Err(ScheduleError::RowsDone { done: still.rows_done, rows: still.rows.len() });
    }
    if let Some(by) = by.filter(|by| *by < today) {
        return Err(ScheduleError::Past(today.0.saturating_sub(by.0)));
    }
    let sensible = |number: &f64| number.is_finite() && *number >= 0.0;
    if let Some(number) = still.rows.iter().chain([&still.finishing]).find(|number| !sensible(number)) {
        return Err(ScheduleError::NoTime(*number));
    }
    let evenings = planned(still, habit, today).ok_or(ScheduleError::TooLong)?;
    let done_on = evenings.last().map_or(today, |evening| evening.day);
    let rows_left = still.rows.len() - still.rows_done;
    let with_rows = evenings.iter().rposition(|evening| evening.rows.is_some()).map_or(0, |at| at + 1);
    #[allow(clippy::cast_precision_loss)] // far below 2^52
    let rows_an_evening = if with_rows == 0 { 0.0 } else { rows_left as f64 / with_rows as f64 };
    let in_time = by.map_or(InTime::NoDay, |by| in_time(still, habit, today, by, &evenings));
    let says = says(&evenings, habit, today, by, rows_an_evening, in_time);
    Ok(Schedule { evenings, done_on, rows_an_evening, in_time, says })
}

/// A thousandth of a minute is not worth another evening.
const DUST: f64 = 1e-3;

fn planned(still: &StillToWork, habit: Habit, today: Day) -> Option<Vec<Evening>> {
    let minutes = f64::from(habit.minutes);
    let mut evenings: Vec<Evening> = Vec::new();
    let mut left = 0.0;
    let next = |evenings: &mut Vec<Evening>| {
        let day = habit.day(today, evenings.len() as u64);
        evenings.push(Evening { day, rows: None, finishing: 0.0 });
        (evenings.len() <= MOST_EVENINGS).then_some(minutes)
    };
    for (at, &row) in still.rows.iter().enumerate().skip(still.rows_done) {
        let mut open = row;
        while evenings.is_empty() || open > left + DUST {
            open -= left;
            left = next(&mut evenings)?;
        }
        left = (left - open).max(0.0);
        let number = RowNumber(at + 1);
        if let Some(evening) = evenings.last_mut() {
            evening.rows = Some((evening.rows.map_or(number, |rows| rows.0), number));
        }
    }
    let mut open = still.finishing * 60.0;
    while open > DUST {
        if left <= DUST {
            left = next(&mut evenings)?;
        }
        let part = open.min(left);
        (open, left) = (open - part, left - part);
        if let Some(evening) = evenings.last_mut() {
            evening.finishing += part;
        }
    }
    Some(evenings)
}

fn in_time(still: &StillToWork, habit: Habit, today: Day, by: Day, evenings: &[Evening]) -> InTime {
    let there = habit.evenings_before(today, by);
    let needed = evenings.len() as u64;
    let rows_left = (still.rows.len() - still.rows_done) as u64;
    if needed <= there {
        // The finishing keeps its evenings; the rows spread over the others.
        let finishing = evenings.iter().rev().take_while(|evening| evening.rows.is_none()).count() as u64;
        let rows_an_evening = rows_left.div_ceil((there - finishing).max(1));
        return InTime::Yes { to_spare: there - needed, rows_an_evening };
    }
    let mut done = evenings.iter().take(usize::try_from(there).unwrap_or(usize::MAX)).rev();
    let rows_by_then = done.find_map(|evening| evening.rows).map_or(still.rows_done, |rows| rows.1.0);
    let would_do = |habit: Habit| {
        let there = habit.evenings_before(today, by);
        planned(still, habit, today).is_some_and(|evenings| evenings.len() as u64 <= there)
    };
    let longer = |minutes: u32| Habit { minutes, ..habit };
    // More minutes are never worse, so halving finds the fewest that do.
    let (mut low, mut high) = (habit.minutes, *Habit::MINUTES.end());
    let minutes = would_do(longer(high)).then(|| {
        while high - low > 1 {
            let middle = u32::midpoint(low, high);
            if would_do(longer(middle)) { high = middle } else { low = middle }
        }
        high
    });
    let evenings_a_week =
        (habit.evenings_a_week + 1..=7).find(|&evenings_a_week| would_do(Habit { evenings_a_week, ..habit }));
    InTime::No { rows_by_then, minutes, evenings_a_week }
}

fn says(
    evenings: &[Evening],
    habit: Habit,
    today: Day,
    by: Option<Day>,
    rows_an_evening: f64,
    in_time: InTime,
) -> String {
    let Some(last) = evenings.last() else { return "Nothing is left to do.".into() };
    let habits = format!(
        "{} evening{} a week of {} minutes",
        habit.evenings_a_week,
        if habit.evenings_a_week == 1 { "" } else { "s" },
        habit.minutes
    );
    let number = evenings.len();
    let s = if number == 1 { "" } else { "s" };
    let days = last.day.0.saturating_sub(today.0).saturating_add(1);
    let day_s = if days == 1 { "" } else { "s" };
    let mut text = format!("At {habits} it takes {number} evening{s}: {days} day{day_s} from today on");
    if rows_an_evening > 0.0 {
        text += &format!(", about {rows_an_evening:.1} rows an evening");
    }
    text.push('.');
    let left = by.map_or(0, |by| habit.evenings_before(today, by));
    match in_time {
        InTime::NoDay => {}
        InTime::Yes { to_spare, rows_an_evening } => {
            text += &format!(" That is in time, with {to_spare} to spare");
            text += &match rows_an_evening {
                0 => ".".into(),
                1 => "; 1 row an evening will do.".into(),
                rows => format!("; {rows} rows an evening will do."),
            };
        }
        InTime::No { rows_by_then, minutes, evenings_a_week } => {
            text += &format!(
                " That is too late: {left} evening{} left, and by then {rows_by_then} row{} will be done.",
                if left == 1 { " is" } else { "s are" },
                if rows_by_then == 1 { "" } else { "s" }
            );
            let minutes = minutes.map(|minutes| format!("{minutes} minutes an evening"));
            let evenings = evenings_a_week.map(|evenings| format!("{evenings} evenings a week"));
            let ways: Vec<String> = minutes.into_iter().chain(evenings).collect();
            text += &if ways.is_empty() {
                " It can't be done by then, whatever the evenings: name a later day, or make it smaller."
                    .into()
            } else {
                format!(" It would do with {}.", ways.join(", or "))
            };
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn still(rows: usize, minutes: f64, finishing: f64) -> StillToWork {
        StillToWork { rows_done: 0, rows: vec![minutes; rows], finishing }
    }

    const WEEKLY: Habit = Habit { evenings_a_week: 3, minutes: 60 };

    /// By hand: 20 rows of 30 minutes and 2 hours are 12 evenings of an hour; at three a week the
    /// twelfth is on day 11 · 7 / 3 = 25.
    #[test]
    fn evenings_are_counted_as_by_hand() {
        let plan = schedule(&still(20, 30.0, 2.0), WEEKLY, Day(100), None).unwrap();
        assert_eq!((plan.evenings.len(), plan.done_on), (12, Day(125)));
        assert_eq!(plan.evenings[0].rows, Some((RowNumber(1), RowNumber(2))));
        assert_eq!(plan.evenings[9].rows, Some((RowNumber(19), RowNumber(20))));
        assert!((plan.evenings[11].finishing - 60.0).abs() < 1e-9 && plan.evenings[11].rows.is_none());
        assert!((plan.rows_an_evening - 2.0).abs() < 1e-9);
        assert_eq!(
            plan.says,
            "At 3 evenings a week of 60 minutes it takes 12 evenings: 26 days from today on, about 2.0 rows an evening."
        );
    }

    #[test]
    fn what_comes_too_late_is_said_with_what_would_do() {
        let plan = schedule(&still(20, 30.0, 2.0), WEEKLY, Day(0), Some(Day(14))).unwrap();
        // Six evenings: twelve hours are two hours in each, or seven evenings a week (14 there are).
        let expected = InTime::No { rows_by_then: 12, minutes: Some(120), evenings_a_week: Some(6) };
        assert_eq!(plan.in_time, expected);
        assert!(
            plan.says.contains("too late: 6 evenings are left, and by then 12 rows will be done"),
            "{}",
            plan.says
        );
        let never = schedule(&still(200, 60.0, 2.0), WEEKLY, Day(0), Some(Day(1))).unwrap();
        assert!(never.says.contains("whatever the evenings"), "{}", never.says);
        let early = schedule(&still(20, 30.0, 2.0), WEEKLY, Day(0), Some(Day(70))).unwrap();
        assert_eq!(early.in_time, InTime::Yes { to_spare: 18, rows_an_evening: 1 });
    }

    #[test]
    fn a_long_row_goes_on_the_next_evening() {
        let plan = schedule(&still(2, 90.0, 0.0), WEEKLY, Day(0), None).unwrap();
        let rows: Vec<_> = plan.evenings.iter().map(|evening| evening.rows.map(|rows| rows.1.0)).collect();
        assert_eq!(rows, [None, Some(1), Some(2)]);
    }

    #[test]
    fn nonsense_is_refused() {
        let good = still(5, 10.0, 1.0);
        let of = |habit, by| schedule(&good, habit, Day(10), by).unwrap_err();
        assert_eq!(of(Habit { evenings_a_week: 8, ..WEEKLY }, None), ScheduleError::Evenings(8));
        assert_eq!(of(Habit { minutes: 0, ..WEEKLY }, None), ScheduleError::Minutes(0));
        assert_eq!(of(WEEKLY, Some(Day(7))), ScheduleError::Past(3));
        let bad = |still: StillToWork| schedule(&still, WEEKLY, Day(0), None).unwrap_err();
        assert_eq!(
            bad(StillToWork { rows_done: 6, ..good.clone() }),
            ScheduleError::RowsDone { done: 6, rows: 5 }
        );
        assert_eq!(bad(still(1, -1.0, 0.0)), ScheduleError::NoTime(-1.0));
        assert_eq!(bad(still(1, 1e12, 0.0)), ScheduleError::TooLong);
        let done =
            schedule(&StillToWork { rows_done: 5, finishing: 0.0, ..good.clone() }, WEEKLY, Day(3), None)
                .unwrap();
        assert_eq!((done.done_on, done.says.as_str()), (Day(3), "Nothing is left to do."));
    }

    proptest! {
        /// Every row is finished once and in order, and no evening holds more than its minutes.
        #[test]
        fn every_row_has_its_evening(
            rows in prop::collection::vec(0.0..150.0f64, 0..60),
            finishing in 0.0..9.0f64,
            evenings_a_week in 1u32..=7,
            minutes in 5u32..300,
            done in 0usize..60,
            days in 0i64..200,
        ) {
            let rows_done = done.min(rows.len());
            let still = StillToWork { rows_done, rows: rows.clone(), finishing };
            let habit = Habit { evenings_a_week, minutes };
            let plan = schedule(&still, habit, Day(0), Some(Day(days))).unwrap();
            let told = plan.evenings.iter().filter_map(|evening| evening.rows);
            let told: Vec<usize> = told.flat_map(|(first, last)| first.0..=last.0).collect();
            prop_assert_eq!(told, (rows_done + 1..=rows.len()).collect::<Vec<_>>());
            let all = rows[rows_done..].iter().sum::<f64>() + finishing * 60.0;
            let fewest = (all / f64::from(minutes)).ceil();
            #[allow(clippy::cast_precision_loss)]
            let evenings = plan.evenings.len() as f64;
            prop_assert!((evenings - fewest).abs() <= 1.0, "{} {}", evenings, fewest);
            prop_assert!(plan.evenings.windows(2).all(|pair| pair[0].day < pair[1].day || evenings_a_week > 7));
            // In time is what it says: the last evening lies before the day.
            match plan.in_time {
                InTime::Yes { .. } => prop_assert!(plan.evenings.is_empty() || plan.done_on < Day(days)),
                InTime::No { .. } => prop_assert!(plan.done_on >= Day(days)),
                InTime::NoDay => prop_assert!(false),
            }
            if let InTime::No { minutes: Some(longer), .. } = plan.in_time {
                let again = schedule(&still, Habit { minutes: longer, ..habit }, Day(0), Some(Day(days))).unwrap();
                let enough = matches!(again.in_time, InTime::Yes { .. });
                prop_assert!(enough);
            }
        }
    }
}
