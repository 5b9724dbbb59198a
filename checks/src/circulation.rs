//! The optimum by a minimum-cost flow on the full grid, solved by a general solver.
//!
//! Reads `docs/strand-model.md` as a network, one for each yarn. In each row every boundary of the
//! chart stands three times, for what a strand has done in that row so far:
//!
//! - *still*: it waits there since the row before;
//! - *ahead*: it has got there with the work, straight after its own work or from where it waited;
//! - *back*: it has been drawn back to there.
//!
//! | arc | cost |
//! |---|---|
//! | *still* or *ahead* → *ahead* at the next boundary in the direction of work | `carry` of the stitch between |
//! | *still* or *back* → *back* at the boundary before | `carry` of the stitch between |
//! | any of the three → *still* at the same boundary, one row up | `lift` there + `hang` |
//! | any of the three → the run that is entered there | 0 |
//! | run → *ahead* at the boundary after its exit | `carry` of the stitch between |
//! | run → *still* at its exit, one row up | `hang` |
//! | run → hub | `cut` + tail |
//! | hub → run | `join` + tail |
//!
//! Arcs through forbidden stitches are left out. Each run is an arc that must carry exactly one
//! unit; it is cut in two, an end that takes a unit to the sink and a beginning that gets one from
//! the source, so that a circulation is a maximum flow of as many units as there are runs. The hub
//! gives out as many strands as it gets back. The grid follows the work and has no cycle.
//!
//! Fewest strands among equal costs: all costs are multiplied by the runs of the yarn plus one, and
//! every join costs one more.
//!
//! The two limits on hand-overs have no place in this network.

use ac_library::MinCostFlowGraph;
use model::{Boundary, Chart, ColourIndex, Cost, Direction, RowIndex, Rules, Run};

use crate::random::picture;

/// The least cost of a plan and the fewest strands of a plan of that cost. Yarns do not meet, so
/// their networks are solved one by one.
///
/// # Panics
/// When a limit is set, or the rules are for another palette.
#[must_use]
pub fn cheapest(chart: &Chart, rules: &Rules) -> (Cost, usize) {
    assert!(
        rules.limits.longest_carry.is_none() && rules.limits.longest_wait.is_none(),
        "the limits on hand-overs have no place in this network"
    );
    let mut total = (Cost::ZERO, 0);
    for yarn in chart.palette().indices() {
        let (cost, strands) = Network::solve(chart, rules, yarn);
        total = (total.0 + cost, total.1 + strands);
    }
    total
}

/// Compares a result with [`cheapest`].
///
/// # Panics
/// When they differ, or a limit is set; the message holds the chart and the rules.
pub fn compare(name: &str, chart: &Chart, rules: &Rules, got: (Cost, usize)) {
    let want = cheapest(chart, rules);
    assert!(
        got == want,
        "{name}: got {got:?}, the circulation has {want:?} for\n{}{rules:#?}",
        picture(chart)
    );
}

/// What a strand has done in the row so far, as the place of its node among the three.
#[derive(Clone, Copy)]
enum Moved {
    Still = 0,
    Ahead = 1,
    Back = 2,
}

use Moved::{Ahead, Back, Still};

struct Network<'a> {
    chart: &'a Chart,
    rules: &'a Rules,
    yarn: ColourIndex,
    scale: i64,
    graph: MinCostFlowGraph<i64>,
}

impl<'a> Network<'a> {
    fn solve(chart: &'a Chart, rules: &'a Rules, yarn: ColourIndex) -> (Cost, usize) {
        let all = chart.row_indices().flat_map(|row| chart.runs_in(row, rules.hand));
        let runs: Vec<Run> = all.filter(|run| run.yarn == yarn).collect();
        let units = i64::try_from(runs.len()).expect("runs are few");
        let grid = chart.rows() * (chart.columns() + 1) * 3;
        let (source, sink, hub, first) = (grid, grid + 1, grid + 2, grid + 3);
        let mut network = Self {
            chart,
            rules,
            yarn,
            scale: units + 1,
            graph: MinCostFlowGraph::new(first + 2 * runs.len()),
        };

        network.lay_grid();
        for (at, run) in runs.iter().enumerate() {
            let (beginning, end) = (first + 2 * at, first + 2 * at + 1);
            network.graph.add_edge(beginning, sink, 1, 0);
            network.graph.add_edge(source, end, 1, 0);
            network.lay_run(run, beginning, end);
            let (join, cut) = (network.join(run), network.cut(run));
            network.graph.add_edge(hub, beginning, 1, join.thousandths() * network.scale + 1);
            network.arc(end, hub, cut);
        }

        let (flow, cost) = network.graph.flow(source, sink, units);
        assert_eq!(flow, units, "a strand for each run is always a plan");
        let strands = usize::try_from(cost % network.scale).expect("no cost is negative");
        (Cost::from_thousandths(cost / network.scale), strands)
    }

