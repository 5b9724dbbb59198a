//! Works a plan stitch by stitch, and is the only maker of a [`ProvenPlan`].
//!
//! [`prove`] takes the chart and the written steps of a plan and nothing of whoever planned them,
//! works the blanket as a person would, and answers with the first thing that can't be done or is
//! not so. It follows `docs/strand-model.md`, sections "Steps" and "What a replay proves". It never
//! says that no other plan is cheaper, nor that a tail took the cheapest of its lines.

mod claims;
mod steps;
mod violation;

use std::sync::Arc;

use model::{Chart, Plan, RowIndex, Rules};

pub use violation::{Violation, ViolationKind};

/// What the replay counted of one strand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StrandFacts {
    /// Single crochets that it makes.
    pub stitches: u32,
    /// Stitches that it passes in carries and drawings back, own yarn included, tails not.
    pub carried: u32,
    /// Rows that it climbs by being locked.
    pub lifts: u32,
    /// Turning chains that it makes.
    pub turning_chains: u32,
    /// Chains of the foundation: `columns + 1` for the strand of the first run of row 1, else 0.
    pub foundation_chains: u32,
    /// Row of its join, which is that of its first run.
    pub first_row: RowIndex,
    /// Row of its last run, which is that of its cut.
    pub last_row: RowIndex,
}

/// A plan that was worked stitch by stitch, together with the very chart it was worked on. Only
/// [`prove`] makes one, so whatever takes it can't be given an unproven plan or another's chart.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ProvenPlan {
    chart: Arc<Chart>,
    plan: Plan,
    strands: Vec<StrandFacts>,
    most_inside: u32,
}

impl ProvenPlan {
    /// The chart that the plan makes.
    #[must_use]
    pub const fn chart(&self) -> &Arc<Chart> {
        &self.chart
    }

    /// The plan. Its counts, lengths and short tails are those that the replay found.
    #[must_use]
    pub const fn plan(&self) -> &Plan {
        &self.plan
    }

    /// The rules that the plan keeps.
    #[must_use]
    pub const fn rules(&self) -> &Rules {
        &self.plan.rules
    }

    /// What each strand does, in the order of [`Plan::strands`].
    #[must_use]
    pub fn strands(&self) -> &[StrandFacts] {
        &self.strands
    }

    /// The most strands and tails that lie inside one stitch, beside the yarn that makes it.
    #[must_use]
    pub const fn most_inside(&self) -> u32 {
        self.most_inside
    }
}

/// Works the plan on the chart.
///
/// The plan may come from a stranger and hold any numbers: memory stays in proportion to its steps
/// and the chart, time to the stitches of the chart and those passed in moves and tails.
///
/// # Errors
/// The first thing found that can't be done or is not so.
pub fn prove(chart: impl Into<Arc<Chart>>, plan: Plan) -> Result<ProvenPlan, Box<Violation>> {
    let chart = chart.into();
    claims::check_frame(&chart, &plan)?;
    let found = steps::work(&chart, &plan)?;
    claims::check_found(&plan, &found)?;
    let strands = found.strands.iter().map(|strand| strand.facts).collect();
    let most_inside = found.most_inside;
    Ok(ProvenPlan { chart, plan, strands, most_inside })
}
