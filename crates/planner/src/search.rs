//! Where a strand can get to from the end of a run, and at what cost.
//!
//! Row by row a *front* holds, for a window of boundaries, the least cost of hanging there at the
//! top of the row. From one row to the next it *spreads* (a move either way, at the cost of the
//! stitches passed) and is then locked (the lift, and one more row to mind). A spread is a min-plus
//! sum with the distance along the row: two sweeps, or two sweeps of a sliding minimum where a
//! longest carry bounds the move.

use model::{Boundary, Direction, RowIndex, Rules};

use crate::ground::{FORBIDDEN, Ground};

/// Beyond any budget.
const FAR: i64 = i64::MAX / 4;

/// Limits and prices of the search that do not depend on the run.
#[derive(Clone, Copy)]
pub(crate) struct Terms {
    pub(crate) hang: i64,
    pub(crate) longest_carry: Option<u32>,
    pub(crate) longest_wait: Option<usize>,
    pub(crate) hand: model::Hand,
    pub(crate) rows: usize,
}

impl Terms {
    pub(crate) fn new(rules: &Rules, rows: usize) -> Self {
        Self {
            hang: rules.weights.hang.thousandths(),
            longest_carry: rules.limits.longest_carry,
            longest_wait: rules.limits.longest_wait.map(|wait| wait as usize),
            hand: rules.hand,
            rows,
        }
    }

    /// The last row that a hand-over from `row` may lead to.
    pub(crate) fn last_row(&self, row: RowIndex) -> usize {
        let last = self.rows - 1;
        self.longest_wait.map_or(last, |wait| last.min(row.0.saturating_add(wait).saturating_add(1)))
    }
}

/// The front of a search; used again and again, so that searching allocates nothing.
pub(crate) struct Front {
    /// Cost at each boundary of the row; only `low..=high` counts.
    cost: Vec<i64>,
    low: usize,
    high: usize,
    /// Scratch for the sliding minimum.
    before: Vec<i64>,
    queue: Vec<usize>,
}

impl Front {
    pub(crate) fn new(width: usize) -> Self {
        Self { cost: vec![FAR; width], low: 0, high: 0, before: vec![FAR; width], queue: Vec::new() }
    }

    /// The boundaries it reaches: first and last.
    pub(crate) const fn window(&self) -> (usize, usize) {
        (self.low, self.high)
    }

    /// Cost at a boundary; far beyond any budget outside the window.
    pub(crate) fn at(&self, boundary: usize) -> i64 {
        if (self.low..=self.high).contains(&boundary) { self.cost[boundary] } else { FAR }
    }

    /// What lies ahead in the row of the run itself, before any lock: the cost of being carried on
    /// from its exit.
    pub(crate) fn begin(
        &mut self,
        ground: &Ground,
        terms: Terms,
        row: RowIndex,
        exit: Boundary,
        budget: i64,
    ) {
        let passed = ground.passed(row);
        let others = ground.others(row);
        let exit = exit.0 as usize;
        let reaches = |to: usize| {
            (passed[to] - passed[exit]).abs() <= budget
                && terms.longest_carry.is_none_or(|most| others[to].abs_diff(others[exit]) <= most)
        };
        (self.low, self.high) = (exit, exit);
        match row.direction(terms.hand) {
            Direction::Rightwards => {
                while self.high + 1 < ground.width && reaches(self.high + 1) {
                    self.high += 1;
                }
            }
            Direction::Leftwards => {
                while self.low > 0 && reaches(self.low - 1) {
                    self.low -= 1;
                }
            }
        }
        for to in self.low..=self.high {
            self.cost[to] = (passed[to] - passed[exit]).abs();
        }
    }

    /// One boundary, at no cost.
    pub(crate) fn begin_at(&mut self, boundary: Boundary) {
        (self.low, self.high) = (boundary.0 as usize, boundary.0 as usize);
        self.cost[self.low] = 0;
    }

    /// Of a front that holds costs *from* the top of a row: what it costs from the exit of a run in
    /// that row, where the strand is dropped or from where it is carried on first.
    pub(crate) fn left_at(
        &self,
        ground: &Ground,
        terms: Terms,
        row: RowIndex,
        exit: Boundary,
        budget: i64,
    ) -> i64 {
        let (passed, others, lift) = (ground.passed(row), ground.others(row), ground.lift(row));
        let exit = exit.0 as usize;
        let distance = |to: usize| (passed[to] - passed[exit]).abs();
        let reaches = |to: &usize| {
            let within = terms.longest_carry.is_none_or(|most| others[*to].abs_diff(others[exit]) <= most);
            distance(*to) <= budget && within
        };
        let carried = |to: usize| self.at(to) + distance(to) + lift[to];
        let least = match row.direction(terms.hand) {
            Direction::Rightwards => {
                (self.low.max(exit + 1)..=self.high).take_while(reaches).map(carried).min()
            }
            Direction::Leftwards => {
                (self.low..(self.high + 1).min(exit)).rev().take_while(reaches).map(carried).min()
            }
        };
        self.at(exit).min(least.unwrap_or(FAR)) + terms.hang
    }

