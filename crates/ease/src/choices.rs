//! One chart at a wanted ease, and a row of them to choose from.

use std::num::NonZeroUsize;

use charting::{Stopped, Watch};
use model::{Chart, Plan};

use crate::desk::{Desk, work};
use crate::easing::{ROW_SKETCH, SKETCHES, State, climb_from, join, sketch};
use crate::problem::Problem;
use crate::{EaseError, Look, Task};

/// How easy a chart is to be: 0 takes the nearest yarn for each stitch, 10 spares all the work that
/// can be spared while the picture is still there.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Ease(u8);

impl Ease {
    /// Each stitch in its nearest yarn.
    pub const PLAIN: Self = Self(0);
    /// The most.
    pub const MOST: u8 = 10;

    /// An ease from 0 to 10.
    ///
    /// # Errors
    /// When it is more.
    pub const fn new(ease: u8) -> Result<Self, EaseError> {
        if ease > Self::MOST { Err(EaseError::NoSuchEase(ease)) } else { Ok(Self(ease)) }
    }

    /// Its number.
    #[must_use]
    pub const fn number(self) -> u8 {
        self.0
    }
}

/// How many charts to choose from: 5 to 7.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Count(usize);

impl Count {
    /// So many.
    ///
    /// # Errors
    /// When there are fewer than 5 or more than 7.
    pub const fn new(count: usize) -> Result<Self, EaseError> {
        if count < 5 || count > 7 { Err(EaseError::NoSuchCount(count)) } else { Ok(Self(count)) }
    }

    /// Its number.
    #[must_use]
    pub const fn number(self) -> usize {
        self.0
    }
}

/// A chart made of a picture, with its plan and its look.
#[derive(Clone, Debug, PartialEq)]
pub struct Eased {
    /// The chart, its frame included.
    pub chart: Chart,
    /// A cheapest plan of it, as `planner::plan` makes it; a claim until it is replayed.
    pub plan: Plan,
    /// How much it looks like its picture.
    pub look: Look,
}

impl Eased {
    /// Whether the other is no worse in look and in work, and better in one.
    #[must_use]
    pub fn is_beaten_by(&self, other: &Self) -> bool {
        let (work, look) = (self.plan.counts.cost, self.look.mean);
        let (other_work, other_look) = (other.plan.counts.cost, other.look.mean);
        other_work <= work && other_look <= look && (other_work < work || other_look < look)
    }
}

/// Units of error (CIEDE2000 of a cell, times its weight) that a stitch of work is worth: each step
/// of the dial half as much again and a little more. At 5 a photograph takes about half the work and
/// looks a twentieth worse (chosen for this project, on the pictures of `docs/charting.md`).
fn worth(ease: f64) -> f64 {
    if ease <= 0.0 { 0.0 } else { 0.5 * libm::pow(1.55, ease - 1.0) }
}

/// The chart of that ease, on as many threads as there are cores.
///
/// # Errors
/// When the parts of the task don't fit together, or `watch` says stop.
pub fn ease(task: &Task<'_>, ease: Ease, watch: Watch<'_>) -> Result<Eased, EaseError> {
    ease_on(cores(), task, ease, watch)
}

/// [`ease`](fn@ease) on so many threads at most; the chart does not depend on it.
///
/// # Errors
/// As [`ease`](fn@ease).
pub fn ease_on(threads: usize, task: &Task<'_>, ease: Ease, watch: Watch<'_>) -> Result<Eased, EaseError> {
    ease_at(threads, task, worth(f64::from(ease.0)), watch)
}

/// The chart where a stitch of work is worth so many units of error, a unit being a CIEDE2000
/// difference of 1 in a cell of weight 1; on so many threads at most. For measurements: a person
/// turns a dial.
///
/// # Errors
/// As [`ease`](fn@ease).
pub fn ease_at(threads: usize, task: &Task<'_>, worth: f64, watch: Watch<'_>) -> Result<Eased, EaseError> {
    let problem = Problem::new(task)?;
    let mut cells = problem.nearest.clone();
    if worth > 0.0 {
        let mut climbed: Vec<State> = Vec::new();
        let climb = |at: usize, desk: &Desk<'_>| climb_from(&problem, worth, SKETCHES[at], desk);
        work(SKETCHES.len(), threads, climb, watch, (0.0, 0.7), &mut |state| climbed.push(state))?;
        let joined = |_: usize, desk: &Desk<'_>| join(&problem, worth, climbed.clone(), threads, desk);
        work(1, 1, joined, watch, (0.7, 0.2), &mut |state: State| cells = state.cells)?;
    }
    let mut made = None;
    let finish = |_: usize, desk: &Desk<'_>| finished(&problem, &cells, threads, desk);
    work(1, 1, finish, watch, (0.9, 0.1), &mut |eased| made = Some(eased))?;
    made.ok_or(EaseError::Stopped)
}

