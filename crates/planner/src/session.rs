//! A plan kept up to date while its chart is edited.

use model::{Chart, ChartError, Plan, Rules, YarnUse};

use crate::{PlanError, Watch, plan};

/// A chart, its rules and its plan, ready for the next edit.
pub struct PlanSession {
    chart: Chart,
    rules: Rules,
    yarn_use: YarnUse,
    plan: Plan,
}

impl PlanSession {
    /// Plans the chart from scratch.
    ///
    /// # Errors
    /// As [`plan`].
    pub fn new(chart: Chart, rules: Rules, yarn_use: YarnUse, watch: Watch<'_>) -> Result<Self, PlanError> {
        let plan = plan(&chart, &rules, yarn_use, watch)?;
        Ok(Self { chart, rules, yarn_use, plan })
    }

    /// The chart as it stands.
    #[must_use]
    pub const fn chart(&self) -> &Chart {
        &self.chart
    }

    /// The plan of that chart.
    #[must_use]
    pub const fn plan(&self) -> &Plan {
        &self.plan
    }

    /// Changes cells, each given by its place (row · columns + column, rows from the bottom) and the
    /// palette entry it gets, and plans again what that can touch. The cost is that of a plan from
    /// scratch.
    ///
    /// # Errors
    /// When a cell or a palette entry is not there; the session is then as before.
    ///
    /// # Panics
    /// When the solver's own proof does not hold, as [`crate::choose`].
    pub fn edit(&mut self, cells: &[(usize, u8)]) -> Result<&Plan, ChartError> {
        let chart = self.chart.with_cells(cells)?;
        self.plan = plan(&chart, &self.rules, self.yarn_use, &crate::unwatched)
            .expect("an unwatched plan of the same size and palette can't fail");
        self.chart = chart;
        Ok(&self.plan)
    }
}