    /// Locks the front at the top of its row and minds it for one row more. In the row of the run
    /// itself the exit needs no lock: the strand was worked there.
    pub(crate) fn lock(&mut self, ground: &Ground, terms: Terms, row: RowIndex, worked_at: Option<Boundary>) {
        let worked_at = worked_at.map(|boundary| (boundary.0 as usize, self.at(boundary.0 as usize)));
        let lift = &ground.lift(row)[self.low..=self.high];
        for (cost, lift) in self.cost[self.low..=self.high].iter_mut().zip(lift) {
            *cost += lift + terms.hang;
        }
        if let Some((at, cost)) = worked_at {
            self.cost[at] = cost + terms.hang;
        }
    }

    /// Draws the window in to where it is worth going on from, given the cost there. Returns whether
    /// anything is left.
    pub(crate) fn trim(&mut self, worth_going_on: impl Fn(usize, i64) -> bool) -> bool {
        while self.low < self.high && !worth_going_on(self.low, self.cost[self.low]) {
            self.low += 1;
        }
        while self.high > self.low && !worth_going_on(self.high, self.cost[self.high]) {
            self.high -= 1;
        }
        worth_going_on(self.low, self.cost[self.low])
    }

    /// Moves either way along the row.
    pub(crate) fn spread(&mut self, ground: &Ground, terms: Terms, row: RowIndex, budget: i64) {
        match terms.longest_carry {
            None => self.spread_freely(ground.passed(row), budget),
            Some(most) => self.spread_within(ground.passed(row), ground.others(row), most, budget),
        }
    }

    fn spread_freely(&mut self, passed: &[i64], budget: i64) {
        let (low, high) = (self.low, self.high);
        let cost = &mut self.cost;
        let mut best = cost[low];
        for at in low + 1..=high {
            best = (best + passed[at] - passed[at - 1]).min(cost[at]);
            cost[at] = best;
        }
        let mut best = cost[high];
        for at in (low..high).rev() {
            best = (best + passed[at + 1] - passed[at]).min(cost[at]);
            cost[at] = best;
        }
        while self.high + 1 < passed.len() {
            let next = cost[self.high] + passed[self.high + 1] - passed[self.high];
            if next > budget {
                break;
            }
            self.high += 1;
            cost[self.high] = next;
        }
        while self.low > 0 {
            let next = cost[self.low] + passed[self.low] - passed[self.low - 1];
            if next > budget {
                break;
            }
            self.low -= 1;
            cost[self.low] = next;
        }
    }

    /// As [`spread_freely`](Self::spread_freely), passing at most `most` stitches of other yarns.
    fn spread_within(&mut self, passed: &[i64], others: &[u32], most: u32, budget: i64) {
        let (low, high) = (self.low, self.high);
        self.before[low..=high].copy_from_slice(&self.cost[low..=high]);
        // Rightwards: the least of `before[from] − passed[from]` over the places that reach `to`.
        self.queue.clear();
        let mut head = 0;
        let mut to = low;
        while to < passed.len() {
            if to <= high {
                let key = self.before[to] - passed[to];
                while self.queue.len() > head
                    && self.queue.last().is_some_and(|&last| self.before[last] - passed[last] > key)
                {
                    self.queue.pop();
                }
                self.queue.push(to);
            }
            while self.queue.get(head).is_some_and(|&from| others[to] - others[from] > most) {
                head += 1;
            }
            let Some(&from) = self.queue.get(head) else { break };
            let cost = self.before[from] + passed[to] - passed[from];
            if to > high && cost > budget {
                break;
            }
            self.cost[to] = cost;
            self.high = self.high.max(to);
            to += 1;
        }
        // Leftwards likewise, taking the better of the two.
        self.queue.clear();
        let mut head = 0;
        let mut to = high;
        loop {
            if to >= low {
                let key = self.before[to] + passed[to];
                while self.queue.len() > head
                    && self.queue.last().is_some_and(|&last| self.before[last] + passed[last] > key)
                {
                    self.queue.pop();
                }
                self.queue.push(to);
            }
            while self.queue.get(head).is_some_and(|&from| others[from] - others[to] > most) {
                head += 1;
            }
            let Some(&from) = self.queue.get(head) else { break };
            let cost = self.before[from] + passed[from] - passed[to];
            if to < low {
                if cost > budget {
                    break;
                }
                self.cost[to] = cost;
                self.low = to;
            } else {
                self.cost[to] = self.cost[to].min(cost);
            }
            if to == 0 {
                break;
            }
            to -= 1;
        }
    }
}

/// The way of a hand-over: the boundary at which the strand hangs at the top of each row from the
/// one it leaves to the one before the one it gets to. Empty within one row.
pub(crate) type Way = Vec<Boundary>;