/// The plain chart smoothed by α-expansion alone, where a stitch of work is worth so many units of
/// error: what [`ease`](fn@ease) sets out from. For measurements.
///
/// # Errors
/// As [`ease`](fn@ease).
pub fn sketch_at(task: &Task<'_>, worth: f64, watch: Watch<'_>) -> Result<Chart, EaseError> {
    let problem = Problem::new(task)?;
    let mut chart = None;
    let sketch = |_: usize, desk: &Desk<'_>| sketch(&problem, worth, desk);
    work(1, 1, sketch, watch, (0.0, 1.0), &mut |cells: Vec<u8>| chart = Some(problem.chart(&cells)))?;
    chart.ok_or(EaseError::Stopped)
}

/// Charts along the best trade-off between look and work, from the plain one to the easiest, on as
/// many threads as there are cores. Each is handed to `on_found` when it is found, the plain one at
/// once, the others in this order too.
///
/// None that comes back is beaten by another in both look and work: one that is (it happens where
/// a picture has hardly anything to spare) is left out, so that fewer than `count` may come back.
/// What was handed out stays good where `watch` says stop.
///
/// # Errors
/// As [`ease`](fn@ease).
pub fn choices(
    task: &Task<'_>,
    count: Count,
    on_found: &mut dyn FnMut(Eased),
    watch: Watch<'_>,
) -> Result<Vec<Eased>, EaseError> {
    choices_on(cores(), task, count, on_found, watch)
}

/// [`choices`] on so many threads at most; the charts do not depend on it.
///
/// # Errors
/// As [`ease`](fn@ease).
pub fn choices_on(
    threads: usize,
    task: &Task<'_>,
    count: Count,
    on_found: &mut dyn FnMut(Eased),
    watch: Watch<'_>,
) -> Result<Vec<Eased>, EaseError> {
    let problem = Problem::new(task)?;
    let mut found: Vec<Eased> = Vec::with_capacity(count.0);
    let mut hand_out = |eased: Eased| {
        if found.iter().any(|other| eased.is_beaten_by(other) || eased.chart == other.chart) {
            return;
        }
        on_found(eased.clone());
        found.push(eased);
    };
    let plain = |_: usize, desk: &Desk<'_>| finished(&problem, &problem.nearest, threads, desk);
    work(1, 1, plain, watch, (0.0, 0.05), &mut hand_out)?;
    let others = count.0 - 1;
    let piece = |at: usize, desk: &Desk<'_>| {
        let worth = worth(step(at, others));
        let climbed = climb_from(&problem, worth, ROW_SKETCH, &desk.part(0.0, 0.5))?;
        let state = join(&problem, worth, vec![climbed], 1, &desk.part(0.5, 0.4))?;
        finished(&problem, &state.cells, 1, &desk.part(0.9, 0.1))
    };
    work(others, threads, piece, watch, (0.05, 0.95), &mut hand_out)?;
    let beaten: Vec<bool> =
        found.iter().map(|one| found.iter().any(|other| one.is_beaten_by(other))).collect();
    let mut beaten = beaten.into_iter();
    found.retain(|_| beaten.next() == Some(false));
    Ok(found)
}

/// The ease of one of the choices behind the plain one.
#[allow(clippy::cast_precision_loss)] // a handful
fn step(at: usize, of: usize) -> f64 {
    let (first, last) = (3.0, 9.0);
    first + (last - first) * at as f64 / (of - 1) as f64
}

fn cores() -> usize {
    std::thread::available_parallelism().map_or(1, NonZeroUsize::get)
}

fn finished(problem: &Problem<'_>, cells: &[u8], threads: usize, desk: &Desk<'_>) -> Result<Eased, Stopped> {
    let chart = problem.chart(cells);
    let task = problem.task;
    // All else that planning refuses was refused before.
    let plan = planner::plan_on(threads, &chart, task.rules, task.yarn_use, &|_| desk.go_on())
        .map_err(|_| Stopped)?;
    let look = Look::within(problem, &chart);
    desk.tell(1.0)?;
    Ok(Eased { chart, plan, look })
}

#[cfg(test)]
mod tests {
    use core::ops::ControlFlow;