    fn arc(&mut self, from: usize, to: usize, cost: Cost) {
        self.graph.add_edge(from, to, i64::from(u32::MAX), cost.thousandths() * self.scale);
    }

    fn node(&self, row: usize, boundary: usize, moved: Moved) -> usize {
        (row * (self.chart.columns() + 1) + boundary) * 3 + moved as usize
    }

    fn lay_grid(&mut self) {
        for row in 0..self.chart.rows() {
            // Each stitch of the row lies between two boundaries: the work comes from `near`.
            for column in 0..self.chart.columns() {
                let stitch = self.chart.row(RowIndex(row))[column];
                let (near, far) = match self.direction(row) {
                    Direction::Rightwards => (column, column + 1),
                    Direction::Leftwards => (column + 1, column),
                };
                if let Some(cost) = self.carry(stitch) {
                    for moved in [Still, Ahead] {
                        self.arc(self.node(row, near, moved), self.node(row, far, Ahead), cost);
                    }
                    for moved in [Still, Back] {
                        self.arc(self.node(row, far, moved), self.node(row, near, Back), cost);
                    }
                }
            }
            if row + 1 < self.chart.rows() {
                for boundary in 0..=self.chart.columns() {
                    let climb = self.lift(row, boundary) + self.rules.weights.hang;
                    for moved in [Still, Ahead, Back] {
                        self.arc(self.node(row, boundary, moved), self.node(row + 1, boundary, Still), climb);
                    }
                }
            }
        }
    }

    fn lay_run(&mut self, run: &Run, beginning: usize, end: usize) {
        let (row, entry, exit) = (run.row.0, run.entry.0 as usize, run.exit.0 as usize);
        for moved in [Still, Ahead, Back] {
            self.arc(self.node(row, entry, moved), beginning, Cost::ZERO);
        }
        if row + 1 < self.chart.rows() {
            self.arc(end, self.node(row + 1, exit, Still), self.rules.weights.hang);
        }
        let next = match self.direction(row) {
            Direction::Rightwards if exit < self.chart.columns() => (exit, exit + 1),
            Direction::Leftwards if exit > 0 => (exit - 1, exit - 1),
            _ => return, // the row ends here
        };
        let (column, boundary) = next;
        if let Some(cost) = self.carry(self.chart.row(run.row)[column]) {
            self.arc(end, self.node(row, boundary, Ahead), cost);
        }
    }

    fn direction(&self, row: usize) -> Direction {
        RowIndex(row).direction(self.rules.hand)
    }

    fn carry(&self, stitch: ColourIndex) -> Option<Cost> {
        let allowed = !self.rules.never.forbids(self.yarn, stitch);
        allowed.then(|| self.rules.tables.carry(self.yarn, stitch))
    }

    fn lift(&self, row: usize, boundary: usize) -> Cost {
        if boundary == 0 || boundary == self.chart.columns() {
            return self.rules.tables.lift_edge;
        }
        let ends_here = match self.direction(row) {
            Direction::Rightwards => boundary - 1,
            Direction::Leftwards => boundary,
        };
        self.rules.tables.lift(self.yarn, self.chart.row(RowIndex(row))[ends_here])
    }

    fn join(&self, run: &Run) -> Cost {
        let lines = [
            self.tail(run.row.0, run.entry, self.direction(run.row.0)),
            self.tail(run.row.0, run.entry, self.direction(run.row.0 + 1)), // the way back
            self.tail(run.row.0 + 1, run.entry, self.direction(run.row.0 + 1)),
        ];
        self.rules.weights.join + lines.into_iter().min().expect("three lines")
    }

    fn cut(&self, run: &Run) -> Cost {
        let onward = self.tail(run.row.0, run.exit, self.direction(run.row.0));
        let above = self.tail(run.row.0 + 1, run.exit, self.direction(run.row.0 + 1));
        self.rules.weights.cut + onward.min(above)
    }

    /// A tail in that row from that boundary in that direction on the chart.
    fn tail(&self, row: usize, from: Boundary, towards: Direction) -> Cost {
        let columns = i64::try_from(self.chart.columns()).expect("a chart has few columns");
        let mut cost = Cost::ZERO;
        for step in 0..i64::from(self.rules.weights.tail) {
            let column = match towards {
                Direction::Rightwards => i64::from(from.0) + step,
                Direction::Leftwards => i64::from(from.0) - 1 - step,
            };
            let inside = row < self.chart.rows() && (0..columns).contains(&column);
            let hidden = match usize::try_from(column) {
                Ok(column) if inside => self.carry(self.chart.row(RowIndex(row))[column]),
                _ => None,
            };
            cost += hidden.unwrap_or(self.rules.weights.short);
        }
        cost
    }
}