/// Where a hand-over begins, the row and exit of a run, and where it ends, the row and entry of
/// another.
pub(crate) type Between = ((RowIndex, Boundary), (RowIndex, Boundary));

/// What a move along a row costs; `None` where the rules forbid it.
pub(crate) fn moved(
    ground: &Ground,
    terms: Terms,
    row: RowIndex,
    from: Boundary,
    to: Boundary,
) -> Option<i64> {
    let (passed, others) = (ground.passed(row), ground.others(row));
    let (from, to) = (from.0 as usize, to.0 as usize);
    let distance = (passed[from] - passed[to]).abs();
    let within = terms.longest_carry.is_none_or(|most| others[from].abs_diff(others[to]) <= most);
    (within && distance < FORBIDDEN).then_some(distance)
}

/// What a hand-over costs along a given way; `None` where the rules forbid it.
pub(crate) fn price(
    ground: &Ground,
    terms: Terms,
    ((from_row, exit), (to_row, entry)): Between,
    way: &[Boundary],
) -> Option<i64> {
    let mut cost = 0;
    let mut here = exit;
    for (row, &there) in (from_row.0..).map(RowIndex).zip(way) {
        cost += moved(ground, terms, row, here, there)? + terms.hang;
        // Where it was worked, it is at the top of the row by itself.
        if row > from_row || there != exit {
            cost += ground.lift(row)[there.0 as usize];
        }
        here = there;
    }
    Some(cost + moved(ground, terms, to_row, here, entry)?)
}

/// The least cost of a hand-over, where it is no more than `budget`.
pub(crate) fn least(
    ground: &Ground,
    terms: Terms,
    front: &mut Front,
    ((row, exit), (to_row, entry)): Between,
    budget: i64,
) -> Option<i64> {
    front.begin(ground, terms, row, exit, budget);
    let mut worked_at = Some(exit);
    for at in row.0..to_row.0 {
        front.lock(ground, terms, RowIndex(at), worked_at.take());
        if !front.trim(|_, so_far| so_far <= budget) {
            return None;
        }
        front.spread(ground, terms, RowIndex(at + 1), budget);
    }
    Some(front.at(entry.0 as usize)).filter(|cost| *cost <= budget)
}

/// A cheapest way of a hand-over, given what it costs; `None` where there is none at that cost. One
/// that only drops the strand and takes it up in the next row goes before others that cost the same;
/// among the rest it takes the shortest moves, from the last row backwards.
pub(crate) fn way(
    ground: &Ground,
    terms: Terms,
    front: &mut Front,
    ((row, exit), (to_row, entry)): Between,
    cost: i64,
) -> Option<Way> {
    if row == to_row {
        return (moved(ground, terms, row, exit, entry) == Some(cost)).then(Way::new);
    }
    if to_row.0 == row.0 + 1
        && moved(ground, terms, to_row, exit, entry).is_some_and(|distance| distance + terms.hang == cost)
    {
        return Some(vec![exit]);
    }
    // The locked front of each row left behind.
    let mut fronts: Vec<(usize, Vec<i64>)> = Vec::with_capacity(to_row.0 - row.0);
    front.begin(ground, terms, row, exit, cost);
    let mut worked_at = Some(exit);
    for at in row.0..to_row.0 {
        if at > row.0 {
            front.spread(ground, terms, RowIndex(at), cost);
        }
        front.lock(ground, terms, RowIndex(at), worked_at.take());
        if !front.trim(|_, so_far| so_far <= cost) {
            return None;
        }
        let (low, high) = front.window();
        fronts.push((low, front.cost[low..=high].to_vec()));
    }
    let mut way = Way::with_capacity(fronts.len());
    let (mut here, mut left) = (entry.0 as usize, cost);
    for at in (row.0..to_row.0).rev() {
        // Which boundary of this row's front did the move along the next row come from?
        let next = RowIndex(at + 1);
        let (passed, others) = (ground.passed(next), ground.others(next));
        let (low, costs) = &fronts[at - row.0];
        let from = costs
            .iter()
            .enumerate()
            .map(|(offset, cost)| (low + offset, cost))
            .filter(|&(from, cost)| {
                cost + (passed[here] - passed[from]).abs() == left
                    && terms.longest_carry.is_none_or(|most| others[here].abs_diff(others[from]) <= most)
            })
            .min_by_key(|&(from, _)| (from.abs_diff(here), from));
        let (from, &cost) = from?;
        #[allow(clippy::cast_possible_truncation)] // a boundary of the chart
        way.push(Boundary(from as u32));
        // Before the lock: what the move along this row must have cost.
        let worked = at == row.0 && from == exit.0 as usize;
        left = cost - terms.hang - if worked { 0 } else { ground.lift(RowIndex(at))[from] };
        here = from;
    }
    way.reverse();
    Some(way)
}