    use super::*;
    use crate::trial::Parts;
    use crate::{Fixed, Importance};
    use charting::{Frame, unwatched};
    use model::{RowIndex, Srgb};

    fn eased(task: &Task<'_>, number: u8) -> Eased {
        ease_on(1, task, Ease::new(number).expect("on the dial"), &mut unwatched).expect("a chart")
    }

    fn entry(chart: &Chart, row_from_top: usize, column: usize) -> usize {
        chart.row(RowIndex(chart.rows() - 1 - row_from_top))[column].index()
    }

    /// Checked against the crate `charting`, which knows nothing of strands.
    #[test]
    fn at_0_each_stitch_takes_its_nearest_yarn() {
        let parts = Parts::noisy(30, 25, 3);
        let plain = eased(&parts.task(), 0);
        let (chart, mean) =
            charting::chart_cells(&parts.cells, parts.palette.yarns(), &mut unwatched).unwrap();
        assert_eq!(plain.chart, chart);
        assert!((plain.look.mean - mean).abs() < 1e-5, "{} {mean}", plain.look.mean);
    }

    #[test]
    fn the_dial_spares_work_and_takes_likeness() {
        for seed in [1, 2] {
            let parts = Parts::noisy(40, 36, seed);
            let row: Vec<Eased> = (0..=10).map(|number| eased(&parts.task(), number)).collect();
            for pair in row.windows(2) {
                let (one, two) =
                    (pair[0].plan.counts.cost.as_stitches(), pair[1].plan.counts.cost.as_stitches());
                // A search does not always find the best there is.
                assert!(two <= 1.15 * one, "{one} then {two}");
            }
            for four in row.windows(4) {
                assert!(four[3].plan.counts.cost <= four[0].plan.counts.cost);
                assert!(four[3].look.weighed >= four[0].look.weighed);
            }
            assert!(row[10].plan.counts.cost.as_stitches() < 0.3 * row[0].plan.counts.cost.as_stitches());
        }
    }

    #[test]
    fn the_number_of_threads_changes_nothing() {
        let parts = Parts::noisy(36, 30, 7);
        let task = parts.task();
        let ease = Ease::new(6).unwrap();
        let [one, two] = [1, 2].map(|threads| ease_on(threads, &task, ease, &mut unwatched).unwrap());
        assert_eq!((&one.chart, one.look, &one.plan), (&two.chart, two.look, &two.plan));
        let rows = [1, 2].map(|threads| {
            let mut handed_out = Vec::new();
            let count = Count::new(5).unwrap();
            let row = choices_on(threads, &task, count, &mut |eased| handed_out.push(eased), &mut unwatched)
                .unwrap();
            (handed_out, row)
        });
        assert_eq!(rows[0], rows[1]);
        assert_eq!(rows[0].0[0].chart, eased(&task, 0).chart);
    }

    #[test]
    fn fixed_stitches_and_the_frame_stay() {
        let parts = Parts::noisy(30, 24, 5);
        // A letter's stroke in a yarn that looks nothing like the picture there.
        let mut entries = vec![None; 30 * 24];
        (4..20).for_each(|row| entries[row * 30 + 11] = Some(3));
        let fixed = Fixed::new(30, 24, entries).unwrap();
        let task = Task { fixed: Some(&fixed), frame: Some(Frame { stitches: 2, yarn: 1 }), ..parts.task() };
        for number in [0, 5, 10] {
            let chart = eased(&task, number).chart;
            assert_eq!((chart.columns(), chart.rows()), (34, 28));
            for row in 0..28 {
                for column in 0..34 {
                    let framed = !(2..26).contains(&row) || !(2..32).contains(&column);
                    let stroke = column == 13 && (6..22).contains(&row);
                    if framed || stroke {
                        assert_eq!(entry(&chart, row, column), if stroke { 3 } else { 1 }, "{row} {column}");
                    }
                }
            }
        }
    }

    /// One dark cell on a light cheek.
    #[test]
    fn an_eye_of_one_cell_stays_where_it_matters() {
        let (light, dark) = (Srgb::new(225, 200, 170), Srgb::new(40, 30, 25));
        let mut pixels = vec![light; 30 * 24];
        pixels[10 * 30 + 14] = dark;
        let mut parts = Parts::new(30, &pixels, &[light, dark]);
        let number = 6;
        let plain = eased(&parts.task(), number);
        assert_eq!(entry(&plain.chart, 10, 14), 0, "with even weights it is swallowed");
        parts.importance = Importance::from_contrast(&parts.cells);
        let kept = eased(&parts.task(), number);
        assert_eq!(entry(&kept.chart, 10, 14), 1, "contrast keeps it");
        // A brush keeps it too, and farther.
        let mut weights = vec![1.0; 30 * 24];
        weights[10 * 30 + 14] = 500.0;
        parts.importance = Importance::new(30, 24, weights).unwrap();
        assert_eq!(entry(&eased(&parts.task(), 9).chart, 10, 14), 1);
    }

