//! The runs of one yarn and the search from one of them for others that its strand could work next.

use core::ops::Range;

use model::{Boundary, Chart, ColourIndex, Direction, RowIndex, Rules, Run};

use crate::ground::Ground;
use crate::search::{Between, Front, Terms, Way, least, moved, price, way};
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
            finder.runs.extend(chart.runs_in(row, rules.hand).iter().filter(|run| run.yarn == yarn));
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

    /// Whether a strand gets from the run's exit, carried on in its own row, at no more than `budget` to
    /// some boundary of a stretch.
    pub(crate) fn leads_to(&self, run: usize, (low, high): (usize, usize), budget: i64) -> bool {
        let run = &self.runs[run];
        let (exit, passed) = (run.exit.0 as usize, self.ground.passed(run.row));
        match run.row.direction(self.terms.hand) {
            Direction::Rightwards => exit <= high && passed[low.max(exit)] - passed[exit] <= budget,
            Direction::Leftwards => low <= exit && passed[exit] - passed[high.min(exit)] <= budget,
        }
    }

    /// Searches backwards from one run for those whose strands could work it next, at no more than
    /// `budget`. Returns place and cost of each.
    pub(crate) fn search_back(
        &mut self,
        run: usize,
        budget: i64,
        wanted: impl Fn(usize, i64) -> bool,
    ) -> &[(u32, u32)] {
        let to = self.runs[run];
        self.found.clear();
        let mut take = |from: usize, cost: i64| {
            if cost <= budget && wanted(from, cost) {
                self.found.push((as_u32(from), listed(cost)));
            }
        };
        for from in self.first[to.row.0]..run {
            if let Some(cost) = moved(&self.ground, self.terms, to.row, self.runs[from].exit, to.entry) {
                take(from, cost);
            }
        }
        // From here on the front holds what it costs to get from the top of a row to the run.
        self.front.begin_at(to.entry);
        self.front.spread(&self.ground, self.terms, to.row, budget);
        let lowest =
            self.terms.longest_wait.map_or(0, |wait| to.row.0.saturating_sub(wait.saturating_add(1)));
        for row in (lowest..to.row.0).rev().map(RowIndex) {
            for from in self.first[row.0]..self.first[row.0 + 1] {
                take(from, self.front.left_at(&self.ground, self.terms, row, self.runs[from].exit, budget));
            }
            self.front.lock(&self.ground, self.terms, row, None);
            if !self.front.trim(|_, cost| cost <= budget) {
                break;
            }
            self.front.spread(&self.ground, self.terms, row, budget);
        }
        &self.found
    }

    fn between(&self, from: usize, to: usize) -> Between {
        let (from, to) = (self.runs[from], self.runs[to]);
        ((from.row, from.exit), (to.row, to.entry))
    }

    /// What a hand-over costs along a given way, see [`price`].
    pub(crate) fn price(&self, from: usize, to: usize, way: &[Boundary]) -> Option<i64> {
        price(&self.ground, self.terms, self.between(from, to), way)
    }

    /// The least cost between two runs, see [`least`].
    pub(crate) fn least(&mut self, from: usize, to: usize, budget: i64) -> Option<i64> {
        let between = self.between(from, to);
        least(&self.ground, self.terms, &mut self.front, between, budget)
    }

    /// A cheapest way between two runs, given what it costs; see [`way`].
    pub(crate) fn way(&mut self, from: usize, to: usize, cost: i64) -> Option<Way> {
        let between = self.between(from, to);
        way(&self.ground, self.terms, &mut self.front, between, cost)
    }

    /// Those of some runs of a row, one behind the other, that are entered within a stretch of boundaries.
    pub(crate) fn entered_in(
        &self,
        places: Range<usize>,
        row: RowIndex,
        (low, high): (usize, usize),
    ) -> Range<usize> {
        let runs = &self.runs[places.clone()];
        let entry = |run: &Run| run.entry.0 as usize;
        let within = match row.direction(self.terms.hand) {
            Direction::Rightwards => {
                runs.partition_point(|run| entry(run) < low)..runs.partition_point(|run| entry(run) <= high)
            }
            Direction::Leftwards => {
                runs.partition_point(|run| entry(run) > high)..runs.partition_point(|run| entry(run) >= low)
            }
        };
        places.start + within.start..places.start + within.end
    }

    /// Takes down which runs of a row the front has reached.
    fn reach(
        &mut self,
        places: Range<usize>,
        row: RowIndex,
        budget: i64,
        wanted: impl Fn(usize, i64) -> bool,
    ) {
        for to in self.entered_in(places, row, self.front.window()) {
            let cost = self.front.at(self.runs[to].entry.0 as usize);
            if cost <= budget && wanted(to, cost) {
                self.found.push((as_u32(to), listed(cost)));
            }
        }
    }
}

/// What a join at the run costs and what a cut, tails included, in thousandths.
pub(crate) fn ends(chart: &Chart, rules: &Rules, run: &Run) -> (i64, i64) {
    let join = tails::of_join(chart, rules, run).cost + rules.weights.join;
    let cut = tails::of_cut(chart, rules, run).cost + rules.weights.cut;
    (join.thousandths(), cut.thousandths())
}

#[allow(clippy::cast_possible_truncation)] // runs of a chart of at most MAX_CELLS
pub(crate) fn as_u32(place: usize) -> u32 {
    place as u32
}

/// A cost as networks list it.
pub(crate) fn listed(cost: i64) -> u32 {
    u32::try_from(cost).expect("a cut and a join fit 32 bits")
}
