//! A blanket's plan, proven, and kept ready for the next edit.

use std::sync::Arc;

use model::{Chart, ColourIndex, Gauge, Hand, Palette, Plan, Rules, Weights, YarnUse};
use pattern::{Pace, hours};
use planner::PlanSession;
use replay::{ProvenPlan, prove};

use crate::bench::Clock;
use crate::{Failure, Hours, Numbers, Revision, Stage, Watch};

/// A blanket at one revision, with its plan.
pub(crate) struct Session {
    pub(crate) revision: Revision,
    /// It was changed, or half changed, and the shelf knows nothing of it yet.
    pub(crate) ahead: bool,
    pub(crate) gauge: Gauge,
    pub(crate) hand: Hand,
    pub(crate) proven: Arc<ProvenPlan>,
    pub(crate) numbers: Numbers,
    plan: PlanSession,
}

fn rules(palette: &Palette, hand: Hand) -> Rules {
    Rules::new(palette, Weights::default(), hand)
}

impl Session {
    pub(crate) fn new(
        chart: Chart,
        gauge: Gauge,
        hand: Hand,
        revision: Revision,
        watch: Watch<'_>,
        clock: &Clock,
    ) -> Result<Self, Failure> {
        let begun = clock();
        let rules = rules(chart.palette(), hand);
        #[allow(clippy::cast_precision_loss)] // for show
        let told = |progress: planner::Progress| {
            watch(Stage::Planning, progress.done as f64 / progress.total.max(1) as f64)
        };
        let plan = PlanSession::new(chart.clone(), rules, YarnUse::estimate(&gauge), &told)?;
        if !watch(Stage::Proving, 0.0) {
            return Err(Failure::cancelled());
        }
        let proven = prove(chart, plan.plan().clone())?;
        let numbers = numbers(&proven, begun.0.abs_diff(clock().0));
        Ok(Self { revision, ahead: false, gauge, hand, proven: Arc::new(proven), numbers, plan })
    }

    pub(crate) fn chart(&self) -> &Chart {
        self.proven.chart()
    }

    /// Changes cells and plans again what that touches.
    pub(crate) fn change_cells(&mut self, cells: &[(usize, u8)], clock: &Clock) -> Result<(), Failure> {
        let begun = clock();
        // The palette's names may be newer here than in the planning.
        let chart = self.chart().with_cells(cells)?;
        let plan = self.plan.edit(cells)?.clone();
        self.prove(chart, plan)?;
        self.numbers.milliseconds = begun.0.abs_diff(clock().0);
        Ok(())
    }

    /// Changes the palette. Where only names and stock change, the plan stays.
    pub(crate) fn change_palette(&mut self, palette: Palette, clock: &Clock) -> Result<(), Failure> {
        let begun = clock();
        let chart = {
            let old = self.chart();
            Chart::new(palette, old.rows(), old.columns(), &cells(old))?
        };
        if rules(chart.palette(), self.hand) == *self.proven.rules() {
            self.prove(chart, self.plan.plan().clone())?;
            self.numbers.milliseconds = begun.0.abs_diff(clock().0);
            return Ok(());
        }
        self.replace(chart, self.gauge, clock)
    }

    /// Plans another chart in the place of this one.
    pub(crate) fn replace(&mut self, chart: Chart, gauge: Gauge, clock: &Clock) -> Result<(), Failure> {
        let new = Self::new(chart, gauge, self.hand, self.revision, &crate::unwatched, clock)?;
        *self = Self { ahead: self.ahead, ..new };
        Ok(())
    }

    /// The shelf has caught up.
    pub(crate) const fn written(&mut self, revision: Revision) {
        self.revision = revision;
        self.ahead = false;
    }

    fn prove(&mut self, chart: Chart, plan: Plan) -> Result<(), Failure> {
        let proven = prove(chart, plan)?;
        self.numbers = numbers(&proven, 0);
        self.proven = Arc::new(proven);
        Ok(())
    }
}

/// One byte a cell, from the bottom row.
pub(crate) fn cells(chart: &Chart) -> Vec<u8> {
    chart.row_indices().flat_map(|row| chart.row(row)).map(|cell: &ColourIndex| cell.as_u8()).collect()
}

pub(crate) fn numbers(proven: &ProvenPlan, milliseconds: u64) -> Numbers {
    let plan = proven.plan();
    let counts = plan.counts;
    let time = hours(proven, &Pace::default());
    Numbers {
        ends: counts.ends(),
        strands: counts.strands,
        strands_at_once: counts.strands_at_once,
        hours: Hours { total: time.total(), stitches: time.stitches, strands: time.strands, ends: time.ends },
        carried: counts.carried,
        longest_carry: counts.longest_carry,
        cost: counts.cost.as_stitches(),
        bound: plan.bound.as_stitches(),
        gap: plan.gap(),
        runs: counts.runs,
        colours: counts.colours,
        milliseconds,
    }
}
