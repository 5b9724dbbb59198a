//! One chart at a wanted ease, and a row of them to choose from.

use std::num::NonZeroUsize;

use charting::{Stopped, Watch};
use model::{Chart, Plan};

use crate::desk::{Desk, work};
use crate::easing::{SKETCHES, State, climb_from, join, sketch};
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
        let mut climbed = Vec::with_capacity(SKETCHES.len());
        for (sketch, &share) in SKETCHES.iter().enumerate() {
            #[allow(clippy::cast_precision_loss)] // two
            climbed.push(climb_from(&problem, worth, share, &desk.part(0.35 * sketch as f32, 0.35))?);
        }
        let state = join(&problem, worth, climbed, 1, &desk.part(0.7, 0.2))?;
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
