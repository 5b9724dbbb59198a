//! The plan of one yarn, kept cheapest while the chart is edited.
//!
//! After an edit only what it can touch is looked at: the ground of the edited rows, the yarn's runs
//! in them, tails beside them, and the chosen hand-overs whose way leads through the edited cells.
//! The other hand-overs in the list may cost something else by now, and nobody minds until one is
//! chosen: where it has become dearer its way is not to be had at the listed cost, and it is put
//! right; where it has become cheaper the field of [`Worth`] tells, if that could be of use.
//!
//! The result costs what a plan from scratch costs, to the last digit, because it is proven the same
//! way: each chosen hand-over has a way at its listed cost, no listed one breaks the prices
//! ([`LivingCover`]), and no other one could gain by them ([`Worth`]).

use model::{Boundary, Chart, ColourIndex, Cost, RowIndex, Rules, Run};
use pathcover::{LivingCover, solve_with_room};

use crate::HandOvers;
use crate::choose::FIRST;
use crate::finder::{Finder, as_u32, ends, listed};
use crate::search::Way;
use crate::worth::{Stretches, Worth};
use crate::write::{Leg, Onward};

/// An edit that has been made.
pub(crate) struct Edit<'a> {
    /// The chart as it is now.
    pub(crate) chart: &'a Chart,
    pub(crate) rules: &'a Rules,
    /// The rows and columns of the changed cells, first and last of them.
    pub(crate) rows: (usize, usize),
    pub(crate) columns: (usize, usize),
    /// The runs of all yarns in those rows now.
    pub(crate) runs: &'a [Vec<Run>],
}

impl Edit<'_> {
    /// The boundaries of the changed cells, first and last.
    const fn boundaries(&self) -> (usize, usize) {
        (self.columns.0, self.columns.1 + 1)
    }

    /// Whether a move along a row, or a lock in it where it does not move, touches a changed cell.
    fn touches(&self, row: usize, from: Boundary, to: Boundary) -> bool {
        let (low, high) = self.boundaries();
        (self.rows.0..=self.rows.1).contains(&row)
            && from.0.min(to.0) as usize <= high
            && from.0.max(to.0) as usize >= low
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
    /// No chosen hand-over leads over more rows than this.
    widest: usize,
    /// The hand-over chosen for each node.
    onward: Vec<Option<Chosen>>,
    /// Legs that an edit has changed.
    rewritten: Vec<Rewritten>,
    is_rewritten: Vec<bool>,
    /// Where prices, runs or ground have changed since the field of worth was worked out.
    stale: Stretches,
    /// Where that field has risen.
    risen: Stretches,
}

/// A chosen hand-over: the node it leads to, the row of that, its cost and its way.
struct Chosen {
    next: u32,
    row: usize,
    cost: i64,
    way: Way,
}

