//! The plan of one yarn, kept cheapest while the chart is edited.
//!
//! After an edit only what it can touch is looked at again: the ground of the edited rows, the
//! yarn's runs in them, tails beside them, hand-overs whose way may lead through the edited cells,
//! and whatever new prices make worth finding. The result costs what a plan from scratch costs, to
//! the last digit, because it is proven the same way: no listed hand-over breaks the prices
//! ([`LivingCover`]), and no other one could gain by them ([`Worth`]).

use model::{Chart, ColourIndex, Cost, RowIndex, Rules, Run};
use pathcover::{LivingCover, solve_with_room};

use crate::HandOvers;
use crate::choose::FIRST;
use crate::finder::{Finder, ends, runs_in};
use crate::search::Way;
use crate::worth::Worth;
use crate::write::Onward;

/// The cells that an edit has changed: rows and columns, both ends included.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Edited {
    pub(crate) rows: (usize, usize),
    pub(crate) columns: (usize, usize),
}

impl Edited {
    fn holds_row(&self, row: usize) -> bool {
        (self.rows.0..=self.rows.1).contains(&row)
    }
}

pub(crate) struct LiveYarn {
    yarn: ColourIndex,
    finder: Finder,
    /// The node of each run, by the run's place.
    nodes: Vec<u32>,
    /// The place of each node's run.
    places: Vec<u32>,
    cover: LivingCover,
    worth: Worth,
    /// No join of the yarn is dearer.
    dearest_start: i64,
    /// What starting and ending cost at each node.
    ends: Vec<(i64, i64)>,
    /// No listed hand-over leads over more rows than this.
    widest: usize,
    /// The hand-over chosen for each node.
    onward: Vec<Option<Chosen>>,
}

/// A chosen hand-over: the node it leads to, its cost and its way.
struct Chosen {
    next: u32,
    cost: i64,
    way: Way,
}

impl LiveYarn {
    /// Plans the yarn from scratch; `None` when `tell` says stop.
    pub(crate) fn new(
        chart: &Chart,
        rules: &Rules,
        yarn: ColourIndex,
        tell: &dyn Fn(usize) -> bool,
    ) -> Option<Self> {
        let mut hand_overs = HandOvers::new(chart, rules, yarn);
        let runs = hand_overs.runs().len();
        // Room for the runs to multiply; a session that outgrows it starts anew.
        let room = 2 * runs + 1000;
        let cover = crate::choose::cover(&mut hand_overs, tell, |network| solve_with_room(network, room))?;
        let HandOvers { finder, network, dearest_start, worth } = hand_overs;
        let widest = (0..runs)
            .flat_map(|run| network.arcs_of(run).map(move |(to, _)| (run, to)))
            .map(|(run, to)| finder.runs[to].row.0 - finder.runs[run].row.0)
            .max();
        tell(runs);
        let mut live = Self {
            yarn,
            nodes: (0..runs).map(as_u32).collect(),
            places: (0..runs).map(as_u32).collect(),
            cover: LivingCover::new(&network, &cover),
            worth: worth.unwrap_or_else(|| Worth::new(finder.terms.rows, finder.ground.width)),
            dearest_start,
            ends: network.start().iter().copied().zip(network.end().iter().copied()).collect(),
            widest: widest.unwrap_or(0),
            onward: Vec::new(),
            finder,
        };
        live.follow_ways(None);
        Some(live)
    }

