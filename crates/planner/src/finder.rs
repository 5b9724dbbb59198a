//! The runs of one yarn and the search from one of them for others that its strand could work next.

use core::ops::Range;

use model::{Chart, ColourIndex, Direction, RowIndex, Rules, Run};

use crate::ground::Ground;
use crate::search::{Front, Terms, Way, way};
use crate::tails;
use crate::worth::Worth;

/// The runs of one yarn in the order of work, with the ground that its strands move over.
pub(crate) struct Finder {
    pub(crate) runs: Vec<Run>,
    /// The first run of each row, one past the end included.
    pub(crate) first: Vec<usize>,
    pub(crate) ground: Ground,
    pub(crate) terms: Terms,
    front: Front,
    found: Vec<(u32, u32)>,
}

impl Finder {
    pub(crate) fn new(chart: &Chart, rules: &Rules, yarn: ColourIndex) -> Self {
        let ground = Ground::new(chart, rules, yarn);
        let mut finder = Self {
            runs: Vec::new(),
            first: vec![0],
            terms: Terms::new(rules, chart.rows()),
            front: Front::new(ground.width),
            found: Vec::new(),
            ground,
        };
        for row in chart.row_indices() {
            finder.runs.extend(runs_in(chart, rules, yarn, row));
            finder.first.push(finder.runs.len());
        }
        finder
    }

    /// The runs of a row, by their places.
    pub(crate) fn in_row(&self, row: usize) -> Range<usize> {
        self.first[row]..self.first[row + 1]
    }

    /// The runs that come later in the same row.
    pub(crate) fn later_in_row(&self, run: usize) -> Range<usize> {
        run + 1..self.first[self.runs[run].row.0 + 1]
    }

    /// Searches from one run, within a budget and as long as going on is worth while (given row,
    /// boundary and cost), for the runs that are wanted (given their place and the cost). Returns
    /// place and cost of each.
    pub(crate) fn search(
        &mut self,
        run: usize,
        budget: i64,
        worth_going_on: impl Fn(RowIndex, usize, i64) -> bool,
        wanted: impl Fn(usize, i64) -> bool,
    ) -> &[(u32, u32)] {
        let from = self.runs[run];
        self.found.clear();
        self.front.begin(&self.ground, self.terms, from.row, from.exit, budget);
        self.reach(self.later_in_row(run), from.row, budget, &wanted);
        let mut worked_at = Some(from.exit);
        for row in from.row.0 + 1..=self.terms.last_row(from.row) {
            let below = RowIndex(row - 1);
            self.front.lock(&self.ground, self.terms, below, worked_at.take());
            if !self.front.trim(|boundary, cost| worth_going_on(below, boundary, cost)) {
                break;
            }
            self.front.spread(&self.ground, self.terms, RowIndex(row), budget);
            self.reach(self.in_row(row), RowIndex(row), budget, &wanted);
        }
        &self.found
    }

    /// Searches from one run for all that cost no more than `budget`.
    pub(crate) fn search_within(
        &mut self,
        run: usize,
        budget: i64,
        wanted: impl Fn(usize, i64) -> bool,
    ) -> &[(u32, u32)] {
        self.search(run, budget, |_, _, cost| cost <= budget, wanted)
    }

    /// Searches from one run for those that would make a cover cheaper than its prices allow for: an
    /// out side priced at `out`, in sides worth `in_worth`, none of them more than `most`.
    pub(crate) fn search_gaining(
        &mut self,
        run: usize,
        worth: &Worth,
        out: i64,
        most: i64,
        in_worth: impl Fn(usize) -> i64,
    ) -> &[(u32, u32)] {
        let (scale, hang) = (worth.scale(), self.terms.hang);
        let same_row = self.later_in_row(run);
        let price = |at: usize| in_worth(same_row.start + at);
        let later = (&self.runs[same_row.clone()], price);
        if !worth.gains(&self.ground, self.terms, &self.runs[run], later, out, most) {
            return &[];
        }
        self.search(
            run,
            (out + most) / scale,
            |row, boundary, cost| out + worth.hanging(row)[boundary] > (cost - hang) * scale,
            |to, cost| out + in_worth(to) > cost * scale,
        )
    }

    /// A cheapest way between two runs, given what it costs; see [`way`].
    pub(crate) fn way(&mut self, from: usize, to: usize, cost: i64) -> Way {
        let (from, to) = (self.runs[from], self.runs[to]);
        way(&self.ground, self.terms, &mut self.front, (from.row, from.exit), (to.row, to.entry), cost)
    }

    /// Takes down which runs of a row the front has reached.
    fn reach(
        &mut self,
        places: Range<usize>,
        row: RowIndex,
        budget: i64,
        wanted: impl Fn(usize, i64) -> bool,
    ) {
        let (low, high) = self.front.window();
        let in_row = &self.runs[places.clone()];
        let entry = |run: &Run| run.entry.0 as usize;
        let reached = match row.direction(self.terms.hand) {
            Direction::Rightwards => {
                in_row.partition_point(|run| entry(run) < low)
                    ..in_row.partition_point(|run| entry(run) <= high)
            }
            Direction::Leftwards => {
                in_row.partition_point(|run| entry(run) > high)
                    ..in_row.partition_point(|run| entry(run) >= low)
            }
        };
        for to in places.start + reached.start..places.start + reached.end {
            let cost = self.front.at(entry(&self.runs[to]));
            if cost <= budget && wanted(to, cost) {
                let to = u32::try_from(to).expect("a chart's runs fit 32 bits");
                self.found.push((to, u32::try_from(cost).expect("a cut and a join fit 32 bits")));
            }
        }
    }
}

/// The yarn's runs of one row in the order of work.
pub(crate) fn runs_in(chart: &Chart, rules: &Rules, yarn: ColourIndex, row: RowIndex) -> Vec<Run> {
    let mut runs = chart.runs_in(row, rules.hand);
    runs.retain(|run| run.yarn == yarn);
    runs
}

/// What a join at the run costs and what a cut, tails included, in thousandths.
pub(crate) fn ends(chart: &Chart, rules: &Rules, run: &Run) -> (i64, i64) {
    let join = tails::of_join(chart, rules, run).cost + rules.weights.join;
    let cut = tails::of_cut(chart, rules, run).cost + rules.weights.cut;
    (join.thousandths(), cut.thousandths())
}