    #[test]
    fn stops_wherever_it_is_told_to() {
        let parts = Parts::noisy(40, 36, 9);
        let task = parts.task();
        for calls in [0, 1, 10, 100] {
            let mut left = calls;
            let mut watch = |_: f32| {
                left -= 1;
                if left < 0 { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
            };
            assert_eq!(ease(&task, Ease::new(7).unwrap(), &mut watch), Err(EaseError::Stopped), "{calls}");
            left = calls;
            let mut found = 0;
            let mut watch = |_: f32| {
                left -= 1;
                if left < 0 { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
            };
            let row = choices(&task, Count::new(6).unwrap(), &mut |_| found += 1, &mut watch);
            assert_eq!(row, Err(EaseError::Stopped), "{calls}");
            assert!(found <= 6);
        }
    }

    #[test]
    fn progress_never_goes_back_and_gets_to_the_end() {
        let parts = Parts::noisy(24, 20, 4);
        let mut last = 0.0;
        let mut watch = |done: f32| {
            assert!((last..=1.001).contains(&done), "{last} then {done}");
            last = done;
            ControlFlow::Continue(())
        };
        choices(&parts.task(), Count::new(5).unwrap(), &mut |_| {}, &mut watch).unwrap();
        assert!(last > 0.999, "{last}");
    }

    #[test]
    fn only_the_pool_shows_the_picture() {
        let parts = Parts::noisy(24, 20, 3);
        let entries = vec![Some(3); 24].into_iter().chain(vec![None; 24 * 19]).collect();
        let fixed = Fixed::new(24, 20, entries).unwrap();
        let task = Task { pool: 3, fixed: Some(&fixed), ..parts.task() };
        for number in [0, 4, 9] {
            let made = ease(&task, Ease::new(number).unwrap(), &mut unwatched).unwrap();
            // The last yarn makes the fixed row at the top, and no other stitch.
            assert_eq!(made.chart.stitches_by_yarn()[3], 24, "{number}");
        }
        let error = ease(&Task { pool: 0, ..parts.task() }, Ease::PLAIN, &mut unwatched).unwrap_err();
        assert_eq!(error, EaseError::NoSuchPool { pool: 0, yarns: 4 });
    }

    #[test]
    fn refuses_what_does_not_fit() {
        let parts = Parts::noisy(8, 6, 1);
        let other = Importance::new(6, 8, vec![1.0; 48]).unwrap();
        let task = Task { importance: &other, ..parts.task() };
        let error = ease(&task, Ease::PLAIN, &mut unwatched).unwrap_err();
        assert_eq!(error.to_string(), "the importance map is 6 by 8 cells, the picture 8 by 6");
        assert_eq!(error.hint(), "make it the size of the picture in stitches");
        assert_eq!(parts.importance.clone().times(&other), Err(error));
        assert_eq!(
            Importance::new(8, 6, vec![1.0; 47]).unwrap_err().to_string(),
            "an importance map of 8 by 6 cells has 47 weights"
        );
        let mut weights = vec![1.0; 48];
        weights[17] = f32::NAN;
        assert_eq!(Importance::new(8, 6, weights), Err(EaseError::NoWeight { column: 2, row: 3 }));
        assert!(Fixed::new(0, 6, vec![]).is_err());
        let fixed = Fixed::new(8, 6, vec![Some(4); 48]).unwrap();
        let task = Task { fixed: Some(&fixed), ..parts.task() };
        assert_eq!(ease(&task, Ease::PLAIN, &mut unwatched), Err(EaseError::NoSuchYarn(4)));
        let frame = Some(Frame { stitches: 1, yarn: 9 });
        assert_eq!(
            ease(&Task { frame, ..parts.task() }, Ease::PLAIN, &mut unwatched),
            Err(EaseError::NoSuchYarn(9))
        );
        assert_eq!(Ease::new(11), Err(EaseError::NoSuchEase(11)));
        assert_eq!(Count::new(4), Err(EaseError::NoSuchCount(4)));
        assert_eq!(Count::new(8), Err(EaseError::NoSuchCount(8)));
    }
}