    /// What follows each run as the plan stands.
    pub(crate) fn onward(&self) -> Vec<Option<Onward<'_>>> {
        let onward = |&node: &u32| {
            self.onward[node as usize].as_ref().map(|onward| Onward {
                to: self.places[onward.next as usize],
                cost: Cost::from_thousandths(onward.cost),
                way: &onward.way,
            })
        };
        self.nodes.iter().map(onward).collect()
    }

    /// No plan of this yarn costs less.
    pub(crate) fn bound(&self) -> Cost {
        Cost::from_thousandths(self.cover.cost_and_paths().0)
    }

    /// Brings the chosen hand-overs up to date with the cover. Where one leads through edited rows
    /// its way is found anew.
    fn follow_ways(&mut self, edited: Option<Edited>) {
        self.onward.resize_with(self.places.len(), || None);
        for place in 0..self.nodes.len() {
            let node = self.nodes[place];
            let row = self.finder.runs[place].row.0;
            let Some(next) = self.cover.next(node) else {
                self.onward[node as usize] = None;
                continue;
            };
            let to = self.places[next as usize] as usize;
            let through = edited
                .is_none_or(|edited| row <= edited.rows.1 && self.finder.runs[to].row.0 >= edited.rows.0);
            let had = self.onward[node as usize].as_ref();
            if !through && had.is_some_and(|had| had.next == next) {
                continue;
            }
            let cost = self.cover.cost(node, next).expect("a chosen hand-over is listed");
            let way = self.finder.way(place, to, cost);
            self.onward[node as usize] = Some(Chosen { next, cost, way });
        }
    }

    /// Follows an edit of the chart, which has been made. Returns `false` where there is no room for
    /// it; the yarn must then be planned from scratch.
    pub(crate) fn follow(&mut self, chart: &Chart, rules: &Rules, edited: Edited) -> bool {
        self.finder.ground.update(chart, rules, self.yarn, edited.rows);
        let Some(mut stale) = self.follow_runs(chart, rules, edited) else { return false };
        self.follow_ends(chart, rules, edited);
        self.follow_hand_overs(edited);
        stale[edited.rows.0..=edited.rows.1].fill(true);
        loop {
            self.cover.repair();
            for node in self.cover.take_changed() {
                // A node that was taken away has no run any more; its row is stale already.
                if let Some(run) = self.run_of(node) {
                    stale[run.row.0] = true;
                }
            }
            if self.find_gaining(&stale) == 0 {
                self.follow_ways(Some(edited));
                return true;
            }
            stale.fill(false);
        }
    }

    fn run_of(&self, node: u32) -> Option<&Run> {
        let place = *self.places.get(node as usize)? as usize;
        (self.nodes.get(place) == Some(&node)).then(|| &self.finder.runs[place])
    }

    /// Brings the list of runs up to date. Runs that stay as they are keep their nodes. Returns which
    /// rows have other runs now; `None` where there is no room for more nodes.
    fn follow_runs(&mut self, chart: &Chart, rules: &Rules, edited: Edited) -> Option<Vec<bool>> {
        let mut stale = vec![false; self.finder.terms.rows];
        let rows: Vec<Vec<Run>> = (edited.rows.0..=edited.rows.1)
            .map(|row| runs_in(chart, rules, self.yarn, RowIndex(row)))
            .collect();
        for (row, now) in (edited.rows.0..).zip(&rows) {
            stale[row] = *now != self.finder.runs[self.finder.in_row(row)];
        }
        if !stale.contains(&true) {
            return Some(stale);
        }
        let old = self.finder.first[edited.rows.0]..self.finder.first[edited.rows.1 + 1];
        let old_runs = self.finder.runs[old.clone()].to_vec();
        let old_nodes = self.nodes[old.clone()].to_vec();
        let kept = |run: &Run| old_runs.iter().position(|old| old == run).map(|at| old_nodes[at]);
        let new: Vec<Run> = rows.iter().flatten().copied().collect();
        for (run, &node) in old_runs.iter().zip(&old_nodes) {
            if !new.contains(run) {
                self.cover.remove_node(node);
            }
        }
        let mut new_nodes = Vec::with_capacity(new.len());
        for run in &new {
            let node = match kept(run) {
                Some(node) => node,
                None if !self.cover.has_room() => return None,
                None => {
                    let (start, end) = ends(chart, rules, run);
                    let node = self.cover.add_node(start, end);
                    let at = node as usize;
                    if at >= self.ends.len() {
                        self.ends.resize(at + 1, (0, 0));
                        self.places.resize(at + 1, 0);
                    }
                    self.ends[at] = (start, end);
                    self.dearest_start = self.dearest_start.max(start);
                    node
                }
            };
            new_nodes.push(node);
        }
        self.finder.runs.splice(old.clone(), new);
        self.nodes.splice(old, new_nodes);
        let mut first = self.finder.first[edited.rows.0];
        let grown = |first: usize, old: usize, now: usize| first + now - old;
        let before = self.finder.first[edited.rows.1 + 1];
        for (row, now) in (edited.rows.0..).zip(&rows) {
            self.finder.first[row] = first;
            first += now.len();
        }
        for first_of in &mut self.finder.first[edited.rows.1 + 1..] {
            *first_of = grown(*first_of, before, first);
        }
        for (place, &node) in self.nodes.iter().enumerate() {
            self.places[node as usize] = as_u32(place);
        }
        Some(stale)
    }

    /// Tails lie in the row of their run or the next: those beside the edit may cost something else.
    fn follow_ends(&mut self, chart: &Chart, rules: &Rules, edited: Edited) {
        for row in edited.rows.0.saturating_sub(1)..=edited.rows.1 {
            for place in self.finder.in_row(row) {
                let node = self.nodes[place];
                let now = ends(chart, rules, &self.finder.runs[place]);
                if self.ends[node as usize] != now {
                    self.ends[node as usize] = now;
                    self.dearest_start = self.dearest_start.max(now.0);
                    self.cover.set_ends(node, now.0, now.1);
                }
            }
        }
    }

    /// Finds the hand-overs anew from every run of which one may lead through the edited cells.
    fn follow_hand_overs(&mut self, edited: Edited) {
        let cheapest_pass = self.finder.ground.cheapest_pass();
        let lowest = edited.rows.0.saturating_sub(self.widest);
        for place in self.finder.first[lowest]..self.finder.first[edited.rows.1 + 1] {
            let (node, run) = (self.nodes[place], self.finder.runs[place]);
            let touched = |(head, cost): (u32, i64)| {
                let to = &self.finder.runs[self.places[head as usize] as usize];
                if to.row.0 < edited.rows.0 {
                    return false;
                }
                // From the nearer end to the edit and back again.
                let (exit, entry) = (run.exit.0 as usize, to.entry.0 as usize);
                let (low, high) = (exit.min(entry), exit.max(entry));
                let away = if edited.columns.1 + 1 < low {
                    low - edited.columns.1 - 1
                } else {
                    edited.columns.0.saturating_sub(high)
                };
                2 * i64::try_from(away).unwrap_or(i64::MAX / 4) * cheapest_pass <= cost
            };
            let is_new = edited.holds_row(run.row.0) && self.cover.arcs_of(node).next().is_none();
            if !is_new && !self.cover.arcs_of(node).any(touched) {
                continue;
            }
            let end = self.ends[node as usize].1;
            let budget = (end + self.dearest_start) / FIRST;
            let kept: Vec<(u32, u32)> = self
                .cover
                .arcs_of(node)
                .filter(|&(head, cost)| cost > budget && !touched((head, cost)))
                .map(|(head, cost)| (head, u32::try_from(cost).expect("a cut and a join fit 32 bits")))
                .collect();
            let (nodes, ends) = (&self.nodes, &self.ends);
            let wanted = |to: usize, cost: i64| cost <= end + ends[nodes[to] as usize].0;
            let found = self.finder.search_within(place, budget, wanted);
            let mut reached = place;
            for &(to, _) in found {
                reached = reached.max(to as usize);
            }
            let found = found.iter().map(|&(to, cost)| (nodes[to as usize], cost)).chain(kept);
            let arcs: Vec<_> = found.collect();
            self.cover.set_arcs(node, arcs);
            self.widest = self.widest.max(self.finder.runs[reached].row.0 - run.row.0);
        }
    }

    /// Finds hand-overs that would gain by the prices as they are; `stale` are the rows where prices,
    /// runs or ground have changed.
    fn find_gaining(&mut self, stale: &[bool]) -> usize {
        let (nodes, cover) = (&self.nodes, &mut self.cover);
        let scale = cover.scale();
        let changed =
            self.worth.update(&self.finder, scale, |place| cover.in_worth(nodes[place]), |row| stale[row]);
        let most = self.dearest_start * scale;
        let mut gaining = 0;
        for row in 0..changed.len() {
            // The field leaves the longest wait out of account, so what lies beyond it may hide a
            // change within: then every row is looked at that a hand-over of that length comes from.
            let reach =
                self.finder.terms.longest_wait.map_or(row, |_| self.finder.terms.last_row(RowIndex(row)));
            if !changed[row] && !stale[row..=reach].contains(&true) {
                continue;
            }
            for place in self.finder.in_row(row) {
                let node = nodes[place];
                let out = cover.out_price(node);
                let found =
                    self.finder.search_gaining(place, &self.worth, out, most, |to| cover.in_worth(nodes[to]));
                if found.is_empty() {
                    continue;
                }
                gaining += found.len();
                let arcs: Vec<(u32, u32)> =
                    found.iter().map(|&(to, cost)| (nodes[to as usize], cost)).collect();
                for &(to, _) in &arcs {
                    let to = self.places[to as usize] as usize;
                    self.widest = self.widest.max(self.finder.runs[to].row.0 - row);
                }
                cover.add_arcs(node, arcs);
            }
        }
        gaining
    }
}

#[allow(clippy::cast_possible_truncation)] // runs of a chart of at most MAX_CELLS
fn as_u32(place: usize) -> u32 {
    place as u32
}
