//! The way from the plain chart to an easy one.

use charting::Stopped;

use crate::climb::{Changes, Climb};
use crate::desk::Desk;
use crate::expand::{Seams, settle};
use crate::problem::Problem;
use crate::strands::Strands;
use crate::worked::Worked;

/// Most rounds of small changes from each sketch, and from the best of what they lead to.
const FIRST_ROUNDS: usize = 2;
const LAST_ROUNDS: usize = 4;

/// A round that gains less than this part of all there is, is the last.
const ENOUGH: f64 = 1e-4;

/// Rounds of expansions of all yarns.
const EXPANSIONS: usize = 3;

/// How strongly the sketches that the search sets out from are smoothed, as parts of what work is
/// worth. Which of them leads farther differs from picture to picture.
pub(crate) const SKETCHES: [f64; 2] = [1.0, 1.8];

/// The one sketch that each chart of a row sets out from: seven charts are to come within half a
/// minute, and a second sketch takes as long again. Chosen for this project.
pub(crate) const ROW_SKETCH: f64 = 1.3;

/// A chart with what it costs.
#[derive(Clone)]
pub(crate) struct State {
    pub(crate) cells: Vec<u8>,
    /// What it takes from the likeness.
    pub(crate) error: f64,
    pub(crate) worked: Worked,
}

impl State {
    pub(crate) fn new(
        problem: &Problem<'_>,
        cells: Vec<u8>,
        threads: usize,
        desk: &Desk<'_>,
    ) -> Result<Self, Stopped> {
        let chart = problem.chart(&cells);
        let worked = Worked::new(&chart, problem.task.rules, threads, &|| desk.go_on()).ok_or(Stopped)?;
        Ok(Self { error: problem.error_of(&cells), worked, cells })
    }

    /// What is made small: error, and work at its worth.
    #[allow(clippy::cast_precision_loss)] // exact below 2^53 thousandths
    pub(crate) fn objective(&self, worth: f64) -> f64 {
        self.error + worth * (self.worked.cost as f64 / 1000.0)
    }
}

/// The plain chart smoothed by α-expansion.
pub(crate) fn sketch(problem: &Problem<'_>, worth: f64, desk: &Desk<'_>) -> Result<Vec<u8>, Stopped> {
    let mut cells = problem.nearest.clone();
    settle(problem, Seams::for_worth(worth), &mut cells, EXPANSIONS, desk)?;
    Ok(cells)
}

/// Sketches an easy chart and improves it by small changes.
pub(crate) fn climb_from(
    problem: &Problem<'_>,
    worth: f64,
    share: f64,
    desk: &Desk<'_>,
) -> Result<State, Stopped> {
    let cells = sketch(problem, share * worth, &desk.part(0.0, 0.2))?;
    let mut state = State::new(problem, cells, 1, desk)?;
    climb(problem, &mut state, worth, (&[&problem.nearest], FIRST_ROUNDS), 1, &desk.part(0.2, 0.8))?;
    Ok(state)
}

/// Takes over into the best of some charts whatever is better in the others.
pub(crate) fn join(
    problem: &Problem<'_>,
    worth: f64,
    mut states: Vec<State>,
    threads: usize,
    desk: &Desk<'_>,
) -> Result<State, Stopped> {
    states.sort_by(|one, other| one.objective(worth).total_cmp(&other.objective(worth)));
    let mut states = states.into_iter();
    let mut best = states.next().ok_or(Stopped)?;
    let others: Vec<State> = states.collect();
    let others: Vec<&[u8]> = others.iter().map(|state| &state.cells[..]).collect();
    climb(problem, &mut best, worth, (&others, LAST_ROUNDS), threads, desk)?;
    Ok(best)
}

/// Makes small changes as long as they help, each round from the planner's own strands. No round is
/// kept that does not lower the objective, its work planned anew.
pub(crate) fn climb(
    problem: &Problem<'_>,
    state: &mut State,
    worth: f64,
    (others, rounds): (&[&[u8]], usize),
    threads: usize,
    desk: &Desk<'_>,
) -> Result<(), Stopped> {
    let mut changes = Changes::new(problem);
    let mut since = 0;
    for round in 0..rounds {
        let begun = changes.begin(since);
        let strands = Strands::new(problem, &state.cells, &state.worked);
        let mut climb = Climb::new(problem, strands, worth, &mut changes);
        #[allow(clippy::cast_precision_loss)] // a handful
        let part = desk.part(round as f32 / rounds as f32, 1.0 / rounds as f32);
        climb.round(others, &part)?;
        let next = State::new(problem, climb.into_cells(), threads, &part)?;
        let (before, after) = (state.objective(worth), next.objective(worth));
        if after >= before {
            break;
        }
        *state = next;
        if before - after < ENOUGH * before {
            break;
        }
        since = begun;
    }
    Ok(())
}
