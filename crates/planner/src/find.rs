//! The hand-overs of one yarn, as a network that is found as far as it is asked for.

use model::{Chart, ColourIndex, Cost, Rules, Run};
use pathcover::{Cover, Network};

use crate::finder::{Finder, ends};
use crate::worth::{Stretches, Worth};

/// The runs of one yarn and the hand-overs between them, found as far as they are asked for.
pub struct HandOvers {
    pub(crate) finder: Finder,
    pub(crate) network: Network,
    /// The dearest join of all runs.
    pub(crate) dearest_start: i64,
    pub(crate) worth: Option<Worth>,
}

impl HandOvers {
    /// The yarn's runs, with no hand-over between them yet.
    #[must_use]
    pub fn new(chart: &Chart, rules: &Rules, yarn: ColourIndex) -> Self {
        let finder = Finder::new(chart, rules, yarn);
        let (start, end): (Vec<i64>, Vec<i64>) =
            finder.runs.iter().map(|run| ends(chart, rules, run)).unzip();
        Self {
            dearest_start: start.iter().copied().max().unwrap_or(0),
            network: Network::new(start, end),
            worth: None,
            finder,
        }
    }

    /// The runs in the order of work: the network's nodes.
    #[must_use]
    pub fn runs(&self) -> &[Run] {
        &self.finder.runs
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
        let (start, end) = (self.network.start(), self.network.end()[run]);
        let found = self.finder.search_within(run, budget, |to, cost| cost <= end + start[to]).to_vec();
        self.network.add_arcs(run, found);
    }

    /// Finds the hand-overs that the prices of `cover` do not allow for: those that would make the
    /// cover cheaper. Returns how many there are; with none the cover is the cheapest of all.
    pub fn find_gaining(&mut self, cover: &Cover) -> usize {
        let in_worth: Vec<i64> = (self.network.start().iter().zip(&cover.in_price))
            .map(|(start, price)| start * cover.scale + price)
            .collect();
        let finder = &mut self.finder;
        let worth = self.worth.get_or_insert_with(|| Worth::new(finder.terms.rows, finder.ground.width));
        let (rows, width) = (finder.terms.rows, finder.ground.width);
        let (all, mut risen) = (Stretches::all(rows, width), Stretches::none(rows));
        worth.update(finder, cover.scale, |run| in_worth[run], &all, &mut risen);
        let most = self.dearest_start * cover.scale;
        let mut gaining = 0;
        for run in 0..finder.runs.len() {
            let found = finder.search_gaining(run, worth, cover.out_price[run], most, |to| in_worth[to]);
            gaining += found.len();
            self.network.add_arcs(run, found.iter().copied());
        }
        gaining
    }
}