/// A leg that an edit has changed or taken away, and the rows that it led over before, first and last;
/// `None` of a new one.
pub(crate) struct Rewritten {
    pub(crate) node: u32,
    pub(crate) rows: Option<(usize, usize)>,
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
        tell(runs);
        let rows = finder.terms.rows;
        let mut live = Self {
            yarn,
            nodes: (0..runs).map(as_u32).collect(),
            places: (0..runs).map(as_u32).collect(),
            cover: LivingCover::new(&network, &cover),
            worth: worth.unwrap_or_else(|| Worth::new(rows, finder.ground.width)),
            dearest_start,
            ends: network.start().iter().copied().zip(network.end().iter().copied()).collect(),
            widest: 0,
            onward: Vec::with_capacity(runs),
            rewritten: Vec::new(),
            is_rewritten: vec![false; runs],
            stale: Stretches::none(rows),
            risen: Stretches::none(rows),
            finder,
        };
        for node in 0..as_u32(runs) {
            let next = live.cover.next(node);
            let chosen = next.map(|next| live.chosen(node, next).expect("the search found this cost"));
            live.onward.push(chosen);
        }
        Some(live)
    }

    /// The hand-over between two nodes at its listed cost; `None` where there is no way at that.
    fn chosen(&mut self, node: u32, next: u32) -> Option<Chosen> {
        let cost = self.cover.cost(node, next)?;
        let (from, to) = (self.place(node), self.place(next));
        let way = self.finder.way(from, to, cost)?;
        let row = self.finder.runs[to].row.0;
        self.widest = self.widest.max(row - self.finder.runs[from].row.0);
        Some(Chosen { next, row, cost, way })
    }

    fn place(&self, node: u32) -> usize {
        self.places[node as usize] as usize
    }

    /// The node of each run in a row.
    pub(crate) fn nodes_in(&self, row: usize) -> &[u32] {
        &self.nodes[self.finder.in_row(row)]
    }

    /// The leg of the run at a place.
    pub(crate) fn leg(&self, place: usize) -> Leg<'_> {
        let node = self.nodes[place];
        let onward = self.onward[node as usize].as_ref().map(|onward| Onward {
            to: onward.next,
            run: self.finder.runs[self.place(onward.next)],
            cost: Cost::from_thousandths(onward.cost),
            way: &onward.way,
        });
        let joins = self.cover.before(node).is_none();
        Leg { node, run: self.finder.runs[place], joins, onward }
    }

    /// Which legs the last edit has changed or taken away.
    pub(crate) fn rewritten(&self) -> &[Rewritten] {
        &self.rewritten
    }

    /// The changed legs as they are now.
    pub(crate) fn legs_rewritten(&self) -> impl Iterator<Item = Leg<'_>> {
        let alive = self.rewritten.iter().filter(|leg| self.run_of(leg.node).is_some());
        alive.map(|leg| self.leg(self.place(leg.node)))
    }

    /// No plan of this yarn costs less.
    pub(crate) fn bound(&self) -> Cost {
        Cost::from_thousandths(self.cover.cost_and_paths().0)
    }

    /// Follows an edit of the chart. Returns `false` where there is no room for it; the yarn must then
    /// be planned from scratch.
    pub(crate) fn follow(&mut self, edit: &Edit<'_>) -> bool {
        for leg in self.rewritten.drain(..) {
            self.is_rewritten[leg.node as usize] = false;
        }
        self.finder.ground.update(edit.chart, edit.rules, self.yarn, edit.rows, edit.columns);
        for row in edit.rows.0..=edit.rows.1 {
            self.stale.add(row, edit.boundaries());
        }
        let Some(new) = self.follow_runs(edit) else { return false };
        self.follow_ends(edit);
        self.follow_chosen(edit);
        for node in new {
            self.find_near(node);
        }
        loop {
            self.cover.repair();
            for node in self.cover.take_changed() {
                // The row of a node that was taken away is stale already.
                if let Some(&run) = self.run_of(node) {
                    self.note(&run);
                }
            }
            if self.find_gaining() == 0 && self.follow_choice() {
                return true;
            }
        }
    }

    fn run_of(&self, node: u32) -> Option<&Run> {
        let place = *self.places.get(node as usize)? as usize;
        (self.nodes.get(place) == Some(&node)).then(|| &self.finder.runs[place])
    }

    /// Something is different at both ends of a run.
    fn note(&mut self, run: &Run) {
        let (entry, exit) = (run.entry.0 as usize, run.exit.0 as usize);
        self.stale.add(run.row.0, (entry.min(exit), entry.max(exit)));
    }

    /// The leg of a node is about to change.
    fn rewrite(&mut self, node: u32) {
        if self.is_rewritten[node as usize] {
            return;
        }
        self.is_rewritten[node as usize] = true;
        let row = self.finder.runs[self.place(node)].row.0;
        let last = self.onward[node as usize].as_ref().map_or(row, |onward| onward.row);
        self.rewritten.push(Rewritten { node, rows: Some((row, last)) });
    }

    /// Brings the list of runs up to date. Runs that stay as they are keep their nodes. Returns the
    /// new nodes; `None` where there is no room for them.
    fn follow_runs(&mut self, edit: &Edit<'_>) -> Option<Vec<u32>> {
        let (low, high) = edit.rows;
        let old = self.finder.first[low]..self.finder.first[high + 1];
        let (mut now, mut nodes, mut added) = (Vec::new(), Vec::new(), Vec::new());
        // In one row after the other, the first of each as it is to be.
        let mut first = Vec::with_capacity(edit.runs.len());
        for (row, runs) in (low..).zip(edit.runs) {
            let was = self.finder.in_row(row);
            let begin = now.len();
            first.push(old.start + begin);
            now.extend(runs.iter().filter(|run| run.yarn == self.yarn));
            for place in was.clone() {
                let run = self.finder.runs[place];
                if !now[begin..].contains(&run) {
                    self.remove(self.nodes[place], &run);
                }
            }
            for run in &now[begin..] {
                let stays = was.clone().find(|&place| self.finder.runs[place] == *run);
                nodes.push(match stays {
                    Some(place) => self.nodes[place],
                    None if !self.cover.has_room() => return None,
                    None => {
                        added.push(self.add(run, ends(edit.chart, edit.rules, run)));
                        added[added.len() - 1]
                    }
                });
            }
        }
        if now == self.finder.runs[old.clone()] {
            return Some(added);
        }
        self.finder.first.splice(low..=high, first);
        for first in &mut self.finder.first[high + 1..] {
            *first = *first + now.len() - old.len();
        }
        self.finder.runs.splice(old.clone(), now);
        self.nodes.splice(old.clone(), nodes);
        for (place, &node) in self.nodes.iter().enumerate().skip(old.start) {
            self.places[node as usize] = as_u32(place);
        }
        Some(added)
    }

    fn remove(&mut self, node: u32, run: &Run) {
        // Whoever leads here now may lead to another run of the same number next.
        for leg in self.cover.before(node).into_iter().chain([node]) {
            self.rewrite(leg);
            self.onward[leg as usize] = None;
        }
        self.note(run);
        self.cover.remove_node(node);
    }

    fn add(&mut self, run: &Run, (start, end): (i64, i64)) -> u32 {
        self.note(run);
        let node = self.cover.add_node(start, end);
        let at = node as usize;
        if at >= self.ends.len() {
            self.ends.resize(at + 1, (0, 0));
            self.places.resize(at + 1, 0);
            self.onward.resize_with(at + 1, || None);
            self.is_rewritten.resize(at + 1, false);
        }
        self.ends[at] = (start, end);
        self.dearest_start = self.dearest_start.max(start);
        // A number that is used again has what was there before rewritten already.
        if !std::mem::replace(&mut self.is_rewritten[at], true) {
            self.rewritten.push(Rewritten { node, rows: None });
        }
        node
    }

    /// Tails lie in the row of their run or the next: those beside the edit may change.
    fn follow_ends(&mut self, edit: &Edit<'_>) {
        let (low, high) = edit.boundaries();
        let tail = edit.rules.weights.tail as usize;
        let near = |at: Boundary| (low..=high + 2 * tail).contains(&(at.0 as usize + tail));
        for row in edit.rows.0.saturating_sub(1)..=edit.rows.1 {
            for place in self.finder.in_row(row) {
                let (node, run) = (self.nodes[place], self.finder.runs[place]);
                if !near(run.entry) && !near(run.exit) {
                    continue;
                }
                if self.cover.before(node).is_none() || self.onward[node as usize].is_none() {
                    self.rewrite(node);
                }
                let now = ends(edit.chart, edit.rules, &run);
                if self.ends[node as usize] != now {
                    self.ends[node as usize] = now;
                    self.dearest_start = self.dearest_start.max(now.0);
                    self.cover.set_ends(node, now.0, now.1);
                }
            }
        }
    }

    /// Prices the chosen hand-overs anew whose way leads through the edit. Their legs are written again
    /// even at the old price: other stitches are passed.
    fn follow_chosen(&mut self, edit: &Edit<'_>) {
        let lowest = edit.rows.0.saturating_sub(self.widest);
        for place in self.finder.first[lowest]..self.finder.first[edit.rows.1 + 1] {
            let node = self.nodes[place];
            let Some(onward) = &self.onward[node as usize] else { continue };
            if onward.row < edit.rows.0 {
                continue;
            }
            let to = self.place(onward.next);
            let entry = self.finder.runs[to].entry;
            let mut here = self.finder.runs[place].exit;
            let moves =
                onward.way.iter().chain([&entry]).map(|&there| (std::mem::replace(&mut here, there), there));
            let first = self.finder.runs[place].row.0;
            if !(first..).zip(moves).any(|(row, (from, to))| edit.touches(row, from, to)) {
                continue;
            }
            let (next, was) = (onward.next, onward.cost);
            let price = self.finder.price(place, to, &onward.way);
            self.rewrite(node);
            if price == Some(was) {
                continue;
            }
            let most = self.ends[node as usize].1 + self.ends[next as usize].0;
            self.put_right(node, next, price.map_or(most, |price| price.min(most)));
        }
    }

    /// Lists what the hand-over between two nodes costs now, if that is no more than `budget`, else none.
    fn put_right(&mut self, node: u32, next: u32, budget: i64) {
        let cost = self.finder.least(self.place(node), self.place(next), budget);
        self.cover.set_arc(node, next, cost.map(listed));
        self.onward[node as usize] = self.chosen(node, next);
    }

    /// Finds the cheap hand-overs from and to a new node.
    fn find_near(&mut self, node: u32) {
        let (place, (start, end)) = (self.place(node), self.ends[node as usize]);
        let (nodes, ends) = (&self.nodes, &self.ends);
        let budget = (end + self.dearest_start) / FIRST;
        let wanted = |to: usize, cost: i64| cost <= end + ends[nodes[to] as usize].0;
        let onwards = self.finder.search_within(place, budget, wanted);
        self.cover.add_arcs(node, onwards.iter().map(|&(to, cost)| (nodes[to as usize], cost)));
        let wanted = |from: usize, cost: i64| cost <= ends[nodes[from] as usize].1 + start;
        for &(from, cost) in self.finder.search_back(place, budget, wanted) {
            self.cover.add_arcs(nodes[from as usize], [(node, cost)]);
        }
    }

    /// Finds hand-overs that would gain by the prices as they are.
    fn find_gaining(&mut self) -> usize {
        let (nodes, cover) = (&self.nodes, &mut self.cover);
        let scale = cover.scale();
        let (stale, risen) = (&mut self.stale, &mut self.risen);
        self.worth.update(&self.finder, scale, |place| cover.in_worth(nodes[place]), stale, risen);
        let most = self.dearest_start * scale;
        let whole = (0, self.finder.ground.width - 1);
        let mut gaining = 0;
        for row in 0..self.finder.terms.rows {
            // The field leaves the longest wait out of account, so what lies beyond it may hide a
            // change within: then every row is looked at that a hand-over of that length comes from.
            let hidden = self.finder.terms.longest_wait.is_some()
                && stale.any(row..=self.finder.terms.last_row(RowIndex(row)));
            if hidden {
                risen.add(row, whole);
            }
            if let Some(here) = stale.of(row) {
                risen.add(row, here);
            }
            let Some(better) = risen.of(row) else { continue };
            for place in self.finder.in_row(row) {
                let node = nodes[place];
                let out = cover.out_price(node);
                if !self.finder.leads_to(place, better, (out + most) / scale) {
                    continue;
                }
                let found =
                    self.finder.search_gaining(place, &self.worth, out, most, |to| cover.in_worth(nodes[to]));
                if !found.is_empty() {
                    gaining += found.len();
                    cover.add_arcs(node, found.iter().map(|&(to, cost)| (nodes[to as usize], cost)));
                }
            }
        }
        stale.clear();
        gaining
    }

    /// Brings the chosen hand-overs up to date with the cover. Returns `false` where one is not to be
    /// had at its listed cost; that is put right, and the cover has to be repaired.
    fn follow_choice(&mut self) -> bool {
        let mut true_costs = true;
        for node in self.cover.take_moved() {
            if self.run_of(node).is_none() {
                continue;
            }
            self.rewrite(node);
            let Some(next) = self.cover.next(node) else {
                self.onward[node as usize] = None;
                continue;
            };
            let had = self.onward[node as usize].as_ref();
            if had.is_some_and(|had| had.next == next && self.cover.cost(node, next) == Some(had.cost)) {
                continue;
            }
            self.onward[node as usize] = self.chosen(node, next);
            if self.onward[node as usize].is_none() {
                let most = self.ends[node as usize].1 + self.ends[next as usize].0;
                self.put_right(node, next, most);
                true_costs = false;
            }
        }
        true_costs
    }
}
