//! A plan kept up to date while its chart is edited.

use model::{Chart, ChartError, ColourIndex, Plan, Rules, YarnUse};

use crate::live::{Edited, LiveYarn};
use crate::write::write_chosen;
use crate::{PlanError, Watch, each_yarn};

/// A chart, its rules and its plan, ready for the next edit.
pub struct PlanSession {
    threads: usize,
    chart: Chart,
    rules: Rules,
    yarn_use: YarnUse,
    yarns: Vec<LiveYarn>,
    plan: Plan,
}

impl PlanSession {
    /// Plans the chart from scratch, on as many threads as there are cores.
    ///
    /// # Errors
    /// As [`crate::plan`].
    pub fn new(chart: Chart, rules: Rules, yarn_use: YarnUse, watch: Watch<'_>) -> Result<Self, PlanError> {
        let threads = std::thread::available_parallelism().map_or(1, std::num::NonZeroUsize::get);
        let live =
            |yarn: ColourIndex, tell: &dyn Fn(usize) -> bool| LiveYarn::new(&chart, &rules, yarn, tell);
        let yarns = each_yarn(threads, &chart, &rules, watch, live)?;
        let plan = written(&chart, &rules, yarn_use, &yarns);
        Ok(Self { threads, chart, rules, yarn_use, yarns, plan })
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
    /// palette entry it gets, and plans again what that can touch. The cost and the number of strands
    /// are those of a plan from scratch; among plans that are equal in both, another may come out.
    ///
    /// # Errors
    /// When a cell or a palette entry is not there; the session is then as before.
    pub fn edit(&mut self, cells: &[(usize, u8)]) -> Result<&Plan, ChartError> {
        let chart = self.chart.with_cells(cells)?;
        let Some(edited) = extent(&self.chart, &chart, cells) else { return Ok(&self.plan) };
        self.chart = chart;
        let (chart, rules) = (&self.chart, &self.rules);
        let share = self.yarns.len().div_ceil(self.threads).max(1);
        std::thread::scope(|scope| {
            for (part, yarns) in self.yarns.chunks_mut(share).enumerate() {
                let first = part * share;
                scope.spawn(move || {
                    for (at, yarn) in yarns.iter_mut().enumerate() {
                        if !yarn.follow(chart, rules, edited) {
                            let index = chart.palette().index(first + at).expect("a yarn of the palette");
                            *yarn = fresh(chart, rules, index);
                        }
                    }
                });
            }
        });
        self.plan = written(&self.chart, &self.rules, self.yarn_use, &self.yarns);
        Ok(&self.plan)
    }
}

fn fresh(chart: &Chart, rules: &Rules, yarn: ColourIndex) -> LiveYarn {
    LiveYarn::new(chart, rules, yarn, &|_| true).expect("nobody says stop")
}

/// The rows and columns of the cells that are really changed; `None` where none is.
fn extent(before: &Chart, after: &Chart, cells: &[(usize, u8)]) -> Option<Edited> {
    let columns = after.columns();
    let mut edited: Option<Edited> = None;
    for &(cell, _) in cells {
        let (row, column) = (cell / columns, cell % columns);
        let yarn = |chart: &Chart| chart.row(model::RowIndex(row))[column];
        if yarn(before) == yarn(after) {
            continue;
        }
        edited = Some(match edited {
            None => Edited { rows: (row, row), columns: (column, column) },
            Some(Edited { rows, columns }) => Edited {
                rows: (rows.0.min(row), rows.1.max(row)),
                columns: (columns.0.min(column), columns.1.max(column)),
            },
        });
    }
    edited
}

fn written(chart: &Chart, rules: &Rules, yarn_use: YarnUse, yarns: &[LiveYarn]) -> Plan {
    let chosen: Vec<_> = yarns.iter().map(LiveYarn::onward).collect();
    write_chosen(chart, rules, yarn_use, &chosen, yarns.iter().map(LiveYarn::bound).sum())
}
