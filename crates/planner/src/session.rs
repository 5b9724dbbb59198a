//! A plan kept up to date while its chart is edited.

use model::{Chart, ChartError, ColourIndex, Plan, RowIndex, Rules, Run, YarnUse};

use crate::live::{Edit, LiveYarn};
use crate::write::{Script, all_runs};
use crate::{PlanError, Watch, each_yarn};

/// A chart, its rules and its plan, ready for the next edit.
pub struct PlanSession {
    chart: Chart,
    rules: Rules,
    yarn_use: YarnUse,
    yarns: Vec<LiveYarn>,
    script: Script,
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
        let script = written(&chart, &rules, yarn_use, &yarns);
        Ok(Self { chart, rules, yarn_use, yarns, script })
    }

    /// The chart as it stands.
    #[must_use]
    pub const fn chart(&self) -> &Chart {
        &self.chart
    }

    /// The plan of that chart.
    #[must_use]
    pub const fn plan(&self) -> &Plan {
        self.script.plan()
    }

    /// Changes cells, each given by its place (row · columns + column, rows from the bottom) and the
    /// palette entry it gets, and plans again what that can touch. The cost and the number of strands
    /// are those of a plan from scratch; among plans that are equal in both, another may come out.
    ///
    /// All on one thread: most yarns have next to nothing to do, and it is over before a second thread
    /// would be of help.
    ///
    /// # Errors
    /// When a cell or a palette entry is not there; the session is then as before.
    pub fn edit(&mut self, cells: &[(usize, u8)]) -> Result<&Plan, ChartError> {
        let chart = self.chart.with_cells(cells)?;
        let Some((rows, columns)) = extent(&self.chart, &chart, cells) else {
            return Ok(self.plan());
        };
        self.chart = chart;
        let (chart, rules) = (&self.chart, &self.rules);
        let runs: Vec<_> = (rows.0..=rows.1).map(|row| chart.runs_in(RowIndex(row), rules.hand)).collect();
        let edit = Edit { chart, rules, rows, columns, runs: &runs };
        let mut anew = false;
        for (yarn, live) in chart.palette().indices().zip(&mut self.yarns) {
            if !live.follow(&edit) {
                *live = LiveYarn::new(chart, rules, yarn, &|_| true).expect("nobody says stop");
                anew = true;
            }
        }
        if anew {
            self.script = written(chart, rules, self.yarn_use, &self.yarns);
        } else {
            self.write(rows.0, &runs);
        }
        Ok(self.plan())
    }

    /// Writes what the last edit has changed; `runs` are those of the edited rows, from `first` on.
    fn write(&mut self, first: usize, runs: &[Vec<Run>]) {
        let Self { chart, yarns, script, .. } = self;
        for (row, runs) in (first..).zip(runs) {
            let mut nodes: Vec<_> = yarns.iter().map(|live| live.nodes_in(row).iter()).collect();
            let node = |run: &Run| *nodes[run.yarn.index()].next().expect("each yarn has followed");
            let nodes: Vec<u32> = runs.iter().map(node).collect();
            script.set_legs(row, runs.iter().map(|run| run.yarn).zip(nodes));
        }
        for (yarn, live) in chart.palette().indices().zip(&*yarns) {
            for leg in live.rewritten() {
                if let Some(rows) = leg.rows {
                    script.take_back(yarn, leg.node, rows);
                }
            }
            for leg in live.legs_rewritten() {
                script.put(chart, &leg);
            }
        }
        script.settle(yarns.iter().map(LiveYarn::bound).sum());
    }
}

/// First and last of something.
type Span = (usize, usize);

/// The rows and columns of the cells that are really changed; `None` where none is.
fn extent(before: &Chart, after: &Chart, cells: &[(usize, u8)]) -> Option<(Span, Span)> {
    let columns = after.columns();
    let mut extent: Option<(Span, Span)> = None;
    for &(cell, _) in cells {
        let (row, column) = (cell / columns, cell % columns);
        let yarn = |chart: &Chart| chart.row(RowIndex(row))[column];
        if yarn(before) == yarn(after) {
            continue;
        }
        let wide = |(low, high): Span, at: usize| (low.min(at), high.max(at));
        let (rows, columns) = extent.unwrap_or(((row, row), (column, column)));
        extent = Some((wide(rows, row), wide(columns, column)));
    }
    extent
}

fn written(chart: &Chart, rules: &Rules, yarn_use: YarnUse, yarns: &[LiveYarn]) -> Script {
    let leg = |yarn: ColourIndex, place: usize| yarns[yarn.index()].leg(place);
    let mut script = Script::new(chart, rules, yarn_use, &all_runs(chart, rules), leg);
    script.settle(yarns.iter().map(LiveYarn::bound).sum());
    script
}
