//! Every hand-over of one yarn that can be in a best plan.

use core::ops::Range;

use model::{Chart, ColourIndex, Cost, Direction, RowIndex, Rules, Run};
use pathcover::{Cover, Network};

use crate::ground::Ground;
use crate::search::{Front, Terms};
use crate::tails;
use crate::worth::{Worth, price_in};

/// The runs of one yarn and the hand-overs between them, found as far as they are asked for.
pub struct HandOvers {
    runs: Vec<Run>,
    /// The first run of each row, one past the end included.
    first: Vec<usize>,
    network: Network,
    /// The dearest join of all runs.
    dearest_start: i64,
    ground: Ground,
    terms: Terms,
    front: Front,
    worth: Option<Worth>,
    found: Vec<(u32, u32)>,
}

impl HandOvers {
    /// The yarn's runs, with no hand-over between them yet.
    #[must_use]
    pub fn new(chart: &Chart, rules: &Rules, yarn: ColourIndex) -> Self {
        let mut runs = Vec::new();
        let mut first = Vec::with_capacity(chart.rows() + 1);
        for row in chart.row_indices() {
            first.push(runs.len());
            runs.extend(chart.runs_in(row, rules.hand).into_iter().filter(|run| run.yarn == yarn));
        }
        first.push(runs.len());
        let price = |tail: tails::PricedTail, handling: Cost| (tail.cost + handling).thousandths();
        let start: Vec<i64> =
            runs.iter().map(|run| price(tails::of_join(chart, rules, run), rules.weights.join)).collect();
        let end: Vec<i64> =
            runs.iter().map(|run| price(tails::of_cut(chart, rules, run), rules.weights.cut)).collect();
        let ground = Ground::new(chart, rules, yarn);
        Self {
            dearest_start: start.iter().copied().max().unwrap_or(0),
            network: Network::new(start, end),
            terms: Terms::new(rules, chart.rows()),
            front: Front::new(ground.width),
            worth: None,
            found: Vec::new(),
            runs,
            first,
            ground,
        }
    }

    /// The runs in the order of work: the network's nodes.
    #[must_use]
    pub fn runs(&self) -> &[Run] {
        &self.runs
    }

    /// The network: starting a path is a join with its tail, ending one a cut with its tail.
    #[must_use]
    pub const fn network(&self) -> &Network {
        &self.network
    }

    /// The most that a hand-over from this run can cost and still be in a best plan: a cut there and
    /// the dearest join.
    #[must_use]
    pub fn most(&self, run: usize) -> Cost {
        Cost::from_thousandths(self.network.end()[run] + self.dearest_start)
    }

    /// Finds the hand-overs from one run that cost no more than `budget`, nor more than a cut and a
    /// join in their place, tails included. To be called once for a run, before any other finding.
    pub fn find_within(&mut self, run: usize, budget: Cost) {
        let budget = budget.min(self.most(run)).thousandths();
        self.search(run, budget, |_, _, cost| cost <= budget, |_, _| true);
    }

    /// Finds the hand-overs that the prices of `cover` do not allow for: those that would make the
    /// cover cheaper. Returns how many there are; with none the cover is the cheapest of all.
    pub fn find_gaining(&mut self, cover: &Cover) -> usize {
        let mut worth = core::mem::take(&mut self.worth)
            .unwrap_or_else(|| Worth::new(self.terms.rows, self.ground.width));
        worth.update(&self.ground, self.terms, &self.runs, &self.first, &self.network, cover);
        let scale = worth.scale();
        let most = self.dearest_start * scale;
        let in_prices: Vec<i64> =
            (0..self.runs.len()).map(|run| price_in(&self.network, cover, run)).collect();
        let mut gaining = 0;
        for run in 0..self.runs.len() {
            let out = cover.out_price[run];
            let later = run + 1..self.first[self.runs[run].row.0 + 1];
            let same_row = (&self.runs[later.clone()], |at: usize| in_prices[later.start + at]);
            if !worth.gains(&self.ground, self.terms, &self.runs[run], same_row, out, most) {
                continue;
            }
            let hang = self.terms.hang;
            gaining += self.search(
                run,
                (out + most) / scale,
                |row, boundary, cost| out + worth.hanging(row)[boundary] > (cost - hang) * scale,
                |to, cost| out + in_prices[to] > cost * scale,
            );
        }
        self.worth = Some(worth);
        gaining
    }

    /// Searches from one run, within a budget and as long as going on is worth while, and adds the
    /// hand-overs that are wanted. Returns how many.
    fn search(
        &mut self,
        run: usize,
        budget: i64,
        worth_going_on: impl Fn(RowIndex, usize, i64) -> bool,
        wanted: impl Fn(usize, i64) -> bool,
    ) -> usize {
        let from = self.runs[run];
        self.found.clear();
        self.front.begin(&self.ground, self.terms, from.row, from.exit, budget);
        self.reach(run, run + 1..self.first[from.row.0 + 1], from.row, budget, &wanted);
        let mut worked_at = Some(from.exit);
        for row in from.row.0 + 1..=self.terms.last_row(from.row) {
            let below = RowIndex(row - 1);
            self.front.lock(&self.ground, self.terms, below, worked_at.take());
            if !self.front.trim(|boundary, cost| worth_going_on(below, boundary, cost)) {
                break;
            }
            self.front.spread(&self.ground, self.terms, RowIndex(row), budget);
            self.reach(run, self.first[row]..self.first[row + 1], RowIndex(row), budget, &wanted);
        }
        self.network.add_arcs(run, self.found.iter().copied());
        self.found.len()
    }

    /// Takes down which runs of a row the front has reached.
    fn reach(
        &mut self,
        run: usize,
        nodes: Range<usize>,
        row: RowIndex,
        budget: i64,
        wanted: impl Fn(usize, i64) -> bool,
    ) {
        let (low, high) = self.front.window();
        let in_row = &self.runs[nodes.clone()];
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
        let end = self.network.end()[run];
        for to in nodes.start + reached.start..nodes.start + reached.end {
            let cost = self.front.at(entry(&self.runs[to]));
            if cost <= budget && cost <= end + self.network.start()[to] && wanted(to, cost) {
                let to = u32::try_from(to).expect("a chart's runs fit 32 bits");
                self.found.push((to, u32::try_from(cost).expect("a cut and a join fit 32 bits")));
            }
        }
    }
}
