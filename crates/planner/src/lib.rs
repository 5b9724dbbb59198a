//! From a chart and rules to the cheapest plan there is, with the bound that says so.
//!
//! The strand model (`docs/strand-model.md`) makes each yarn a problem of its own: its runs are the
//! nodes of a network, the hand-overs between them its arcs, and a plan is a cover of all runs by
//! paths. Three stages:
//!
//! 1. [`HandOvers`]: what it costs one yarn to move over this chart, and from that the hand-overs
//!    from each run, as far out as they are asked for;
//! 2. [`choose`]: the cheapest choice among them, with dual prices that prove it. It asks for dearer
//!    hand-overs only where the prices say that one could be worth taking;
//! 3. [`write`](fn@write): the chosen hand-overs as steps of strands, row by row.
//!
//! Costs are whole thousandths of a stitch throughout. Nothing here reads a clock or depends on the
//! number of threads: the same chart and rules give the same plan everywhere.

mod choose;
mod find;
mod finder;
mod ground;
mod live;
mod search;
mod session;
mod tails;
mod worth;
mod write;

use core::fmt;
use std::num::NonZeroUsize;

use model::{Chart, ColourIndex, Plan, Rules, YarnUse};

pub use choose::{Choice, HandOver, choose, cover};
pub use find::HandOvers;
pub use session::PlanSession;
pub use write::write;

/// The most cells a chart may have to be planned.
pub const MAX_CELLS: usize = 4_000_000;

/// How far planning has got, in runs of the chart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// Runs whose hand-overs are found and chosen.
    pub done: usize,
    /// Runs in all.
    pub total: usize,
}

/// Is told how far planning has got, and answers whether to go on.
pub type Watch<'a> = &'a (dyn Fn(Progress) -> bool + Sync);

/// A watch that looks away and always goes on.
#[must_use]
pub fn unwatched(_: Progress) -> bool {
    true
}

/// Why there is no plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PlanError {
    /// The watch said stop.
    Cancelled,
    /// The chart has more than [`MAX_CELLS`] cells.
    TooLarge(usize),
    /// The rules are for another number of yarns than the chart has.
    RulesForOtherYarns {
        /// Yarns in the rules.
        rules: usize,
        /// Yarns in the chart.
        chart: usize,
    },
    /// A tail is longer than [`model::Weights::MAX_TAIL`].
    TailTooLong(u32),
}

impl fmt::Display for PlanError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Cancelled => f.write_str("planning was cancelled"),
            Self::TooLarge(cells) => {
                write!(f, "a chart of {cells} stitches is too large to plan, {MAX_CELLS} is the most")
            }
            Self::RulesForOtherYarns { rules, chart } => {
                write!(f, "the rules are for {rules} yarns, the chart has {chart}")
            }
            Self::TailTooLong(tail) => {
                write!(f, "a tail of {tail} stitches is too long, {} is the most", model::Weights::MAX_TAIL)
            }
        }
    }
}

impl std::error::Error for PlanError {}

/// Plans every strand of the chart: among all plans that keep the rules one of least cost, and among
/// those one with the fewest strands. The plan's bound is proven by dual prices that are checked
/// before it is returned.
///
/// # Errors
/// When the chart is too large, the rules do not fit it, or `watch` says stop.
pub fn plan(chart: &Chart, rules: &Rules, yarn_use: YarnUse, watch: Watch<'_>) -> Result<Plan, PlanError> {
    let threads = std::thread::available_parallelism().map_or(1, NonZeroUsize::get);
    plan_on(threads, chart, rules, yarn_use, watch)
}

/// [`plan`] on so many threads at most; the plan does not depend on it.
///
/// # Errors
/// As [`plan`].
pub fn plan_on(
    threads: usize,
    chart: &Chart,
    rules: &Rules,
    yarn_use: YarnUse,
    watch: Watch<'_>,
) -> Result<Plan, PlanError> {
    let choose = |yarn: ColourIndex, tell: &dyn Fn(usize) -> bool| {
        choose(&mut HandOvers::new(chart, rules, yarn), tell)
    };
    let choices = each_yarn(threads, chart, rules, watch, choose)?;
    Ok(write(chart, rules, yarn_use, &choices))
}

/// Does something for each yarn of the chart, on so many threads at most; in palette order.
fn each_yarn<T: Send>(
    threads: usize,
    chart: &Chart,
    rules: &Rules,
    watch: Watch<'_>,
    work: impl Fn(ColourIndex, &dyn Fn(usize) -> bool) -> Option<T> + Sync,
) -> Result<Vec<T>, PlanError> {
    use std::sync::atomic::{AtomicUsize, Ordering};

    check(chart, rules)?;
    let yarns: Vec<_> = chart.palette().indices().collect();
    // Largest first, so that the threads end at about the same time.
    let mut order = yarns.clone();
    let stitches = chart.stitches_by_yarn();
    order.sort_by_key(|yarn| core::cmp::Reverse(stitches[yarn.index()]));

    let total = chart.row_indices().map(|row| chart.runs_in(row, rules.hand).len()).sum();
    let done = AtomicUsize::new(0);
    let next = AtomicUsize::new(0);
    let tell = |runs: usize| {
        let done = done.fetch_add(runs, Ordering::Relaxed) + runs;
        watch(Progress { done, total })
    };
    let worker = || {
        let mut made = Vec::new();
        while let Some(&yarn) = order.get(next.fetch_add(1, Ordering::Relaxed)) {
            made.push((yarn, work(yarn, &tell).ok_or(PlanError::Cancelled)?));
        }
        Ok(made)
    };
    let results = std::thread::scope(|scope| {
        let others: Vec<_> = (1..threads.min(yarns.len())).map(|_| scope.spawn(worker)).collect();
        let mut results = vec![worker()];
        for other in others {
            results.push(other.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)));
        }
        results
    });
    let mut all = Vec::with_capacity(yarns.len());
    for result in results {
        all.extend(result?);
    }
    all.sort_by_key(|(yarn, _)| *yarn);
    Ok(all.into_iter().map(|(_, made)| made).collect())
}

fn check(chart: &Chart, rules: &Rules) -> Result<(), PlanError> {
    if chart.stitches() > MAX_CELLS {
        return Err(PlanError::TooLarge(chart.stitches()));
    }
    let yarns = chart.palette().len();
    for sized in [rules.tables.yarns(), rules.never.yarns()] {
        if sized != yarns {
            return Err(PlanError::RulesForOtherYarns { rules: sized, chart: yarns });
        }
    }
    if rules.weights.tail > model::Weights::MAX_TAIL {
        return Err(PlanError::TailTooLong(rules.weights.tail));
    }
    Ok(())
}
